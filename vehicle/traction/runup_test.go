package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// The least entry speed over a ramp against the energy it takes, by hand: without
// rolling, air and wheels, m v2/2 = (m g sin - F) s + m u2/2, F the pull of the gear
// and u the speed at which it is lost. Train A without engine inertia to speak of.
func TestHoldsRun(t *testing.T) {
	a := trainA.spec()
	a.Units[0].Power.InertiaKgM2 = new(0.01)
	c := make1(t, a)
	o := traction.DefaultMarch()
	o.RotatingWheels, o.DragAreaM2 = 0, 0
	d := c.Units[0].Power
	const grade, lengthM, muLarge = 0.30, 6.0, 5.0
	way := []traction.Station{{AtM: 0, GradeRatio: grade, Mu: muLarge, CapMS: math.Inf(1)}, {AtM: lengthM, GradeRatio: grade, Mu: muLarge, CapMS: math.Inf(1)}}
	road := lengthM // along the plan
	for v := 0.2; v < 7; v += 0.05 {
		got, err := traction.HoldsRun(c, o, v, way)
		if err != nil {
			t.Fatal(err)
		}
		_, name := traction.Envelope(d, v)
		var g vehicle.Gear
		for _, x := range d.Gears {
			if x.Name == name {
				g = x
			}
		}
		lost := 0.7 * traction.Speed(d, g, d.PeakTorqueRPM)
		// Between the pulls of the gear at its weakest and at its strongest.
		weight := 112000 * vehicle.G * grade / math.Hypot(1, grade)
		end2 := func(pull float64) float64 { return v*v - 2*(weight-pull)/112000*road*math.Hypot(1, grade) }
		weakest := math.Min(traction.Pull(d, g, d.StartTorqueNm), traction.Pull(d, g, d.RatedPowerW/(2*math.Pi*d.RatedRPM/60)))
		if sure := end2(weakest) > lost*lost; sure && !got && v > lost {
			t.Errorf("%.2f m/s in %s: not held, by energy it is", v, name)
		}
		if never := end2(traction.Pull(d, g, d.PeakTorqueNm)) < lost*lost; never && got {
			t.Errorf("%.2f m/s in %s: held, by energy it is not", v, name)
		}
	}
}
