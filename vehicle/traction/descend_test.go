package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// held is a train with its brakes and retarder known: 300 kW at the engine.
func held(t testing.TB, r train, change ...func(*vehicle.Spec)) *vehicle.Combination {
	s := r.spec()
	p1 := s.Units[0].Power
	p1.RetarderKW, p1.RetarderAt, p1.EngineDragNm = p(300.0), "engine", p(150.0)
	for i := range s.Units {
		for k := range s.Units[i].Axles {
			a := &s.Units[i].Axles[k]
			a.Braked, a.Parked = p(true), p(i > 0 || a.Group == "rear")
		}
	}
	for _, c := range change {
		c(&s)
	}
	return make1(t, s)
}

// Source: reference note on vehicle mechanics, section 3.3: train A, rolling
// 0.015, kW to hold 15 km/h and km/h that 300 kW hold. Derived there.
func TestRetarderPrinted(t *testing.T) {
	for _, r := range []struct{ grade, kW, kmh float64 }{
		{0.04, 114.3, 39.4}, {0.06, 205.6, 21.9}, {0.08, 296.5, 15.2}, {0.10, 387.1, 11.6}, {0.12, 477.1, 9.4},
	} {
		near(t, "kW", traction.HoldPowerW(112000, r.grade, 0.015, 15/3.6)/1000, r.kW, 0.05)
		near(t, "km/h", 3.6*traction.HeldMS(300e3, 112000, r.grade, 0.015), r.kmh, 0.05)
	}
	// vectors/vehicle_expected.json, brakeP_112t_8pct_15kmh_noret_kW.
	near(t, "brake power", traction.HoldPowerW(112000, 0.08, 0.015, 15/3.6)/1000, 296.52102938810754, 1e-9)
	if v := traction.HeldMS(300e3, 112000, 0.01, 0.015); !math.IsInf(v, 1) {
		t.Errorf("nothing pushes on 1 %%, and 300 kW hold %g m/s", v)
	}
}

// Source: the same section, statics at -12 %, held by the tractor, kN.
func TestStaticsDownPrinted(t *testing.T) {
	c := held(t, trainA)
	s := c.Statics(-0.12, 0, 0)
	for _, r := range []struct {
		what      string
		got, want float64
	}{{"N1", s.GroupN[0][0], 230.8}, {"N2", s.GroupN[0][1], 213.3}, {"N3", s.GroupN[1][0], 646.4}, {"H", s.HitchH[1], -101.7}, {"V", s.HitchV[1], 200.7}} {
		near(t, r.what, r.got/1000, r.want, 0.05)
	}
}

// With gears the speed is never above what the power alone would hold, and
// some gear holds at it. The gear is the highest that does: derived by trying
// every gear at its rated speed, drag and power worked by hand.
func TestFastestDown(t *testing.T) {
	c := held(t, trainA)
	d := c.Units[0].Power
	for _, grade := range []float64{0.03, 0.04, 0.06, 0.08, 0.10, 0.12, 0.15, 0.2} {
		v, gear := traction.FastestDown(c, grade, 0.015)
		need := 112000*vehicle.G*math.Sin(math.Atan(grade)) - 0.015*112000*vehicle.G*math.Cos(math.Atan(grade))
		want, name := 0.0, ""
		for _, g := range d.Gears {
			w := 2 * math.Pi * 1800 / 60
			give := (300e3/w + 150) * g.Ratio / 0.640
			if rated := w * 0.640 / g.Ratio; give >= need && rated > want {
				want, name = rated, g.Name
			}
		}
		near(t, "speed", v, want, 1e-6)
		if gear != name {
			t.Errorf("%.0f %%: gear %s, want %s", 100*grade, gear, name)
		}
	}
	if v, _ := traction.FastestDown(c, 0.9, 0.015); v != 0 {
		t.Errorf("holds %g m/s on 90 %%", v)
	}
	if v, _ := traction.FastestDown(c, 0.001, 0.015); math.Abs(3.6*v-77.33) > 0.01 {
		t.Errorf("top speed %g", 3.6*v)
	}
}

// A retarder at the shaft gives the same torque in every gear: 3000 N m times
// 7.2 over 0.64 m is 33.75 kN. Where the file does not say where it sits the
// least of both counts.
func TestRetarderAtTheShaft(t *testing.T) {
	at := func(place string) *vehicle.Combination {
		return held(t, trainA, func(s *vehicle.Spec) {
			s.Units[0].Power.RetarderAt = place
			if place == "shaft" {
				s.Units[0].Power.RetarderNm = p(3000.0)
			}
		})
	}
	engine, shaft, unsaid := at("engine"), at("shaft"), at("")
	for _, g := range shaft.Units[0].Power.Gears {
		v := 0.5 * traction.Speed(shaft.Units[0].Power, g, 1800)
		drag := 150 * g.Ratio / 0.64
		a, b, c := traction.Retard(engine.Units[0].Power, g, v), traction.Retard(shaft.Units[0].Power, g, v), traction.Retard(unsaid.Units[0].Power, g, v)
		near(t, "at the shaft", b-drag, math.Min(3000*7.2/0.64, 300e3/v), 1e-6)
		near(t, "unsaid", c, math.Min(a, b), 1e-9)
	}
	found := false
	for _, a := range unsaid.Assumed {
		found = found || (a.Key == "units[0].power.retarder_nm" && a.Standing == "memory")
	}
	if !found {
		t.Error("the torque at the shaft is taken and not listed as from memory")
	}
}

// Forces close on every descent, the limit balances, and it is monotone in grip
// and rolling; brakes on all axles hold no less than the driven wheels.
func TestDescendProperties(t *testing.T) {
	trains := []*vehicle.Combination{held(t, trainA), held(t, trainB), held(t, trainC)}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(trains).Draw(t, "train")
		mu, f := rapid.Float64Range(0.02, 0.9).Draw(t, "mu"), rapid.Float64Range(0.005, 0.2).Draw(t, "f")
		l := traction.Descend(c, mu, f)
		s := c.Statics(-l.GradeRatio, f, 0)
		if l.GradeRatio < traction.MaxGrade && math.Abs(-s.NeedN-l.AvailN) > 1e-5*l.AvailN {
			t.Fatalf("holds with %g N what pushes with %g", l.AvailN, -s.NeedN)
		}
		if l.Decides == traction.Grip && l.GradeRatio < traction.MaxGrade && math.Abs(-s.GripUse-mu) > 1e-6 {
			t.Fatalf("uses grip %g of %g", -s.GripUse, mu)
		}
		normal := 0.0
		for _, n := range s.AxleN {
			normal += n
		}
		if w := c.GrossKg * vehicle.G / math.Sqrt(1+l.GradeRatio*l.GradeRatio); math.Abs(normal-w) > 1e-6*w {
			t.Fatalf("wheels carry %g of %g N", normal, w)
		}
		more, easier := traction.Descend(c, mu+0.05, f), traction.Descend(c, mu, f+0.01)
		brakes := traction.Brake(c, mu, f)
		if more.GradeRatio < l.GradeRatio-1e-9 || easier.GradeRatio < l.GradeRatio-1e-9 || brakes.GradeRatio < l.GradeRatio-1e-9 {
			t.Fatalf("%g; with more grip %g, rolling worse %g, brakes %g", l.GradeRatio, more.GradeRatio, easier.GradeRatio, brakes.GradeRatio)
		}
		// All axles braked: the train is a block on a slope.
		if want := mu + f; brakes.GradeRatio < traction.MaxGrade && math.Abs(brakes.GradeRatio-want) > 1e-9 {
			t.Fatalf("all braked: %g, a block holds %g", brakes.GradeRatio, want)
		}
	})
}

// Source: reference note, section 3.4: m to stop, adhesion 0.35, rolling 0.015,
// 1.5 s; vectors/vehicle_expected.json, stop_*.
func TestStopPrinted(t *testing.T) {
	for _, r := range []struct{ kmh, grade, m float64 }{{15, 0, 8.68}, {15, 0.08, 9.37}, {15, 0.12, 9.89}, {40, 0, 33.91}, {40, 0.06, 37.34}} {
		near(t, "stop", traction.StopM(r.kmh/3.6, 1.5, r.grade, 0.35, 0.015), r.m, 0.005)
	}
	if m := traction.StopM(1, 1, 0.5, 0.35, 0.015); !math.IsInf(m, 1) {
		t.Errorf("stops on 50 %% in %g m", m)
	}
}

// With every wheel braked by grip StopOf is StopM; brakes of a known force stop as
// that force does, v2/2a by hand; braking never stops a train that force or grip
// does not hold.
func TestStopOf(t *testing.T) {
	a := trainA.spec()
	for i := range a.Units {
		for k := range a.Units[i].Axles {
			a.Units[i].Axles[k].Braked = new(true)
		}
	}
	grip := make1(t, a)
	for _, r := range []struct{ kmh, grade float64 }{{15, 0}, {15, 0.08}, {15, 0.12}, {40, 0}, {40, 0.06}} {
		near(t, "by grip", traction.StopOf(grip, r.kmh/3.6, 1.5, r.grade, 0.35, 0.015), traction.StopM(r.kmh/3.6, 1.5, r.grade, 0.35, 0.015), 1e-6)
	}
	a.Units[0].Brakes, a.Units[1].Brakes = &vehicle.BrakeSpec{ServiceKN: new(60.0)}, &vehicle.BrakeSpec{ServiceKN: new(120.0)}
	weak := make1(t, a)
	v, theta := 15/3.6, math.Atan(0.06)
	slow := 180e3/112000 + vehicle.G*(0.015*math.Cos(theta)-math.Sin(theta))
	near(t, "by force", traction.StopOf(weak, v, 1.5, 0.06, 0.6, 0.015), v*1.5+v*v/(2*slow), 1e-6)
	if m := traction.StopOf(weak, v, 1.5, 0.20, 0.6, 0.015); !math.IsInf(m, 1) {
		t.Errorf("180 kN stop 112 t on 20 %% in %g m", m)
	}
	l := traction.Brake(weak, 0.6, 0.015)
	want := math.Tan(math.Asin(180e3/(112000*vehicle.G)/math.Hypot(1, 0.015)) + math.Atan(0.015))
	near(t, "held by force", l.GradeRatio, want, 1e-9)
	if l.Decides != traction.Effort {
		t.Errorf("%s decides", l.Decides)
	}
	if ice := traction.Brake(weak, 0.05, 0.015); ice.Decides != traction.Grip || math.Abs(ice.GradeRatio-0.065) > 1e-9 {
		t.Errorf("on ice %+v", ice)
	}
}
