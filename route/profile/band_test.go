package profile

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// dense is the same matrix written out.
func (b *band) dense() [][]float64 {
	out := make([][]float64, b.n)
	for i := range out {
		out[i] = make([]float64, b.n)
	}
	for i := range b.n {
		for k := 0; k <= min(i, b.p); k++ {
			v := b.at[i*(b.p+1)+k]
			out[i][i-k], out[i-k][i] = v, v
		}
	}
	return out
}

// gauss solves a x = r by elimination with pivoting: an independent answer.
func gauss(a [][]float64, r []float64) []float64 {
	n := len(r)
	for c := range n {
		piv := c
		for i := c; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[piv][c]) {
				piv = i
			}
		}
		a[c], a[piv], r[c], r[piv] = a[piv], a[c], r[piv], r[c]
		for i := c + 1; i < n; i++ {
			f := a[i][c] / a[c][c]
			for j := c; j < n; j++ {
				a[i][j] -= f * a[c][j]
			}
			r[i] -= f * r[c]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			r[i] -= a[i][j] * r[j]
		}
		r[i] /= a[i][i]
	}
	return r
}

// TestBandAgainstDense holds factor, solve, forward, logDet and quadratic
// against elimination on the written-out matrix.
func TestBandAgainstDense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 14).Draw(t, "n")
		p := rapid.IntRange(1, 5).Draw(t, "p")
		b := newBand(n, p)
		num := rapid.Float64Range(-1, 1)
		for i := range n {
			b.add(i, i, 2*float64(p)+1+num.Draw(t, "d")) // diagonally dominant
			for k := 1; k <= min(i, p); k++ {
				b.add(i, i-k, num.Draw(t, "o"))
			}
		}
		from := rapid.IntRange(0, n-1).Draw(t, "from")
		w := make([]float64, rapid.IntRange(1, n-from).Draw(t, "len"))
		full := make([]float64, n)
		for i := range w {
			w[i] = num.Draw(t, "w")
			full[from+i] = w[i]
		}
		rhs := append([]float64(nil), full...)
		want := gauss(b.dense(), append([]float64(nil), full...))
		wantQ := 0.0
		for i := range n {
			wantQ += full[i] * want[i]
		}
		if !b.factor() {
			t.Fatal("a dominant matrix was not factored")
		}
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-10*(1+math.Abs(want)) {
				t.Fatalf("%s: got %g, want %g (n %d, p %d)", what, got, want, n, p)
			}
		}
		near("quadratic", b.quadratic(from, append([]float64(nil), w...), b.tails()), wantQ)
		near("forward", b.forward(append([]float64(nil), full...)), wantQ)
		b.solve(rhs)
		for i := range n {
			near("solve", rhs[i], want[i])
		}
	})
}

func TestNotPositive(t *testing.T) {
	b := newBand(2, 1)
	b.add(0, 0, 1)
	b.add(1, 1, 1)
	b.add(1, 0, 2)
	if b.factor() {
		t.Error("an indefinite matrix was factored")
	}
}

// TestLogProduct: the logarithm of a product far beyond the range of float64.
func TestLogProduct(t *testing.T) {
	var l logProduct
	want := 0.0
	for i := range 3000 {
		x := math.Exp(float64(i%7) - 2.5)
		l.times(x)
		want += math.Log(x)
	}
	if math.Abs(l.log()-want) > 1e-8*math.Abs(want) {
		t.Errorf("got %.10g, want %.10g", l.log(), want)
	}
}

// TestDevianceAgainstDense holds the marginal likelihood against the density of
// y written out: y = z + e with z = z0 + sum g d. The flat first height leaves
// a constant, so differences between two thetas are compared.
func TestDevianceAgainstDense(t *testing.T) {
	c := &chain{at: []float64{0, 8, 20, 31, 40, 55, 63}, corrM: 40}
	ys := []float64{0.2, -0.4, 1.1, 2.3, 1.9, 3.0, 2.2}
	c.y = ys
	for i := range ys {
		c.seen = append(c.seen, i)
		c.src = append(c.src, 0)
		c.sd = append(c.sd, 1.3*(1+0.2*float64(i))) // a hillside that steepens
	}
	a := newBand(len(ys), c.bandwidth())
	r := make([]float64, len(ys))
	t1, t2 := theta{0.03, 150, 0.7}, theta{0.09, 60, 1.4}
	got := c.deviance(t1, a, r) - c.deviance(t2, a, r)
	want := denseDeviance(c, t1) - denseDeviance(c, t2)
	if math.Abs(got-want) > 1e-4 {
		t.Errorf("difference of deviance %.6f, dense %.6f", got, want)
	}
}

// denseDeviance is -2 log N(y; 0, Cz + Ce + big 11') with a nearly flat z0.
func denseDeviance(c *chain, t theta) float64 {
	n := len(c.y)
	const flat = 1e7
	cov := make([][]float64, n)
	d, mid := make([]float64, n-1), make([]float64, n-1)
	for i := range d {
		d[i] = c.at[i+1] - c.at[i]
		mid[i] = (c.at[i+1] + c.at[i]) / 2
	}
	for i := range n {
		cov[i] = make([]float64, n)
		for j := range n {
			v := flat
			for k := range i {
				for l := range j {
					// The model steps its correlation from middle to middle.
					v += d[k] * d[l] * t.gradeSD * t.gradeSD * math.Exp(-math.Abs(mid[k]-mid[l])/t.gradeM)
				}
			}
			cov[i][j] = v + t.scale*c.sd[i]*t.scale*c.sd[j]*math.Exp(-math.Abs(c.at[i]-c.at[j])/c.corrM)
		}
	}
	// Cholesky for the determinant, elimination for the form.
	det := 0.0
	l := make([][]float64, n)
	for i := range n {
		l[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			v := cov[i][j]
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(v)
				det += 2 * math.Log(l[i][i])
			} else {
				l[i][j] = v / l[j][j]
			}
		}
	}
	x := gauss(cov, append([]float64(nil), c.y...))
	q := 0.0
	for i := range n {
		q += c.y[i] * x[i]
	}
	return det + q
}
