package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// groups of axles that a brake may act on.
var groups = []struct {
	name  string
	picks func(a *vehicle.Axle) bool
}{
	{"rear group", func(a *vehicle.Axle) bool { return a.Unit == 0 && a.Group == 1 }},
	{"tractor", func(a *vehicle.Axle) bool { return a.Unit == 0 }},
	{"rear group and trailer", func(a *vehicle.Axle) bool { return a.Unit == 1 || a.Group == 1 }},
	{"all", func(a *vehicle.Axle) bool { return true }},
}

// Source: reference note on vehicle mechanics, section 3.4, table of adhesion
// needed; the same in vectors/vehicle_expected.json, park_*.
func TestParkPrinted(t *testing.T) {
	c := make1(t, trainA.spec())
	for _, r := range []struct {
		grade float64
		use   [4]float64
	}{
		{0.12, [4]float64{0.423, 0.299, 0.136, 0.120}},
		{-0.12, [4]float64{0.614, 0.295, 0.152, 0.120}},
		{0.20, [4]float64{0.639, 0.500, 0.219, 0.200}},
		{-0.20, [4]float64{1.203, 0.489, 0.264, 0.200}},
	} {
		for i, g := range groups {
			near(t, g.name, traction.ParkUse(c, r.grade, g.picks), r.use[i], 0.0005)
		}
	}
	// Grade holding force as a share of the weight, and for train A in N.
	for _, r := range []struct{ grade, share float64 }{{0.12, 0.1191}, {0.16, 0.1580}, {0.18, 0.1772}, {0.20, 0.1961}} {
		near(t, "share", traction.GradeResistance(1, r.grade)/vehicle.G, r.share, 0.00005)
	}
	near(t, "N at 12 %", traction.GradeResistance(112000, 0.12)/1000, 130.86253351110608, 1e-9)
}

// parking is train A with a rule for its parked axles and forces of its brakes,
// kN; 0 leaves the force out.
func parking(t testing.TB, tractorKN, trailerKN float64, picks func(unit int, group string) bool) *vehicle.Combination {
	return held(t, trainA, func(s *vehicle.Spec) {
		for i := range s.Units {
			some := false
			for k := range s.Units[i].Axles {
				on := picks(i, s.Units[i].Axles[k].Group)
				s.Units[i].Axles[k].Parked, some = &on, some || on
			}
			if kn := []float64{tractorKN, trailerKN}[i]; kn > 0 && some {
				s.Units[i].Brakes = &vehicle.BrakeSpec{ParkKN: &kn}
			}
		}
	})
}

// A train parked on all axles is a block; on its rear group alone it holds
// where the table's adhesion is what there is.
func TestPark(t *testing.T) {
	all := func(int, string) bool { return true }
	rear := func(unit int, group string) bool { return unit == 0 && group == "rear" }
	for _, up := range []bool{true, false} {
		near(t, "block", traction.Park(parking(t, 0, 0, all), 0.3, up).GradeRatio, 0.3, 1e-9)
	}
	c := parking(t, 0, 0, rear)
	for _, r := range []struct {
		mu, grade float64
		up        bool
	}{{0.423, 0.12, true}, {0.614, 0.12, false}, {0.639, 0.20, true}} {
		near(t, "rear group", traction.Park(c, r.mu, r.up).GradeRatio, r.grade, 0.0005)
	}
	if l := traction.Park(parking(t, 0, 0, func(int, string) bool { return false }), 0.5, true); l.GradeRatio > 1e-9 {
		t.Errorf("no parked axle holds %g", l.GradeRatio)
	}
}

// 200 kN hold 112 t on the grade whose sine is 200/(112 g): 18.52 %. Derived.
func TestParkForce(t *testing.T) {
	all := func(int, string) bool { return true }
	sine := 200e3 / (112000 * vehicle.G)
	want := sine / math.Sqrt(1-sine*sine)
	l := traction.Park(parking(t, 60, 140, all), 0.9, true)
	near(t, "by force", l.GradeRatio, want, 1e-9)
	if l.Decides != traction.Effort {
		t.Errorf("decided by %s", l.Decides)
	}
	half := parking(t, 60, 0, all)
	if traction.ParkForceKnown(half) || !traction.ParkForceKnown(parking(t, 60, 140, all)) {
		t.Error("the force of one unit is missing, and the other way round")
	}
	near(t, "one force unknown: grip alone", traction.Park(half, 0.3, true).GradeRatio, 0.3, 1e-9)
}

// More parked axles never hold less, more grip neither.
func TestParkProperties(t *testing.T) {
	few := parking(t, 0, 0, func(unit int, group string) bool { return unit == 0 && group == "rear" })
	more := parking(t, 0, 0, func(unit int, group string) bool { return unit == 1 || group == "rear" })
	rapid.Check(t, func(t *rapid.T) {
		mu, up := rapid.Float64Range(0.02, 0.9).Draw(t, "mu"), rapid.Bool().Draw(t, "up")
		a, b := traction.Park(few, mu, up).GradeRatio, traction.Park(more, mu, up).GradeRatio
		if b < a-1e-9 || traction.Park(few, mu+0.05, up).GradeRatio < a-1e-9 {
			t.Fatalf("rear group %g, with the trailer %g", a, b)
		}
	})
}
