package bend

import "math"

// point is a vertex on the plane of one bend, metres, mirrored so that every
// bend turns left.
type point struct{ x, y float64 }

// shape is straight, arc, straight, with an easement of the same length at
// either end of the arc, zero for none. The straights touch the circle that is
// easeM*easeM/(24 R) wider: the easement is the cubic parabola, which follows
// the clothoid to one part in a hundred of its offset up to the lengths in
// easeRatios (TestEasement). Derived.
type shape struct {
	cx, cy  float64 // centre
	a1, a2  float64 // directions of the straights, a2 > a1
	radiusM float64
	easeM   float64
	s1, c1  float64
	s2, c2  float64
	shiftM  float64 // of the straights outward
	cubic   float64 // 1 / (6 R easeM)
	normal  [10]float64
	sse     float64
}

func (f *shape) refresh() {
	f.s1, f.c1 = math.Sincos(f.a1)
	f.s2, f.c2 = math.Sincos(f.a2)
	f.shiftM, f.cubic = 0, 0
	if f.easeM > 0 {
		f.shiftM = f.easeM * f.easeM / (24 * f.radiusM)
		f.cubic = 1 / (6 * f.radiusM * f.easeM)
	}
}

// deviation is how far a vertex lies left of the shape, metres, with its
// derivatives by centre and directions. Vertices before the apex belong to the
// first half.
func (f *shape) deviation(p point, first bool) (e float64, d [4]float64) {
	dx, dy := p.x-f.cx, p.y-f.cy
	var along, across, s, c float64
	if first {
		s, c = f.s1, f.c1
		along, across = c*dx+s*dy, c*dy-s*dx
	} else {
		s, c = f.s2, f.c2
		along, across = -(c*dx + s*dy), c*dy-s*dx
	}
	half := f.easeM / 2
	if along >= half && along > 0 {
		r := math.Sqrt(dx*dx + dy*dy)
		u, v := dx/r, dy/r
		return f.radiusM - r, [4]float64{u, v, 0, 0}
	}
	// On the straight, or on the cubic that leaves it: the slope of the cubic
	// turns the normal.
	e = across + f.radiusM + f.shiftM
	slope, n := 0.0, 1.0
	if w := along + half; w > 0 {
		e -= f.cubic * w * w * w
		slope = 3 * f.cubic * w * w
		n = 1 / math.Sqrt(1+slope*slope)
		e *= n
	}
	if first {
		d[0], d[1] = (s+slope*c)*n, (-c+slope*s)*n
		d[2] = (-along - slope*across) * n
	} else {
		d[0], d[1] = (s-slope*c)*n, (-c-slope*s)*n
		d[3] = (along + slope*across) * n
	}
	return e, d
}

// evidence are the vertices a bend is fitted to.
type evidence struct {
	p     []point
	apex  int     // vertices before it belong to the first half
	a1    float64 // directions of the straights, as thinned
	a2    float64
	ridge float64 // information on the directions, 1/rad^2, in units of a vertex's
	// How far inside the arc the first and last vertex may lie, metres.
	slack1, slack2 float64
	floor          float64 // squares that do not matter
}

// accumulate sums squares and normal equations of the shape.
func (ev *evidence) accumulate(f *shape, grad *[4]float64) (sse float64) {
	f.normal = [10]float64{}
	*grad = [4]float64{}
	for i, p := range ev.p {
		e, d := f.deviation(p, i < ev.apex)
		sse += e * e
		f.add(&d, e, grad)
	}
	// A weak hold on the directions: a straight without vertices keeps its own.
	e1, e2 := f.a1-ev.a1, f.a2-ev.a2
	sse += ev.ridge * (e1*e1 + e2*e2)
	f.normal[5] += ev.ridge
	f.normal[9] += ev.ridge
	grad[2] += ev.ridge * e1
	grad[3] += ev.ridge * e2
	f.normal[0] += 1e-9
	f.normal[2] += 1e-9
	return sse
}

// add puts one row into the lower triangle, row by row.
func (f *shape) add(d *[4]float64, e float64, grad *[4]float64) {
	n := &f.normal
	n[0] += d[0] * d[0]
	n[1] += d[1] * d[0]
	n[2] += d[1] * d[1]
	grad[0] += d[0] * e
	grad[1] += d[1] * e
	if d[2] == 0 && d[3] == 0 {
		return
	}
	n[3] += d[2] * d[0]
	n[4] += d[2] * d[1]
	n[5] += d[2] * d[2]
	n[6] += d[3] * d[0]
	n[7] += d[3] * d[1]
	n[8] += d[3] * d[2]
	n[9] += d[3] * d[3]
	grad[2] += d[2] * e
	grad[3] += d[3] * e
}

// solve gives the step against the gradient, by Cholesky; ok is false where the
// matrix is not positive.
func solve(n *[10]float64, damp float64, grad *[4]float64) (step [4]float64, ok bool) {
	var l [4][4]float64
	k := 0
	for i := range 4 {
		for j := 0; j <= i; j++ {
			s := n[k]
			if i == j {
				s *= 1 + damp
			}
			k++
			for m := range j {
				s -= l[i][m] * l[j][m]
			}
			if i != j {
				l[i][j] = s / l[j][j]
				continue
			}
			if !(s > 0) {
				return step, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	var y [4]float64
	for i := range 4 {
		s := -grad[i]
		for m := range i {
			s -= l[i][m] * y[m]
		}
		y[i] = s / l[i][i]
	}
	for i := 3; i >= 0; i-- {
		s := y[i]
		for m := i + 1; m < 4; m++ {
			s -= l[m][i] * step[m]
		}
		step[i] = s / l[i][i]
	}
	return step, true
}

// enough is the share of the squares whose loss ends the search for the best.
const enough = 1e-3

// settle moves centre and directions to the least squares for the radius and
// easement that the shape has.
func (ev *evidence) settle(f *shape, rounds int) bool {
	var grad [4]float64
	f.refresh()
	f.sse = ev.accumulate(f, &grad)
	damp := 1e-6
	for range rounds {
		step, ok := solve(&f.normal, damp, &grad)
		if !ok {
			damp = max(damp*100, 1e-3)
			continue
		}
		g := *f
		// A step of more than half a radian leaves what the linear form holds for.
		if w := max(math.Abs(step[2]), math.Abs(step[3])); w > 0.5 {
			for j := range step {
				step[j] *= 0.5 / w
			}
		}
		g.cx, g.cy, g.a1, g.a2 = f.cx+step[0], f.cy+step[1], f.a1+step[2], f.a2+step[3]
		g.refresh()
		var gg [4]float64
		g.sse = ev.accumulate(&g, &gg)
		if !(g.sse <= f.sse) {
			damp = max(damp*30, 1e-3)
			continue
		}
		done := f.sse-g.sse < enough*(g.sse+ev.floor)
		*f, grad = g, gg
		damp /= 10
		if done {
			break
		}
	}
	return !math.IsNaN(f.sse)
}
