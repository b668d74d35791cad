package bend

import (
	"math"

	"drawbar/route"
)

const (
	cornerRad    = 30 * math.Pi / 180 // a smaller turn where the name changes is a bend of the road
	cornerKept   = 2                  // turns of the thinned line that a corner has, at most
	roundShare   = 0.5                // of a bend that must be tagged a roundabout
	placeM       = 1.0                // a change of tags so near a vertex is at it
	kinkTolerate = 2.0                // standard errors of a vertex that legs and width are allowed
)

// kind names a bend that was fitted.
func (s *search) kind(b *Bend, g *group) Kind {
	turn := math.Abs(b.TurnRad)
	switch {
	case s.roundabout(b.At) || turn >= roundRad:
		return Roundabout
	case turn >= hairpinRad && b.Decided:
		return Hairpin
	case len(g.kept) <= cornerKept && s.corner(g):
		return Corner
	case turn >= hairpinRad:
		return Hairpin
	}
	return Arc
}

// roundabout reports whether most of a stretch is tagged as one.
func (s *search) roundabout(at route.Stretch) bool {
	round := 0.0
	for _, l := range s.way.LegsIn(at) {
		if j := l.Tags.Junction; j == "roundabout" || j == "circular" {
			round += max(min(l.At.ToM, at.ToM)-max(l.At.FromM, at.FromM), 0)
		}
	}
	return round > roundShare*at.LengthM()
}

// corner reports whether the way turns off where name or class change.
func (s *search) corner(g *group) bool {
	if math.Abs(g.turnRad()) < cornerRad {
		return false
	}
	for _, i := range g.kept {
		c := s.way.ChainageM[i]
		legs := s.way.LegsIn(route.Stretch{FromM: c - placeM, ToM: c + placeM})
		for k := 1; k < len(legs); k++ {
			if a, b := &legs[k-1].Tags, &legs[k].Tags; a.Name != b.Name || a.Highway != b.Highway {
				return true
			}
		}
	}
	return false
}

// kink says what one vertex leaves open: the largest radius whose straights
// fit half of each leg and whose arc stays on the road. The width decides
// nothing where it is not tagged, nor at a corner, where two roads open into
// each other: what AtLeast reads then rests on the legs alone.
func (s *search) kink(b *Bend, g *group) {
	b.Kind, b.Reason = Kink, ReasonVertex
	if s.corner(g) {
		b.Kind = Corner
	}
	at := s.way.ChainageM
	turn := math.Abs(g.turnRad())
	half := min(turn, math.Pi-0.05) / 2
	slack := kinkTolerate * b.NoiseM
	byLegs := (min(at[g.first()]-at[g.before], at[g.after]-at[g.last()])/2 + slack) / math.Tan(half)
	if g.amongLike {
		// A coarse arc has its vertices on the road: the circle through them.
		byLegs /= math.Cos(half)
	}
	width, tagged := s.width(b.ApexM)
	byRoad := (width/2 + slack) / (1/math.Cos(half) - 1)
	b.RadiusM = min(byLegs, byRoad)
	b.RadiusHighM, b.Vertices = b.RadiusM, 1
	b.LengthM = b.RadiusM * turn
	most := byLegs
	if tagged && b.Kind == Kink {
		most = b.RadiusM
	}
	for i, z := range tailZ {
		if z > 0 {
			b.tails[i] = most
		}
	}
}

// least treats a bend whose radius may be none at all as a kink where one place
// of the thinned line carries the turn: the largest radius stands for it.
func (s *search) least(b *Bend, g *group) {
	if len(g.kept) == 1 && b.Kind == Arc {
		k := *b
		s.kink(&k, g)
		b.Kind, b.RadiusHighM = Kink, min(b.RadiusHighM, k.RadiusHighM)
	}
	if !math.IsInf(b.RadiusHighM, 1) {
		b.RadiusM = b.RadiusHighM
		b.LengthM = b.RadiusM * math.Abs(b.TurnRad)
	}
}

// width is the tagged width of the road at a chainage, or the one taken.
func (s *search) width(c float64) (widthM float64, tagged bool) {
	widthM = math.Inf(1)
	for _, l := range s.way.LegsIn(route.Stretch{FromM: c - placeM, ToM: c + placeM}) {
		if w := l.Tags.WidthM; w.State == route.Known {
			widthM, tagged = min(widthM, w.Value), true
		}
	}
	if !tagged {
		return s.opt.RoadWidthM, false
	}
	return widthM, true
}
