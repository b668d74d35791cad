package traction

import (
	"errors"
	"math"
)

// The march is made in w, the square of the speed. Over a step the road is even,
// and within a bin pull and resistance are straight lines over w, so that
//
//	M/2 dw/ds = F(w) - R(w)   becomes   dw/ds = p - q w,  q not negative,
//
// which is solved by w(s) = w0 + (p - q w0) (1 - exp(-q s))/q, exactly, and by a
// logarithm for the distance to an edge. No step in time is made: the only error
// is that of the lines, at most chordError of the pull, and that of
// the time, which follows from w at both ends and the middle of a piece by
// Richardson's rule; both together stay below 0.1 % (TestMarchAgainstSmallSteps
// holds them to it). Held by a cap the speed is the cap's; before a lower one it
// falls along w = c - 2 b s. A train is never slower than effort, grip and caps
// demand.

// ErrMarch is returned when a step does not end: a fault of this program.
var ErrMarch = errors.New("the march does not get on")

// line is dw/ds = p - q w, between two edges.
type line struct {
	p, q      float64
	low, high float64
	f0, f1    float64 // pull: f0 - f1 w
}

func (l *line) rate(w float64) float64 { return l.p - l.q*w }

// after is w beyond a distance, from w with its rate.
func (l *line) after(w, rate, s float64) float64 {
	x := l.q * s
	if x < 0.05 { // (1-exp(-x))/x, its series: the first term left off is below 5e-10
		return w + rate*s*(1-x*(1./2-x*(1./6-x*(1./24-x/120))))
	}
	return w - rate*math.Expm1(-x)/l.q
}

// distance is how far it is from w with its rate to a speed that is reached.
func (l *line) distance(w, rate, to float64) float64 {
	s := (to - w) / rate
	if y := l.q * s; y > 1e-6 {
		return -math.Log1p(-math.Min(y, 1-1e-15)) / l.q
	}
	return s * (1 + l.q*s/2)
}

// lineOf is the equation at a speed within a bin: held by grip below the speed at
// which the effort falls to it, by effort above.
func (r *run) lineOf(k int) line {
	b := &r.ground.bins[k]
	l := line{low: b.low, high: b.high, f0: b.f0, f1: b.f1}
	if r.gripN < b.f0-b.f1*b.low {
		even := b.high
		if b.f1 > 0 {
			even = (b.f0 - r.gripN) / b.f1
		}
		held := r.gripN - r.roadN - b.r0 - b.r1*r.w
		if r.w < even || r.w <= even && held < 0 {
			l.f0, l.f1, l.high = r.gripN, 0, math.Min(b.high, even)
		} else {
			l.low = math.Max(b.low, even)
		}
	}
	inv := 2 / b.massKg
	l.p, l.q = (l.f0-r.roadN-b.r0)*inv, (l.f1+b.r1)*inv
	return l
}

// mostPieces bounds the pieces of a step: several for each bin. Beyond it the
// program is at fault.
const mostPieces = 20000

// advance goes on a distance under a ceiling of w that falls by slope.
func (r *run) advance(left, ceiling, slope float64) error {
	const near = 1e-12
	for range mostPieces {
		if left <= 0 {
			return nil
		}
		l := r.lineOf(r.k)
		rate := l.rate(r.w)
		capped := r.w >= ceiling*(1-near)
		switch {
		case capped && rate >= -slope:
			r.follow(left, ceiling, slope)
			return nil
		case r.w >= r.ground.bins[r.k].high && rate > 0 && r.shift(1):
			continue
		case r.w == 0 && rate <= 0:
			r.stall(r.wants())
			return nil
		case r.w <= r.ground.bins[r.k].low && rate < 0 && r.shift(-1):
			continue
		}
		if rate < 2*0.02 { // gathers less than 0.02 m/s2
			r.labours = true
		}
		edge := r.w >= l.high && rate > 0 || r.w <= l.low && rate < 0
		if edge || math.Abs(rate)*left <= near*r.w { // between two gears, or in balance
			left, ceiling = r.hold(left, ceiling, slope)
			continue
		}
		s, w := r.piece(&l, rate, left, ceiling, slope, capped)
		r.drive(&l, rate, s, w)
		left -= s
		ceiling -= slope * s
	}
	return ErrMarch
}

// wants is what a train lacks that stands still.
func (r *run) wants() string {
	if b := &r.ground.bins[r.k]; r.gripN < b.f0-b.f1*r.w {
		return Grip
	}
	return Effort
}

// shift goes to the next bin where the speed runs on in it. It does not where
// one gear gathers speed and the next loses it: the train stays between.
func (r *run) shift(by int) bool {
	if r.k+by >= len(r.ground.bins) {
		return false
	}
	next := r.lineOf(r.k + by)
	if next.rate(r.w)*float64(by) <= 0 {
		return false
	}
	r.k += by
	return true
}

// piece finds how far one line holds, and the speed there: to an edge, to the
// ceiling, to the end of the step, and no further than the time is sure.
func (r *run) piece(l *line, rate, left, ceiling, slope float64, capped bool) (s, w float64) {
	s = left
	if l.q*s > 0.5 {
		s = 0.5 / l.q
	}
	high := l.high
	if slope == 0 {
		high = math.Min(high, ceiling)
	}
	w = l.after(r.w, rate, s)
	switch {
	case w > high && rate > 0:
		s, w = math.Min(s, l.distance(r.w, rate, high)), high
	case w < l.low && rate < 0:
		s, w = math.Min(s, l.distance(r.w, rate, l.low)), l.low
	}
	if end := ceiling - slope*s; slope > 0 && w > end {
		if capped {
			return s, end
		}
		s = r.meet(l, rate, s, ceiling, slope)
		w = ceiling - slope*s
	}
	return s, w
}

// meet is the distance at which the speed comes to a falling ceiling, within s:
// by Newton's rule, which needs few rounds as both are all but straight.
func (r *run) meet(l *line, rate, s, ceiling, slope float64) float64 {
	x := (ceiling - r.w) / (rate + slope)
	for range 4 {
		x = math.Max(0, math.Min(s, x))
		over := l.after(r.w, rate, x) + slope*x - ceiling
		x -= over / (rate*math.Exp(-l.q*x) + slope)
	}
	return math.Max(0, math.Min(s, x))
}

// drive drives a piece. The time is that of an even acceleration over the whole
// and over both halves, and the error of the first taken off by Richardson.
func (r *run) drive(l *line, rate, s, w float64) {
	mid := l.after(r.w, rate, s/2)
	if mid < 0 {
		mid = 0
	}
	v0, vm, v1 := r.v, math.Sqrt(mid), math.Sqrt(w)
	if once, twice := v0+v1, (v0+vm)*(vm+v1); once > 0 && twice > 0 {
		r.trip.TimeS += s * (4*(v0+2*vm+v1)/twice - 2/once) / 3
	}
	r.trip.WorkJ += s * (l.f0 - l.f1*(r.w+4*mid+w)/6)
	r.at += s
	r.w, r.v = w, v1
}

// follow keeps to the ceiling until the end.
func (r *run) follow(left, ceiling, slope float64) {
	b := &r.ground.bins[r.k]
	end := math.Max(0, ceiling-slope*left)
	pull := r.roadN + b.r0 + b.r1*(r.w+end)/2 - slope/2*r.m.bareKg // brakes do not slow an engine
	v := math.Sqrt(end)
	r.pass(left, 2*left/(r.v+v), pull)
	r.w, r.v = end, v
	r.find()
}

// hold keeps the speed until a falling ceiling comes down to it, and gives what
// is left of the step and the ceiling then.
func (r *run) hold(left, ceiling, slope float64) (restM, ceilingW float64) {
	s := left
	if slope > 0 {
		s = math.Max(0, math.Min(s, (ceiling-r.w)/slope))
	}
	b := &r.ground.bins[r.k]
	r.pass(s, s/r.v, r.roadN+b.r0+b.r1*r.w)
	if left -= s; left > 0 {
		ceiling = r.w // exactly, so that it is followed
		return left, ceiling
	}
	return 0, ceiling
}

// pass counts a distance with an even pull; a pull below 0 is the brakes'. An
// engine never burns less than idling, so what the pull burns less is idling.
func (r *run) pass(s, timeS, pullN float64) {
	work := s * math.Max(0, pullN)
	r.trip.TimeS += timeS
	r.trip.WorkJ += work
	r.at += s
	if idle := timeS * r.m.idleW(); work < idle {
		r.idleS += timeS * (1 - work/idle)
	}
}
