package check_test

import (
	"math"
	"strings"
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

// frontLoaded is the sample train with its kingpin behind the rear axles and the
// load forward: going down on the trailer's brakes it takes the front off the
// road at 12.8 %.
func frontLoaded(t *testing.T) *check.Setup {
	return setup(t, check.Settings{}, func(s *vehicle.Spec) {
		*s.Units[0].Hitch.AtM, *s.Units[1].Load.CGXM = 7, 7
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
	fs := of(run(onRamp(t, set, tilt.SteerUp.GradeRatio+0.02, straight(asphalt, 300)...)), "uplift")
	if len(fs) == 0 || fs[0].Outcome != check.NotLooked || !fs[0].Unverified || !math.IsNaN(fs[0].P) {
		t.Errorf("steers up to %.4f; findings %+v", tilt.SteerUp.GradeRatio, fs)
	}
}

// An axle passes only when its rating holds with the errors of the masses and of
// where the load stands: a rating of a seventieth above the load is not sure.
func TestRatingCountsTheErrors(t *testing.T) {
	for over, want := range map[float64]check.Outcome{200: check.Undecided, 1500: check.Pass} {
		set := setup(t, check.Settings{}, func(s *vehicle.Spec) {
			c, _, err := vehicle.New(*s)
			if err != nil {
				t.Fatal(err)
			}
			for k := range c.Axles[:4] {
				*s.Units[0].Axles[k].RatedKg = c.Axles[k].Kg + over
			}
		})
		if got := worstOf(run(onRamp(t, set, 0, straight(asphalt, 300)...)), "rating"); got != want {
			t.Errorf("rated %.0f kg above the load: %v, want %v", over, got, want)
		}
	}
}

// Going down, a lifting front fails and says so; near the bound it asks.
func TestLiftGoingDown(t *testing.T) {
	set := frontLoaded(t)
	for grade, want := range map[float64]check.Outcome{-0.3: check.Fail, -0.125: check.Undecided} {
		lifts := false
		for _, f := range of(run(onRamp(t, set, grade, straight(asphalt, 400)...)), "uplift") {
			if strings.Contains(f.Say, "going down steeper than") {
				lifts = f.Outcome == want
			}
		}
		if !lifts {
			t.Errorf("at %g no lift with outcome %v", grade, want)
		}
	}
}

// A grade that rather shows an untagged bridge is asked about, not failed.
func TestUpliftBesideAGorge(t *testing.T) {
	s := onHills(t, frontLoaded(t), func(y float64) float64 {
		return -0.5 * (min(max(y-400, 0), 40) - min(max(y-460, 0), 40))
	}, straight(asphalt, 900)...)
	if w := worstOf(run(s), "uplift"); w == check.Fail {
		t.Error("fails where the height rather shows a bridge")
	}
}
