package traction_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// vectors are the machine-readable answers of the reference note on vehicle
// mechanics, which stand beside the repository.
func vectors(t *testing.T) map[string]json.RawMessage {
	t.Helper()
	file := filepath.Join("..", "..", "..", "shared", "reference", "vectors", "vehicle_expected.json")
	b, err := os.ReadFile(file)
	if os.IsNotExist(err) {
		t.Skip("no reference vectors beside the repository")
	}
	out := map[string]json.RawMessage{}
	if err == nil {
		err = json.Unmarshal(b, &out)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The vectors of sections 1.4 to 1.6, 2, 3.1 to 3.4, 8 and 9 to the digits they
// are given with. Rows are what the vector's own columns say.
func TestVectors(t *testing.T) {
	all := vectors(t)
	list := func(key string) (out [][]float64) {
		t.Helper()
		if json.Unmarshal(all[key], &out) != nil {
			var one []float64
			if err := json.Unmarshal(all[key], &one); err != nil {
				t.Fatalf("%s: %v", key, err)
			}
			out = [][]float64{one}
		}
		return out
	}
	one := func(key string) (v float64) {
		t.Helper()
		if err := json.Unmarshal(all[key], &v); err != nil {
			t.Fatalf("%s: %v", key, err)
		}
		return v
	}
	a := make1(t, trainA.spec())
	d := a.Units[0].Power
	const g = vehicle.G
	if got := 5280 / (2 * math.Pi * 100) / 10.7; math.Abs(got-one("startability_K_eff")) > 3e-6 { // the vector divides 8.4034
		t.Errorf("startability_K_eff: %.7f", got)
	}
	for key, got := range map[string]float64{
		"lb_per_ton_per_pct":                   traction.GradeRule(2000, 0.01),
		"startability":                         traction.StartabilityUS(1000, 12, 4.11, 500, 80000),
		"K_theory":                             5280 / (2 * math.Pi * 100),
		"D_drawbar_40_90":                      traction.DrawbarD(40, 90),
		"D_fifth_T45.3_R87_U20.3":              traction.FifthWheelD(45.3, 87, 20.3),
		"rot_mass_A_gear1low_kg_J3.5":          traction.RotatingKg(d, vehicle.Gear{Ratio: 122.15}),
		"park_12pct_112t_kN":                   traction.GradeResistance(112000, 0.12) / 1000,
		"brakeP_112t_8pct_15kmh_noret_kW":      traction.HoldPowerW(112000, 0.08, 0.015, 15/3.6) / 1000,
		"A_kg_per_kW":                          112000 / (d.RatedPowerW / 1000),
		"assist_need_kN":                       traction.PullNeeded(a, 0.12, 0.03).SumN / 1000,
		"gradeability_exact_200kN_112t_f0.015": 100 * traction.Gradeability(200e3, 112000, 0.015),
	} {
		if want := one(key); math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
			t.Errorf("%s: %.9g, want %.9g", key, got, want)
		}
	}
	rows := func(key string, half float64, of func(r []float64) float64) {
		t.Helper()
		for _, r := range list(key) {
			if got, want := of(r), r[len(r)-1]; math.Abs(got-want) > half*(1+1e-9) {
				t.Errorf("%s %v: %.6g", key, r, got)
			}
		}
	}
	sine := func(pct float64) float64 { return math.Sin(math.Atan(pct / 100)) }
	rows("exact_sin_vs_pct", 0.0005, func(r []float64) float64 { return 100 * traction.GradeResistance(1, r[0]/100) / g })
	rows("altitude_factor", 0.0005, func(r []float64) float64 { return traction.AltitudeFactor(r[0] * 0.3048) })
	rows("park_need_frac", 0.00005, func(r []float64) float64 { return sine(r[0]) })
	rows("ret_needed_kW", 0.05, func(r []float64) float64 { return traction.HoldPowerW(112000, r[0]/100, 0.015, 15/3.6) / 1000 })
	rows("vmax_on_300kW_retarder", 0.05, func(r []float64) float64 { return 3.6 * traction.HeldMS(300e3, 112000, r[0]/100, 0.015) })
	rows("grade_rule_err", 0.05, func(r []float64) float64 {
		exact, rule := math.Sin(r[0]*math.Pi/180), r[0]/60
		return 100 * (rule/exact - 1)
	})
	rows("stop_fmcsr_ft", 0.005, func(r []float64) float64 { v := r[0] * 5280 / 3600; return v * v / (2 * 14) })
	for _, r := range list("rr_pct_pen") {
		if got := 100 * traction.RollingByPenetration(0.0254*r[0]); math.Abs(got-r[1]) > 1e-9 || math.Abs(20*got-r[2]) > 1e-9 {
			t.Errorf("%v in of penetration: %g %%", r[0], got)
		}
	}
	for key, r := range map[string][2]float64{"stop_15kmh_0": {15, 0}, "stop_15kmh_0.08": {15, 0.08}, "stop_15kmh_0.12": {15, 0.12}, "stop_40kmh_0": {40, 0}, "stop_40kmh_0.06": {40, 0.06}} {
		want := list(key)[0]
		v := r[0] / 3.6
		s := traction.StopM(v, 1.5, r[1], 0.35, 0.015)
		if slow := v * v / 2 / (s - 1.5*v); math.Abs(s-want[0]) > 0.005 || math.Abs(slow-want[1]) > 0.0005 {
			t.Errorf("%s: %.3f m, %.4f m/s2", key, s, slow)
		}
	}
	for key, r := range map[string][2]float64{"adh_grade_A_mu0.6": {0.6, 0.015}, "adh_grade_A_mu0.3": {0.3, 0.03}, "adh_grade_A_mu0.2": {0.2, 0.03}} {
		if want, got := list(key)[0], 100*traction.Climb(a, r[0], r[1]).GripGrade; math.Abs(got-want[0]) > 0.005 {
			t.Errorf("%s: %.4f, want %.2f", key, got, want[0])
		}
	}
}

// All j688 rows: pounds and horsepower of the US road load.
func TestVectorsRoadLoad(t *testing.T) {
	for key, in := range map[string][4]float64{"j688_80k_0mph_0pct": {80000, 100, 0, 0}, "j688_80k_10mph_6pct": {80000, 100, 10, 6}, "j688_80k_55mph_0pct": {80000, 100, 55, 0},
		"j688_80k_22mph_6pct": {80000, 100, 22, 6}, "j688_247k_5mph_8pct": {246918, 100, 5, 8}} {
		var want map[string]float64
		if err := json.Unmarshal(vectors(t)[key], &want); err != nil {
			t.Fatal(err)
		}
		r := traction.RoadLoadUS(in[0], in[1], in[2], in[3])
		for name, got := range map[string]float64{"roll_lb": r.RollLb, "air_lb": r.AirLb, "grade_lb": r.GradeLb, "hp": r.HP,
			"roll_hp": r.RollLb * in[2] / 375, "air_hp": r.AirLb * in[2] / 375, "grade_hp": r.GradeLb * in[2] / 375} {
			if math.Abs(got-want[name]) > 0.005*(1+1e-9) {
				t.Errorf("%s %s: %.4f, want %.2f", key, name, got, want[name])
			}
		}
	}
}
