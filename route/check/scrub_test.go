package check_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle"
)

// In a tight bend the train climbs less by the scrub of its close groups: of the
// sample only the drive axles' group does not steer, with steering taken off the
// low-bed's lines too. Range from memory: reference note on vehicle mechanics,
// section 1.5.
func TestScrub(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*vehicle.Spec)
		tonnes float64 // on close groups that do not steer
	}{
		"steered lines": {func(*vehicle.Spec) {}, 26.84},
		"fixed lines":   {func(s *vehicle.Spec) { s.Units[1].Steering = nil }, 26.84 + 66.70},
	} {
		set := setup(t, check.Settings{}, c.change)
		straightOn := onRamp(t, set, 0.1, straight(asphalt, 400)...)
		round := onRamp(t, set, 0.1, leg{arc(30, math.Pi/2, 1), asphalt})
		n := len(round.Profile.ChainageM)
		less := straightOn.Climb(10).Design - round.Climb(n/2).Design
		if want := 0.0075 * c.tonnes / 112; math.Abs(less-want) > 1e-4 {
			t.Errorf("%s: climbs %.5f less in the bend, want %.5f", name, less, want)
		}
		if !round.Climb(n / 2).Unverified {
			t.Errorf("%s: scrub is from memory and does not say so", name)
		}
	}
}
