package check_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
)

// The same sign means the same over a tunnel and on the open road.
func TestHeightOnTheRoad(t *testing.T) {
	set := setup(t, check.Settings{})
	h := set.Train.HeightM
	for _, over := range []float64{0.05, 0.5} {
		road, tunnel := straight(asphalt, 100, 60, 100), straight(asphalt, 100, 60, 100)
		road[1].tags.MaxHeightM = limit(h + over)
		tunnel[1].tags.MaxHeightM, tunnel[1].tags.Tunnel = limit(h+over), "yes"
		a, b := worstOf(run(onRamp(t, set, 0, road...)), "posting"), worstOf(run(onRamp(t, set, 0, tunnel...)), "overhead")
		if a != b || (a == check.Pass) != (over > 0.3) {
			t.Errorf("%.2f m over us: %v on the road, %v in a tunnel", over, a, b)
		}
	}
}

// What is asked for must pass when it is given: the closing value closes.
func TestClosingValuesClose(t *testing.T) {
	set := setup(t, check.Settings{})
	for _, c := range []struct {
		check, name string
		ask, give   func(*route.Tags, float64)
	}{
		{"bridge", "classneed", func(t *route.Tags, v float64) { t.Bridge = "yes" }, func(t *route.Tags, v float64) { t.Bridge, t.ClassWheeled = "yes", limit(v) }},
		{"bridge", "grossneed", func(t *route.Tags, v float64) { t.Bridge = "yes" }, func(t *route.Tags, v float64) { t.Bridge, t.MaxMassKg = "yes", limit(v) }},
		{"overhead", "need", func(t *route.Tags, v float64) { t.Tunnel = "yes" }, func(t *route.Tags, v float64) { t.Tunnel, t.MaxHeightM = "yes", limit(v) }},
	} {
		legs := straight(asphalt, 100, 60, 100)
		c.ask(&legs[1].tags, 0)
		f := of(run(onRamp(t, set, 0, legs...)), c.check)[0]
		want := quantity(t, f, c.name)
		legs = straight(asphalt, 100, 60, 100)
		c.give(&legs[1].tags, want.Value*(1+1e-9))
		if got := worstOf(run(onRamp(t, set, 0, legs...)), c.check); got != check.Pass {
			t.Errorf("%s: given the %s of %g it asked for, it is %v", c.check, c.name, want.Value, got)
		}
	}
}

// TestKnowingLessIsNoBetter: an untagged surface never does better than any of
// the surfaces it may be.
func TestKnowingLessIsNoBetter(t *testing.T) {
	set := setup(t, check.Settings{})
	for g := 0.02; g < 0.3; g += 0.004 {
		untagged := worstOf(run(onRamp(t, set, g, straight(route.Tags{Mapped: true, Tracktype: "grade3"}, 900)...)), "climb")
		for _, su := range []string{"compacted", "gravel", "earth"} {
			tagged := worstOf(run(onRamp(t, set, g, straight(route.Tags{Mapped: true, Surface: su}, 900)...)), "climb")
			if untagged == check.Pass && tagged != check.Pass {
				t.Fatalf("%.3f: untagged passes, %s is %v", g, su, tagged)
			}
			if untagged == check.Fail && tagged != check.Fail {
				t.Fatalf("%.3f: untagged fails, %s is %v", g, su, tagged)
			}
		}
	}
}

// TestAltitude: an engine without turbocharger loses effort high up; one with
// it does not. Source of the factor: earthmoving handbooks, 3 % per 1000 ft
// above 2500 ft (read); at 4000 m 0.68.
func TestAltitude(t *testing.T) {
	weak := func(turbo bool) func(*vehicle.Spec) {
		return func(s *vehicle.Spec) { weakEngine(s); *s.Units[0].Power.Turbo = turbo }
	}
	at := func(turbo bool, z float64) check.Outcome {
		set := setup(t, check.Settings{}, weak(turbo))
		g := mastered(t, set, "concrete").ClimbPass - 0.004
		hills := func(y float64) float64 { return z + g*y }
		return worstOf(run(onHills(t, set, hills, straight(route.Tags{Mapped: true, Surface: "concrete"}, 600)...)), "climb")
	}
	if low, high, boosted := at(false, 100), at(false, 4000), at(true, 4000); low != check.Pass || high == check.Pass || boosted != check.Pass {
		t.Errorf("at 100 m %v, at 4000 m %v, with turbocharger %v", low, high, boosted)
	}
}
