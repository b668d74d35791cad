package vehicle_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle"

	"pgregory.net/rapid"
)

// A train reloaded is the train that a file with that load makes: masses,
// centres of gravity and axle loads.
func TestReload(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kg, back := rapid.Float64Range(1000, 70000).Draw(r, "kg"), rapid.Float64Range(-1, 1).Draw(r, "back")
		s := trainA.spec()
		c, _, err := vehicle.New(s)
		if err != nil {
			r.Fatal(err)
		}
		got, err := c.Reload(1, kg, back)
		if err != nil {
			r.Fatal(err)
		}
		s.Units[1].Load.MassKg = &kg
		x := *s.Units[1].Load.CGXM + back
		s.Units[1].Load.CGXM = &x
		want, _, err := vehicle.New(s)
		if err != nil {
			r.Skip(err)
		}
		for k := range want.Axles {
			if math.Abs(got.Axles[k].Kg-want.Axles[k].Kg) > 1e-6 {
				r.Errorf("axle %d carries %g, from a file %g", k+1, got.Axles[k].Kg, want.Axles[k].Kg)
			}
		}
		if a, b := got.Units[1], want.Units[1]; math.Abs(got.GrossKg-want.GrossKg) > 1e-6 || math.Abs(got.GrossSEKg-want.GrossSEKg) > 1e-6 || math.Abs(a.CGHM-b.CGHM) > 1e-9 || math.Abs(a.CGYM-b.CGYM) > 1e-9 {
			r.Errorf("got %+v\nwant %+v", a, b)
		}
	})
}

// A load moved until the kingpin lifts is refused with the support's name.
func TestReloadLifts(t *testing.T) {
	c, _, err := vehicle.New(trainA.spec())
	if err != nil {
		t.Fatal(err)
	}
	var lift *vehicle.LiftError
	if _, err := c.Reload(1, 63000, 6); !errors.As(err, &lift) || lift.Support != "kingpin of low-bed" {
		t.Errorf("%v", err)
	}
	if _, err := c.Reload(0, 100, 0); err == nil {
		t.Error("a tractor without load was reloaded")
	}
}

// Ballast over the rear group of the tractor adds driven load by its own mass.
func TestBallast(t *testing.T) {
	c, _, err := vehicle.New(trainA.spec())
	if err != nil {
		t.Fatal(err)
	}
	b, err := c.Ballast(0, 5000, c.Units[0].GroupXM[1], 1.5)
	if err != nil {
		t.Fatal(err)
	}
	was, is := c.Statics(0, 0, 0), b.Statics(0, 0, 0)
	if d := (is.GroupN[0][1] - was.GroupN[0][1]) / vehicle.G; math.Abs(d-5000) > 1e-6 || b.GrossKg != c.GrossKg+5000 {
		t.Errorf("rear group gains %g kg, gross %g", d, b.GrossKg-c.GrossKg)
	}
}

// Without its load a train is the train of a file without it: outline, what is
// asked and what is assumed.
func TestReloadEmpty(t *testing.T) {
	s := trainA.spec()
	l, u := s.Units[1].Load, &s.Units[1]
	for i := range s.Units {
		s.Units[i].WidthM, s.Units[i].HeightM, s.Units[i].FrontOverhangM, s.Units[i].RearOverhangM = new(2.9), new(3.2), new(1.2), new(1.0)
	}
	l.TopHeightM, l.WidthM, l.FrontOverhangM, l.RearOverhangM = new(4.3), new(3.6), new(0.4), new(0.7)
	c := make1(t, s)
	got, err := c.Reload(1, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	u.Load = nil
	want := make1(t, s)
	if got.WidthM != want.WidthM || got.HeightM != want.HeightM || got.HeightSEM != 0 || got.LengthM != want.LengthM || c.WidthM != 3.6 || c.HeightM != 4.3 || !(c.HeightSEM > 0) {
		t.Errorf("empty %g x %g x %g m (+-%g), by a file %g x %g x %g; loaded %g x %g", got.LengthM, got.WidthM, got.HeightM, got.HeightSEM, want.LengthM, want.WidthM, want.HeightM, c.WidthM, c.HeightM)
	}
	if len(got.Lacking) != len(want.Lacking) || len(got.Assumed) != len(want.Assumed) {
		t.Errorf("asks %v and assumes %v; by a file %v and %v", got.Lacking, got.Assumed, want.Lacking, want.Assumed)
	}
}
