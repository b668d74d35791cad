package profile

import "math"

// local is a piece of a road: a block of neighbouring knots first..last whose
// heights are drawn, and up to two knots either side of it that stay. Nothing
// further away matters to the block: a curve ends half way to its neighbour.
type local struct {
	kn          [maxBlock + 4]knot
	h           [maxBlock + 4]float64
	m           int // knots held
	first, last int
	endL, endR  bool // the outermost knot is an end of the window
	from, to    int  // observations the block moves
}

const (
	maxBlock = 4 // heights drawn at once
	refits   = 1 // rounds of fitting: heights, then the curves they make
)

// take copies knots b0..b1 of the state and their surroundings; mid, if not
// nil, stands in for the block.
func (l *local) take(s *sampler, b0, b1 int, mid []knot) {
	lo, hi := max(b0-2, 0), min(b1+2, len(s.kn)-1)
	l.m = copy(l.kn[:], s.kn[lo:b0])
	l.first = l.m
	if mid == nil {
		mid = s.kn[b0 : b1+1]
	}
	l.m += copy(l.kn[l.m:], mid)
	l.last = l.m - 1
	l.m += copy(l.kn[l.m:], s.kn[b1+1:hi+1])
	l.endL, l.endR = lo == 0, hi == len(s.kn)-1
}

// curves sets the half lengths that depend on the block.
func (l *local) curves() {
	l.h[0], l.h[l.m-1] = 0, 0
	for i := max(l.first-1, 1); i <= min(l.last+1, l.m-2); i++ {
		l.h[i] = halfCurve(l.kn[:], i)
	}
}

// span finds the observations that the block moves, for the curves set.
func (l *local) span(d *evidence) {
	a, b := max(l.first-1, 0), min(l.last+1, l.m-1)
	l.from, l.to = l.kn[a].n, l.kn[b].n
	for x := l.kn[a].x - l.h[a]; l.from > 0 && d.s[l.from-1] > x && l.h[a] > 0; {
		l.from--
	}
	for x := l.kn[b].x + l.h[b]; l.to < len(d.s) && d.s[l.to] < x && l.h[b] > 0; {
		l.to++
	}
}

// normal is the law heights are drawn from: mean, and the lower factor of the
// precision.
type normal struct {
	d    int
	mean [maxBlock]float64
	l    [maxBlock][maxBlock]float64
}

// fit makes that law for the block: the exact one if curves had fixed lengths,
// which are set from the smoothed heights first and then from the fit. It does
// not look at the block's heights, so that it is the same on the way back.
// The heights of the block in l are overwritten.
func (s *sampler) fit(l *local) (f normal) {
	for i := l.first; i <= l.last; i++ {
		l.kn[i].v = s.guessAt(l.kn[i].x, l.kn[i].n)
	}
	l.curves()
	for i := max(l.first, 1); i <= min(l.last, l.m-2); i++ {
		l.kn[i].v -= l.change(i) * l.h[i] / 4
	}
	for range refits {
		l.curves()
		l.span(s.evidence)
		f = s.normalOf(l)
		for i := range f.d {
			l.kn[l.first+i].v = f.mean[i]
		}
	}
	return f
}

func (l *local) change(i int) float64 {
	k := l.kn[i-1 : i+2]
	return (k[2].v-k[1].v)/(k[2].x-k[1].x) - (k[1].v-k[0].v)/(k[1].x-k[0].x)
}

// basis writes, for the observations of the block's span and one either side,
// the weight of each drawn height into phi and observed less the road's fixed
// part into c. Entry 0 is the observation before the span.
func (s *sampler) basis(l *local, phi [][]float64, c []float64) {
	d := len(phi)
	p := max(l.first-2, 0)
	for k := l.from; k < l.to; {
		for l.kn[p+1].n <= k {
			p++
		}
		// In ramp p: weights of the four knots p-1..p+2 as a + b(s-x) + curves.
		a, b := &l.kn[p], &l.kn[p+1]
		inv := 1 / (b.x - a.x)
		h0, h1 := l.h[p], l.h[p+1]
		var con, lin, cu0, cu1 [maxBlock + 1]float64
		put := func(i int, cn, ln, c0, c1 float64) {
			if i < 0 || i >= l.m || (cn == 0 && ln == 0 && c0 == 0 && c1 == 0) {
				return
			}
			j, w := i-l.first, 1.0
			if j < 0 || j >= d {
				j, w = d, l.kn[i].v
			}
			con[j] += w * cn
			lin[j] += w * ln
			cu0[j] += w * c0
			cu1[j] += w * c1
		}
		var q0, q1 float64
		var i0, i1 float64
		if h0 > 0 {
			q0 = 1 / (4 * h0)
			i0 = q0 / (a.x - l.kn[p-1].x)
			put(p-1, 0, 0, i0, 0)
		}
		if h1 > 0 {
			q1 = 1 / (4 * h1)
			i1 = q1 / (l.kn[p+2].x - b.x)
			put(p+2, 0, 0, 0, i1)
		}
		put(p, 1, -inv, -i0-q0*inv, q1*inv)
		put(p+1, 0, inv, q0*inv, -i1-q1*inv)
		end := min(b.n, l.to)
		for ; k < end; k++ {
			t := s.s[k] - a.x
			u0, u1 := max(h0-t, 0), max(s.s[k]-b.x+h1, 0)
			u0 *= u0
			u1 *= u1
			o := k - l.from + 1
			for j, col := range phi {
				col[o] = con[j] + lin[j]*t + cu0[j]*u0 + cu1[j]*u1
			}
			c[o] = s.y[k] - (con[d] + lin[d]*t + cu0[d]*u0 + cu1[d]*u1)
		}
	}
}

// outside is observed less road at an observation next to the span: as in the
// state where no block can reach, else on the fixed tangent.
func (s *sampler) outside(l *local, k int) float64 {
	var a, b *knot
	if k < l.from {
		if l.first < 2 {
			return s.e[k]
		}
		a, b = &l.kn[l.first-2], &l.kn[l.first-1]
		if s.s[k] <= (a.x+b.x)/2 {
			return s.e[k]
		}
	} else {
		if l.last+2 >= l.m {
			return s.e[k]
		}
		a, b = &l.kn[l.last+1], &l.kn[l.last+2]
		if s.s[k] >= (a.x+b.x)/2 {
			return s.e[k]
		}
	}
	return s.y[k] - a.v - (b.v-a.v)*(s.s[k]-a.x)/(b.x-a.x)
}

// normalOf fits the heights of the block to the observations and the grades'
// spread, for curves of the lengths set.
func (s *sampler) normalOf(l *local) (f normal) {
	d := l.last - l.first + 1
	f.d = d
	phi, c := s.scratch[:d], s.scratch[maxBlock]
	n := l.to - l.from
	for j := range d {
		phi[j][0], phi[j][n+1] = 0, 0
	}
	if l.from > 0 {
		c[0] = s.outside(l, l.from-1)
	}
	s.basis(l, phi, c)
	last := n
	if l.to < len(s.s) {
		last = n + 1
		c[last] = s.outside(l, l.to)
	}
	var a [maxBlock][maxBlock]float64
	var r [maxBlock]float64
	s.squares(l.from, last, phi, c, &a, &r)
	w := 1 / (s.sigma * s.sigma)
	for i := range d {
		for j := range i + 1 {
			a[i][j] *= w
		}
		r[i] *= w
	}
	s.gradePull(l, &a, &r)
	f.factor(&a, &r)
	return f
}

// squares sums products of the whitened columns. Blocks of one to three knots,
// nearly all there are, have loops of their own.
func (s *sampler) squares(from, last int, phi [][]float64, c []float64, a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	rho, q := s.rho[from:from+last], s.q[from:from+last]
	switch len(phi) {
	case 1:
		a[0][0], r[0] = squares1(rho, q, phi[0], c)
	case 2:
		squares2(rho, q, phi[0], phi[1], c, a, r)
	case 3:
		squares3(rho, q, phi[0], phi[1], phi[2], c, a, r)
	default:
		squaresOf(rho, q, phi, c, a, r)
	}
}

func squares1(rho, q, x, c []float64) (xx, xc float64) {
	x, c = x[:len(rho)+1], c[:len(rho)+1]
	for k, p := range rho {
		f := q[k]
		u, v := (x[k+1]-p*x[k])*f, (c[k+1]-p*c[k])*f
		xx += u * u
		xc += u * v
	}
	return xx, xc
}

func squares2(rho, q, x, y, c []float64, a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	x, y, c, q = x[:len(rho)+1], y[:len(rho)+1], c[:len(rho)+1], q[:len(rho)]
	var xx, xy, yy, xc, yc float64
	for k, p := range rho {
		f := q[k]
		u, v, w := (x[k+1]-p*x[k])*f, (y[k+1]-p*y[k])*f, (c[k+1]-p*c[k])*f
		xx += u * u
		xy += u * v
		yy += v * v
		xc += u * w
		yc += v * w
	}
	a[0][0], a[1][0], a[1][1], r[0], r[1] = xx, xy, yy, xc, yc
}

func squares3(rho, q, x, y, z, c []float64, a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	n := len(rho)
	x, y, z, c, q = x[:n+1], y[:n+1], z[:n+1], c[:n+1], q[:n]
	var xx, xy, xz, yy, yz, zz, xc, yc, zc float64
	for k, p := range rho {
		f := q[k]
		u, v, t, w := (x[k+1]-p*x[k])*f, (y[k+1]-p*y[k])*f, (z[k+1]-p*z[k])*f, (c[k+1]-p*c[k])*f
		xx += u * u
		xy += u * v
		xz += u * t
		yy += v * v
		yz += v * t
		zz += t * t
		xc += u * w
		yc += v * w
		zc += t * w
	}
	a[0][0], a[1][0], a[1][1], a[2][0], a[2][1], a[2][2] = xx, xy, yy, xz, yz, zz
	r[0], r[1], r[2] = xc, yc, zc
}

func squaresOf(rho, q []float64, phi [][]float64, c []float64, a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	var w [maxBlock]float64
	for k := range rho {
		cw := (c[k+1] - rho[k]*c[k]) * q[k]
		for i := range phi {
			w[i] = (phi[i][k+1] - rho[k]*phi[i][k]) * q[k]
			for j := range i + 1 {
				a[i][j] += w[i] * w[j]
			}
			r[i] += w[i] * cw
		}
	}
}

// gradePull adds the spread of grades: without it a ramp that nobody observed
// would have no law.
func (s *sampler) gradePull(l *local, a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	sd := s.law.proposalSD()
	for p := max(l.first-1, 0); p <= min(l.last, l.m-2); p++ {
		run := l.kn[p+1].x - l.kn[p].x
		w := 1 / (sd * sd * run * run)
		i, j := p-l.first, p+1-l.first
		in0, in1 := i >= 0, j <= l.last-l.first
		if in0 {
			a[i][i] += w
		}
		if in1 {
			a[j][j] += w
		}
		switch {
		case in0 && in1:
			a[j][i] -= w
		case in0:
			r[i] += w * l.kn[p+1].v
		case in1:
			r[j] += w * l.kn[p].v
		}
	}
}

// factor turns precision and right-hand side into the law. Rounding is kept
// from making it singular.
func (f *normal) factor(a *[maxBlock][maxBlock]float64, r *[maxBlock]float64) {
	d := f.d
	for i := range d {
		for j := range i + 1 {
			v := a[i][j]
			for k := range j {
				v -= f.l[i][k] * f.l[j][k]
			}
			if i == j {
				f.l[i][i] = math.Sqrt(max(v, 1e-12*a[i][i], 1e-12))
			} else {
				f.l[i][j] = v / f.l[j][j]
			}
		}
	}
	for i := range d {
		v := r[i]
		for k := range i {
			v -= f.l[i][k] * f.mean[k]
		}
		f.mean[i] = v / f.l[i][i]
	}
	f.back(&f.mean)
}

// back solves L' x = x.
func (f *normal) back(x *[maxBlock]float64) {
	for i := f.d - 1; i >= 0; i-- {
		for k := i + 1; k < f.d; k++ {
			x[i] -= f.l[k][i] * x[k]
		}
		x[i] /= f.l[i][i]
	}
}

// density is the log density of the heights of the block kn.
func (f *normal) density(kn []knot) float64 {
	const halfLog2Pi = 0.918938533204672742 // log(2 pi)/2, exact to the last digit
	sum := 0.0
	det := 1.0
	for j := range f.d {
		u := 0.0 // row j of L' (v-mean)
		for i := j; i < f.d; i++ {
			u += f.l[i][j] * (kn[i].v - f.mean[i])
		}
		sum += u * u
		det *= f.l[j][j]
	}
	return math.Log(det) - sum/2 - float64(f.d)*halfLog2Pi
}

// draw sets the heights of the block kn and gives their log density.
func (f *normal) draw(kn []knot, norm func() float64) float64 {
	var u [maxBlock]float64
	for i := range f.d {
		u[i] = norm()
	}
	f.back(&u)
	for i := range f.d {
		kn[i].v = f.mean[i] + u[i]
	}
	return f.density(kn)
}
