package traction_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
)

func p[T any](v T) *T { return &v }

// train is a row of the sample vehicles, invented figures of the project's
// own: reference note on vehicle mechanics, section 9.
type train struct {
	name                           string
	tractorKg, frontKg, tractorCGH float64
	axles                          []float64
	front                          int // axles in the front group
	hitchAt, hitchH                float64
	power, rated, torque, start    float64
	low, final, radius, eta        float64
	tareKg, tareX, tareH           float64
	loadKg, loadX, loadH           float64
	kingpinToGroup, spacing        float64
	lines                          int
}

var (
	trainA = train{"A", 25000, 15000, 1.35, []float64{0, 1.80, 4.20, 5.80}, 2, 4.30, 1.65,
		510, 1800, 3000, 1900, 1.45, 7.20, .640, .84,
		24000, 7.40, .95, 63000, 8.35, 2.35, 10.55, 1.45, 7}
	trainB = train{"B", 13500, 6600, 1.15, []float64{0, 3.60, 5.05}, 1, 3.875, 1.40,
		353, 1900, 2200, 1400, 1.60, 5.33, .520, .85,
		14500, 6.00, .90, 36000, 5.90, 1.95, 8.90, 1.40, 3}
	trainC = train{"C", 28000, 15600, 1.35, []float64{0, 1.80, 4.20, 5.80}, 2, 4.30, 1.65,
		510, 1800, 3000, 1900, 1.45, 7.20, .640, .84,
		33000, 9.40, .95, 67000, 11.00, 2.35, 13.00, 1.444, 10}
)

// spec writes the row as a file would.
func (t train) spec() vehicle.Spec {
	tractor := vehicle.UnitSpec{
		Name: "tractor", Kind: "tractor", MassKg: &t.tractorKg, FrontMassKg: &t.frontKg, CGHeightM: &t.tractorCGH,
		FrontOverhangM: p(1.5), RearOverhangM: p(1.0), WidthM: p(2.9), HeightM: p(3.4),
		Hitch: &vehicle.HitchSpec{AtM: &t.hitchAt, HeightM: &t.hitchH},
		Power: &vehicle.PowerSpec{PowerKW: &t.power, RatedRPM: &t.rated, TorqueNm: &t.torque, TorqueRPM: p(1100.0),
			StartTorqueNm: &t.start, EfficiencyRatio: &t.eta, TyreRadiusM: &t.radius, InertiaKgM2: p(3.5), Turbo: p(true),
			GearRatios: twelve(), FinalRatio: &t.final,
			Ranges: []vehicle.RangeSpec{{Name: "low", Ratio: &t.low}, {Name: "high", Ratio: p(1.0)}}},
	}
	for i := range t.axles {
		group := "front"
		if i >= t.front {
			group = "rear"
		}
		tractor.Axles = append(tractor.Axles, vehicle.AxleSpec{AtM: &t.axles[i], Group: group, Driven: p(true)})
	}
	trailer := vehicle.UnitSpec{
		Name: "low-bed", Kind: "semi-trailer", MassKg: &t.tareKg, CGXM: &t.tareX, CGHeightM: &t.tareH,
		FrontOverhangM: p(1.5), RearOverhangM: p(4.0), WidthM: p(3.0), HeightM: p(2.9),
		Load: &vehicle.LoadSpec{MassKg: &t.loadKg, CGXM: &t.loadX, CGHeightM: &t.loadH, TopHeightM: p(4.3), WidthM: p(3.6)},
	}
	for i := range t.lines {
		at := t.kingpinToGroup + (float64(i)-float64(t.lines-1)/2)*t.spacing
		trailer.Axles = append(trailer.Axles, vehicle.AxleSpec{AtM: &at})
	}
	return vehicle.Spec{Kind: "transporter", Name: t.name, Units: []vehicle.UnitSpec{tractor, trailer}}
}

func make1(t testing.TB, s vehicle.Spec) *vehicle.Combination {
	t.Helper()
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// helper is a powered unit alone, all axles driven, with an 8x8's axles.
func helper(massKg float64) vehicle.Spec {
	s := trainA.spec()
	u := s.Units[0]
	u.MassKg, u.FrontMassKg = p(massKg), p(0.55*massKg)
	u.Hitch = &vehicle.HitchSpec{AtM: p(6.8), HeightM: p(0.9)}
	return vehicle.Spec{Kind: "helper", Name: "helper", Units: []vehicle.UnitSpec{u}}
}

// twelve are the gearbox steps of the sample vehicles: 11.7 to 0.78 in
// geometric progression.
func twelve() []float64 {
	out := make([]float64, 12)
	for i := range out {
		out[i] = 11.7 * math.Pow(0.78/11.7, float64(i)/11)
	}
	return out
}
