package profile_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"
)

// noisyRamp is a ramp seen through 3 m of error over 100 m.
func noisyRamp(grade float64, seed uint64) ground {
	rng := rand.New(rand.NewPCG(seed, 3))
	e := make([]float64, 300)
	rho := math.Exp(-10.0 / 100)
	for i := range e {
		e[i] = 3 * rng.NormFloat64()
		if i > 0 {
			e[i] = rho*e[i-1] + math.Sqrt(1-rho*rho)*e[i]
		}
	}
	noise := func(s float64) float64 { // continuous, so that rounding of chainage does not show
		s = math.Max(s, 0) / 10
		i := min(int(s), len(e)-2)
		return e[i] + (s-float64(i))*(e[i+1]-e[i])
	}
	return ground{z: func(s float64) float64 { return 100 + grade*s + noise(s) },
		source: terrain.Source{CellM: 10, SEM: 3, CorrM: 100}}
}

// TestIncline: a posted incline narrows the band and pulls the estimate to it.
func TestIncline(t *testing.T) {
	off := []float64{-50, 50}
	w := []float64{0.01, -0.01}
	var before, after, seBefore, seAfter float64
	const seeds = 20
	for seed := range uint64(seeds) {
		a := meridian(t, 1000)
		g := noisyRamp(0.08, seed)
		p := build(t, a, nil, g, profile.Options{StepM: 10})
		a.Legs[0].Tags.InclineRatio = route.Limit{Value: 0.08, State: route.Known, Raw: "8%"}
		q := build(t, a, nil, g, profile.Options{StepM: 10})
		v1, s1 := p.At(500, off, w)
		v2, s2 := q.At(500, off, w)
		before, after = before+math.Abs(v1-0.08), after+math.Abs(v2-0.08)
		seBefore, seAfter = seBefore+s1, seAfter+s2
	}
	if after >= before || seAfter >= seBefore {
		t.Errorf("mean error %.4f before, %.4f with the tag; mean se %.4f, %.4f", before/seeds, after/seeds, seBefore/seeds, seAfter/seeds)
	}
}

// TestInclineTurns: the tag's sign follows the direction travelled.
func TestInclineTurns(t *testing.T) {
	a := meridian(t, 1000)
	a.Legs[0].Tags.InclineRatio = route.Limit{Value: 0.08, State: route.Known}
	g := noisyRamp(0.08, 1)
	mid := a.LengthM() / 2
	up, _ := build(t, a, nil, g, profile.Options{}).At(mid, []float64{-50, 50}, []float64{0.01, -0.01})
	down, _ := build(t, a.Reverse(), nil, g, profile.Options{}).At(mid, []float64{-50, 50}, []float64{0.01, -0.01})
	if math.Abs(up+down) > 1e-9 {
		t.Errorf("%.6f up, %.6f down", up, down)
	}
}

// TestClassPrior: on a short noisy way a motorway is held flatter than a track,
// and the switch turns that off.
func TestClassPrior(t *testing.T) {
	mean := func(highway string, o profile.Options) float64 {
		sum := 0.0
		for seed := range uint64(20) {
			a := meridian(t, 300)
			a.Legs[0].Tags = route.Tags{Mapped: true, Highway: highway}
			p := build(t, a, nil, noisyRamp(0, seed), o)
			v, _ := p.At(150, []float64{-50, 50}, []float64{0.01, -0.01})
			sum += math.Abs(v)
		}
		return sum
	}
	road, track := mean("motorway", profile.Options{}), mean("track", profile.Options{})
	if road >= track {
		t.Errorf("flat ground: motorway off by %.4f, track by %.4f", road/20, track/20)
	}
	if off := mean("motorway", profile.Options{NoClassPrior: true}); off != track {
		t.Errorf("switched off %.6f, track %.6f", off, track)
	}
}

// TestInclineContradicted: a tag of 2 % on a ramp of 18 % is not believed.
func TestInclineContradicted(t *testing.T) {
	a := meridian(t, 1000)
	g := noisyRamp(0.18, 4)
	before, _ := build(t, a, nil, g, profile.Options{StepM: 10}).At(500, []float64{-50, 50}, []float64{0.01, -0.01})
	a.Legs[0].Tags.InclineRatio = route.Limit{Value: 0.02, State: route.Known, Raw: "2%"}
	p := build(t, a, nil, g, profile.Options{StepM: 10})
	after, _ := p.At(500, []float64{-50, 50}, []float64{0.01, -0.01})
	if before != after {
		t.Errorf("the tag moved the grade from %.4f to %.4f", before, after)
	}
	said := false
	for _, n := range p.Notes {
		said = said || strings.Contains(n, "contradict")
	}
	if !said {
		t.Errorf("no word of it in %q", p.Notes)
	}
}
