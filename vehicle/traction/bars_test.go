package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// Reference note on vehicle mechanics, section 2: 28 t pulling 90 kN ahead of
// 112 t pulling 260 kN on one grade leave 20.0 kN on the bar, on the level as on
// 8 %.
func TestBarForceWorked(t *testing.T) {
	for _, grade := range []float64{0, 0.08} {
		a, c := traction.Body{MassKg: 28e3, GradeRatio: grade, Roll: 0.015, PullN: 90e3}, traction.Body{MassKg: 112e3, GradeRatio: grade, Roll: 0.015, PullN: 260e3}
		near(t, "bar", traction.BarForce(a, c), 20e3, 1e-6)
	}
}

func body(r *rapid.T, name string) traction.Body {
	return traction.Body{MassKg: rapid.Float64Range(1e4, 2e5).Draw(r, name+" mass"), GradeRatio: rapid.Float64Range(-0.25, 0.3).Draw(r, name+" grade"),
		Roll: rapid.Float64Range(0, 0.1).Draw(r, name+" roll"), PullN: rapid.Float64Range(-2e5, 4e5).Draw(r, name+" pull")}
}

// On one grade and ground the bar's force hangs on the pulls alone; where the
// grade changes and nobody pulls it is m_a m_c g (s_c - s_a)/(m_a + m_c); and with
// it both bodies have one acceleration.
func TestBarForce(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a, c := body(r, "ahead"), body(r, "behind")
		weight := (a.MassKg + c.MassKg) * vehicle.G
		force := traction.BarForce(a, c)
		front := (a.PullN - force - a.ResistN()) / a.MassKg
		rear := (c.PullN + force - c.ResistN()) / c.MassKg
		if d := math.Abs(front-rear) / vehicle.G; d > 1e-9 {
			r.Errorf("accelerations apart by %g g", d)
		}
		if d := math.Abs(a.PullN+c.PullN-a.ResistN()-c.ResistN()-a.MassKg*front-c.MassKg*rear) / weight; d > 1e-9 {
			r.Errorf("forces off by %g of the weight", d)
		}
		same := c
		same.GradeRatio, same.Roll = a.GradeRatio, a.Roll
		want := (a.PullN*c.MassKg - c.PullN*a.MassKg) / (a.MassKg + c.MassKg)
		if d := math.Abs(traction.BarForce(a, same)-want) / weight; d > 1e-9 {
			r.Errorf("on one grade off by %g of the weight", d)
		}
		a.PullN, c.PullN, a.Roll, c.Roll = 0, 0, 0, 0
		sin := func(g float64) float64 { return math.Sin(math.Atan(g)) }
		want = a.MassKg * c.MassKg * vehicle.G * (sin(c.GradeRatio) - sin(a.GradeRatio)) / (a.MassKg + c.MassKg)
		if d := math.Abs(traction.BarForce(a, c)-want) / weight; d > 1e-9 {
			r.Errorf("where the grade changes off by %g of the weight", d)
		}
	})
}

// Several bodies: two are BarForce; and each body's forces close.
func TestBarForces(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		bodies := []traction.Body{body(r, "one"), body(r, "two"), body(r, "three"), body(r, "four")}
		mass, over := 0.0, 0.0
		for _, b := range bodies {
			mass, over = mass+b.MassKg, over+b.PullN-b.ResistN()
		}
		f := append(append([]float64{0}, traction.BarForces(bodies)...), 0)
		for i, b := range bodies {
			if d := math.Abs(b.PullN+f[i]-f[i+1]-b.ResistN()-b.MassKg*over/mass) / (mass * vehicle.G); d > 1e-9 {
				r.Errorf("body %d off by %g of the weight", i, d)
			}
		}
		if d := math.Abs(traction.BarForces(bodies[:2])[0]-traction.BarForce(bodies[0], bodies[1])) / (mass * vehicle.G); d > 1e-9 {
			r.Errorf("two bodies off by %g of the weight", d)
		}
	})
}

// The same force as the statics of the coupled train.
func TestBarForceIsThatOfTheStatics(t *testing.T) {
	h, c := make1(t, helper(40000)), make1(t, trainA.spec())
	pair := couple(t, h, c, 0)
	rapid.Check(t, func(r *rapid.T) {
		grade, f := rapid.Float64Range(-0.2, 0.25).Draw(r, "grade"), rapid.Float64Range(0, 0.05).Draw(r, "f")
		fa, fc := rapid.Float64Range(0, 2e5).Draw(r, "helper"), rapid.Float64Range(0, 3e5).Draw(r, "train")
		a, b := traction.Body{h.GrossKg, grade, f, fa}, traction.Body{c.GrossKg, grade, f, fc}
		accel := (fa + fc - a.ResistN() - b.ResistN()) / (h.GrossKg + c.GrossKg) / vehicle.G
		s := pair.StaticsWith(grade, f, accel, []float64{fa, fc, 0})
		if d := math.Abs(s.HitchH[1]-traction.BarForce(a, b)) / (pair.GrossKg * vehicle.G); d > 1e-9 {
			r.Errorf("statics %g N, formula %g N", s.HitchH[1], traction.BarForce(a, b))
		}
	})
}

// ends rates the couplings between a train and a helper behind it, kN.
func ends(t *testing.T, pushKN, holdKN float64, rope bool) *vehicle.Combination {
	t.Helper()
	a, h := trainA.spec(), helper(40000)
	for _, s := range []*vehicle.Spec{&a, &h} {
		for i := range s.Units {
			for k := range s.Units[i].Axles {
				s.Units[i].Axles[k].Braked = p(true)
			}
		}
	}
	a.Units[0].Brakes, a.Units[1].Brakes = &vehicle.BrakeSpec{ServiceKN: p(20.0)}, &vehicle.BrakeSpec{ServiceKN: p(20.0)}
	a.Units[1].Rear = &vehicle.EndSpec{PushKN: &pushKN, HoldKN: &holdKN}
	h.Units[0].Front = &vehicle.EndSpec{PushKN: &pushKN, HoldKN: &holdKN}
	c, err := vehicle.CoupleBehind(make1(t, a), make1(t, h), vehicle.Bar{LengthM: 3, HeightM: 0.9, Rope: rope})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// A helper behind pushes as much as the couplings are rated for and no more, and
// through a rope not at all.
func TestPushing(t *testing.T) {
	const mu, f = 0.3, 0.02
	alone := traction.Climb(make1(t, trainA.spec()), mu, f).GradeRatio
	strong, weak, rope := traction.Climb(ends(t, 300, 300, false), mu, f), traction.Climb(ends(t, 20, 300, false), mu, f), traction.Climb(ends(t, 300, 300, true), mu, f)
	if !(strong.GradeRatio > weak.GradeRatio && weak.GradeRatio > alone) || weak.Decides != traction.BarPull {
		t.Errorf("climbs %g alone, %g pushed with 20 kN (%s), %g with 300", alone, weak.GradeRatio, weak.Decides, strong.GradeRatio)
	}
	// 20 kN more on the train: its own limit, and what that carries. The bar moves
	// load on the train's wheels, so only nearly.
	lift := 20e3 / (112e3 * vehicle.G)
	near(t, "gain of 20 kN", weak.GradeRatio-alone, lift, 0.15*lift)
	if math.Abs(rope.GradeRatio-alone) > 1e-3 {
		t.Errorf("climbs %g with a rope behind, alone %g", rope.GradeRatio, alone)
	}
}

// Holding back likewise: 40 kN of brakes on 112 t, and what the bar passes on.
func TestHoldingBack(t *testing.T) {
	const mu, f = 0.5, 0.01
	grade := func(n float64) float64 {
		return math.Tan(math.Asin(n/(112e3*vehicle.G)/math.Sqrt(1+f*f)) + math.Atan(f))
	}
	alone := grade(40e3)
	for _, holdKN := range []float64{15, 30} {
		l := traction.Brake(ends(t, 100, holdKN, false), mu, f)
		near(t, "held", l.GradeRatio, grade(40e3+1000*holdKN), 1e-6)
		if !(l.GradeRatio > alone) {
			t.Errorf("%g held, alone %g", l.GradeRatio, alone)
		}
	}
	if rope, bar := traction.Brake(ends(t, 100, 30, true), mu, f), traction.Brake(ends(t, 100, 30, false), mu, f); rope.GradeRatio != bar.GradeRatio {
		t.Error("a rope holds back as well as a bar")
	}
}

// A helper ahead holds nothing back where nobody rated the couplings for a push.
func TestNotHeldFromAhead(t *testing.T) {
	h, a := helper(40000), trainA.spec()
	for i := range h.Units[0].Axles {
		h.Units[0].Axles[i].Braked, a.Units[0].Axles[i].Braked = p(true), p(true)
	}
	a.Units[0].Brakes = &vehicle.BrakeSpec{ServiceKN: p(40.0)}
	alone, pair := traction.Brake(make1(t, a), 0.5, 0.01), traction.Brake(couple(t, make1(t, h), make1(t, a), 300e3), 0.5, 0.01)
	near(t, "held", pair.GradeRatio, alone.GradeRatio, 1e-6)
	// The helper's brakes are strong without bound: what counts is finite.
	near(t, "force", pair.EffortN, pair.NeedN, 1)
}
