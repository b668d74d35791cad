package profile_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"drawbar/route/profile"
	"drawbar/terrain"
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

// TestCoverage measures the estimate on seeded roads with a correlated error:
// the root mean square error of grade at points and the share of stations
// whose true grade lies in the 95 % band. With DRAWBAR_ROADS=full it runs 200
// seeds over 10 km; the short form is 12 seeds over 4 km.
func TestCoverage(t *testing.T) {
	seeds, length := 12, 4000
	if os.Getenv("DRAWBAR_ROADS") == "full" {
		seeds, length = 200, 10000
	}
	const step = 10
	for _, tt := range []struct {
		name           string
		sigma, corr    float64
		maxRMSE, least float64 // percent; share
	}{
		// Bounds: 1.25 times the RMSE that the method study gives for this
		// estimator on these roads (0.39, 1.62, 2.54 %); coverage as near 95 %
		// as a short run can tell.
		{"0.1 m white", 0.1, 0.5, 0.49, 0.92},
		{"1.2 m over 60 m", 1.2, 60, 2.0, 0.92},
		{"3 m over 100 m", 3, 100, 3.2, 0.92},
	} {
		var sum, width float64
		var inside, n int
		for seed := range seeds {
			rng := rand.New(rand.NewPCG(uint64(seed), 7))
			r := newRoad(rng, length)
			e := make([]float64, length/step+2)
			rho := math.Exp(-step / tt.corr)
			for i := range e {
				e[i] = tt.sigma * rng.NormFloat64()
				if i > 0 {
					e[i] = rho*e[i-1] + math.Sqrt(1-rho*rho)*e[i]
				}
			}
			a := meridian(t, float64(length))
			k := a.LengthM() / float64(length)
			z := func(s float64) float64 {
				i := min(max(int(math.Round(s)), 0), length)
				return r.z[i] + e[int(math.Round(s/step))]
			}
			p := build(t, a, nil, ground{z: z, source: terrain.Source{CellM: step, SEM: tt.sigma, CorrM: tt.corr}}, profile.Options{StepM: step * k})
			var g profile.Series
			p.Grade(step, &g)
			for i, s := range p.ChainageM {
				d := g.Value[i] - r.g[min(int(math.Round(s/k)), length)]/k
				sum += d * d
				width += 2 * 1.96 * g.SE[i]
				n++
				if math.Abs(d) <= 1.96*g.SE[i] {
					inside++
				}
			}
		}
		rmse, cover := 100*math.Sqrt(sum/float64(n)), float64(inside)/float64(n)
		t.Logf("%s: RMSE of grade %.2f %%, 95 %% band holds %.1f %%, mean width %.1f %%, %d stations",
			tt.name, rmse, 100*cover, 100*width/float64(n), n)
		if rmse > tt.maxRMSE || cover < tt.least {
			t.Errorf("%s: RMSE %.2f %% (at most %.2f), coverage %.3f (at least %.2f)", tt.name, rmse, tt.maxRMSE, cover, tt.least)
		}
	}
}
