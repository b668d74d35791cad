package profile_test

import (
	"math"
	"testing"

	"drawbar/route/profile"
)

// A form over a ramp has the error of its grade times how far the form lies on
// it: a grade across the foot of the ramp half of it.
func TestRampError(t *testing.T) {
	p := profile.Given(300, profile.Pitch{LengthM: 100}, profile.Pitch{LengthM: 200, GradeRatio: 0.1, SE: 0.01}, profile.Pitch{LengthM: 100})
	for _, c := range []struct{ at, grade, se float64 }{
		{50, 0, 0}, {100, 0.05, 0.005}, {200, 0.1, 0.01}, {300, 0.05, 0.005}, {350, 0, 0},
	} {
		g, se := p.At(c.at, []float64{-20, 20}, []float64{1.0 / 40, -1.0 / 40})
		if math.Abs(g-c.grade) > 1e-12 || math.Abs(se-c.se) > 1e-12 {
			t.Errorf("at %g: %g +- %g, want %g +- %g", c.at, g, se, c.grade, c.se)
		}
	}
	if z := p.ZM[len(p.ZM)-1]; math.Abs(z-320) > 1e-9 || math.Abs(p.LengthM()-400) > 1e-9 {
		t.Errorf("ends at %g m after %g m", z, p.LengthM())
	}
}
