package geofile

import (
	"fmt"
	"math"
	"slices"
)

// earthM is the mean radius of the Earth, metres (2a+b)/3 of WGS84, which is
// how the IUGG defines it (derived). Distances on this sphere are wrong by up
// to 0.56 %: good for thresholds and messages, not for chainage.
const earthM = (2*6378137.0 + 6356752.314245) / 3

// Steps between neighbouring vertices that are not believed (choices).
const (
	leapRatio = 50.0  // a leap is this many times the median step of the line ...
	leapM     = 1e3   // ... and longer than this: worth a note
	breakM    = 100e3 // ... or than this: no recording spike, but axes swapped half way: an error
	neverM    = 1e6   // no two vertices of a road are this far apart
	neverDeg  = 90.0  // ... nor this many degrees of longitude: the line may pass the pole on either side
)

// groundM is the great circle distance, metres.
func groundM(a, b vertex) float64 {
	const rad = math.Pi / 180
	sLat := math.Sin((b.lat - a.lat) * rad / 2)
	sLon := math.Sin((b.lon - a.lon) * rad / 2)
	h := sLat*sLat + math.Cos(a.lat*rad)*math.Cos(b.lat*rad)*sLon*sLon
	return 2 * earthM * math.Asin(math.Min(1, math.Sqrt(h)))
}

// leaps looks for steps no road takes.
func (j *joiner) leaps() *Error {
	steps := make([]float64, len(j.line)-1)
	for i := range steps {
		a, b := j.line[i], j.line[i+1]
		if steps[i] = groundM(a, b); steps[i] > neverM || math.Abs(b.lon-a.lon) > neverDeg {
			return j.leapFault(i, steps[i])
		}
	}
	if slices.Max(steps) <= leapM {
		return nil
	}
	sorted := slices.Clone(steps)
	slices.Sort(sorted)
	median := sorted[len(sorted)/2]
	var at []int
	for i, s := range steps {
		if s > leapM && s > leapRatio*median {
			if s > breakM {
				return j.leapFault(i, s)
			}
			at = append(at, i)
		}
	}
	j.leapNotes(at, steps, slices.Max(steps))
	return nil
}

// leapNotes words the first leaps, and a line too coarse to be a road.
func (j *joiner) leapNotes(at []int, steps []float64, longest float64) {
	const most = 3
	for _, i := range at[:min(len(at), most)] {
		j.note(fmt.Sprintf("leap of %s between vertex %d and %d: is this a recording spike?", metres(steps[i]), i+1, i+2))
	}
	if len(at) > most {
		j.note(fmt.Sprintf("and %d more leaps of that kind", len(at)-most))
	}
	if longest > breakM {
		j.note(fmt.Sprintf("neighbouring vertices are up to %s apart: this is no line of a road", metres(longest)))
	}
}

// leapFault is the fault of the step from vertex i, named by the feature that
// it leads to.
func (j *joiner) leapFault(i int, d float64) *Error {
	p := j.group[0]
	for k, q := range j.pieces {
		if i+1 > q.First && i+1 <= q.Last {
			p = j.group[k]
		}
	}
	hint := "are longitude and latitude swapped from there on?"
	if math.Abs(j.line[i+1].lon-j.line[i].lon) > neverDeg {
		hint = "over the pole, or a fault of the coordinates?"
	}
	return j.fault(ErrLeap, p, j.line[i+1], fmt.Sprintf("a leap of %s from the vertex before", metres(d)), hint)
}

// metres words a length for people.
func metres(d float64) string {
	if d >= 1000 {
		return fmt.Sprintf("%.1f km", d/1000)
	}
	return fmt.Sprintf("%.1f m", d)
}
