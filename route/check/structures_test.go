package check_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle"
)

// withFeature puts a structure at 200 m of a level way.
func withFeature(t testing.TB, set *check.Setup, f structure.Feature) *check.Situation {
	t.Helper()
	a := wayOf(t, straight(asphalt, 400))
	f.Source = "area.geojson"
	return check.NewSituation(set, a, profile.Constant(0, a.LengthM()), []structure.Placed{{Feature: &f, At: route.Stretch{FromM: 197.5, ToM: 202.5}}},
		structure.Looked{MappedM: a.LengthM(), Ways: "area.osm.pbf"})
}

// foundScenes are structures that files of ways and of structures give.
func foundScenes(t testing.TB) map[string]*check.Situation {
	plain := setup(t, check.Settings{})
	bare := setup(t, check.Settings{}, func(s *vehicle.Spec) {
		s.Units[0].WidthM, s.Units[1].WidthM = nil, nil
		s.Units[1].Load.TopHeightM, s.Units[0].HeightM, s.Units[1].HeightM = nil, nil, nil
	})
	out := map[string]*check.Situation{}
	for name, f := range map[string]structure.Feature{
		"gate":               {Kind: structure.Gate, What: "lift_gate"},
		"gate wide":          {Kind: structure.Gate, What: "gate", MaxWidthM: limit(5)},
		"gate narrow":        {Kind: structure.Gate, What: "bollard", MaxWidthM: limit(2), MaxMassKg: limit(30e3)},
		"level crossing":     {Kind: structure.Crossing, What: "level crossing"},
		"wire":               {Kind: structure.Wire, What: "line"},
		"wire of 110 kV":     {Kind: structure.Wire, What: "line", VoltageV: 110e3},
		"wire measured":      {Kind: structure.Wire, What: "line", VoltageV: 20e3, MaxHeightM: limit(9)},
		"wire low":           {Kind: structure.Wire, What: "line", VoltageV: 20e3, MaxHeightM: limit(6)},
		"culvert":            {Kind: structure.Culvert, What: "stream"},
		"culvert rated":      {Kind: structure.Culvert, What: "stream", MaxMassKg: limit(40e3)},
		"stream":             {Kind: structure.Unbridged, What: "stream", Name: "Mill brook"},
		"no-go":              {Kind: structure.Area, What: "no-go"},
		"danger":             {Kind: structure.Area, What: "flood"},
		"dated":              {Kind: structure.Area, What: "no-go", ValidFrom: "2026-03-01", ValidUntil: "2026-05-31"},
		"area with a limit":  {Kind: structure.Area, What: "no-go", MaxMassKg: limit(40e3)},
		"area unreadable":    {Kind: structure.Area, What: "no-go", MaxMassKg: unreadable},
		"area with a height": {Kind: structure.Area, What: "no-go", MaxHeightM: limit(4)},
		"gantry":             {Kind: structure.Overhead, What: "gantry"},
		"two sources":        {Kind: structure.Bridge, MaxMassKg: limit(200e3), Differs: []string{`maxweight is "200" by a and "250" by b`}},
	} {
		out[name] = withFeature(t, plain, f)
		out[name+", train not known"] = withFeature(t, bare, f)
	}
	a := wayOf(t, straight(route.Tags{}, 400))
	out["matches nothing"] = check.NewSituation(plain, a, profile.Constant(0, a.LengthM()), nil,
		structure.Looked{Ways: "area.osm.pbf", Bare: []route.Stretch{{FromM: 0, ToM: 100}}})
	return out
}

// TestFound: what each kind of structure comes to.
func TestFound(t *testing.T) {
	scenes := foundScenes(t)
	for name, want := range map[string]check.Outcome{
		"gate": check.NotLooked, "gate wide": check.Caution, "gate narrow": check.Fail, "level crossing": check.NotLooked,
		"wire": check.NotLooked, "wire of 110 kV": check.NotLooked, "wire measured": check.Caution, "wire low": check.Fail,
		"culvert": check.NotLooked, "culvert rated": check.Fail, "stream": check.NotLooked,
		"no-go": check.Fail, "danger": check.NotLooked, "dated": check.NotLooked, "area with a limit": check.Fail,
		"area unreadable": check.NotLooked, "area with a height": check.Fail, "gantry": check.NotLooked,
		"two sources": check.Caution, "matches nothing": check.NotLooked,
	} {
		worst := check.Pass
		for _, f := range run(scenes[name]) {
			switch f.Check {
			case "gate", "crossing", "wire", "culvert", "unbridged", "area", "overhead", "structures", "sources":
				if !f.Standing {
					worst = max(worst, f.Outcome)
				}
			}
		}
		if worst != want {
			t.Errorf("%s: %v, want %v", name, worst, want)
		}
	}
}

// Distances of 29 CFR 1926.1408, table A, in feet: up to 50 kV 10, 200 kV 15,
// 350 kV 20, 500 kV 25, 750 kV 35, 1000 kV 45.
func TestSafeApproach(t *testing.T) {
	plain := setup(t, check.Settings{})
	for _, c := range []struct{ kV, feet float64 }{{20, 10}, {50, 10}, {110, 15}, {220, 20}, {380, 25}, {735, 35}, {1000, 45}} {
		f := of(run(withFeature(t, plain, structure.Feature{Kind: structure.Wire, VoltageV: c.kV * 1000})), "wire")
		if len(f) != 1 || math.Abs(quantity(t, f[0], "keep").Value-c.feet*0.3048) > 1e-9 {
			t.Errorf("%g kV: %+v", c.kV, f)
		}
	}
	if f := of(run(withFeature(t, plain, structure.Feature{Kind: structure.Wire, VoltageV: 1.2e6})), "wire"); !math.IsNaN(quantity(t, f[0], "keep").Value) {
		t.Errorf("above the table: %+v", f)
	}
}
