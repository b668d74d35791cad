package check_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
)

// A climb that the grade leaves undecided gets the chance for the whole
// stretch; it moves with the margin and never settles the outcome by itself.
func TestWholeChance(t *testing.T) {
	set := setup(t, check.Settings{})
	pass := mastered(t, set, "concrete").ClimbPass
	chance := func(grade float64) (whole, station float64, ok bool) {
		rng := rand.New(rand.NewPCG(3, 3))
		noise := make([]float64, 400)
		for i := 1; i < len(noise); i++ {
			noise[i] = 0.9*noise[i-1] + 0.4*rng.NormFloat64()
		}
		hill := func(y float64) float64 {
			k := min(max(y/10, 0), 398)
			i := int(k)
			return 100 + grade*min(max(y-300, 0), 300) + 3*(noise[i]+(k-float64(i))*(noise[i+1]-noise[i]))
		}
		s := onHills(t, set, hill, straight(route.Tags{Mapped: true, Surface: "concrete"}, 1500)...)
		for _, f := range of(run(s), "climb") {
			for _, q := range f.Q {
				if q.Name == "whole" {
					if f.Outcome != check.Undecided {
						t.Errorf("%v has a chance for the whole stretch", f.Outcome)
					}
					return q.Value, f.P, true
				}
			}
		}
		return math.NaN(), math.NaN(), false
	}
	var last float64 = 2
	seen := 0
	for _, d := range []float64{0.01, 0.03, 0.05} {
		whole, station, ok := chance(pass + d)
		if !ok {
			continue
		}
		seen++
		if !(whole >= 0 && whole <= 1) || whole > last+0.1 {
			t.Errorf("%.3f over: whole %.2f (station %.2f), less steep %.2f", d, whole, station, last)
		}
		last = whole
	}
	if seen < 2 {
		t.Errorf("only %d of three steep places were sampled", seen)
	}
}
