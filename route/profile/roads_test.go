package profile_test

import (
	"math"
	"math/rand/v2"
)

// road is a designed profile: tangents joined by parabolas.
type road struct{ z, g []float64 } // at 1 m

// newRoad draws a road: grades uniform within +-12 %, ramps of 60 to 600 m
// (log-uniform), K log-uniform 2 to 15 m/%, curves clipped to fit. The laws are
// choices: they stand for hill roads, no survey is behind them.
func newRoad(rng *rand.Rand, lengthM int) road {
	r := road{make([]float64, lengthM+1), make([]float64, lengthM+1)}
	logu := func(a, b float64) float64 { return a * math.Exp(rng.Float64()*math.Log(b/a)) }
	var at, grade []float64
	for s := 0.0; s < float64(lengthM)+700; {
		at, grade = append(at, s), append(grade, 0.12*(2*rng.Float64()-1))
		s += logu(60, 600)
	}
	half := make([]float64, len(at)) // half length of the curve at the start of ramp i
	for i := 1; i < len(at); i++ {
		half[i] = logu(2, 15) * math.Abs(grade[i]-grade[i-1]) * 100 / 2
		half[i] = min(half[i], (at[i]-at[i-1])/2)
		if i+1 < len(at) {
			half[i] = min(half[i], (at[i+1]-at[i])/2)
		}
	}
	i := 0
	for s := range r.g {
		x := float64(s)
		for i+1 < len(at) && x >= at[i+1]-half[i+1] && x > at[i+1]+half[i+1] {
			i++
		}
		r.g[s] = grade[i]
		if i+1 < len(at) && x > at[i+1]-half[i+1] && half[i+1] > 0 {
			t := (x - at[i+1] + half[i+1]) / (2 * half[i+1])
			r.g[s] = grade[i] + t*(grade[i+1]-grade[i])
		}
		if s > 0 {
			r.z[s] = r.z[s-1] + (r.g[s]+r.g[s-1])/2
		}
	}
	return r
}
