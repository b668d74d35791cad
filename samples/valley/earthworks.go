package valley

import (
	"math"
	"slices"
)

// gap is the nearer end (chainage) of the bridge or tunnel gap that holds s,
// and whether there is one. A gap begins abutmentM inside its stretch.
func (r *Road) gap(s float64) (endM float64, inside bool) {
	for _, st := range r.stretches {
		from, to := st.fromM+abutmentM, st.toM-abutmentM
		if !st.gap || s <= from || s >= to {
			continue
		}
		if s-from < to-s {
			return from, true
		}
		return to, true
	}
	return 0, false
}

// bench is what one road asks of the ground at one place: between low and
// high, and exactly both on the platform. apartM is the distance from the
// centreline.
type bench struct{ apartM, lowM, highM float64 }

// bench is the road's claim at (x, y): its height on the platform, batters
// beside it, and the same batters running into a gap from its ends.
func (r *Road) bench(x, y float64) (bench, bool) {
	s, d := r.foot(x, y, reachM)
	if d > reachM {
		return bench{}, false
	}
	away := max(0, d-platformM)
	if end, inside := r.gap(s); inside {
		over := math.Abs(s - end)
		s, away = end, math.Sqrt(sq(away)+sq(over))
	}
	z, slack := r.HeightM(s), away/batterRun
	return bench{d, z - slack, z + slack}, true
}

// earthworks cuts and fills the natural ground for every road near (x, y). The
// nearest road has the last word.
func earthworks(roads []*Road, x, y, natural float64) float64 {
	var near [8]bench
	claims := near[:0]
	for _, r := range roads {
		if b, ok := r.bench(x, y); ok {
			claims = append(claims, b)
		}
	}
	slices.SortStableFunc(claims, func(a, b bench) int {
		switch {
		case a.apartM > b.apartM:
			return -1
		case a.apartM < b.apartM:
			return 1
		}
		return 0
	})
	z := natural
	for _, c := range claims {
		z = min(max(z, c.lowM), c.highM)
	}
	return z
}
