package profile

import "math"

// band is a symmetric positive definite matrix of n rows with p bands below
// the diagonal, stored by rows: at[i*(p+1)+k] holds the element (i, i-k).
// p is at least 1.
type band struct {
	n, p int
	at   []float64
}

func newBand(n, p int) *band {
	return &band{n: n, p: p, at: make([]float64, n*(p+1))}
}

func (b *band) clear() { clear(b.at) }

// add adds v to the element (i, j), i >= j, i-j <= p.
func (b *band) add(i, j int, v float64) { b.at[i*(b.p+1)+i-j] += v }

// factor replaces the matrix by its factors L D L', D on the diagonal, the
// unit diagonal of L left out. It reports false when the matrix is not
// positive definite to working precision.
func (b *band) factor() bool {
	if b.p == 2 {
		return b.factor2()
	}
	w := b.p + 1
	for i := 0; i < b.n; i++ {
		row := b.at[i*w : i*w+w]
		lo := max(0, i-b.p)
		for j := lo; j < i; j++ {
			rj := b.at[j*w : j*w+w]
			sum := row[i-j]
			for k := max(lo, j-b.p); k < j; k++ {
				sum -= row[i-k] * rj[j-k]
			}
			row[i-j] = sum // still times D(j)
		}
		d := row[0]
		for j := lo; j < i; j++ {
			l := row[i-j] / b.at[j*w]
			d -= row[i-j] * l
			row[i-j] = l
		}
		if !(d > 0) {
			return false
		}
		row[0] = d
	}
	return true
}

// factor2 is factor with two bands, which is what a chain observed at every
// node has: half the time of the general one.
func (b *band) factor2() bool {
	d1, d2, l1 := 1.0, 1.0, 0.0 // D one and two rows before, L(i-1, i-2)
	for at := b.at; len(at) >= 3; at = at[3:] {
		u2 := at[2]
		u1 := at[1] - u2*l1
		l2 := u2 / d2
		l1 = u1 / d1
		d := at[0] - u1*l1 - u2*l2
		if !(d > 0) {
			return false
		}
		at[0], at[1], at[2] = d, l1, l2
		d2, d1 = d1, d
	}
	return true
}

// solve solves L D L' x = r in place, after factor.
func (b *band) solve(r []float64) {
	if b.p == 2 {
		b.forward(r)
		x1, x2, l1, l2 := 0.0, 0.0, 0.0, 0.0 // x(i+1), x(i+2), L(i+1, i), L(i+2, i)
		next1 := 0.0                         // L(i+1, i-1), the l2 of the row before
		for i := b.n - 1; i >= 0; i-- {
			row := b.at[3*i : 3*i+3]
			x := r[i]/row[0] - l1*x1 - l2*x2
			r[i] = x
			x2, x1 = x1, x
			l2, l1, next1 = next1, row[1], row[2]
		}
		return
	}
	w := b.p + 1
	for i := range b.n {
		row := b.at[i*w : i*w+w]
		for k := 1; k <= min(i, b.p); k++ {
			r[i] -= row[k] * r[i-k]
		}
	}
	for i := range b.n {
		r[i] /= b.at[i*w]
	}
	for i := b.n - 1; i >= 0; i-- {
		for k := 1; k <= min(b.n-1-i, b.p); k++ {
			r[i] -= b.at[(i+k)*w+k] * r[i+k]
		}
	}
}

// forward solves L y = r in place, after factor, and returns sum(y^2/D), which
// is r' A^-1 r.
func (b *band) forward(r []float64) (q float64) {
	if b.p == 2 {
		y1, y2 := 0.0, 0.0
		at := b.at
		for i := range r {
			row := at[3*i : 3*i+3]
			v := r[i] - row[1]*y1 - row[2]*y2
			r[i] = v
			q += v * v / row[0]
			y2, y1 = y1, v
		}
		return q
	}
	w := b.p + 1
	for i := range b.n {
		row := b.at[i*w : i*w+w]
		v := r[i]
		for k := 1; k <= min(i, b.p); k++ {
			v -= row[k] * r[i-k]
		}
		r[i] = v
		q += v * v / row[0]
	}
	return q
}

// logDet is the logarithm of the determinant, after factor. Logarithms are
// taken of products, not of every factor: they cost more than all the rest.
func (b *band) logDet() float64 {
	w := b.p + 1
	var l logProduct
	for i := range b.n {
		l.times(b.at[i*w])
	}
	return l.log()
}

// logProduct is the logarithm of a product of many positive numbers.
type logProduct struct{ sum, prod float64 }

func (l *logProduct) times(x float64) {
	if l.prod == 0 {
		l.prod = 1
	}
	if l.prod *= x; l.prod > 1e200 || l.prod < 1e-200 {
		l.sum += math.Log(l.prod)
		l.prod = 1
	}
}

func (l *logProduct) log() float64 {
	if l.prod == 0 {
		return l.sum
	}
	return l.sum + math.Log(l.prod)
}

// tails gives for every row i the p by p matrix M (row by row, newest first)
// with which the last p values y of a forward substitution that has no
// right-hand side after i add y' M y to the sum(y^2/D) of the rows after i. So
// the variance of a linear form costs its own width, not the whole chain.
func (b *band) tails() []float64 {
	if b.p == 2 {
		return b.tails2()
	}
	p, w := b.p, b.p+1
	m := make([]float64, b.n*p*p)
	for i := b.n - 2; i >= 0; i-- {
		// y(i+1) = -sum L(i+1, i+1-k) y(i+1-k); then the state shifts by one.
		row := b.at[(i+1)*w : (i+1)*w+w]
		next := m[(i+1)*p*p : (i+2)*p*p]
		here := m[i*p*p : (i+1)*p*p]
		c := next[0] + 1/row[0]
		for j := range p {
			lj := -row[j+1]
			for k := 0; k <= j; k++ {
				v := c * lj * -row[k+1]
				if k+1 < p {
					v += lj * next[k+1]
				}
				if j+1 < p {
					v += -row[k+1] * next[j+1]
					v += next[(j+1)*p+k+1]
				}
				here[j*p+k], here[k*p+j] = v, v
			}
		}
	}
	return m
}

// quadratic gives w' A^-1 w for weights on the rows from .. from+len(w)-1; w is
// overwritten. tails are those of the factored matrix.
func (b *band) quadratic(from int, w, tails []float64) (q float64) {
	wid, p := b.p+1, b.p
	for i := range w {
		row := b.at[(from+i)*wid : (from+i)*wid+wid]
		v := w[i]
		for k := 1; k <= min(i, p); k++ {
			v -= row[k] * w[i-k]
		}
		w[i] = v
		q += v * v / row[0]
	}
	last := len(w) - 1
	m := tails[(from+last)*p*p : (from+last+1)*p*p]
	for j := 0; j < p && j <= last; j++ {
		for k := 0; k < p && k <= last; k++ {
			q += w[last-j] * m[j*p+k] * w[last-k]
		}
	}
	return q
}

// tails2 is tails with two bands.
func (b *band) tails2() []float64 {
	m := make([]float64, 4*b.n)
	m00, m01, m11 := 0.0, 0.0, 0.0
	for i := b.n - 2; i >= 0; i-- {
		row := b.at[3*i+3 : 3*i+6]
		l1, l2 := row[1], row[2]
		c := m00 + 1/row[0]
		m00, m01, m11 = c*l1*l1-2*l1*m01+m11, c*l1*l2-l2*m01, c*l2*l2
		here := m[4*i : 4*i+4]
		here[0], here[1], here[2], here[3] = m00, m01, m01, m11
	}
	return m
}
