package sweep_test

import (
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

// ode is a tractor and one trailer as rates in the tractor's frame, integrated
// by Runge-Kutta along a smooth line: nothing in common with chords and pulls.
// State: x, y of the steering axle, headings of tractor and trailer.
type ode struct {
	l0, m, l1, ratio, limit float64
}

func (o ode) rate(psi float64, a [4]float64) (d [4]float64) {
	b0 := psi - a[2]
	d[0], d[1] = math.Cos(psi), math.Sin(psi)
	d[2] = math.Sin(b0) / o.l0
	ahead, side := math.Cos(b0), o.m*d[2] // velocity of the hitch in the tractor's frame
	g := a[2] - a[3]
	lon, lat := ahead*math.Cos(g)-side*math.Sin(g), ahead*math.Sin(g)+side*math.Cos(g)
	steer := math.Max(-o.limit, math.Min(o.limit, o.ratio*g))
	d[3] = (lat + lon*math.Tan(steer)) / o.l1
	return d
}

// run goes inM straight, an arc, outM straight, n steps a piece, and calls see
// after every step with the centre of the trailer's axle group.
func (o ode) run(inM, r, turnRad, outM float64, n int, see func(s float64, gamma float64, axle sweep.Point)) {
	var a [4]float64
	s, psi := 0.0, 0.0
	for _, piece := range [3][2]float64{{inM, 0}, {r * math.Abs(turnRad), math.Copysign(1/r, turnRad)}, {outM, 0}} {
		h := piece[0] / float64(n)
		for range n {
			at := func(f float64, d [4]float64) [4]float64 {
				b := a
				for i := range b {
					b[i] += f * h * d[i]
				}
				return o.rate(psi+f*h*piece[1], b)
			}
			k1 := at(0, [4]float64{})
			k2 := at(0.5, k1)
			k3 := at(0.5, k2)
			k4 := at(1, k3)
			for i := range a {
				a[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
			}
			s += h
			psi += h * piece[1]
			x := a[0] - (o.l0-o.m)*math.Cos(a[2]) - o.l1*math.Cos(a[3])
			y := a[1] - (o.l0-o.m)*math.Sin(a[2]) - o.l1*math.Sin(a[3])
			see(s, a[2]-a[3], sweep.Point{X: x, Y: y})
		}
	}
}

func (o ode) train() sweep.Train {
	return sweep.Train{Links: []sweep.Link{
		{LengthM: o.l0, HitchOffsetM: o.m, WidthM: 2.5, FrontOverhangM: 1.4},
		{LengthM: o.l1, WidthM: 3, SteerRatio: o.ratio, MaxSteerRad: o.limit},
	}}
}

var odeCases = map[string]struct {
	ode
	r, turnDeg float64
}{
	"fixed":            {ode{l0: 4.8, m: 0.4, l1: 12}, 15, 90},
	"hitch behind":     {ode{l0: 6, m: -2, l1: 9}, 18, 60},
	"steered":          {ode{l0: 4.8, m: 0.4, l1: 12, ratio: 0.5, limit: 60 * deg}, 15, 120},
	"steered, limited": {ode{l0: 4.8, m: 0.4, l1: 14, ratio: 1, limit: 12 * deg}, 20, 90},
	"to the right":     {ode{l0: 4.8, m: 0.4, l1: 12, ratio: 0.3, limit: 40 * deg}, 12.5, -150},
}

// deepest is the smallest radius of the trailer's axle group about the arc.
func (o ode) deepest(r, turnRad float64, n int) float64 {
	inner := math.Inf(1)
	o.run(30, r, turnRad, 30, n, func(_, _ float64, p sweep.Point) {
		inner = math.Min(inner, math.Hypot(p.X-30, p.Y-math.Copysign(r, turnRad)))
	})
	return inner
}

func deepest(tr *sweep.Trace, r, turnRad float64) float64 {
	inner := math.Inf(1)
	for j := range tr.Steps {
		p := tr.AxleAt(j, 1)
		inner = math.Min(inner, math.Hypot(p.X-30, p.Y-math.Copysign(r, turnRad)))
	}
	return inner
}

// Accuracy as documented: at the default step, on an arc whose vertices are as
// near, the deepest cut of the trailer is good to 1 mm and the largest
// articulation to 0.01 degrees; the cut error falls with the square of the step.
func TestStepAccuracy(t *testing.T) {
	for name, c := range odeCases {
		t.Run(name, func(t *testing.T) {
			turnRad := c.turnDeg * deg
			want := c.deepest(c.r, turnRad, 4000)
			var peak float64
			c.run(30, c.r, turnRad, 30, 4000, func(_, g float64, _ sweep.Point) {
				if math.Abs(g) > math.Abs(peak) {
					peak = g
				}
			})
			var errs [2]float64
			for k, step := range []float64{sweep.DefaultStepM, sweep.DefaultStepM / 4} {
				tr := follow(t, turn(30, c.r, turnRad, 30, step), c.train(), sweep.Options{StepM: step})
				errs[k] = math.Abs(deepest(&tr, c.r, turnRad) - want)
				t.Logf("step %.4f m: cut off by %.5f m, articulation by %.5f deg", step, errs[k], (tr.Peaks[1].AngleRad-peak)/deg)
				if k == 0 {
					near(t, "cut, m", errs[k], 0, 0.001)
					near(t, "articulation, deg", tr.Peaks[1].AngleRad/deg, peak/deg, 0.01)
				}
			}
			if errs[1] > errs[0]/8 && errs[1] > 1e-4 {
				t.Errorf("error fell from %g to %g m on a quarter of the step, want about a sixteenth", errs[0], errs[1])
			}
		})
	}
}
