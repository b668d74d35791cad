package vehicle_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"

	"pgregory.net/rapid"
)

// rated gives the ends of a train and of a helper their ratings, kN; 0 for none.
func rated(s vehicle.Spec, rear bool, pushKN, holdKN float64) vehicle.Spec {
	e := &vehicle.EndSpec{HeightM: p(0.9)}
	if pushKN > 0 {
		e.PushKN = &pushKN
	}
	if holdKN > 0 {
		e.HoldKN = &holdKN
	}
	s.Units = append([]vehicle.UnitSpec(nil), s.Units...)
	if rear {
		s.Units[len(s.Units)-1].Rear = e
	} else {
		s.Units[0].Front = e
	}
	return s
}

// A helper behind weighs on no axle of the train, stands behind all of it, and
// the bar carries no more than the weaker of the two couplings.
func TestCoupleBehind(t *testing.T) {
	train, h := make1(t, rated(trainA.spec(), true, 120, 150)), make1(t, rated(helper(40000), false, 100, 200))
	c, err := vehicle.CoupleBehind(train, h, vehicle.Bar{LengthM: 3, HeightM: 0.9, RatedN: 400e3})
	if err != nil {
		t.Fatal(err)
	}
	k := len(train.Units)
	if u := c.Units[k]; !u.ByBar || u.BarPushN != 100e3 || u.BarRatedN != 150e3 || c.Kind != "transporter" {
		t.Errorf("bar pushes %g, holds %g, kind %s", u.BarPushN, u.BarRatedN, c.Kind)
	}
	last := train.Axles[len(train.Axles)-1]
	// Rear overhang 4.0 m, bar 3 m, front overhang 1.5 m.
	near(t, "foremost axle of the helper", c.Axles[len(train.Axles)].AtM, last.AtM+4+3+1.5, 1e-9)
	near(t, "length", c.LengthM, train.LengthM+3+h.LengthM, 1e-9)
	alone, both := train.Statics(0, 0, 0), c.Statics(0, 0, 0)
	for i := range alone.AxleN {
		near(t, "axle", both.AxleN[i], alone.AxleN[i], 1e-6)
	}
	rope, err := vehicle.CoupleBehind(train, h, vehicle.Bar{LengthM: 3, HeightM: 0.9, Rope: true})
	if err != nil || rope.Units[k].BarPushN != 0 {
		t.Errorf("a rope pushes: %v", err)
	}
}

// Where the files rate nothing the error names the field that would.
func TestCoupleBehindUnrated(t *testing.T) {
	for _, c := range []struct {
		train, helper vehicle.Spec
		want          string
	}{
		{trainA.spec(), helper(40000), "units[1].rear_coupling.push_kn of A"},
		{rated(trainA.spec(), true, 100, 0), helper(40000), "units[0].front_coupling.push_kn of helper"},
		{rated(trainA.spec(), true, 100, 0), rated(helper(40000), false, 0, 100), "units[0].front_coupling.push_kn of helper"},
	} {
		_, err := vehicle.CoupleBehind(make1(t, c.train), make1(t, c.helper), vehicle.Bar{LengthM: 3, HeightM: 0.9})
		if !errors.Is(err, vehicle.ErrUnrated) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %s", err, c.want)
		}
	}
	if a := make1(t, trainA.spec()); a.Lacks(vehicle.SecondTow) != "units[1].rear_coupling.push_kn" {
		t.Errorf("lacks %q", a.Lacks(vehicle.SecondTow))
	}
	if a := make1(t, rated(trainA.spec(), true, 100, 100)); a.Lacks(vehicle.SecondTow) != "" {
		t.Errorf("lacks %q though rated", a.Lacks(vehicle.SecondTow))
	}
	if _, _, err := vehicle.New(rated(trainA.spec(), true, 1e9, 0)); err == nil || !strings.Contains(err.Error(), "units[1].rear_coupling.push_kn") {
		t.Errorf("a push of a million meganewtons: %v", err)
	}
}

// Forces and moments close with a helper at either end, or at both.
func TestBehindCloses(t *testing.T) {
	bar := vehicle.Bar{LengthM: 3, HeightM: 0.9}
	train, h := make1(t, rated(trainA.spec(), true, 200, 200)), make1(t, rated(helper(40000), false, 200, 200))
	behind, err := vehicle.CoupleBehind(train, h, bar)
	if err != nil {
		t.Fatal(err)
	}
	both, err := vehicle.Couple(make1(t, helper(28000)), behind, bar)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(r *rapid.T) {
		for _, c := range []*vehicle.Combination{behind, both} {
			grade, f, a := rapid.Float64Range(-0.2, 0.25).Draw(r, "grade"), rapid.Float64Range(0, 0.05).Draw(r, "f"), rapid.Float64Range(-0.02, 0.02).Draw(r, "a")
			s := c.Statics(grade, f, a)
			cos, weight := 1/math.Sqrt(1+grade*grade), c.GrossKg*vehicle.G
			sum := 0.0
			for _, n := range s.AxleN {
				sum += n
			}
			if d := (sum - weight*cos) / weight; math.Abs(d) > 1e-9 {
				r.Errorf("normal forces off by %g of the weight", d)
			}
			pull := 0.0
			for _, n := range s.TractionN {
				pull += n
			}
			if d := (pull - weight*(grade*cos+a+f*cos)) / weight; math.Abs(d) > 1e-9 {
				r.Errorf("forces along off by %g of the weight", d)
			}
			// The last unit: bar, its own pull and its own weight.
			k := len(c.Units) - 1
			need := c.Units[k].MassKg*vehicle.G*(grade*cos+a) + f*(s.GroupN[k][0]+s.GroupN[k][1])
			if d := (s.HitchH[k] + s.TractionN[k] - need) / weight; math.Abs(d) > 1e-9 {
				r.Errorf("forces on the helper behind off by %g of the weight", d)
			}
		}
	})
}
