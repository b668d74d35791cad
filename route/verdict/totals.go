package verdict

import (
	"math"

	"drawbar/route/check"
)

// Totals are figures of a route as a whole.
type Totals struct {
	ClimbM, DescentM float64 // sum of rises and of falls of the conditioned height, metres
	SteepestUp       float64 // steepest grade under the train, rise over run; NaN when none
	WithHeight       float64 // share of the length that has a height
	WithTags         float64 // share of the length whose source describes the way
	// Trip is time and fuel; nil when nobody asked.
	Trip *check.Trip
}

// Totals adds up a route.
func (res *Result) Totals() Totals {
	t := Totals{SteepestUp: math.NaN(), WithHeight: res.Profile.Covered(), WithTags: res.Looked.MappedM / res.Way.LengthM(), Trip: res.Trip}
	z := res.Profile.ZM
	for i := 1; i < len(z); i++ {
		switch d := z[i] - z[i-1]; {
		case d > 0:
			t.ClimbM += d
		case d < 0:
			t.DescentM -= d
		}
	}
	for _, g := range res.TrainGrade {
		if !(g <= t.SteepestUp) && !math.IsNaN(g) {
			t.SteepestUp = g
		}
	}
	return t
}

// Alone is the verdict that a finding gives where nothing puts a failure right.
func Alone(f *check.Finding) Verdict {
	switch {
	case f.Standing || f.Outcome == check.Pass:
		return Go
	case f.Outcome == check.Caution:
		return Caution
	case f.Outcome == check.Fail:
		return Detour
	}
	return Unknown
}
