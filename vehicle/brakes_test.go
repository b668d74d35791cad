package vehicle_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"
)

// Fields of retarder and brakes that contradict each other are complaints that
// name the field.
func TestBrakeFieldsRefused(t *testing.T) {
	for _, r := range []struct {
		field  string
		change func(*vehicle.Spec)
	}{
		{"units[0].power.retarder_at", func(s *vehicle.Spec) {
			s.Units[0].Power.RetarderKW, s.Units[0].Power.RetarderAt = p(300.0), "gearbox"
		}},
		{"units[0].power.retarder_kw", func(s *vehicle.Spec) { s.Units[0].Power.RetarderAt = "engine" }},
		{"units[0].power.retarder_nm", func(s *vehicle.Spec) {
			d := s.Units[0].Power
			d.RetarderKW, d.RetarderAt, d.RetarderNm = p(300.0), "engine", p(3000.0)
		}},
		{"units[0].power.engine_drag_nm", func(s *vehicle.Spec) {
			d := s.Units[0].Power
			d.GearRatios, d.Ranges, d.FinalRatio, d.EngineDragNm = nil, nil, nil, p(150.0)
		}},
		{"units[0].brakes.park_kn", func(s *vehicle.Spec) { s.Units[0].Brakes = &vehicle.BrakeSpec{ParkKN: p(80.0)} }},
		{"units[0].brakes.cool_w_k", func(s *vehicle.Spec) {
			s.Units[0].Brakes = &vehicle.BrakeSpec{MassKg: p(360.0), LimitC: p(250.0)}
		}},
	} {
		s := trainA.spec()
		r.change(&s)
		_, _, err := vehicle.New(s)
		var f *vehicle.FieldError
		if !errors.As(err, &f) || !strings.Contains(err.Error(), r.field+": ") {
			t.Errorf("%s: %v", r.field, err)
		}
	}
}

// What the file does not say is taken low and listed; without gears as power.
func TestBrakeDefaults(t *testing.T) {
	s := trainA.spec()
	s.Units[0].Power.RetarderKW = p(300.0)
	c, assumed, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	d := c.Units[0].Power
	if math.Abs(d.DragTorqueNm-150) > 1e-9 || d.RetarderShaftNm != 3000 { // 5 % of 3000 N m
		t.Errorf("drag %g, shaft %g", d.DragTorqueNm, d.RetarderShaftNm)
	}
	if w := 2 * math.Pi * 1800 / 60; math.Abs(d.RetarderCrankNm-300e3/w) > 1e-9 {
		t.Errorf("at the crank %g", d.RetarderCrankNm)
	}
	for _, key := range []string{"units[0].power.engine_drag_nm", "units[0].power.retarder_nm"} {
		listed := false
		for _, a := range assumed {
			listed = listed || (a.Key == key && a.Standing == "memory")
		}
		if !listed {
			t.Errorf("%s is taken and not listed as from memory", key)
		}
	}
	if b := c.Units[0].Brakes; b.HeatKnown() || !math.IsNaN(b.ParkN) {
		t.Errorf("brakes nobody gave: %+v", b)
	}
	if c.Lacks("hold") != "units[0].axles[0].parked" {
		t.Errorf("hold asks for %q", c.Lacks("hold"))
	}
}
