package check_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// fifthWheelBehind is the sample train with its fifth wheel behind the rear
// axle group: light in front.
func fifthWheelBehind(t *testing.T) *check.Setup {
	return setup(t, check.Settings{}, func(s *vehicle.Spec) {
		*s.Units[0].Hitch.AtM = 7
		unrated(s)
	})
}

// highBehind is the sample train with a kingpin far behind the rear axles and
// heavily loaded: going down it takes the front off the road.
func highBehind(t *testing.T) *check.Setup {
	return setup(t, check.Settings{}, func(s *vehicle.Spec) {
		*s.Units[0].Hitch.AtM, *s.Units[0].Hitch.HeightM = 7.2, 0.6
		*s.Units[1].Load.CGHeightM, s.Units[1].Load.TopHeightM = 5, nil
		unrated(s)
	})
}

func unrated(s *vehicle.Spec) {
	for i := range s.Units {
		for k := range s.Units[i].Axles {
			s.Units[i].Axles[k].RatedKg = nil
		}
	}
}

// A climb on which the front axle group carries nothing never passes, and the
// chance is that of the lifting grade with the error of where the load stands.
func TestFrontLiftIsNoPass(t *testing.T) {
	set := fifthWheelBehind(t)
	su, _ := traction.DefaultTable().Named("asphalt", traction.Dry)
	l := traction.Climb(set.Train, su.Mu.Design.V, su.Roll.Design.V)
	if l.Decides != traction.Lift {
		t.Fatalf("decided by %s", l.Decides)
	}
	for _, d := range []float64{l.GradeRatio - 0.001, l.GradeRatio + 0.001, l.GripGrade - 0.01} {
		fs := run(onRamp(t, set, d, straight(asphalt, 500)...))
		if w := worstOf(fs, "climb"); w == check.Pass {
			t.Errorf("at %.4f (lifts at %.4f): passes", d, l.GradeRatio)
		}
	}
	fs := of(run(onRamp(t, set, l.GripGrade-0.01, straight(asphalt, 500)...)), "climb")
	if len(fs) != 1 || fs[0].Outcome != check.Fail {
		t.Errorf("far beyond the lift: %+v", fs)
	}
}

// The same lift asked of the sample train itself is nowhere near: nothing of
// this check speaks on any grade it climbs.
func TestNoUpliftOnTheSample(t *testing.T) {
	set := setup(t, check.Settings{})
	for g := -0.25; g <= 0.25; g += 0.05 {
		if fs := of(run(onRamp(t, set, g, straight(asphalt, 300)...)), "uplift"); len(fs) != 0 {
			t.Errorf("at %.2f: %+v", g, fs)
		}
	}
}

// Steering is a question from the floor on, however light, and unverified.
func TestSteerFloorAsks(t *testing.T) {
	set := fifthWheelBehind(t)
	tilt := traction.TiltOf(set.Train, 0.01)
	fs := of(run(onRamp(t, set, tilt.SteerUp+0.02, straight(asphalt, 300)...)), "uplift")
	if len(fs) == 0 || fs[0].Outcome != check.NotLooked || !fs[0].Unverified || !math.IsNaN(fs[0].P) {
		t.Errorf("steers up to %.4f; findings %+v", tilt.SteerUp, fs)
	}
}

// An axle passes only when its rating holds with the error of the masses.
func TestRatingCountsTheMassError(t *testing.T) {
	for _, c := range []struct {
		halfKg float64 // of the 63 t load, 95 %
		want   check.Outcome
	}{{630, check.Pass}, {31000, check.Undecided}} {
		set := setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[1].Load.MassErrorKg = &c.halfKg })
		if got := worstOf(run(onRamp(t, set, 0, straight(asphalt, 300)...)), "rating"); got != c.want {
			t.Errorf("+-%.0f kg: %v, want %v", c.halfKg, got, c.want)
		}
	}
}
