package traction_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// The curve is what its corners say: clutch torque below the peak's speed, the
// peak there, rated power at rated speed, nothing above.
func TestTorqueCorners(t *testing.T) {
	d := make1(t, trainA.spec()).Units[0].Power
	near(t, "clutch", traction.Torque(d, 900), 1900, 0)
	near(t, "peak", traction.Torque(d, 1100), 3000, 1e-9)
	near(t, "rated", traction.Torque(d, 1800)*2*math.Pi*1800/60, 510e3, 1e-6)
	near(t, "above", traction.Torque(d, 1801), 0, 0)
}

// The envelope never promises more power than the engine has, falls to nothing
// above the top speed, and touches full power at every gear's rated speed that
// no lower gear covers.
func TestEnvelope(t *testing.T) {
	d := make1(t, trainA.spec()).Units[0].Power
	top := traction.Speed(d, d.Gears[len(d.Gears)-1], d.RatedRPM)
	n, gear := traction.Envelope(d, top)
	near(t, "top", n*top, 510e3*0.84, 1)
	if gear != "high 12" {
		t.Errorf("top speed in %s", gear)
	}
	if n, _ := traction.Envelope(d, top*1.001); n != 0 {
		t.Errorf("%g N above the top speed", n)
	}
	n, gear = traction.Envelope(d, traction.Speed(d, d.Gears[0], 1100))
	near(t, "crawl kN", n/1e3, 481.0, 0.05)
	if gear != "low 1" {
		t.Errorf("crawls in %s", gear)
	}
	rapid.Check(t, func(r *rapid.T) {
		v := rapid.Float64Range(0.01, 25).Draw(r, "v")
		if n, _ := traction.Envelope(d, v); n*v > 510e3*0.84*(1+1e-12) {
			r.Errorf("%g W at %g m/s", n*v, v)
		}
	})
}

// The plate's envelope is power over speed, no more below the crawl speed.
func TestPlateEnvelope(t *testing.T) {
	d := &vehicle.Driveline{RatedPowerW: 330e3, Efficiency: 0.8, CrawlMS: 1}
	for _, r := range [][2]float64{{0, 264e3}, {0.5, 264e3}, {1, 264e3}, {4, 66e3}} {
		n, _ := traction.Envelope(d, r[0])
		near(t, "pull", n, r[1], 1e-9)
	}
}
