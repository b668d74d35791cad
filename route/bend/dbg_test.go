package bend

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestDbg(t *testing.T) {
	for d := range drawings {
		c := cell{200, 90, 30, 0.5, d}
		rng := rand.New(rand.NewPCG(math.Float64bits(c.radiusM*1e6+c.turnDeg*1e3+c.spacingM), math.Float64bits(c.noiseM+float64(10*c.d))))
		for range 2 {
			r := c.road(rng)
			a, ap := r.drawn(rng)
			t.Logf("%s apex %.0f ease %.0f", drawings[d].name, ap, r.easeM)
			for _, b := range Find(a, Options{MaxRadiusM: 600}) {
				t.Logf("  %v at %.0f..%.0f apex %.0f R %.1f [%.1f %.1f] turn %.0f noise %.2f n %d", b.Kind, b.At.FromM, b.At.ToM, b.ApexM, b.RadiusM, b.RadiusLowM, b.RadiusHighM, b.TurnRad*180/math.Pi, b.NoiseM, b.Vertices)
			}
		}
	}
}
