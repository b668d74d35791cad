package traction_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// Source: reference note on vehicle mechanics, section 3.2, and
// vectors/vehicle_expected.json, lumped: T, Tss, tau. The mechanics are from
// memory there, the numbers derived.
func TestLumpPrinted(t *testing.T) {
	drum := traction.Lump{MassKg: 45, HeatJKgK: 460, CoolWK: 28, AirC: 20}
	near(t, "T", drum.After(30, 9000, 900), 249.24529758965843, 1e-9)
	near(t, "Tss", drum.SteadyC(9000), 341.42857142857144, 1e-9)
	near(t, "tau", drum.TimeS(), 739.2857142857143, 1e-9)
}

// Two halves of a time make the whole; nothing cools below the air; without
// cooling all heat stays.
func TestLumpProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := traction.Lump{MassKg: rapid.Float64Range(10, 1000).Draw(t, "kg"), HeatJKgK: 460, CoolWK: rapid.Float64Range(0, 900).Draw(t, "hA"), AirC: 20}
		power, time := rapid.Float64Range(0, 4e5).Draw(t, "W"), rapid.Float64Range(0, 3600).Draw(t, "s")
		whole := b.After(50, power, time)
		if half := b.After(b.After(50, power, time/2), power, time/2); math.Abs(half-whole) > 1e-6*(1+math.Abs(whole)) {
			t.Fatalf("%g in two halves, %g in one", half, whole)
		}
		free := b
		free.CoolWK = 0
		if all := free.After(50, power, time); whole > all+1e-6*all || whole < 20 {
			t.Fatalf("%g, without cooling %g", whole, all)
		}
	})
}

// Source: reference note, section 3.1, 1982 set, digits of vectors, gsrs_1982_*: the
// formula is from memory there, the numbers derived from it.
func TestDowngradePrinted(t *testing.T) {
	for _, r := range []struct{ lb, grade, mi, mph, hp, rolling, stop, final float64 }{
		{80000, 0.06, 4, 25, 188.25, 454.744, 15.550, 470.294},
		{80000, 0.06, 7, 25, 188.25, 630.370, 15.550, 645.920},
		{60000, 0.05, 6, 35, 108.65, 323.715, 22.858, 346.573},
	} {
		h, err := traction.Downgrade{WeightLb: r.lb, Axles: 5, GradeRatio: r.grade, LengthMi: r.mi, SpeedMph: r.mph}.BrakeHeat()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "hp", h.BrakeHP, r.hp, 0.005)
		near(t, "rolling", h.RollingF, r.rolling, 0.0005)
		near(t, "stop", h.StopF, r.stop, 0.0005)
		near(t, "final", h.FinalF, r.final, 0.0005)
	}
}

// Source: the same section, table of the greatest constant mph within 500 F;
// lengths 2, 4, 6, 8, 10 miles; vectors, gsrs_vmax.
func TestDowngradeSpeeds(t *testing.T) {
	for _, r := range []struct {
		lb, grade float64
		mph       [5]int
	}{
		{60000, 0.04, [5]int{65, 65, 65, 65, 65}}, {60000, 0.05, [5]int{65, 65, 65, 65, 65}}, {60000, 0.06, [5]int{65, 65, 65, 31, 24}},
		{60000, 0.07, [5]int{65, 65, 26, 19, 16}}, {60000, 0.08, [5]int{65, 33, 17, 14, 13}},
		{70000, 0.04, [5]int{65, 65, 65, 65, 65}}, {70000, 0.05, [5]int{65, 65, 65, 35, 26}}, {70000, 0.06, [5]int{65, 65, 25, 19, 16}},
		{70000, 0.07, [5]int{65, 29, 16, 13, 12}}, {70000, 0.08, [5]int{65, 17, 12, 10, 10}},
		{80000, 0.04, [5]int{65, 65, 65, 61, 37}}, {80000, 0.05, [5]int{65, 65, 30, 21, 18}}, {80000, 0.06, [5]int{65, 31, 17, 14, 13}},
		{80000, 0.07, [5]int{65, 17, 12, 10, 10}}, {80000, 0.08, [5]int{54, 12, 9, 8, 8}},
	} {
		for i, want := range r.mph {
			got, err := traction.Downgrade{WeightLb: r.lb, Axles: 5, GradeRatio: r.grade, LengthMi: float64(2 + 2*i)}.FastestMph()
			if err != nil || got != want {
				t.Errorf("%.0f lb, %.0f %%, %d mi: %d mph, want %d, %v", r.lb, 100*r.grade, 2+2*i, got, want, err)
			}
		}
	}
}

func TestDowngradeCalibration(t *testing.T) {
	for _, g := range []traction.Downgrade{
		{WeightLb: 246918, Axles: 11, GradeRatio: 0.06, LengthMi: 2, SpeedMph: 10}, {WeightLb: 80001, Axles: 5, SpeedMph: 10},
		{WeightLb: 70000, Axles: 6, SpeedMph: 10}, {WeightLb: 70000, Axles: 5, SpeedMph: 70}, {WeightLb: 70000, Axles: 5},
	} {
		if _, err := g.BrakeHeat(); !errors.Is(err, traction.ErrCalibration) {
			t.Errorf("%+v: %v", g, err)
		}
	}
}

// Without resistance and losses one start puts the train's kinetic energy into
// the clutch: standard mechanics.
func TestClutchStart(t *testing.T) {
	c := make1(t, trainA.spec())
	d := *c.Units[0].Power
	d.Efficiency = 1
	g := d.Gears[0]
	s, err := traction.ClutchStart(&d, g, 112000, 0)
	if err != nil {
		t.Fatal(err)
	}
	v := traction.Speed(&d, g, d.PeakTorqueRPM)
	near(t, "heat", s.HeatJ, 112000*v*v/2, 1e-6)
	// By steps of 0.1 ms against the closed form, on a grade with losses.
	d.Efficiency = 0.84
	resist := 150e3
	s, err = traction.ClutchStart(&d, g, 112000, resist)
	if err != nil {
		t.Fatal(err)
	}
	heat, time, at := 0.0, 0.0, 0.0
	w, dt := 2*math.Pi*1100/60, 1e-4
	for at < v {
		at += dt * (traction.Pull(&d, g, 1900) - resist) / 112000
		heat += dt * 1900 * (w - at*g.Ratio/d.RadiusM)
		time += dt
	}
	near(t, "heat by steps", s.HeatJ, heat, 1e-3*heat)
	near(t, "seconds by steps", s.Seconds, time, 2*dt)
	if _, err := traction.ClutchStart(&d, g, 112000, 400e3); !errors.Is(err, traction.ErrNoStart) {
		t.Errorf("starts against more than it pulls: %v", err)
	}
}

// A converter of stall ratio 1 passes the engine's torque as a clutch does; one
// that multiplies it starts sooner and makes less heat.
func TestConverterStart(t *testing.T) {
	d := make1(t, trainA.spec()).Units[0].Power
	g := d.Gears[2]
	clutch, err := traction.ClutchStart(d, g, 112000, 80e3)
	if err != nil {
		t.Fatal(err)
	}
	one, err := traction.ConverterStart(d, g, 112000, 80e3, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "heat", one.HeatJ, clutch.HeatJ, 1e-9*clutch.HeatJ)
	near(t, "time", one.Seconds, clutch.Seconds, 1e-9)
	two, err := traction.ConverterStart(d, g, 112000, 80e3, 2, 0.85)
	if err != nil || two.HeatJ >= one.HeatJ || two.Seconds >= one.Seconds {
		t.Errorf("stall ratio 2: %+v, 1: %+v, %v", two, one, err)
	}
	if _, err := traction.ConverterStart(d, g, 112000, 250e3, 2, 0.85); !errors.Is(err, traction.ErrNoStart) {
		t.Errorf("torque falls below the resistance on the way: %v", err)
	}
}

// N starts without a pause heat N times as much; a long pause forgets.
func TestStarts(t *testing.T) {
	clutch := traction.Lump{MassKg: 30, HeatJKgK: 460, CoolWK: 20, AirC: 20}
	one := clutch.Starts(20, 1, 400e3, 0) - 20
	near(t, "one", one, 400e3/(30*460), 1e-9)
	near(t, "five at once", clutch.Starts(20, 5, 400e3, 0)-20, 5*one, 1e-9)
	near(t, "an hour between", clutch.Starts(20, 5, 400e3, 3600)-20, one, 1)
}
