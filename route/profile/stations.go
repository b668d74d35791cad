package profile

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"drawbar/route"
)

// stations gives the chainages at which the way is looked at: both ends, the
// ends of carried stretches, the vertices and an even division of the length
// into steps of at most stepM. A vertex nearer than a third of a step to a
// station before it, and an even station nearer than that to any other, is
// left out: two stations a hand apart say nothing about grade.
//
// More than mostStations are refused with [ErrTooLong].
func stations(a *route.Alignment, carried []route.Stretch, stepM float64) ([]float64, error) {
	length := a.LengthM()
	tooLong := func(n float64) error {
		return fmt.Errorf("%w: %.0f km with %d vertices in steps of %.2g m are %.0f, at most %d (cut the route, or give a longer --step)",
			ErrTooLong, length/1000, len(a.Line), stepM, n, mostStations)
	}
	if n := length / stepM; n > mostStations {
		return nil, tooLong(n)
	}
	fixed := []float64{0, length}
	for _, c := range carried {
		fixed = append(fixed, c.FromM, c.ToM)
	}
	slices.Sort(fixed)
	fixed = slices.Compact(fixed)
	apart := stepM / 3
	kept := thin(fixed, a.ChainageM, apart)
	n := int(math.Ceil(length / stepM))
	even := make([]float64, 0, n)
	for i := 1; i < n; i++ {
		even = append(even, length*float64(i)/float64(n))
	}
	out := thin(kept, even, apart)
	if n := len(out); n > mostStations {
		return nil, tooLong(float64(n))
	}
	return out, nil
}

// mostStations bounds the memory of one route: about 400 bytes a station.
// Choice.
const mostStations = 1_000_000

// ErrTooLong is returned for a way of more stations than that.
var ErrTooLong = errors.New("too many stations")

// thin merges extra into base (both sorted), leaving out what is nearer than
// apart to a member of base or to the extra kept before it.
func thin(base, extra []float64, apart float64) []float64 {
	out := make([]float64, 0, len(base)+len(extra))
	b := 0
	last := math.Inf(-1)
	for _, e := range extra {
		for b < len(base) && base[b] <= e {
			out = append(out, base[b])
			last = max(last, base[b])
			b++
		}
		if e-last < apart || (b < len(base) && base[b]-e < apart) {
			continue
		}
		out = append(out, e)
		last = e
	}
	return append(out, base[b:]...)
}

// merge sorts stretches, joins those that touch and cuts them to the way.
func merge(list []route.Stretch, lengthM float64) []route.Stretch {
	list = slices.Clone(list)
	slices.SortFunc(list, func(a, b route.Stretch) int {
		switch {
		case a.FromM < b.FromM:
			return -1
		case a.FromM > b.FromM:
			return 1
		}
		return 0
	})
	var out []route.Stretch
	for _, s := range list {
		s.FromM, s.ToM = max(s.FromM, 0), min(s.ToM, lengthM)
		if s.ToM <= s.FromM {
			continue
		}
		if n := len(out); n > 0 && s.FromM < out[n-1].ToM {
			out[n-1].ToM = max(out[n-1].ToM, s.ToM)
			continue
		}
		out = append(out, s)
	}
	return out
}
