package known

import (
	"math"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// Placed is an answer on a way, in the direction travelled.
type Placed struct {
	*Answer
	On      route.Stretch // where it stands
	AsPoint bool          // by its coordinate alone
}

// Place puts answers on a way: by route and chainage where the coordinate, if
// there is one, agrees; else by the coordinate. A way that comes by a place
// twice has the answer twice.
func Place(way *route.Alignment, list []*Answer) (out []Placed) {
	for _, a := range list {
		if a.Direction != "" && (a.Direction == "reverse") != way.Reversed {
			continue
		}
		if a.Route != "" && a.Route != way.Route.ID {
			continue
		}
		if on, ok := a.stretch(way); ok {
			out = append(out, Placed{a, on, false})
			continue
		}
		if !a.Pointed {
			continue
		}
		for _, at := range passes(way, a.Point, a.WithinM) {
			out = append(out, Placed{a, route.Stretch{FromM: at, ToM: at}, true})
		}
	}
	return out
}

// stretch is the answer's own stretch in the direction travelled; false where
// it has none, lies beyond the end, or its coordinate is elsewhere: the line
// was drawn anew since.
func (a *Answer) stretch(way *route.Alignment) (on route.Stretch, ok bool) {
	length := way.LengthM()
	if !a.Placed || a.At.FromM > length+1 || a.At.ToM > length+a.WithinM {
		return on, false
	}
	on = route.Stretch{FromM: a.At.FromM, ToM: min(a.At.ToM, length)}
	if way.Reversed {
		on = route.Stretch{FromM: max(length-a.At.ToM, 0), ToM: length - a.At.FromM}
	}
	if !a.Pointed {
		return on, true
	}
	for _, at := range passes(way, a.Point, a.WithinM) {
		if at >= on.FromM-a.WithinM && at <= on.ToM+a.WithinM {
			return on, true
		}
	}
	return on, false
}

// passes are the chainages at which a way comes by a point within a distance,
// the nearest of each time it does.
func passes(way *route.Alignment, p orb.Point, withinM float64) (out []float64) {
	const metresPerDegree = 111_195.0
	x := math.Cos(p[1] * math.Pi / 180)
	best, at := math.Inf(1), 0.0
	flush := func() {
		if best <= withinM {
			out = append(out, at)
		}
		best = math.Inf(1)
	}
	for i := 1; i < len(way.Line); i++ {
		u, v := way.Line[i-1], way.Line[i]
		ux, uy := math.Remainder(u[0]-p[0], 360)*x*metresPerDegree, (u[1]-p[1])*metresPerDegree
		dx, dy := (v[0]-u[0])*x*metresPerDegree, (v[1]-u[1])*metresPerDegree
		if math.Hypot(ux, uy) > withinM {
			flush() // it went away between: the next is another time
		}
		t := 0.0
		if n := dx*dx + dy*dy; n > 0 {
			t = min(max(-(ux*dx+uy*dy)/n, 0), 1)
		}
		d := math.Hypot(ux+t*dx, uy+t*dy)
		if d > withinM {
			flush()
			continue
		}
		if d < best {
			best, at = d, way.ChainageM[i-1]+t*(way.ChainageM[i]-way.ChainageM[i-1])
		}
	}
	flush()
	return out
}

// Fits reports whether the answer stands where a question is. It must overlap
// it, and where the question is of a stretch and not of one structure cover it
// but for its tolerance at each end. off is how far a point stands off it.
func (p *Placed) Fits(at route.Stretch, structure bool) (ok bool, off float64) {
	w := p.WithinM
	off = max(at.FromM-p.On.ToM, p.On.FromM-at.ToM, 0)
	covers := p.On.FromM-w <= at.FromM && p.On.ToM+w >= at.ToM
	switch {
	case p.AsPoint:
		return off <= w && (structure || covers), off
	case structure:
		return off == 0 && (p.On.Overlaps(at) || p.On.LengthM() == 0 || at.LengthM() == 0), off
	}
	return off == 0 && covers, off
}
