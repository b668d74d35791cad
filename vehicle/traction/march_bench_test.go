package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle/traction"
)

// The loop allocates nothing: a way ten times as long costs no more allocations.
func TestMarchAllocates(t *testing.T) {
	m := marcher(t, make1(t, trainA.spec()), traction.DefaultMarch())
	count := func(n int) float64 {
		way := rolling(n)
		out := make([]traction.State, len(way))
		return testing.AllocsPerRun(3, func() {
			if _, err := m.Run(way, out); err != nil {
				t.Fatal(err)
			}
		})
	}
	if short, long := count(1000), count(10000); long > short {
		t.Errorf("%g allocations for 1000 stations, %g for 10000", short, long)
	}
}

// rolling is hilly country in steps of 5 m, two grounds, capped at 25 km/h.
func rolling(n int) (out []traction.Station) {
	for i := range n {
		s := traction.Station{AtM: 5 * float64(i), GradeRatio: 0.04*math.Sin(float64(i)/70) + 0.02*math.Sin(float64(i)/11), Roll: 0.012, Mu: 0.5, CapMS: 25 / 3.6}
		if i/400%2 == 1 {
			s.Roll, s.Mu = 0.035, 0.4
		}
		out = append(out, s)
	}
	return out
}

// BenchmarkMarch prints steps a second of one core.
func BenchmarkMarch(b *testing.B) {
	m := marcher(b, make1(b, trainA.spec()), traction.DefaultMarch())
	for name, capMS := range map[string]float64{"capped at 25 km/h": 25 / 3.6, "by effort alone": inf} {
		way := rolling(200001)
		for i := range way {
			way[i].CapMS = capMS
		}
		out := make([]traction.State, len(way))
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				trip, err := m.Run(way, out)
				if err != nil || trip.Stall != "" {
					b.Fatal(trip, err)
				}
			}
			b.ReportMetric(float64(b.N)*float64(len(way)-1)/b.Elapsed().Seconds()/1e6, "Msteps/s")
			b.ReportMetric(0, "ns/op")
		})
	}
}
