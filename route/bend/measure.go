package bend

import (
	"math"

	"drawbar/route"
)

// Choices.
const (
	misfitSE   = 3.0  // standard errors by which a fit may leave more than the error of a vertex
	misfitM    = 0.3  // and metres in any case: a road is no exact arc
	splitGain  = 0.6  // share of the squares that two bends may leave of what one left
	turnShare  = 0.7  // of the least turn that a fit must find
	straightUp = 12.0 // squares of the error by which a turn must fit better than a straight
)

// bends fits every group, or one in stride.
func (s *search) bends(stride int) []Bend {
	s.sse, s.free = s.sse[:0], s.free[:0]
	out := make([]Bend, 0, len(s.groups)/stride+1)
	for i := 0; i < len(s.groups); i += stride {
		low, high := 0, len(s.way.ChainageM)-1
		if i > 0 {
			low = s.groups[i-1].last()
		}
		if i+1 < len(s.groups) {
			high = s.groups[i+1].first()
		}
		out = s.measure(out, &s.groups[i], low, high)
	}
	return out
}

// measure appends the bends of a group: one, or more where two straights and an
// arc leave more than the errors do and a cut at the longest straight leaves much
// less. The neighbours end at vertex low and begin at high.
func (s *search) measure(out []Bend, g *group, low, high int) []Bend {
	had := len(s.sse)
	b, sse := s.one(g, low, high)
	if math.IsInf(sse, 1) || len(s.sse) > had && s.misfits(had) {
		if p, q, ok := g.split(s.way.ChainageM); ok {
			n, pool := len(out), len(s.sse)
			two := s.measure(s.measure(out, &p, low, q.first()), &q, p.last(), high)
			left := 0.0
			for _, v := range s.sse[pool:] {
				left += v
			}
			if len(two) > n+1 && left < splitGain*sse {
				s.sse, s.free = append(s.sse[:had], s.sse[pool:]...), append(s.free[:had], s.free[pool:]...)
				return two
			}
			out, s.sse, s.free = two[:n], s.sse[:pool], s.free[:pool]
		}
	}
	if b.TurnRad == 0 || !(b.RadiusLowM < s.opt.MaxRadiusM) || math.Abs(b.TurnRad) < turnShare*s.opt.MinTurnRad {
		return out
	}
	if b.Kind == Arc {
		b.Kind = s.kind(&b, g)
	}
	if b.RadiusLowM == 0 {
		s.least(&b, g)
	}
	if n := len(out); n > 0 && out[n-1].TurnRad*b.TurnRad < 0 && b.At.FromM-out[n-1].At.ToM < reverseM {
		b.Reverse = true
	}
	return append(out, b)
}

// misfits reports whether the last fit left more than the error of a vertex
// explains.
func (s *search) misfits(i int) bool {
	left, free := math.Sqrt(s.sse[i]/s.free[i]), s.free[i]
	return left > max(s.noiseM*(1+misfitSE/math.Sqrt(2*free)), misfitM)
}

// one measures a group as one bend; sse are the squares that the fit leaves. A
// group that a straight fits as well has no turn.
func (s *search) one(g *group, low, high int) (b Bend, sse float64) {
	at := s.way.ChainageM
	turn := g.turnRad()
	b = Bend{At: route.Stretch{FromM: at[g.first()], ToM: at[g.last()]}, ApexM: at[g.half()], TurnRad: turn,
		SpacingM: s.spacing(g), NoiseM: max(s.noiseM, floorM)}
	if s.lone(g) {
		s.kink(&b, g)
		return b, 0
	}
	ev := s.evidence(g, low, high)
	b.Vertices = len(ev.p)
	start := min(max((at[g.last()]-at[g.first()])/math.Abs(turn), 5), 200)
	ft := &fitter{evidence: ev, noiseM: b.NoiseM, turnRad: math.Abs(turn), prior: s.prior,
		trust: 1 / (1 + crowded*min(b.NoiseM/b.SpacingM, 1))}
	ev.floor = b.NoiseM * b.NoiseM
	l := ft.radii(start)
	if l == nil {
		b.unfitted()
		if math.Abs(turn) < sharpRad && ev.straight() < straightUp*b.NoiseM*b.NoiseM+float64(len(ev.p))*s.noiseM*s.noiseM {
			b.TurnRad = 0
		}
		return b, math.Inf(1)
	}
	f := &l[best(l)].best
	b.TurnRad = math.Copysign(f.a2-f.a1, turn)
	b.read(ft.quantiles(l), len(ev.p))
	b.LengthM = b.RadiusM * math.Abs(b.TurnRad)
	free := float64(len(ev.p)) - 5
	if free > 0 {
		s.sse, s.free = append(s.sse, f.sse), append(s.free, free)
	}
	free = max(free, 1)
	if math.Abs(turn) < sharpRad && ev.straight()-f.sse < straightUp*b.NoiseM*b.NoiseM { // what doubles back fits a straight too
		b.TurnRad = 0
	}
	b.NoiseM = math.Sqrt((s.prior*b.NoiseM*b.NoiseM + f.sse) / (s.prior + free))
	return b, f.sse
}

// loneShare is the share of a turn that one vertex must carry to be a kink.
const loneShare = 0.8

// lone reports whether one vertex carries the turn, and surely: not by its error.
func (s *search) lone(g *group) bool {
	i, turn := g.first(), math.Abs(g.turnRad())
	if len(g.kept) > 1 || math.Abs(s.way.TurnRad[i]) < loneShare*turn {
		return false
	}
	if turn > sharpRad {
		return true
	}
	a, c := s.way.ChainageM[i]-s.way.ChainageM[i-1], s.way.ChainageM[i+1]-s.way.ChainageM[i]
	return s.noiseM*math.Sqrt(1/(a*a)+1/(c*c)+(1/a+1/c)*(1/a+1/c)) < 0.3*turn
}

// read takes radius, interval and kind from the chances.
func (b *Bend) read(t tails, vertices int) {
	b.tails = t
	b.RadiusLowM, b.RadiusM, b.RadiusHighM = b.Quantile(0.05), b.Quantile(0.5), b.Quantile(0.95)
	b.Decided = b.RadiusHighM <= decidedRatio*b.RadiusLowM
	if !b.Decided {
		b.Reason = ReasonNoise
		if vertices < 7 {
			b.Reason = ReasonSparse
		}
	}
}

// unfitted leaves the radius open: no arc goes with the vertices.
func (b *Bend) unfitted() {
	b.Reason = ReasonNoise
	b.RadiusM, b.RadiusHighM = math.NaN(), math.Inf(1)
	for i, z := range tailZ {
		if z > 0 {
			b.tails[i] = math.Inf(1)
		}
	}
}

// spacing is the median distance between vertices on the turn.
func (s *search) spacing(g *group) float64 {
	var d []float64
	for i := max(g.first(), 1); i <= min(g.last()+1, len(s.way.ChainageM)-1); i++ {
		d = append(d, s.way.ChainageM[i]-s.way.ChainageM[i-1])
	}
	return median(d)
}

// window are the vertices that belong to a group: the straights beside it up to
// leadM, or half way to its neighbours where they have vertices enough.
func (s *search) window(g *group, low, high int) (lo, hi int) {
	at, first, last := s.way.ChainageM, g.first(), g.last()
	for lo = first; lo > g.before && (at[first]-at[lo] < leadM || first-lo < 2); lo-- {
	}
	for hi = last; hi < g.after && (at[hi]-at[last] < leadM || hi-last < 2); hi++ {
	}
	if mid := (at[low] + at[first]) / 2; low >= lo {
		for first-lo > 3 && at[lo] < mid {
			lo++
		}
	}
	if mid := (at[high] + at[last]) / 2; high <= hi {
		for hi-last > 3 && at[hi] > mid {
			hi--
		}
	}
	return lo, hi
}

// evidence places the vertices of a group, mirrored to turn left.
func (s *search) evidence(g *group, low, high int) *evidence {
	lo, hi := s.window(g, low, high)
	at, turn := s.way.ChainageM, g.turnRad()
	plane := s.way.Plane(route.Stretch{FromM: at[lo], ToM: at[hi]})
	sign := math.Copysign(1, turn)
	n := len(plane)
	ev := &evidence{p: make([]point, n), apex: min(max(g.half()-lo, 1), n-1), ridge: 1}
	for i, p := range plane {
		ev.p[i] = point{p[0], sign * p[1]}
	}
	a, b := ev.p[0], ev.p[min(max(g.first()-lo, 1), n-1)]
	ev.a1 = math.Atan2(b.y-a.y, b.x-a.x)
	ev.a2 = ev.a1 + math.Abs(turn)
	ev.slack1, ev.slack2 = length(ev.p[0], ev.p[1])/2, length(ev.p[n-1], ev.p[n-2])/2
	return ev
}

// straight is the sum of squares off the best straight.
func (ev *evidence) straight() float64 {
	sse, _ := newLine(ev.p, nil, 1).best(0, len(ev.p)-1)
	return sse
}
