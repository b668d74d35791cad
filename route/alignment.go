package route

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"
)

// ErrTooShort is returned for a line that has no length.
var ErrTooShort = errors.New("the line has no length")

// Alignment is a route measured, in one direction. It has no stations: those
// are the profile's. It is immutable; Reverse gives the other direction, so no
// check carries a sign flag.
type Alignment struct {
	Route    *Route
	Reversed bool           // against the order of the file
	Line     orb.LineString // in the direction travelled
	Z        []float64      // as Route.Z, in the direction travelled; nil if none
	// ChainageM is the distance from the start along the WGS84 ellipsoid, at
	// each vertex. Edges are measured as geodesics between vertices.
	ChainageM []float64
	// TurnRad is the change of direction at each vertex, radians, left
	// positive, 0 at both ends.
	TurnRad []float64
	Legs    []Leg

	azimuth []float64 // of the edge that ends at each vertex
}

// Leg is a piece of the route placed in chainage, its tags turned into the
// direction travelled (the sign of incline, the sense of oneway).
type Leg struct {
	At   Stretch
	Tags Tags
	// From names the source of the tags where it is not the route's own file.
	From string
	// Differs are the limits on which two sources of the tags differ, one
	// sentence each; the stricter one is in the tags.
	Differs []string
}

// Align measures a route in the order of its file. It returns ErrTooShort for
// a line without length, and an error that names the vertex for a coordinate
// that is not a number.
func Align(r *Route) (*Alignment, error) {
	for i, p := range r.Line {
		if math.IsNaN(p[0]+p[1]) || math.IsInf(p[0]+p[1], 0) {
			return nil, fmt.Errorf("route %s: vertex %d is not a number", r.ID, i+1)
		}
	}
	a := &Alignment{Route: r, Line: r.Line, Z: r.Z}
	if err := a.measure(); err != nil {
		return nil, fmt.Errorf("route %s: %w", r.ID, err)
	}
	for _, p := range r.Pieces {
		a.Legs = append(a.Legs, Leg{At: Stretch{a.ChainageM[p.First], a.ChainageM[p.Last]}, Tags: p.Tags})
	}
	return a, nil
}

// measure fills chainage and turn from the line.
func (a *Alignment) measure() error {
	n := len(a.Line)
	if n < 2 {
		return ErrTooShort
	}
	a.ChainageM, a.TurnRad, a.azimuth = make([]float64, n), make([]float64, n), make([]float64, n)
	arrive := math.NaN()
	for i := 1; i < n; i++ {
		d, az1, az2 := inverse(a.Line[i-1], a.Line[i])
		a.ChainageM[i], a.azimuth[i] = a.ChainageM[i-1]+d, az1
		if d == 0 {
			a.azimuth[i] = a.azimuth[i-1]
			continue
		}
		if !math.IsNaN(arrive) {
			a.TurnRad[i-1] = signedTurn(arrive - az1)
		}
		arrive = az2
	}
	if !(a.LengthM() > 0) {
		return ErrTooShort
	}
	return nil
}

// LengthM is the length of the way along the ellipsoid.
func (a *Alignment) LengthM() float64 { return a.ChainageM[len(a.ChainageM)-1] }

// Reverse is the same way travelled from its end to its start.
func (a *Alignment) Reverse() *Alignment {
	b := &Alignment{Route: a.Route, Reversed: !a.Reversed, Line: slices.Clone(a.Line), Z: slices.Clone(a.Z)}
	slices.Reverse(b.Line)
	slices.Reverse(b.Z)
	n, length := len(a.Line), a.LengthM()
	b.ChainageM, b.TurnRad, b.azimuth = make([]float64, n), make([]float64, n), make([]float64, n)
	for i := 1; i < n; i++ {
		b.azimuth[i] = a.azimuth[n-i] + math.Pi
	}
	for i := range n {
		b.ChainageM[i] = length - a.ChainageM[n-1-i]
		b.TurnRad[i] = -a.TurnRad[n-1-i]
	}
	b.ChainageM[0] = 0
	for i := len(a.Legs) - 1; i >= 0; i-- {
		l := a.Legs[i]
		l.At, l.Tags = Stretch{length - l.At.ToM, length - l.At.FromM}, l.Tags.Turned()
		b.Legs = append(b.Legs, l)
	}
	return b
}

// WithLegs is the same way with other legs, which must cover it in order.
func (a *Alignment) WithLegs(legs []Leg) *Alignment {
	b := *a
	b.Legs = legs
	return &b
}

// Turned gives the tags as seen by someone travelling the other way.
func (t Tags) Turned() Tags {
	t.InclineRatio.Value = -t.InclineRatio.Value
	switch t.Oneway {
	case "yes":
		t.Oneway = "-1"
	case "-1":
		t.Oneway = "yes"
	}
	return t
}

// edge returns the index of the vertex that ends the edge holding chainage s.
func (a *Alignment) edge(s float64) int {
	i := sort.SearchFloat64s(a.ChainageM, s)
	return min(max(i, 1), len(a.ChainageM)-1)
}

// At is the point at a chainage, on the straight edge in longitude and
// latitude that RFC 7946 prescribes. Chainages outside the way give its ends.
func (a *Alignment) At(s float64) orb.Point {
	i := a.edge(s)
	from, to := a.ChainageM[i-1], a.ChainageM[i]
	if to == from {
		return a.Line[i]
	}
	t := min(max((s-from)/(to-from), 0), 1)
	p, q := a.Line[i-1], a.Line[i]
	return orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
}

// Azimuth is the direction of the edge at a chainage, at the edge's start,
// radians clockwise from north, as travelled.
func (a *Alignment) Azimuth(s float64) float64 { return a.azimuth[a.edge(s)] }

// Slice is the line between two chainages, both ends included.
func (a *Alignment) Slice(s Stretch) orb.LineString {
	out := orb.LineString{a.At(s.FromM)}
	i := sort.Search(len(a.ChainageM), func(i int) bool { return a.ChainageM[i] > s.FromM })
	for ; i < len(a.ChainageM) && a.ChainageM[i] < s.ToM; i++ {
		out = append(out, a.Line[i])
	}
	return append(out, a.At(s.ToM))
}

// LegsIn returns the legs that share more than a point with a stretch, in
// order. At a place (FromM equal ToM) it returns the leg that holds it.
func (a *Alignment) LegsIn(s Stretch) []Leg {
	i := sort.Search(len(a.Legs), func(i int) bool { return a.Legs[i].At.ToM > s.FromM })
	i = min(i, len(a.Legs)-1)
	j := i + 1
	for j < len(a.Legs) && a.Legs[j].At.FromM < s.ToM {
		j++
	}
	return a.Legs[max(i, 0):j]
}

// Plane gives the line between two chainages in metres on the tangent plane at
// the middle of the stretch: x east, y north. Lengths are true to 2e-5 within
// 5 km of the middle (measured by TestPlane).
func (a *Alignment) Plane(s Stretch) []orb.Point {
	mid := a.At((s.FromM + s.ToM) / 2)
	const rad = math.Pi / 180
	mer, prime := radii(mid[1] * rad)
	line := a.Slice(s)
	out := make([]orb.Point, len(line))
	for i, p := range line {
		// The parallel shortens with latitude: the cosine half way to the point.
		out[i] = orb.Point{
			prime * math.Cos((p[1]+mid[1])/2*rad) * (p[0] - mid[0]) * rad,
			mer * (p[1] - mid[1]) * rad,
		}
	}
	return out
}
