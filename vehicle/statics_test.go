package vehicle_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g +- %g", what, got, want, tol)
	}
}

// Source: reference note on vehicle mechanics, 1.5, sample train A, printed in
// kN to two decimals; derived there independently. Blank cells are NaN.
func TestStaticsPrintedRows(t *testing.T) {
	nan := math.NaN()
	c := make1(t, trainA.spec())
	for _, r := range []struct{ grade, f, n1, n2, n3, v, h, need, all, rear float64 }{
		{0, 0, 181.09, 263.18, 654.07, 199.11, 0, 0, nan, nan},
		{0.06, .015, 151.43, 292.06, 652.89, 198.76, nan, 82.23, 0.185, 0.282},
		{0.10, .015, 133.89, 307.18, 651.82, 197.12, 94.67, 125.68, 0.285, 0.409},
		{0.15, .015, 111.88, 325.24, 649.08, 194.66, nan, 179.22, 0.410, 0.551},
		{0.20, .015, 89.92, 342.26, 644.83, 191.78, nan, 231.56, 0.536, 0.677},
		// 3.3: grade -12 %, no rolling; one decimal printed.
		{0.12, 0, 128.8, 309.3, 652.4, 194.7, 101.7, nan, nan, nan},
		{-0.12, 0, 230.8, 213.3, 646.4, 200.7, -101.7, nan, nan, nan},
	} {
		s := c.Statics(r.grade, r.f, 0)
		tol := 0.005 + 1e-9
		if math.Abs(r.grade) == 0.12 {
			tol = 0.05 + 1e-9
		}
		check := func(what string, got, want, tol float64) {
			if !math.IsNaN(want) {
				near(t, what, got, want, tol)
			}
		}
		check("N1", s.GroupN[0][0]/1e3, r.n1, tol)
		check("N2", s.GroupN[0][1]/1e3, r.n2, tol)
		check("N3", s.GroupN[1][0]/1e3, r.n3, tol)
		check("V", s.HitchV[1]/1e3, r.v, tol)
		check("H", s.HitchH[1]/1e3, r.h, tol)
		check("need", s.NeedN/1e3, r.need, tol)
		check("grip used, all driven", s.GripUse, r.all, 0.0005)
		check("grip used, rear group only", s.NeedN/s.GroupN[0][1], r.rear, 0.0005)
	}
}

// Source: reference note, section 9: loads in t on level ground, as printed.
func TestLevelLoads(t *testing.T) {
	for _, r := range []struct {
		train                       train
		gross, front, rear, line, v float64
		h2, hAll                    float64
	}{
		{trainA, 112, 9.23, 13.42, 9.53, 20.30, 1.964, 1.827},
		{trainB, 64, 8.35, 11.00, 11.21, 16.86, 1.649, 1.543},
		{trainC, 128, 9.46, 14.26, 8.06, 19.45, 1.888, 1.770},
	} {
		c := make1(t, r.train.spec())
		last := len(c.Axles) - 1
		near(t, r.train.name+" gross", c.GrossKg/1e3, r.gross, 1e-9)
		near(t, r.train.name+" front axle", c.Axles[0].Kg/1e3, r.front, 0.005)
		near(t, r.train.name+" rear axle", c.Axles[c.Units[0].Last].Kg/1e3, r.rear, 0.005)
		near(t, r.train.name+" line", c.Axles[last].Kg/1e3, r.line, 0.005)
		near(t, r.train.name+" kingpin", c.Statics(0, 0, 0).HitchV[1]/1e3/vehicle.G, r.v, 0.005)
		near(t, r.train.name+" trailer CG height", c.Units[1].CGHM, r.h2, 0.0005)
		all := (c.Units[0].MassKg*c.Units[0].CGHM + c.Units[1].MassKg*c.Units[1].CGHM) / c.GrossKg
		near(t, r.train.name+" train CG height", all, r.hAll, 0.0005)
	}
}

// Source: reference note, 3.4: adhesion that holds the parked train, by which
// axles are braked, at +-12 and +-20 %. Derived there.
func TestParkingNeed(t *testing.T) {
	c := make1(t, trainA.spec())
	for _, r := range []struct{ grade, rear, tractor, rearTrailer, all float64 }{
		{+0.12, 0.423, 0.299, 0.136, 0.120},
		{-0.12, 0.614, 0.295, 0.152, 0.120},
		{+0.20, 0.639, 0.500, 0.219, 0.200},
		{-0.20, 1.203, 0.489, 0.264, 0.200},
	} {
		s := c.Statics(r.grade, 0, 0)
		hold := math.Abs(s.NeedN)
		n1, n2, n3 := s.GroupN[0][0], s.GroupN[0][1], s.GroupN[1][0]
		near(t, "rear group", hold/n2, r.rear, 0.0005)
		near(t, "tractor", hold/(n1+n2), r.tractor, 0.0005)
		near(t, "rear and trailer", hold/(n2+n3), r.rearTrailer, 0.0005)
		near(t, "all", hold/(n1+n2+n3), r.all, 0.0005)
	}
}

// coupled is a helper on a bar ahead of train A.
func coupled(t testing.TB) *vehicle.Combination {
	t.Helper()
	c, err := vehicle.Couple(make1(t, helper(28000)), make1(t, trainA.spec()), vehicle.Bar{LengthM: 3, HeightM: 0.9, RatedN: 350e3})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Source: reference note, section 2: 28 t pulling 90 kN ahead of 112 t pulling
// 260 kN: 20.0 kN in the bar, on any grade; they accelerate at 1.57134 m/s2
// less what the grade and rolling take. Derived there.
func TestBarTension(t *testing.T) {
	c := coupled(t)
	for _, r := range []struct{ grade, f float64 }{{0, 0}, {0, 0.02}, {0.08, 0.02}, {-0.05, 0.015}} {
		cos := 1 / math.Sqrt(1+r.grade*r.grade)
		accel := (90e3+260e3)/(c.GrossKg*vehicle.G) - (r.grade+r.f)*cos
		s := c.StaticsWith(r.grade, r.f, accel, []float64{90e3, 260e3, 0})
		near(t, "bar", s.HitchH[1]/1e3, 20.0, 1e-9)
		near(t, "residual", s.ResidualN, 0, 1e-6)
	}
}

// Equal use of grip: every powered unit's traction over its driven load is the
// same, and the whole is in balance, checked against the train's moment about
// a point far off.
func TestSharing(t *testing.T) {
	c := coupled(t)
	for _, grade := range []float64{-0.1, 0, 0.05, 0.12, 0.25} {
		s := c.Statics(grade, 0.02, 0)
		near(t, "helper's grip", s.TractionN[0]/s.DrivenUnitN[0], s.GripUse, 1e-10)
		near(t, "lead's grip", s.TractionN[1]/s.DrivenUnitN[1], s.GripUse, 1e-10)
		near(t, "residual", s.ResidualN, 0, 1e-5)
		near(t, "moment", trainMoment(c, s), 0, 1e-3)
	}
}

// trainMoment is the moment of all outer forces about the road under the
// foremost axle: weights and inertia at the centres of gravity, wheel loads.
// Traction and rolling act along the road through that point.
func trainMoment(c *vehicle.Combination, s vehicle.Forces) float64 {
	cos := 1 / math.Sqrt(1+s.GradeRatio*s.GradeRatio)
	m := 0.0
	for _, u := range c.Units {
		w := u.MassKg * vehicle.G
		m += w*cos*(u.AtM+u.CGXM) + w*(s.GradeRatio*cos+s.AccelG)*u.CGHM
	}
	for k, a := range c.Axles {
		m -= s.AxleN[k] * a.AtM
	}
	return m
}

// A bar set as a moment's arm must not create weight: coupling changes no axle
// load on the level.
func TestCoupleKeepsLoads(t *testing.T) {
	solo, c := make1(t, trainA.spec()), coupled(t)
	off := len(c.Axles) - len(solo.Axles)
	for k, a := range solo.Axles {
		near(t, "axle load", c.Axles[off+k].Kg, a.Kg, 1e-6)
	}
	s := c.Statics(0, 0, 0)
	for k := range c.Axles {
		near(t, "level load", s.AxleN[k]/vehicle.G, c.Axles[k].Kg, 1e-6)
	}
	// 6.8 m to the helper's jaw, 3 m of bar, 1.5 m of overhang.
	near(t, "train's foremost axle", c.Axles[off].AtM, 11.3, 1e-12)
	near(t, "length", c.LengthM, 1.5+11.3+solo.LengthM-1.5, 1e-12)
	if c.Axles[off].Unit != 1 || c.Units[2].First != off+4 || !c.Units[1].ByBar || solo.Units[0].ByBar {
		t.Errorf("units wrong after coupling: %+v", c.Units)
	}
}

// With open differentials every driven axle pulls what the most lightly loaded
// one has grip for: reference note, section 1.5, "open inter-axle differentials
// limit every axle to the weakest one".
func TestOpenDifferentials(t *testing.T) {
	s := trainA.spec()
	open := false
	s.Units[0].Power.Locked = &open
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	locked, _, err := vehicle.New(trainA.spec())
	if err != nil {
		t.Fatal(err)
	}
	f, g := c.Statics(0.1, 0.015, 0), locked.Statics(0.1, 0.015, 0)
	least := math.Inf(1)
	for _, n := range f.AxleN[:4] {
		least = math.Min(least, n)
	}
	if math.Abs(f.DrivenN-4*least) > 1e-6 || !(f.DrivenN < g.DrivenN) || !(f.GripUse > g.GripUse) {
		t.Errorf("driven load %.0f N of axles %.0f, locked %.0f", f.DrivenN, f.AxleN[:4], g.DrivenN)
	}
}
