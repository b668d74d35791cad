package verdict_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/verdict"
)

// The checks say the same of a hill as of an exact ramp of its grade: one chain.
func TestHillIsTheRamp(t *testing.T) {

	j := judge(t, load(t, "transporter-112t.yaml"), false, nil)
	for _, grade := range []float64{0.02, 0.12, 0.16, 0.2, 0.3} {
		res, err := j.Hill(verdict.Hill{GradeRatio: grade, LengthM: 400, Tags: route.Tags{Surface: "asphalt"}})
		if err != nil {
			t.Fatal(err)
		}
		i := res.Weakest(route.Stretch{FromM: 0, ToM: res.Way.LengthM()})
		c := res.Situation.Climb(i)
		if math.Abs(c.Grade-grade) > 1e-9 || c.GradeSE > 1e-12 {
			t.Fatalf("grade under the train %g +- %g, want %g", c.Grade, c.GradeSE, grade)
		}
		outcome := check.Pass
		for _, f := range res.Findings {
			if f.Check == "climb" && !f.Standing {
				outcome = max(outcome, f.Outcome)
			}
		}
		if outcome != c.Outcome {
			t.Errorf("%g: the check says %v, the strength %v", grade, outcome, c.Outcome)
		}
		if want := c.Pass >= grade; (outcome == check.Pass) != want {
			t.Errorf("%g: %v, sure up to %g", grade, outcome, c.Pass)
		}
		if math.Abs(c.NeedN-c.GradeN-c.RollN) > 1e-6 || math.Abs(math.Max(c.NeedN-c.HaveN, 0)-c.MissingN) > 1e-6 {
			t.Errorf("%g: needed %g of %g and %g, there is %g, missing %g", grade, c.NeedN, c.GradeN, c.RollN, c.HaveN, c.MissingN)
		}
	}
}

// An error of the grade counts like one of the raster.
func TestHillError(t *testing.T) {

	j := judge(t, load(t, "transporter-112t.yaml"), false, nil)
	res, err := j.Hill(verdict.Hill{GradeRatio: 0.1, GradeSE: 0.01, LengthM: 400, Tags: route.Tags{Surface: "asphalt"}})
	if err != nil {
		t.Fatal(err)
	}
	if c := res.Situation.Climb(res.Weakest(route.Stretch{FromM: 0, ToM: 500})); math.Abs(c.GradeSE-0.01) > 1e-9 {
		t.Errorf("standard error of the grade under the train %g, want 0.01", c.GradeSE)
	}
}
