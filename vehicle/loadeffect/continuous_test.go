package loadeffect_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle/loadeffect"
)

func beam(t testing.TB, spans ...float64) *loadeffect.Beam {
	t.Helper()
	b, err := loadeffect.NewBeam(spans...)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func point(p float64) loadeffect.Train {
	return loadeffect.Train{AtM: []float64{0}, LoadN: []float64{p}}
}

// Handbook coefficients of two equal spans: a load at midspan 0.2031 PL there (13/64);
// largest support moment 0.0962 PL (1/(6 sqrt 3)); uniform load 0.125 wL2 over the
// support, end reaction 3/8, inner shear 5/8. Three equal spans: 0.1 wL2, 0.08 wL2,
// 0.4 and 0.6 wL.
func TestCoefficients(t *testing.T) {
	b := beam(t, 20, 20)
	if got := b.MomentAt(point(1), 0, 10, 10) / 20; math.Abs(got-13.0/64) > 1e-12 {
		t.Errorf("midspan %g PL", got)
	}
	e := b.Effects(point(1))
	near(t, "support", e.HogNm/20, 1/(6*math.Sqrt(3)))
	near(t, "shear", e.ShearN, 1)
	if got := e.SagNm / 20; got < 0.2074 || got > 0.2075 {
		t.Errorf("largest sagging %g PL, handbook 0.2074", got)
	}
	u := b.Uniform(1)
	near(t, "uniform hog", u.HogNm/400, 0.125)
	near(t, "uniform sag", u.SagNm/400, 9.0/128)
	near(t, "uniform end", u.EndShearN/20, 0.375)
	near(t, "uniform shear", u.ShearN/20, 0.625)
	u = beam(t, 20, 20, 20).Uniform(1)
	near(t, "three hog", u.HogNm/400, 0.1)
	near(t, "three sag", u.SagNm/400, 0.08)
	near(t, "three end", u.EndShearN/20, 0.4)
	near(t, "three shear", u.ShearN/20, 0.6)
}

// One span of a Beam is a simple beam.
func TestOneSpan(t *testing.T) {
	for _, l := range []float64{4, 12, 30} {
		e, s := beam(t, l).Effects(demo()), loadeffect.Simple(demo(), l)
		if math.Abs(e.SagNm/s.MomentNm-1) > 1e-4 || math.Abs(e.EndShearN/s.ShearN-1) > 1e-9 || e.HogNm != 0 {
			t.Errorf("%g m: %+v, simple %+v", l, e, s)
		}
	}
	if _, err := loadeffect.NewBeam(10, -1); !errors.Is(err, loadeffect.ErrSpans) {
		t.Error(err)
	}
}

// differences solves EI w”” = q with w = 0 at the supports on equal steps and
// gives the moments at the nodes for loads at nodes.
func differences(n int, h float64, supports map[int]bool, load map[int]float64) []float64 {
	// Unknown moments are -w''; unknown w at nodes. Pinned ends: w and w'' nought.
	a := make([][]float64, n+1)
	for i := range a {
		a[i] = make([]float64, n+2)
		if supports[i] {
			a[i][i] = 1
			continue
		}
		for k, c := range []float64{1, -4, 6, -4, 1} {
			switch j := i + k - 2; {
			case j == -1: // odd about a pinned end
				a[i][1] -= c
			case j == n+1:
				a[i][n-1] -= c
			default:
				a[i][j] += c
			}
		}
		a[i][n+1] = load[i] * h * h * h
	}
	for c := range n + 1 { // elimination with pivoting
		p := c
		for r := c + 1; r <= min(n, c+4); r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		for r := c + 1; r <= n; r++ {
			if a[r][c] == 0 {
				continue
			}
			f := a[r][c] / a[c][c]
			for k := c; k < n+2; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	w := make([]float64, n+1)
	for i := n; i >= 0; i-- {
		w[i] = a[i][n+1]
		for k := i + 1; k <= n; k++ {
			w[i] -= a[i][k] * w[k]
		}
		w[i] /= a[i][i]
	}
	m := make([]float64, n+1)
	for i := 1; i < n; i++ {
		m[i] = -(w[i-1] - 2*w[i] + w[i+1]) / h / h
	}
	return m
}

// Agreement with finite differences, unequal spans, on several places of a train of
// three axles.
func TestAgainstFiniteDifferences(t *testing.T) {
	tr := loadeffect.Train{AtM: []float64{0, 4, 6}, LoadN: []float64{1, 2, 1.5}}
	for _, spans := range [][]float64{{12, 18}, {10, 16, 12}} {
		b, h, total := beam(t, spans...), 0.1, 0.0
		supports := map[int]bool{0: true}
		for _, l := range spans {
			total += l
			supports[int(math.Round(total/h))] = true
		}
		n := int(math.Round(total / h))
		for _, front := range []float64{8, 11, 17, 25, 29} {
			load := map[int]float64{}
			for k, x := range tr.AtM {
				load[int(math.Round((front-x)/h))] += tr.LoadN[k]
			}
			m := differences(n, h, supports, load)
			for _, at := range []struct {
				span  int
				x     float64
				start float64
			}{{0, 5, 0}, {1, 0, spans[0]}, {1, 8, spans[0]}} {
				got := b.MomentAt(tr, at.span, at.x, front)
				want := m[int(math.Round((at.start+at.x)/h))]
				if math.Abs(got-want) > 0.01 {
					t.Errorf("%v, front at %g, span %d at %g: %g, differences %g", spans, front, at.span, at.x, got, want)
				}
			}
		}
	}
}

// Nothing that rolling in small steps finds is above the exact extremes.
func TestEffectsAgainstRolling(t *testing.T) {
	b := beam(t, 14, 20, 11)
	e := b.Effects(demo())
	sag, hog := 0.0, 0.0
	for front := 0.0; front < 63; front += 0.1 {
		for k, l := range []float64{14, 20, 11} {
			for i := range 21 {
				m := b.MomentAt(demo(), k, l*float64(i)/20, front)
				sag, hog = max(sag, m), max(hog, -m)
			}
		}
	}
	if e.SagNm < sag || e.SagNm > 1.01*sag || e.HogNm < hog*(1-1e-9) || e.HogNm > 1.002*hog {
		t.Errorf("%+v; rolling found %g and %g", e, sag, hog)
	}
}
