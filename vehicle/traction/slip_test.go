package traction_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func slips(t *testing.T, c *vehicle.Combination, grade, mu, f, more float64) []traction.Slip {
	t.Helper()
	s, err := traction.SlipsOf(c, grade, mu, f, more, traction.DefaultSlip())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Train A of the reference note on a grade, all worked by hand: lowest gear,
// 1900 N m at 1100 rpm, F = T i eta/r, R = m g (sin + 1.5 f cos), wheels 2 % of
// the mass; a = (F - R)/m', t = w r/(i a), E = T w t/2.
func TestSlipByHand(t *testing.T) {
	c := make1(t, trainA.spec())
	d := c.Units[0].Power
	for _, grade := range []float64{0, 0.06, 0.12} {
		s := slips(t, c, grade, math.Inf(1), 0.012, 0)
		if len(s) != 1 || s[0].Gear != "low 1" || s[0].Unit != 0 {
			t.Fatalf("%+v", s)
		}
		i, w := d.Gears[0].Ratio, 2*math.Pi*1100/60
		pull := 1900 * i * 0.84 / 0.64
		resist := 112000 * vehicle.G * math.Sin(math.Atan(grade)+math.Atan(0.018)) / math.Cos(math.Atan(0.018))
		a := (pull - resist) / (112000 * 1.02)
		seconds := w * 0.64 / (i * a)
		near(t, "seconds", s[0].Seconds, seconds, 1e-9)
		near(t, "heat", s[0].HeatJ, 1900*w*seconds/2, 1e-6)
	}
}

// Steeper grades, more rolling and doubt burn more clutch, until it does not
// start; where grip holds the pull back, less torque slips for longer.
func TestSlipByGrade(t *testing.T) {
	c := make1(t, trainA.spec())
	last := 0.0
	for g := 0.0; g < 0.22; g += 0.02 {
		s := slips(t, c, g, math.Inf(1), 0.012, 0)
		if s[0].HeatJ <= last {
			t.Fatalf("%.2f: %+v after %g J", g, s, last)
		}
		last = s[0].HeatJ
	}
	if _, err := traction.SlipsOf(c, 0.4, math.Inf(1), 0.012, 0, traction.DefaultSlip()); !errors.Is(err, traction.ErrNoStart) {
		t.Errorf("starts on 40 %%: %v", err)
	}
	free, held := slips(t, c, 0.06, math.Inf(1), 0.012, 0)[0], slips(t, c, 0.06, 0.4, 0.012, 0)[0]
	if held.Seconds <= free.Seconds || slips(t, c, 0.06, 0.4, 0.02, 0)[0].HeatJ <= held.HeatJ || slips(t, c, 0.06, 0.4, 0.012, 5e3)[0].HeatJ <= held.HeatJ {
		t.Errorf("with grip %+v, held back %+v", free, held)
	}
}

// A converter that multiplies makes less heat than a clutch; a helper in front
// takes its share of the work.
func TestSlipOfConverterAndPair(t *testing.T) {
	a := trainA.spec()
	clutch := make1(t, a)
	a.Units[0].Power.StartBy, a.Units[0].Power.StallRatio = "converter", new(2.0)
	converter := make1(t, a)
	if x, y := slips(t, clutch, 0.06, math.Inf(1), 0.012, 0)[0], slips(t, converter, 0.06, math.Inf(1), 0.012, 0)[0]; y.HeatJ >= x.HeatJ {
		t.Errorf("clutch %+v, converter %+v", x, y)
	}
	if x, y := traction.Start(clutch, 2, 0.012, traction.DefaultStart()).EffortGrade, traction.Start(converter, 2, 0.012, traction.DefaultStart()).EffortGrade; y <= x {
		t.Errorf("from rest %.3f with a clutch, %.3f with a converter of stall ratio 2", x, y)
	}
	pair := couple(t, make1(t, helper(28000)), clutch, 350e3)
	two := slips(t, pair, 0.10, math.Inf(1), 0.012, 0)
	if alone := slips(t, clutch, 0.10, math.Inf(1), 0.012, 0)[0]; len(two) != 2 || two[1].HeatJ >= alone.HeatJ {
		t.Errorf("alone %+v, with a helper %+v", alone, two)
	}
}

// N starts leave N times what one does, less what is carried off; never less than
// nothing.
func TestKept(t *testing.T) {
	s := traction.Slip{HeatJ: 600e3, Seconds: 5}
	near(t, "three", s.Kept(3, 0), 1800e3, 0)
	near(t, "cooled", s.Kept(3, 20e3), 1500e3, 1e-9)
	near(t, "cooled off", s.Kept(3, 200e3), 0, 0)
}
