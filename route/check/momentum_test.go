package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
)

// A run is counted only where somebody asks, carries over short stretches only,
// and says what it needs where it does not suffice.
func TestMomentum(t *testing.T) {
	fast := check.Settings{MomentumMS: 40 / 3.6}
	plain, runs := setup(t, check.Settings{}), setup(t, fast)
	on := func(set *check.Setup, grade, hillM float64) []check.Finding {
		return of(run(hills(t, set, []string{"earth"}, []float64{grade}, []float64{0.0005}, hillM)), "climb")
	}
	steep := mastered(t, plain, "earth").ClimbPass + 0.005
	if fs := on(plain, steep, 30); len(fs) != 1 || fs[0].Outcome != check.Undecided || strings.Contains(fs[0].Say, "run") {
		t.Fatalf("not asked for: %+v", fs)
	}
	fs := on(runs, steep, 30)
	if len(fs) != 1 || fs[0].Outcome != check.Caution || !strings.Contains(fs[0].Do, "do not change down") {
		t.Fatalf("30 m: %+v", fs)
	}
	entry, reach := quantity(t, fs[0], "entry").Value, quantity(t, fs[0], "reach").Value
	if !(entry > 0 && entry <= reach && reach <= 40/3.6+1e-9) {
		t.Errorf("needs %g m/s, reaches %g", entry, reach)
	}
	if more := on(runs, steep+0.005, 30); len(more) != 1 || quantity(t, more[0], "entry").Value <= entry {
		t.Errorf("steeper: %+v", more)
	}
	long := on(runs, steep+0.05, 400)
	if len(long) != 1 || long[0].Outcome == check.Caution || !strings.Contains(long[0].Say, "no run at up to {fastest}") || !math.IsInf(quantity(t, long[0], "entry").Value, 1) {
		t.Errorf("400 m: %+v", long)
	}
	// Where a start inside fails for sure the measure says what a stop means.
	stuck := setup(t, fast, func(s *vehicle.Spec) { *s.Units[0].Power.StartTorqueNm = 950 })
	if fs := on(stuck, steep, 30); len(fs) != 1 || !strings.Contains(fs[0].Do, "means being stuck") {
		t.Errorf("no start inside: %+v", fs)
	}
	// Ice leaves no wide margin at 25 km/h.
	ice := setup(t, check.Settings{Weather: "ice", MomentumMS: 25 / 3.6})
	for _, f := range of(run(onRamp(t, ice, 0.06, straight(route.Tags{Mapped: true, Surface: "asphalt"}, 300)...)), "climb") {
		if f.Outcome == check.Caution {
			t.Errorf("a run on ice: %+v", f)
		}
	}
}
