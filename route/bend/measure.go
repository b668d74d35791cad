package bend

import (
	"math"

	"drawbar/route"
)

// bends fits every group.
func (s *search) bends() []Bend {
	out := make([]Bend, 0, len(s.groups))
	for i := range s.groups {
		b := s.one(i)
		if !(b.RadiusLowM < s.opt.MaxRadiusM) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].TurnRad*b.TurnRad < 0 && b.At.FromM-out[n-1].At.ToM < reverseM {
			b.Reverse = true
		}
		out = append(out, b)
	}
	return out
}

// one measures a group.
func (s *search) one(i int) Bend {
	g := &s.groups[i]
	at := s.way.ChainageM
	b := Bend{At: route.Stretch{FromM: at[g.first], ToM: at[g.last]}, ApexM: at[g.halfAt], TurnRad: g.turnRad,
		SpacingM: s.spacing(g), NoiseM: max(s.noiseM, floorM)}
	if g.first == g.last && s.lone(g) {
		s.kink(&b, g, i)
		return b
	}
	lo, hi := s.window(i)
	ev := s.evidence(g, lo, hi)
	b.Vertices = len(ev.p)
	start := min(max((at[g.last]-at[g.first])/math.Abs(g.turnRad), 5), 200)
	l := ev.radii(start, b.NoiseM, math.Abs(g.turnRad))
	if l == nil {
		s.kink(&b, g, i)
		return b
	}
	b.tails = quantiles(l)
	b.RadiusLowM, b.RadiusM, b.RadiusHighM = b.Quantile(0.05), b.Quantile(0.5), b.Quantile(0.95)
	f := l[best(l)].best
	b.TurnRad = math.Copysign(f.a2-f.a1, g.turnRad)
	b.LengthM = b.RadiusM * math.Abs(b.TurnRad)
	b.NoiseM = math.Sqrt((priorCount*b.NoiseM*b.NoiseM + f.sse) / (priorCount + float64(len(ev.p)) - 5))
	b.Decided = b.RadiusHighM <= decidedRatio*b.RadiusLowM
	if !b.Decided {
		b.Reason = ReasonNoise
		if len(ev.p) < 7 {
			b.Reason = ReasonSparse
		}
	}
	b.Kind = Arc
	switch turn := math.Abs(b.TurnRad); {
	case turn >= roundRad:
		b.Kind = Roundabout
	case turn >= hairpinRad:
		b.Kind = Hairpin
	}
	return b
}

// spacing is the median distance between vertices on the turn.
func (s *search) spacing(g *group) float64 {
	var d []float64
	for i := max(g.first, 1); i <= min(g.last+1, len(s.way.ChainageM)-1); i++ {
		d = append(d, s.way.ChainageM[i]-s.way.ChainageM[i-1])
	}
	return median(d)
}

// lone reports whether the one vertex carries the whole turn: its neighbours
// turn no more than straights do.
func (s *search) lone(g *group) bool {
	t := s.way.TurnRad
	return math.Abs(t[g.first]) > 0.8*math.Abs(g.turnRad)
}

// window are the vertices that belong to a group: the straights beside it up to
// leadM, or half way to its neighbours where they have vertices enough.
func (s *search) window(i int) (lo, hi int) {
	g, at := &s.groups[i], s.way.ChainageM
	for lo = g.first; lo > g.before && (at[g.first]-at[lo] < leadM || g.first-lo < 2); lo-- {
	}
	for hi = g.last; hi < g.after && (at[hi]-at[g.last] < leadM || hi-g.last < 2); hi++ {
	}
	if i > 0 && s.groups[i-1].last >= lo {
		mid := (at[s.groups[i-1].last] + at[g.first]) / 2
		for g.first-lo > 3 && at[lo] < mid {
			lo++
		}
	}
	if i+1 < len(s.groups) && s.groups[i+1].first <= hi {
		mid := (at[s.groups[i+1].first] + at[g.last]) / 2
		for hi-g.last > 3 && at[hi] > mid {
			hi--
		}
	}
	return lo, hi
}

// evidence places the vertices of a window, mirrored to turn left.
func (s *search) evidence(g *group, lo, hi int) *evidence {
	at := s.way.ChainageM
	plane := s.way.Plane(route.Stretch{FromM: at[lo], ToM: at[hi]})
	sign := math.Copysign(1, g.turnRad)
	ev := &evidence{p: make([]point, len(plane)), apex: min(max(g.halfAt-lo, 1), len(plane)-1), ridge: 1}
	for i, p := range plane {
		ev.p[i] = point{p[0], sign * p[1]}
	}
	a, b := ev.p[0], ev.p[min(max(g.first-lo, 1), len(ev.p)-1)]
	ev.a1 = math.Atan2(b.y-a.y, b.x-a.x)
	ev.a2 = ev.a1 + math.Abs(g.turnRad)
	ev.slack1, ev.slack2 = length(ev.p[0], ev.p[1])/2, length(ev.p[len(ev.p)-1], ev.p[len(ev.p)-2])/2
	return ev
}

// kink says what one vertex leaves open: the largest radius whose straights
// fit half of each leg and whose arc stays on the road.
func (s *search) kink(b *Bend, g *group, i int) {
	b.Kind, b.Reason = Kink, ReasonVertex
	at := s.way.ChainageM
	before, after := at[g.first]-at[g.before], at[g.after]-at[g.last]
	half := min(math.Abs(g.turnRad), math.Pi-0.05) / 2
	byLegs := min(before, after) / 2 / math.Tan(half)
	byRoad := (s.opt.RoadWidthM/2 + 2*b.NoiseM) / (1/math.Cos(half) - 1)
	b.RadiusM = min(byLegs, byRoad)
	b.RadiusHighM, b.Vertices = b.RadiusM, 1
	b.LengthM = b.RadiusM * math.Abs(g.turnRad)
	for k := range b.tails {
		b.tails[k] = b.RadiusM
		if tailAt[k] < 0.95 {
			b.tails[k] = 0
		}
	}
}
