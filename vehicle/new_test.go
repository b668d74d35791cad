package vehicle_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"
)

// Each row spoils one thing and names the complaint it must lead to.
func TestNewRefuses(t *testing.T) {
	for _, r := range []struct {
		spoil func(s *vehicle.Spec)
		want  string
	}{
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKg = p(0.0) }, "units[1].load.mass_kg: must be above 0"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKg = p(-5.0) }, "units[1].load.mass_kg: must be above 0"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKg = p(math.NaN()) }, "units[1].load.mass_kg: must be a finite number"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKg = p(math.Inf(1)) }, "units[1].load.mass_kg: must be a finite number"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKg = p(63.0) }, "units[1].load.mass_kg: must be between 100 and 1e+06 kg, is 63"},
		{func(s *vehicle.Spec) { s.Units[1].Load.CGXM = nil }, "units[1].load.cg_x_m: is missing"},
		{func(s *vehicle.Spec) { s.Units[1].Load.CGXM = p(-8.0) }, "units[1]: its axle group would lift by "},
		{func(s *vehicle.Spec) { s.Units[1].Load.CGXM = p(15.0) }, "units[1]: its kingpin would lift by "},
		{func(s *vehicle.Spec) { s.Units[1].Load.CGXM = p(30.0) }, "units[0]: its rear axle group would lift by"},
		{func(s *vehicle.Spec) { s.Units[1].Load.CGHeightM = p(4.4) }, "units[1].load.cg_height_m: must be below top_height_m"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassKnown = "guessed" }, "units[1].load.mass_known: must be weighed, plate or estimated"},
		{func(s *vehicle.Spec) { s.Units[1].Load.MassErrorKg = p(-1.0) }, "units[1].load.mass_error_kg: must not be negative"},
		{func(s *vehicle.Spec) { s.Units[0].MassKg = nil }, "units[0].mass_kg: is missing"},
		{func(s *vehicle.Spec) { s.Units[0].FrontMassKg = p(26000.0) }, "units[0].front_mass_kg: must be below the unit's mass_kg"},
		{func(s *vehicle.Spec) { s.Units[0].CGXM = p(2.0) }, "units[0]: give one of cg_x_m"},
		{func(s *vehicle.Spec) { s.Units[0].KingpinMassKg, s.Units[0].FrontMassKg = p(2000.0), nil }, "units[0].kingpin_mass_kg: only a semi-trailer"},
		{func(s *vehicle.Spec) { s.Units[1].FrontMassKg, s.Units[1].CGXM = p(2000.0), nil }, "units[1].front_mass_kg: a semi-trailer has a kingpin"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[0].AtM = p(0.5) }, "units[0].axles[0].at_m: must be 0"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[2].AtM = p(1.8) }, "units[0].axles[2].at_m: must be behind the axle before it"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[2].Group = "" }, "units[0].axles: give group for all axles"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[1].Group = "middle" }, "units[0].axles[1].group: must be front or rear"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[0].Group = "rear" }, "units[0].axles[1].group: a front axle stands behind a rear one"},
		{func(s *vehicle.Spec) { s.Units[0].Axles[0].Tyres = p(0) }, "units[0].axles[0].tyres: must be between 1 and 64"},
		{func(s *vehicle.Spec) { s.Units[1].Axles[0].Driven = p(true) }, "units[1].axles[0].driven: is true but units[1] has no power"},
		{func(s *vehicle.Spec) { s.Units[1].Axles = nil }, "units[1].axles: must list 1 to 60 axles"},
		{func(s *vehicle.Spec) { s.Units[0].Hitch = nil }, "units[0].hitch: is missing"},
		{func(s *vehicle.Spec) { s.Units[0].Kind = "semi-trailer" }, "units[0].kind: the foremost unit must be tractor or rigid"},
		{func(s *vehicle.Spec) { s.Units[1].Kind = "full-trailer" }, "units[1].bar: is missing"},
		{func(s *vehicle.Spec) { s.Units[1].Kind = "wagon" }, "units[1].kind: must be tractor, rigid"},
		{func(s *vehicle.Spec) { s.Units[0].Power = nil }, "units: no unit has both power and a driven axle"},
		{func(s *vehicle.Spec) { s.Units[0].Power.PowerKW = nil }, "units[0].power.power_kw: is missing"},
		{func(s *vehicle.Spec) { s.Units[0].Power.PowerKW = p(510e3) }, "units[0].power.power_kw: must be between"},
		{func(s *vehicle.Spec) { s.Units[0].Power.TyreRadiusM = nil }, "units[0].power.tyre_radius_m: is needed with gear_ratios"},
		{func(s *vehicle.Spec) { s.Units[0].Power.TorqueRPM = p(1900.0) }, "units[0].power.torque_rpm: must be below rated_rpm"},
		{func(s *vehicle.Spec) { s.Units[0].Power.StartTorqueNm = p(3100.0) }, "units[0].power.start_torque_nm: must not exceed torque_nm"},
		{func(s *vehicle.Spec) { s.Units[0].Power.FinalRatio = nil }, "units[0].power.final_ratio: is missing"},
		{func(s *vehicle.Spec) { s.Units[0].Power.GearRatios = nil }, "units[0].power.gear_ratios: is missing"},
		{func(s *vehicle.Spec) { s.Level = "measured" }, "units[0].turn_outer_radius_m: is missing: level measured needs it"},
		{func(s *vehicle.Spec) { s.Level = "full" }, "level: must be plate, sheet or measured"},
		{func(s *vehicle.Spec) { s.Kind = "machine" }, "kind: must be transporter or helper"},
		{func(s *vehicle.Spec) { s.Name = "" }, "name: is missing"},
		{func(s *vehicle.Spec) { s.Units = nil }, "units: must list 1 to 20 units"},
	} {
		s := trainA.spec()
		r.spoil(&s)
		c, _, err := vehicle.New(s)
		var f *vehicle.FieldError
		if c != nil || !errors.As(err, &f) || !strings.Contains(err.Error(), r.want) {
			t.Errorf("error %v, want %q", err, r.want)
		}
	}
}

// All complaints come at once.
func TestNewTellsAll(t *testing.T) {
	s := trainA.spec()
	s.Units[0].MassKg, s.Units[1].MassKg = p(-1.0), p(1e9)
	_, _, err := vehicle.New(s)
	if err == nil || strings.Count(err.Error(), "mass_kg: must be") != 2 {
		t.Errorf("want both masses, got %v", err)
	}
}

// What is taken is listed with its standing; what has no honest default is
// lacking by name.
func TestPlateAssumptions(t *testing.T) {
	s := vehicle.Spec{Kind: "helper", Name: "plate", Units: []vehicle.UnitSpec{{
		Kind: "rigid", MassKg: p(24000.0),
		Axles: []vehicle.AxleSpec{{AtM: p(0.0)}, {AtM: p(4.1), Driven: p(true)}, {AtM: p(5.55), Driven: p(true)}},
		Power: &vehicle.PowerSpec{PowerKW: p(330.0)},
	}}}
	c, assumed, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{
		"units[0].mass_error_kg":          960,
		"units[0].cg_x_m":                 4.825 * 0.4,
		"units[0].cg_height_m":            1.4,
		"units[0].axles.group":            1,
		"units[0].power.efficiency_ratio": 0.88,
		"units[0].power.gear_ratios":      1.0,
		"units[0].power.start_torque_nm":  0.6,
	}
	for _, a := range assumed {
		if w, ok := want[a.Key]; ok {
			near(t, a.Key, a.Value, w, 1e-9)
			delete(want, a.Key)
		}
		if a.Standing == "" || a.Source == "" || a.Unit == "" {
			t.Errorf("assumption without standing, source or unit: %+v", a)
		}
	}
	if len(want) > 0 || len(assumed) != len(c.Assumed) {
		t.Errorf("not listed: %v", want)
	}
	near(t, "standard error", c.GrossSEKg, 960/1.96, 1e-9)
	for check, field := range map[string]string{
		"overhead": "units[0].height_m", "width": "units[0].width_m", "bend": "units[0].width_m", "hang-up": "units[0].underside",
		"hold": "units[0].axles[0].parked", "ground": "units[0].axles[0].tyres", "climb": "", "start": "", "bridge": "",
	} {
		if got := c.Lacks(check); got != field {
			t.Errorf("%s lacks %q, want %q", check, got, field)
		}
	}
	if !math.IsNaN(c.HeightM) || !math.IsNaN(c.WidthM) || !math.IsNaN(c.LengthM) || c.Level != "plate" {
		t.Errorf("unknown sizes must be NaN: %+v", c)
	}
}

// A full trailer on a bar behind a rigid: own weight on own axles, bar pull
// only. Source: statics by hand.
func TestFullTrailer(t *testing.T) {
	s := helper(20000)
	s.Units = append(s.Units, vehicle.UnitSpec{
		Kind: "full-trailer", MassKg: p(10000.0), CGXM: p(3.0), CGHeightM: p(1.2),
		Axles: []vehicle.AxleSpec{{AtM: p(0.0)}, {AtM: p(6.0)}},
		Bar:   &vehicle.BarSpec{LengthM: p(2.0), HeightM: p(0.8), AheadM: p(0.7)},
	})
	c := make1(t, s)
	near(t, "trailer's first axle", c.Units[1].AtM, 6.8+2+0.7, 1e-12)
	f := c.Statics(0.1, 0.02, 0)
	w, cos := 10000*vehicle.G, 1/math.Sqrt(1.01)
	pull := w * cos * (0.1 + 0.02)
	near(t, "bar pull", f.HitchH[1], pull, 1e-6)
	near(t, "rear axle", f.AxleN[5], (w*cos*3+w*cos*0.1*1.2-0.8*pull)/6, 1e-6)
}

// A second semi-trailer on the first: forces pass through both.
func TestTwoSemiTrailers(t *testing.T) {
	s := trainA.spec()
	s.Units[1].Hitch = &vehicle.HitchSpec{AtM: p(15.0), HeightM: p(1.2)}
	s.Units = append(s.Units, vehicle.UnitSpec{
		Kind: "semi-trailer", MassKg: p(12000.0), CGXM: p(4.0), CGHeightM: p(1.5), Axles: []vehicle.AxleSpec{{AtM: p(6.0)}},
	})
	c := make1(t, s)
	f := c.Statics(0.1, 0.02, 0.01)
	near(t, "moment", trainMoment(c, f), 0, 1e-3)
	near(t, "residual", f.ResidualN, 0, 1e-6)
	level := c.Statics(0, 0, 0)
	near(t, "second kingpin", level.HitchV[2], 12000*vehicle.G/3, 1e-6)
}

// Unequal shares inside a group move its resultant.
func TestAxleShares(t *testing.T) {
	s := helper(20000)
	s.Units[0].Axles[2].Share = p(2.0)
	c := make1(t, s)
	near(t, "ratio", c.Axles[2].Kg/c.Axles[3].Kg, 2, 1e-12)
	near(t, "centre", c.Units[0].GroupXM[1], (2*4.2+5.8)/3, 1e-12)
}

func TestCoupleRefuses(t *testing.T) {
	h, c := make1(t, helper(20000)), make1(t, trainA.spec())
	for _, b := range []vehicle.Bar{{}, {LengthM: -1, HeightM: 1}, {LengthM: 3, HeightM: math.NaN()}, {LengthM: math.Inf(1), HeightM: 1}} {
		if _, err := vehicle.Couple(h, c, b); !errors.Is(err, vehicle.ErrBar) {
			t.Errorf("bar %+v: error %v", b, err)
		}
	}
	if _, err := vehicle.Couple(h, c, vehicle.Bar{LengthM: 3, HeightM: 1, RatedN: -1}); err == nil {
		t.Error("negative rating taken")
	}
	if _, err := vehicle.Couple(nil, c, vehicle.Bar{LengthM: 3, HeightM: 1}); err == nil {
		t.Error("no helper taken")
	}
}

func TestMachineCheck(t *testing.T) {
	good := func() vehicle.MachineSpec {
		return vehicle.MachineSpec{Kind: "machine", Name: "m", MassKg: p(62000.0), LengthM: p(7.6), WidthM: p(3.6), HeightM: p(3.1),
			Track:     &vehicle.TrackSpec{LengthM: p(4.6), WidthM: p(0.63), GaugeM: p(2.85)},
			TowPoints: []vehicle.TowPointSpec{{Name: "front", XM: p(0.1)}}}
	}
	if err := good().Check(); err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		spoil func(m *vehicle.MachineSpec)
		want  string
	}{
		{func(m *vehicle.MachineSpec) { m.MassKg = nil }, "mass_kg: is missing"},
		{func(m *vehicle.MachineSpec) { m.MassKnown = "heavy" }, "mass_known: must be"},
		{func(m *vehicle.MachineSpec) { m.CGXM = p(8.0) }, "cg_x_m: lies outside the machine"},
		{func(m *vehicle.MachineSpec) { m.CGHeightM = p(math.NaN()) }, "cg_height_m: must be a finite number"},
		{func(m *vehicle.MachineSpec) { m.Track.GaugeM = p(3.2) }, "track.gauge_m: with the track's width_m is wider"},
		{func(m *vehicle.MachineSpec) { m.Track.FrontXM = p(3.5) }, "track.front_x_m: with contact_length_m reaches beyond"},
		{func(m *vehicle.MachineSpec) { m.Track.WidthM = nil }, "track: needs contact_length_m and width_m"},
		{func(m *vehicle.MachineSpec) { m.TowPoints[0].XM = nil }, "tow_points[0].x_m: is missing"},
		{func(m *vehicle.MachineSpec) { m.TowPoints[0].YM = p(-2.0) }, "tow_points[0].y_m: must be between"},
		{func(m *vehicle.MachineSpec) { m.Kind = "helper" }, "kind: must be machine"},
	} {
		m := good()
		r.spoil(&m)
		if err := m.Check(); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("error %v, want %q", err, r.want)
		}
	}
}

// Kingpin mass, support, steering and underside, as a file gives them.
func TestTrailerSheet(t *testing.T) {
	s := trainA.spec()
	u := &s.Units[1]
	u.CGXM, u.KingpinMassKg = nil, p(6000.0)
	u.Load = nil
	u.Support = &vehicle.SupportSpec{HalfWidthM: p(0.9), Fields: p(4)}
	u.Steering = &vehicle.SteeringSpec{Ratio: p(0.9), MaxDeg: p(45.0)}
	u.Underside = []vehicle.UnderSpec{{XM: p(1.0), HeightM: p(1.2)}, {XM: p(3.0), HeightM: p(0.35)}}
	c := make1(t, s)
	near(t, "kingpin kg", c.Statics(0, 0, 0).HitchV[1]/vehicle.G, 6000, 1e-6)
	near(t, "stop", c.Units[1].Steerable.MaxRad, math.Pi/4, 1e-12)
	if v := c.Units[1]; v.SupportFields != 4 || v.SupportHalfWidthM != 0.9 || len(v.Underside) != 2 || v.Steerable.Ratio != 0.9 {
		t.Errorf("trailer read as %+v", v)
	}
	for _, r := range []struct {
		spoil func(u *vehicle.UnitSpec)
		want  string
	}{
		{func(u *vehicle.UnitSpec) { u.Support.Fields = p(5) }, "units[1].support.fields: must be 3 or 4, is 5"},
		{func(u *vehicle.UnitSpec) { u.Support.Fields = p(4); u.Underside[1].XM = p(0.5) }, "units[1].underside[1].x_m: must not lie ahead"},
		{func(u *vehicle.UnitSpec) { u.Underside[1].XM = nil }, "units[1].underside[1].x_m: is missing"},
		{func(u *vehicle.UnitSpec) { u.Underside = nil; u.KingpinMassKg = p(24000.0) }, "units[1].kingpin_mass_kg: must be below"},
	} {
		r.spoil(u)
		if _, _, err := vehicle.New(s); err == nil || !strings.Contains(err.Error(), r.want) {
			t.Errorf("error %v, want %q", err, r.want)
		}
	}
}

// A helper without a hitch or overhangs is hooked on at its last axle, and a
// train without a front overhang at its first: each listed.
func TestCoupleBare(t *testing.T) {
	s, h := trainA.spec(), helper(20000)
	h.Units[0].Hitch, h.Units[0].RearOverhangM, s.Units[0].FrontOverhangM = nil, nil, nil
	c, err := vehicle.Couple(make1(t, h), make1(t, s), vehicle.Bar{LengthM: 3, HeightM: 0.9})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "train's foremost axle", c.Axles[4].AtM, 5.8+3, 1e-12)
	near(t, "hitch height", c.Units[0].HitchHM, 0.9, 0)
	listed := map[string]bool{}
	for _, a := range c.Assumed {
		listed[a.Key] = true
	}
	for _, key := range []string{"helper.rear_overhang_m", "helper.hitch.at_m", "front_overhang_m", "helper.units[0].cg_y_m", "units[0].cg_y_m"} {
		if !listed[key] {
			t.Errorf("%s is not listed", key)
		}
	}
	if c.Lacks("posting") != "helper.units[0].rear_overhang_m" || !math.IsNaN(c.TurnOuterRadiusM) {
		t.Errorf("lacks %q, turning %g", c.Lacks("posting"), c.TurnOuterRadiusM)
	}
}
