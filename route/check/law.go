package check

import "math"

// What is uncertain is drawn in standard deviations. Grip and rolling run from
// their design value to their low and high ones at 1.645 of them, straight on
// beyond; grip not below 0.
var gripZ = [...]float64{-2 * oneSided, -oneSided, -oneSided / 2, 0, oneSided / 2, oneSided, 2 * oneSided}

const gripMiddle = len(gripZ) / 2

// response is how one limit of a capacity moves with what is uncertain; a limit
// that never binds has a grade of +Inf.
type response struct {
	grade  float64             // at the design values
	grip   [len(gripZ)]float64 // grade at gripZ; all alike where grip does not move it
	roll   [2]float64          // change for one standard deviation less and more of rolling resistance
	mass   float64             // change for the load one standard error heavier
	use    [2]float64          // change for one standard deviation less and more of the grip that brakes use
	own    float64             // standard deviation of what moves no other limit
	bySelf bool                // grip moves it
}

var noLimit = response{grade: math.Inf(1)}

func twoSided(by [2]float64, z float64) float64 {
	if z < 0 {
		return -by[0] * z // by[0] is the change at z = -1
	}
	return by[1] * z
}

// at is the limit at given draws.
func (r *response) at(d *drawn) float64 {
	if math.IsInf(r.grade, 1) {
		return r.grade
	}
	g := r.grade
	if r.bySelf {
		g = r.gripAt(d.grip)
	}
	return g + twoSided(r.roll, d.roll) + r.mass*d.mass + twoSided(r.use, d.use)
}

// gripAt follows the pieces between gripZ, straight on beyond them.
func (r *response) gripAt(z float64) float64 {
	k := 1
	for k < len(gripZ)-1 && gripZ[k] < z {
		k++
	}
	t := (z - gripZ[k-1]) / (gripZ[k] - gripZ[k-1])
	return r.grip[k-1] + t*(r.grip[k]-r.grip[k-1])
}

// atLeast is P(limit >= x) where all but grip and what is its own is known, and
// moves the limit by shift.
func (r *response) atLeast(x, shift float64) float64 {
	if math.IsInf(r.grade, 1) {
		return 1
	}
	x -= shift
	if !r.bySelf {
		return chance(x, r.grade, r.own)
	}
	// More grip never lowers the limit: the draw at which it reaches x.
	k := 1
	for k < len(gripZ)-1 && r.grip[k] < x {
		k++
	}
	if rise := r.grip[k] - r.grip[k-1]; rise > 0 {
		return chance(gripZ[k-1]+(x-r.grip[k-1])*(gripZ[k]-gripZ[k-1])/rise, 0, 1)
	} else if x <= r.grip[k] {
		return 1
	}
	return 0
}

// drawn is one draw of what is uncertain of a capacity, in standard deviations.
type drawn struct{ grip, roll, mass, use, effort, place float64 }

// limits are those of one capacity; the smallest counts.
type limits struct{ grip, effort, lift response }

func (l *limits) at(d *drawn) float64 {
	effort := l.effort.at(d) + l.effort.own*d.effort
	lift := l.lift.at(d)
	if l.lift.own > 0 {
		lift += l.lift.own * d.place
	}
	return min(l.grip.at(d), effort, lift)
}

// node is one point of a fixed quadrature over what moves several limits at once.
type node struct{ weight, grip, effort, lift float64 }

// nodes integrate over rolling, mass and the use of grip by trapezoids in
// standard deviations. The rest is integrated in closed form: their steps are
// finer where it is narrow beside what they move.
func (l *limits) nodes() []node {
	out := []node{{weight: 1}}
	for _, moves := range []func(r *response, z float64) float64{
		func(r *response, z float64) float64 { return twoSided(r.roll, z) },
		func(r *response, z float64) float64 { return r.mass * z },
		func(r *response, z float64) float64 { return twoSided(r.use, z) },
	} {
		out = over(out, moves, l)
	}
	return out
}

// over splits every node by one more draw.
func over(nodes []node, moves func(r *response, z float64) float64, l *limits) (out []node) {
	all := []*response{&l.grip, &l.effort, &l.lift}
	step, most := 1.0, 0.0
	for _, r := range all {
		if by := max(math.Abs(moves(r, 1)), math.Abs(moves(r, -1))); by > 0 && !math.IsInf(r.grade, 1) {
			most = max(most, by)
			step = min(step, 0.75*r.width()/by)
		}
	}
	if most == 0 {
		return nodes
	}
	const ends = 3.0
	side := int(math.Ceil(ends / max(step, 0.2)))
	step = ends / float64(side)
	sum := 0.0
	for k := -side; k <= side; k++ {
		z := float64(k) * step
		sum += math.Exp(-z * z / 2)
	}
	for _, n := range nodes {
		for k := -side; k <= side; k++ {
			z := float64(k) * step
			m := n
			m.weight *= math.Exp(-z*z/2) / sum
			m.grip += moves(&l.grip, z)
			m.effort += moves(&l.effort, z)
			m.lift += moves(&l.lift, z)
			out = append(out, m)
		}
	}
	return out
}

// width is about the standard deviation of a limit where only what is integrated
// in closed form is not known.
func (r *response) width() float64 {
	if r.bySelf {
		return (r.grip[gripMiddle+2] - r.grip[gripMiddle-2]) / (2 * oneSided)
	}
	return r.own
}

// lawKnots is how finely a law is tabulated.
const lawKnots = 200

// law is P(capacity >= x), tabulated: straight between the knots, 1 before the
// first and 0 behind the last.
type law struct {
	from, step float64
	s          []float64
}

// newLaw tabulates what the limits give together. spread is a standard deviation
// that is surely not too small by half.
func newLaw(l *limits, spread float64) *law {
	nodes := l.nodes()
	least := func(x float64) float64 {
		p := 0.0
		for _, n := range nodes {
			p += n.weight * l.grip.atLeast(x, n.grip) * l.effort.atLeast(x, n.effort) * l.lift.atLeast(x, n.lift)
		}
		return p
	}
	const tail = 1e-6
	middle := min(l.grip.grade, l.effort.grade, l.lift.grade)
	spread = max(spread, 1e-7)
	low, high := middle-spread, middle+spread
	for k := 0; k < 40 && least(low) < 1-tail; k++ {
		low -= spread
	}
	for k := 0; k < 40 && least(high) > tail; k++ {
		high += spread
	}
	w := &law{from: low, step: (high - low) / (lawKnots - 1), s: make([]float64, lawKnots)}
	for k := range w.s {
		w.s[k] = least(low + float64(k)*w.step)
	}
	w.s[0], w.s[lawKnots-1] = 1, 0
	return w
}

// chance is P(capacity >= demand) for a normal demand with standard error se,
// exact for the table: its expectation is a sum over the knots' changes of slope
// of E max(D - x, 0) = se phi(u) + (d - x) Phi(u), u = (d - x)/se.
func (w *law) chance(demand, se float64) float64 {
	const sure = 7.0 // standard errors beyond which nothing is left
	end := w.from + w.step*float64(len(w.s)-1)
	switch {
	case demand+sure*se <= w.from:
		return 1
	case demand-sure*se >= end:
		return 0
	}
	p := w.plain(demand)
	if se == 0 {
		return p
	}
	first := max(int(math.Ceil((demand-sure*se-w.from)/w.step)), 0)
	last := min(int(math.Floor((demand+sure*se-w.from)/w.step)), len(w.s)-1)
	for k := first; k <= last; k++ {
		bend := w.slope(k) - w.slope(k-1)
		off := demand - w.from - float64(k)*w.step
		u := off / se
		more := se*math.Exp(-u*u/2)/math.Sqrt(2*math.Pi) + off*(0.5*math.Erfc(-u/math.Sqrt2)) - max(off, 0)
		p += bend * more
	}
	return max(0, min(1, p))
}

// slope is that of the piece behind a knot.
func (w *law) slope(k int) float64 {
	if k < 0 || k >= len(w.s)-1 {
		return 0
	}
	return (w.s[k+1] - w.s[k]) / w.step
}

// plain is P(capacity >= x).
func (w *law) plain(x float64) float64 {
	t := (x - w.from) / w.step
	switch k := int(t); {
	case t <= 0:
		return 1
	case k >= len(w.s)-1:
		return 0
	default:
		return w.s[k] + (t-float64(k))*(w.s[k+1]-w.s[k])
	}
}

// largest is the largest demand that a chance of at least p leaves, for a demand
// with standard error se.
func (w *law) largest(p, se float64) float64 {
	low, high := w.from-7*se, w.from+w.step*float64(len(w.s)-1)+7*se
	for range 60 {
		if mid := (low + high) / 2; w.chance(mid, se) >= p {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
