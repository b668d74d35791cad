package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// What must hold of any way: time and fuel only grow, no speed is above its cap,
// work covers what resists and what moves, a lighter train and a lower grade are
// no slower, and cutting the steps changes nothing.
func TestMarchProperties(t *testing.T) {
	solo := make1(t, trainA.spec())
	pair := couple(t, make1(t, helper(28000)), solo, 350e3)
	trains := []*vehicle.Combination{solo, pair}
	var marchers []*traction.Marcher // by start and train
	for _, start := range []float64{0, 0.5, 3, 15} {
		o := traction.DefaultMarch()
		o.StartMS = start
		for _, c := range trains {
			marchers = append(marchers, marcher(t, c, o))
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		which := rapid.IntRange(0, len(marchers)-1).Draw(rt, "which")
		m, c := marchers[which], trains[which%2]
		way := draw(rt)
		out := make([]traction.State, len(way))
		trip, err := m.Run(way, out)
		if err != nil {
			rt.Fatal(err)
		}
		resist := 0.0
		for i := 1; i < trip.Reached; i++ {
			s := way[i-1]
			if out[i].TimeS <= out[i-1].TimeS || out[i].FuelL < out[i-1].FuelL || !(out[i].SpeedMS >= 0 && out[i].SpeedMS <= math.Min(s.CapMS, way[i].CapMS)*(1+1e-9)) {
				rt.Fatalf("station %d: %+v after %+v", i, out[i], out[i-1])
			}
			ds := way[i].AtM - s.AtM
			resist += ds * (traction.GradeResistance(c.GrossKg, s.GradeRatio) + traction.RollingResistance(c.GrossKg, s.GradeRatio, s.Roll))
		}
		if trip.Reached > 0 {
			moves := motion(c, out[trip.Reached-1].SpeedMS) - motion(c, out[0].SpeedMS)
			if trip.Stall == "" && trip.WorkJ < resist+moves-2e-3*(math.Abs(resist)+motion(c, out[0].SpeedMS)+motion(c, out[trip.Reached-1].SpeedMS)) {
				rt.Fatalf("work %g J, resistance and motion take %g J", trip.WorkJ, resist+moves)
			}
		}
		half := cut(way)
		again, err := m.Run(half, nil)
		if err != nil || again.Stall != trip.Stall || math.Abs(again.TimeS-trip.TimeS) > 1e-4*trip.TimeS+1e-6 || math.Abs(again.FuelL-trip.FuelL) > 1e-3*trip.FuelL+1e-6 {
			rt.Fatalf("cut in halves: %+v, %+v, %v", again, trip, err)
		}
		for i := range half {
			half[i].GradeRatio -= 0.005
		}
		if easy, err := m.Run(half, nil); err != nil || trip.Stall == "" && (easy.Stall != "" || easy.TimeS > trip.TimeS*(1+1e-6)) {
			rt.Fatalf("half a percent less steep: %+v after %+v, %v", easy, trip, err)
		}
	})
}

// motion is the energy of a train at a speed, what its engines turn in the gears
// they went through included: it hangs on the speed alone, so that slowing down
// gives back what gathering speed took. Midpoints over the square of the speed.
func motion(c *vehicle.Combination, v float64) (joule float64) {
	const parts = 2000
	dw := v * v / parts
	for k := range parts {
		at := math.Sqrt((float64(k) + 0.5) * dw)
		kg := c.GrossKg * (1 + traction.DefaultMarch().RotatingWheels)
		for i := range c.Units {
			if d := c.Units[i].Power; d != nil {
				_, gear := traction.Envelope(d, at)
				for _, g := range d.Gears {
					if g.Name == gear {
						kg += traction.RotatingKg(d, g)
					}
				}
			}
		}
		joule += kg / 2 * dw
	}
	return joule
}

func draw(rt *rapid.T) (way []traction.Station) {
	at := 0.0
	for range rapid.IntRange(2, 30).Draw(rt, "stations") {
		way = append(way, traction.Station{AtM: at, GradeRatio: rapid.Float64Range(-0.15, 0.2).Draw(rt, "grade"),
			Roll: rapid.SampledFrom([]float64{0.012, 0.035, 0.1}).Draw(rt, "roll"), Mu: rapid.SampledFrom([]float64{0.1, 0.3, 0.6, 5}).Draw(rt, "mu"),
			CapMS: rapid.SampledFrom([]float64{1, 4, 7, 30, inf}).Draw(rt, "cap")})
		at += rapid.Float64Range(0.01, 200).Draw(rt, "length")
	}
	return way
}

// cut halves every step.
func cut(way []traction.Station) (out []traction.Station) {
	for i, s := range way {
		out = append(out, s)
		if i+1 < len(way) {
			s.AtM = (s.AtM + way[i+1].AtM) / 2
			out = append(out, s)
		}
	}
	return out
}
