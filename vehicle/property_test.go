package vehicle_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"drawbar/vehicle"
)

// anyTrain draws a tractor and semi-trailer that stands on all its wheels.
func anyTrain(r *rapid.T) *vehicle.Combination {
	f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(r, name) }
	t := trainA
	t.tractorKg = f("tractor", 12000, 30000)
	t.frontKg = t.tractorKg * f("front share", 0.45, 0.65)
	t.tractorCGH, t.hitchH = f("tractor height", 0.8, 1.6), f("hitch height", 1.0, 1.7)
	t.tareX, t.tareH = f("tare x", 5, 9), f("tare height", 0.7, 1.3)
	t.loadKg, t.loadX, t.loadH = f("load", 5000, 70000), f("load x", 6, 10), f("load height", 1.3, 3)
	c, _, err := vehicle.New(t.spec())
	if err != nil {
		r.Fatal(err)
	}
	return c
}

// Source: reference note, section 10: force sums and moments close.
func TestForcesClose(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := anyTrain(r)
		if rapid.Bool().Draw(r, "coupled") {
			var err error
			if c, err = vehicle.Couple(make1(t, helper(28000)), c, vehicle.Bar{LengthM: 3, HeightM: rapid.Float64Range(0.3, 1.5).Draw(r, "bar")}); err != nil {
				r.Fatal(err)
			}
		}
		grade := rapid.Float64Range(-0.3, 0.3).Draw(r, "grade")
		s := c.Statics(grade, rapid.Float64Range(0, 0.2).Draw(r, "f"), rapid.Float64Range(-0.1, 0.1).Draw(r, "a"))
		sum := 0.0
		for _, n := range s.AxleN {
			sum += n
		}
		w := c.GrossKg * vehicle.G
		if d := sum - w/math.Sqrt(1+grade*grade); math.Abs(d) > 1e-9*w {
			r.Errorf("normal loads miss the weight by %g N", d)
		}
		if m := trainMoment(c, s); math.Abs(m) > 1e-9*w*c.LengthM {
			r.Errorf("moment left %g N m", m)
		}
		if math.Abs(s.ResidualN) > 1e-9*w {
			r.Errorf("residual %g N", s.ResidualN)
		}
	})
}

// Source: same: need rises with grade; raising the trailer's centre of gravity
// above the fifth wheel lowers the kingpin load on a climb; at the height of
// the fifth wheel the kingpin load follows the cosine alone.
func TestKingpinLoad(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		base := trainA
		base.tareH = base.hitchH
		base.loadH = base.hitchH
		grade := rapid.Float64Range(0.01, 0.3).Draw(r, "grade")
		flat := make1(t, base.spec()).Statics(0, 0, 0).HitchV[1]
		s := make1(t, base.spec()).Statics(grade, 0, 0)
		if d := s.HitchV[1] - flat/math.Sqrt(1+grade*grade); math.Abs(d) > 1e-6 {
			r.Errorf("kingpin load off its cosine by %g N", d)
		}
		base.loadH += rapid.Float64Range(0.05, 1.5).Draw(r, "raised")
		if higher := make1(t, base.spec()).Statics(grade, 0, 0); higher.HitchV[1] >= s.HitchV[1] {
			r.Errorf("a higher load does not lower the kingpin load: %g then %g", s.HitchV[1], higher.HitchV[1])
		}
		if steeper := make1(t, base.spec()).Statics(grade+0.01, 0, 0); steeper.NeedN <= s.NeedN {
			r.Errorf("need does not rise with grade")
		}
	})
}

// Two units coupled weigh what they weigh; order of building does not matter
// for a second helper.
func TestCoupleTwice(t *testing.T) {
	a := make1(t, trainA.spec())
	h1, h2 := make1(t, helper(28000)), make1(t, helper(40000))
	bar := vehicle.Bar{LengthM: 3, HeightM: 0.9}
	once, err := vehicle.Couple(h1, a, bar)
	if err != nil {
		t.Fatal(err)
	}
	left, err := vehicle.Couple(h2, once, bar)
	if err != nil {
		t.Fatal(err)
	}
	both, err := vehicle.Couple(h2, h1, bar)
	if err != nil {
		t.Fatal(err)
	}
	right, err := vehicle.Couple(both, a, bar)
	if err != nil {
		t.Fatal(err)
	}
	x, y := left.Statics(0.1, 0.02, 0), right.Statics(0.1, 0.02, 0)
	for k := range x.AxleN {
		near(t, "axle load", x.AxleN[k], y.AxleN[k], 1e-5)
	}
	near(t, "length", left.LengthM, right.LengthM, 1e-9)
}
