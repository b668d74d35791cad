package profile_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"drawbar/route/profile"
	"drawbar/terrain"
)

// benchRoad is 100 km of a seeded road with an error of 1.2 m over 60 m.
func benchRoad(b *testing.B, lengthM int) (ground, float64) {
	b.Helper()
	rng := rand.New(rand.NewPCG(1, 7))
	r := newRoad(rng, lengthM)
	e := make([]float64, lengthM/10+2)
	rho := math.Exp(-10.0 / 60)
	for i := range e {
		e[i] = 1.2 * rng.NormFloat64()
		if i > 0 {
			e[i] = rho*e[i-1] + math.Sqrt(1-rho*rho)*e[i]
		}
	}
	z := func(s float64) float64 {
		i := min(max(int(math.Round(s)), 0), lengthM)
		return r.z[i] + e[int(math.Round(s/10))]
	}
	return ground{z: z, source: terrain.Source{CellM: 10, SEM: 1.2, CorrM: 60}}, float64(lengthM)
}

// BenchmarkBuild drapes and conditions 20 km with the three numbers learned;
// the reported figure is nanoseconds a station.
func BenchmarkBuild(b *testing.B) {
	g, length := benchRoad(b, 20000)
	a := meridian(b, length)
	var p *profile.Profile
	for b.Loop() {
		p = build(b, a, nil, g, profile.Options{StepM: 10})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(p.ChainageM)), "ns/station")
}

// BenchmarkGrade is the grade over 50 m with its standard error.
func BenchmarkGrade(b *testing.B) {
	g, length := benchRoad(b, 20000)
	p := build(b, meridian(b, length), nil, g, profile.Options{StepM: 10})
	var out profile.Series
	for b.Loop() {
		p.Grade(50, &out)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(p.ChainageM)), "ns/station")
}
