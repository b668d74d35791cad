package profile

import (
	"math"
	"math/rand/v2"

	"drawbar/terrain"
)

// The roads of the study. The laws are choices: they stand for hill roads, no
// survey is behind them.
//
//	P0  one design profile, tiled: grades 1, 6, -3, 8, 0, -7, 3 %, intersections
//	    at 600, 1300, 1900, 2700, 3300, 4100, 4800 m, curves of 200, 160, 200,
//	    240, 160, 200, 160 m
//	P1  grades uniform within +-12 %, K log-uniform 2-15 m/%
//	P2  grades normal, sd 4.5 %, redrawn until within +-12 %, K log-uniform 4-30 m/%
//
// P1 and P2: ramps (intersection to intersection) log-uniform 60-600 m, the
// first begins at 0; curves are parabolas cut to half of either ramp beside
// them.
var (
	lawP1 = roadLaw{gradeSD: math.Inf(1), capRatio: 0.12, rampLoM: 60, rampHiM: 600, tailLo: 5000, tailHi: 5000, kLo: 2, kHi: 15}.ready()
	lawP2 = roadLaw{gradeSD: 0.045, capRatio: 0.12, rampLoM: 60, rampHiM: 600, tailLo: 5000, tailHi: 5000, kLo: 4, kHi: 30}.ready()
)

// studyCase is an error of the raster: sd and correlation length, metres.
type studyCase struct {
	name        string
	sigma, corr float64
}

var studyCases = [3]studyCase{{"i 0.1 m white", 0.1, 0.5}, {"ii 1.2 m/60 m", 1.2, 60}, {"iii 3 m/100 m", 3, 100}}

func logUniform(rng *rand.Rand, a, b float64) float64 {
	return a * math.Exp(rng.Float64()*math.Log(b/a))
}

// drawGrade draws from the grade law.
func (l *roadLaw) drawGrade(rng *rand.Rand) float64 {
	if math.IsInf(l.gradeSD, 1) {
		return l.capRatio * (2*rng.Float64() - 1)
	}
	for {
		if g := l.gradeSD * rng.NormFloat64(); math.Abs(g) <= l.capRatio {
			return g
		}
	}
}

// trueRoad draws a road of P1 or P2 that begins with an intersection and goes
// on beyond lengthM.
func trueRoad(rng *rand.Rand, l *roadLaw, lengthM float64) roadState {
	kn := []knot{{}}
	for last := 0.0; last < lengthM+700; {
		run := logUniform(rng, l.rampLoM, l.rampHiM)
		kn = append(kn, knot{x: last + run, v: kn[len(kn)-1].v + run*l.drawGrade(rng), k: logUniform(rng, l.kLo, l.kHi)})
		last += run
	}
	r := roadState{kn: kn, h: make([]float64, len(kn))}
	for i := 1; i < len(kn)-1; i++ {
		r.h[i] = halfCurve(kn, i)
	}
	return r
}

// designRoad is P0.
func designRoad(lengthM float64) roadState {
	at := []float64{600, 1300, 1900, 2700, 3300, 4100, 4800}
	grade := []float64{0.01, 0.06, -0.03, 0.08, 0, -0.07, 0.03}
	curve := []float64{200, 160, 200, 240, 160, 200, 160}
	r := roadState{kn: []knot{{}}, h: []float64{0}}
	for i := 0; ; i++ {
		x := float64(i/7)*4800 + at[i%7]
		last := r.kn[len(r.kn)-1]
		r.kn = append(r.kn, knot{x: x, v: last.v + grade[i%7]*(x-last.x)})
		r.h = append(r.h, curve[i%7]/2)
		if x > lengthM {
			r.h[i+1] = 0
			return r
		}
	}
}

// cut gives the part of a road before lengthM as a state of the sampler.
func (r *roadState) cut(lengthM float64) []knot {
	var kn []knot
	for _, k := range r.kn {
		if k.x < lengthM {
			kn = append(kn, k)
		}
	}
	end := []float64{0}
	tangent := roadState{kn: r.kn, h: make([]float64, len(r.kn))}
	tangent.heights([]float64{lengthM}, end)
	return append(kn, knot{x: lengthM, v: end[0]})
}

// errors draws a first-order autoregressive error at even steps.
func (c studyCase) errors(rng *rand.Rand, n int, stepM float64) []float64 {
	e := make([]float64, n)
	rho := math.Exp(-stepM / c.corr)
	for i := range e {
		e[i] = c.sigma * rng.NormFloat64()
		if i > 0 {
			e[i] = rho*e[i-1] + math.Sqrt(1-rho*rho)*e[i]
		}
	}
	return e
}

// profileOf conditions heights as Build does once a way is draped.
func profileOf(at, z []float64, src terrain.Source) *Profile {
	n := len(at)
	p := &Profile{ChainageM: at, RawZM: z, ZM: make([]float64, n), Mark: make([]Mark, n), Why: make([]terrain.Why, n),
		Source: make([]uint8, n), structure: make([]bool, n), Sources: []terrain.Source{src}, StepM: at[1] - at[0]}
	p.condition(start, nil)
	return p
}
