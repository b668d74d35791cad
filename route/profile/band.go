package profile

// band is a symmetric positive definite matrix of n rows with p bands below
// the diagonal, stored by rows: at[i*(p+1)+k] holds the element (i, i-k).
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

// solve solves L D L' x = r in place, after factor.
func (b *band) solve(r []float64) {
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

// quadratic gives w' A^-1 w for weights that are zero before row from and
// after row to; w is indexed from 0 = row from and must have room to grow (it
// is used as working space). Rows beyond to are followed until what they add
// is below 1e-12 of the sum.
func (b *band) quadratic(from, to int, w []float64, scratch []float64) (float64, []float64) {
	wid := b.p + 1
	y := scratch[:0]
	q := 0.0
	quiet := 0
	for i := from; i < b.n; i++ {
		v := 0.0
		if i <= to {
			v = w[i-from]
		}
		row := b.at[i*wid : i*wid+wid]
		for k := 1; k <= min(i-from, b.p); k++ {
			v -= row[k] * y[i-from-k]
		}
		y = append(y, v)
		add := v * v / row[0]
		q += add
		if i > to {
			if add < 1e-12*q {
				quiet++
			} else {
				quiet = 0
			}
			if quiet > 2*b.p+4 {
				break
			}
		}
	}
	return q, y
}
