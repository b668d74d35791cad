package check_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle"
)

// A rating is of both sides: an axle that has lost one bears half of it, and a load
// off the middle is judged by the heavier side.
func TestRatingBySide(t *testing.T) {
	on := func(change func(*vehicle.Spec)) []check.Finding {
		return of(run(onRamp(t, setup(t, check.Settings{}, change), 0, straight(asphalt, 400)...)), "rating")
	}
	if fs := on(func(*vehicle.Spec) {}); len(fs) != 0 {
		t.Errorf("as it is: %+v", fs)
	}
	rated := func(s *vehicle.Spec) { // each line carries 9.53 t
		for k := range s.Units[1].Axles {
			*s.Units[1].Axles[k].RatedKg = 10500
		}
	}
	if fs := on(rated); len(fs) != 0 {
		t.Errorf("rated 10.5 t, whole: %+v", fs)
	}
	lost := func(s *vehicle.Spec) { rated(s); s.Units[1].Axles[3].SideMissing = "left" }
	fs := on(lost)
	if len(fs) != 1 || quantity(t, fs[0], "count").Value != 6 || quantity(t, fs[0], "side").Text != "left" {
		t.Fatalf("a lost side: %+v", fs)
	}
	set := setup(t, check.Settings{}, lost)
	f := set.Train.Statics(0, 0, 0)
	if want := f.SideN[4][vehicle.Left] / vehicle.G; math.Abs(quantity(t, fs[0], "half").Value-want) > 1e-6 || math.Abs(fs[0].Demand-2*want) > 1e-6 {
		t.Errorf("%+v, the left sides left carry %g", fs[0], want)
	}
	off := on(func(s *vehicle.Spec) { s.Units[1].Load.CGYM = new(0.30) })
	if len(off) != 1 || quantity(t, off[0], "side").Text != "left" {
		t.Errorf("0.30 m off the middle: %+v", off)
	}
}
