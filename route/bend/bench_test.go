package bend

import (
	"math"
	"math/rand/v2"
	"testing"
)

// BenchmarkStraight is a line of a million vertices without a bend, gently
// curved: what a vertex costs.
func BenchmarkStraight(b *testing.B) {
	pts := make([]point, 1_000_000)
	dir := 0.0
	for i := 1; i < len(pts); i++ {
		dir = 0.3 * math.Sin(float64(i)/2000)
		pts[i] = point{pts[i-1].x + 5*math.Cos(dir)*0.01, pts[i-1].y + 5*math.Sin(dir)*0.01}
	}
	a := onEarth(pts)
	for b.Loop() {
		Find(a, Options{})
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(pts)), "ns/vertex")
}

// BenchmarkBends is a road of bends: what a bend costs, straights included.
func BenchmarkBends(b *testing.B) {
	for _, c := range []struct {
		name string
		r    road
	}{
		{"spacing=5", road{radiusM: 25, turnRad: 1.2, bends: 2000, straightM: 60, spacingM: 5, noiseM: 0.3}},
		{"spacing=15", road{radiusM: 40, turnRad: 1.2, bends: 2000, straightM: 60, spacingM: 15, noiseM: 0.5}},
		{"spacing=2,noise=2", road{radiusM: 40, turnRad: 1.2, bends: 2000, straightM: 60, spacingM: 2, noiseM: 2}},
	} {
		b.Run(c.name, func(b *testing.B) {
			a, _ := c.r.drawn(rand.New(rand.NewPCG(5, 6)))
			n := 0
			for b.Loop() {
				n = len(Find(a, Options{}))
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "us/bend")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(a.Line)), "ns/vertex")
		})
	}
}
