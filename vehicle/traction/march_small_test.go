package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// small marches in small steps of time with the very effort and statics, no
// closed form: Heun's rule. It gives the time, end speed and work of a way
// without caps, or where it stands still.
func small(c *vehicle.Combination, o traction.MarchOptions, way []traction.Station, dt float64) (timeS, endMS, workJ, stallM float64) {
	d := c.Units[0].Power
	at, v, i := way[0].AtM, o.StartMS, 0
	unit := make([]float64, len(c.Units))
	accel := func(v float64) (a, pull float64) {
		s := way[i]
		n, gear := traction.Envelope(d, v)
		mass := c.GrossKg * (1 + o.RotatingWheels)
		for _, g := range d.Gears {
			if g.Name == gear {
				mass += traction.RotatingKg(d, g)
			}
		}
		resist := traction.GradeResistance(c.GrossKg, s.GradeRatio) + traction.RollingResistance(c.GrossKg, s.GradeRatio, s.Roll) + traction.AirResistance(o.DragAreaM2, v)
		pull = n
		for range 40 { // grip hangs on the loads, these on pull and acceleration
			if math.IsInf(s.Mu, 1) {
				break
			}
			unit[0] = pull
			along := (pull - resist) / (c.GrossKg * vehicle.G)
			f := c.StaticsWith(s.GradeRatio, s.Roll, along, unit)
			next := math.Min(n, s.Mu*f.DrivenN)
			if math.Abs(next-pull) < 1e-6 {
				break
			}
			pull = next
		}
		return (pull - resist) / mass, pull
	}
	for i < len(way)-1 {
		a, pull := accel(v)
		b, next := accel(math.Max(0, v+a*dt))
		step := (a + b) / 2 * dt
		if v+step <= 0 {
			return timeS, 0, workJ, at
		}
		ds := (v + step/2) * dt
		workJ += (pull + next) / 2 * ds
		timeS, v, at = timeS+dt, v+step, at+ds
		if over := at - way[i+1].AtM; over >= 0 {
			if i++; i == len(way)-1 {
				timeS -= over / v
			}
		}
	}
	return timeS, v, workJ, math.NaN()
}

// hills is a way of several grades and grounds.
func hills(grades []float64, rolls, mus []float64, eachM, stepM float64) (out []traction.Station) {
	at := 0.0
	for i, g := range grades {
		for range int(eachM / stepM) {
			out = append(out, traction.Station{AtM: at, GradeRatio: g, Roll: rolls[i], Mu: mus[i], CapMS: inf})
			at += stepM
		}
	}
	last := out[len(out)-1]
	last.AtM = at
	return append(out, last)
}

// The closed form against small steps in time: 0.1 % of time, speed and work.
// Train A with its gears, from rest and rolling, at long and short steps, held
// by effort and by grip.
func TestMarchAgainstSmallSteps(t *testing.T) {
	full, dirt := []float64{.012, .012, .012, .012}, []float64{.06, .06, .06, .06}
	dry, loose := []float64{.8, .8, .8, .8}, []float64{.35, .35, .35, .35}
	for _, r := range []struct {
		name   string
		grades []float64
		rolls  []float64
		mus    []float64
		start  float64
	}{
		{"from rest on the level", []float64{0, 0, 0, 0}, full, dry, 0},
		{"hilly", []float64{0.01, 0.06, -0.01, 0.1}, full, dry, 6},
		{"steep", []float64{0.02, 0.14, 0.16, 0.05}, full, dry, 4},
		{"by grip", []float64{0, 0.05, 0.06, 0.02}, dirt, loose, 0},
		{"grip from rest on a grade", []float64{0.04, 0.04, 0.04, 0.03}, full, []float64{.2, .2, .2, .4}, 0},
	} {
		c := make1(t, trainA.spec())
		o := only()
		o.StartMS, o.DragAreaM2, o.RotatingWheels = r.start, 8, 0.02
		timeS, endMS, workJ, stallM := small(c, o, hills(r.grades, r.rolls, r.mus, 300, 300), 0.001)
		if !math.IsNaN(stallM) {
			t.Fatalf("%s: small steps stall at %g m", r.name, stallM)
		}
		for _, step := range []float64{300, 100, 5} {
			trip, _ := march(t, c, o, hills(r.grades, r.rolls, r.mus, 300, step))
			for what, pair := range map[string][2]float64{"time": {trip.TimeS, timeS}, "end speed": {trip.EndMS, endMS}, "work": {trip.WorkJ, workJ}} {
				if math.Abs(pair[0]/pair[1]-1) > 1e-3 {
					t.Errorf("%s, steps of %g m: %s %.5g, small steps give %.5g (%+.3f %%)", r.name, step, what, pair[0], pair[1], 100*(pair[0]/pair[1]-1))
				}
			}
		}
	}
}
