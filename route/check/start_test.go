package check_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
)

func slowStart(s *vehicle.Spec) { *s.Units[0].Power.StartTorqueNm = 250 }

func TestStart(t *testing.T) {
	earth := route.Tags{Mapped: true, Surface: "earth"}
	concrete := route.Tags{Mapped: true, Surface: "concrete"}
	ford := earth
	ford.Ford = "yes"
	between := func(set *check.Setup) float64 { // climbs for sure, may not start
		m := mastered(t, set, "earth")
		return (m.ClimbPass + m.StartPass) / 2
	}
	plain, weak := setup(t, check.Settings{}), setup(t, check.Settings{}, slowStart)
	longStop := setup(t, check.Settings{ShortStopM: 1000})
	legs := func(middle route.Tags, lengthM float64) []leg {
		l := straight(concrete, 200, lengthM, 200)
		l[1].tags = middle
		return l
	}
	steep := mastered(t, plain, "earth").ClimbPass + 0.01
	for _, c := range []struct {
		name  string
		set   *check.Setup
		grade float64
		legs  []leg
		want  check.Outcome
	}{
		{"short stretch", plain, between(plain), legs(earth, 150), check.Caution},
		{"long stretch", plain, between(plain), legs(earth, 600), check.Undecided},
		{"long stretch, longer allowed", longStop, between(plain), legs(earth, 600), check.Caution},
		{"short stretch with a ford to stop at", plain, between(plain), legs(ford, 150), check.Undecided},
		{"long stretch, hardly any torque at rest", weak, 0.06, legs(concrete, 600), check.Fail},
		{"level", plain, 0, legs(earth, 600), check.Pass},
		{"the climb itself is not sure", plain, steep, straight(earth, 600), check.Pass},
	} {
		fs := run(onRamp(t, c.set, c.grade, c.legs...))
		if got := worstOf(fs, "start"); got != c.want {
			t.Errorf("%s at %.3f: %v, want %v", c.name, c.grade, got, c.want)
		}
		for _, f := range of(fs, "start") {
			if f.Outcome == check.Caution && (f.Do == "" || f.Remedy != check.NoRemedy) {
				t.Errorf("%s: a caution needs its measure and no helper: %+v", c.name, f)
			}
		}
	}
}

// Where the climb already says no, start says nothing more.
func TestStartKeepsQuietWhereTheClimbFails(t *testing.T) {
	set := setup(t, check.Settings{})
	fs := run(onRamp(t, set, 0.45, straight(asphalt, 500)...))
	if worstOf(fs, "climb") != check.Fail || len(of(fs, "start")) != 0 {
		t.Errorf("climb %v, start %v", of(fs, "climb"), of(fs, "start"))
	}
}
