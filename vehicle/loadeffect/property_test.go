package loadeffect_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/vehicle/loadeffect"

	"pgregory.net/rapid"
)

func drawTrain(t *rapid.T) (tr loadeffect.Train) {
	x := 0.0
	for i := range rapid.IntRange(1, 20).Draw(t, "axles") {
		if i > 0 {
			x += rapid.Float64Range(0.5, 12).Draw(t, "gap")
		}
		tr.AtM, tr.LoadN = append(tr.AtM, x), append(tr.LoadN, rapid.Float64Range(1e3, 2e5).Draw(t, "load"))
	}
	return tr
}

// brute rolls the train over the span in small steps.
func brute(t loadeffect.Train, l float64) (m, v float64) {
	n := len(t.AtM)
	for i := range 2001 {
		front := (l + t.AtM[n-1]) * float64(i) / 2000
		left := 0.0
		for k, x := range t.AtM {
			if p := front - x; p >= 0 && p <= l {
				left += t.LoadN[k] * (l - p) / l
			}
		}
		v = max(v, left)
		for j := range t.AtM {
			s := front - t.AtM[j]
			if s < 0 || s > l {
				continue
			}
			at := left * s
			for k, x := range t.AtM {
				if p := front - x; p >= 0 && p < s {
					at -= t.LoadN[k] * (s - p)
				}
			}
			m = max(m, at)
		}
	}
	return m, v
}

func TestSimpleProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr, l := drawTrain(t), rapid.Float64Range(1, 80).Draw(t, "span")
		e := loadeffect.Simple(tr, l)
		m, v := brute(tr, l)
		step := (l + tr.AtM[len(tr.AtM)-1]) / 2000
		total := 0.0
		for _, p := range tr.LoadN {
			total += p
		}
		if e.MomentNm < m*(1-1e-9) || e.ShearN < v*(1-1e-9) {
			t.Fatalf("%+v under what rolling found, %g and %g", e, m, v)
		}
		if e.MomentNm > m+total*step || e.ShearN > v+total*step/l+1e-6 && v < e.ShearN-total*step/l-maxOf(tr.LoadN) {
			t.Fatalf("%+v over what rolling found, %g and %g", e, m, v)
		}
		r := loadeffect.Simple(tr.Reversed(), l)
		near(t, "reversed", r.MomentNm, e.MomentNm)
		near(t, "reversed", r.ShearN, e.ShearN)
		twice := loadeffect.Train{AtM: tr.AtM}
		closer := loadeffect.Train{LoadN: tr.LoadN}
		for i := range tr.AtM {
			twice.LoadN, closer.AtM = append(twice.LoadN, 2*tr.LoadN[i]), append(closer.AtM, 0.9*tr.AtM[i])
		}
		near(t, "twice", loadeffect.Simple(twice, l).MomentNm, 2*e.MomentNm)
		if longer := loadeffect.Simple(tr, 1.1*l); longer.MomentNm < e.MomentNm || longer.ShearN < e.ShearN {
			t.Fatal("a longer span has less")
		}
		if c := loadeffect.Simple(closer, l); c.MomentNm < e.MomentNm*(1-1e-12) {
			t.Fatal("closer axles have less")
		}
		one := loadeffect.Simple(loadeffect.Train{AtM: []float64{0}, LoadN: []float64{total}}, l)
		near(t, "lone axle", one.MomentNm, total*l/4)
		near(t, "lone axle", one.ShearN, total)
	})
}

func maxOf(v []float64) (m float64) {
	for _, x := range v {
		m = max(m, x)
	}
	return m
}

func near(t interface{ Fatalf(string, ...any) }, what string, got, want float64) {
	if math.Abs(got-want) > 1e-9*math.Abs(want) {
		t.Fatalf("%s: %g, want %g", what, got, want)
	}
}

// A patch is the limit of many small axles.
func TestPatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := loadeffect.Patch{LoadN: 6e5, LengthM: rapid.Float64Range(1, 8).Draw(t, "length")}
		l := rapid.Float64Range(1, 40).Draw(t, "span")
		e, a := p.Simple(l), loadeffect.Simple(p.Axles(60), l)
		if math.Abs(a.MomentNm/e.MomentNm-1) > 0.02*max(1, p.LengthM/l) || math.Abs(a.ShearN/e.ShearN-1) > 0.02*max(1, p.LengthM/l) {
			t.Fatalf("%+v, by axles %+v", e, a)
		}
	})
}

func FuzzReadReferences(f *testing.F) {
	const head = "name,axles_kn,gaps_m,lane_kn_m,lane_moment_kn,lane_shear_kn,together,dynamics,lanes,standing,source\n"
	f.Add(head + "a,2x100,1.5,0,0,0,no,no,1,given,me\n")
	f.Add(head + "a,100000x1,,0,0,0,no,no,1,given,me\n")
	f.Add("")
	f.Fuzz(func(t *testing.T, s string) {
		rs, err := loadeffect.ReadReferences(strings.NewReader(s))
		for _, r := range rs {
			if e := r.Simple(20); err == nil && !(e.MomentNm >= 0 && e.ShearN >= 0) {
				t.Errorf("%s: %+v", r.Name, e)
			}
		}
	})
}

func TestEmbeddedData(t *testing.T) {
	for _, r := range loadeffect.References() {
		if r.Source == "" || r.Lanes != 1 {
			t.Errorf("%+v", r)
		}
		if r.Dynamics != (r.Name == "LM1") {
			t.Errorf("%s: dynamics %v", r.Name, r.Dynamics)
		}
	}
}

var sink loadeffect.Effect

// BenchmarkSimple: a 20-axle train on one span, to be under 50 microseconds.
func BenchmarkSimple(b *testing.B) {
	t := loadeffect.Train{}
	for i := range 20 {
		t.AtM, t.LoadN = append(t.AtM, 1.4*float64(i)), append(t.LoadN, 1e5+float64(i))
	}
	for b.Loop() {
		sink = loadeffect.Simple(t, 40)
	}
}
