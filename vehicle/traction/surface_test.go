package traction_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func sinDeg(d float64) float64 { return math.Sin(d * math.Pi / 180) }

var weathers = []traction.Weather{traction.Dry, traction.Wet, traction.Snow, traction.Ice}

// Every row is ordered, sourced and has a standing; wet never grips better than
// dry on the same surface, except sand, which water firms.
func TestTable(t *testing.T) {
	for _, name := range strings.Fields("asphalt concrete paving wood metal compacted gravel earth grass sand mud snow ice") {
		for _, w := range weathers {
			s, ok := traction.DefaultTable().Named(name, w)
			if !ok {
				t.Fatalf("no row for %s %s", name, w)
			}
			for _, r := range []traction.Range{s.Mu, s.Roll} {
				if !(0 < r.Low.V && r.Low.V < r.Design.V && r.Design.V < r.High.V && r.High.V <= 1) {
					t.Errorf("%s %s: %g %g %g not in order", name, w, r.Low.V, r.Design.V, r.High.V)
				}
				for _, v := range []traction.Value{r.Low, r.Design, r.High} {
					if v.Source == "" || !strings.Contains("read derived memory choice", v.Standing) || v.Standing == "" {
						t.Errorf("%s %s: value %+v without source or standing", name, w, v)
					}
				}
			}
			if len(s.Assumed()) != 6 || s.Assumed()[0].Value != s.Mu.Design.V {
				t.Errorf("%s %s: assumptions %+v", name, w, s.Assumed())
			}
		}
		dry, _ := traction.DefaultTable().Named(name, traction.Dry)
		wet, _ := traction.DefaultTable().Named(name, traction.Wet)
		if name != "sand" && wet.Mu.Design.V > dry.Mu.Design.V {
			t.Errorf("%s grips better wet", name)
		}
	}
	if _, ok := traction.DefaultTable().Named("marble", traction.Dry); ok {
		t.Error("marble has no row")
	}
}

// Source: reference note, 1.2 and 1.3, values read there.
func TestTableValues(t *testing.T) {
	for _, r := range []struct {
		name     string
		w        traction.Weather
		mu, roll float64
	}{
		{"asphalt", traction.Dry, 0.50, 0.012}, {"asphalt", traction.Wet, 0.45, 0.012},
		{"concrete", traction.Dry, 0.70, 0.012}, {"gravel", traction.Dry, 0.50, 0.035},
		{"gravel", traction.Wet, 0.40, 0.035}, {"earth", traction.Dry, 0.50, 0.06},
		{"asphalt", traction.Ice, 0.07, 0.012}, {"sand", traction.Dry, 0.25, 0.25},
	} {
		s, _ := traction.DefaultTable().Named(r.name, r.w)
		if s.Mu.Design.V != r.mu || s.Roll.Design.V != r.roll {
			t.Errorf("%s %s: %g, %g, want %g, %g", r.name, r.w, s.Mu.Design.V, s.Roll.Design.V, r.mu, r.roll)
		}
	}
}

func row(name, weather, measure string) vehicle.SurfaceRowSpec {
	return vehicle.SurfaceRowSpec{Name: name, Weather: weather, Measure: measure, Source: "pull test of 2 March",
		Mu:   &vehicle.SpreadSpec{Low: p(0.21), Design: p(0.31), High: p(0.41)},
		Roll: &vehicle.SpreadSpec{Low: p(0.01), Design: p(0.02), High: p(0.03)}}
}

// Rows given replace those of the table or are added; the table they were given
// to stays as it was.
func TestTableWith(t *testing.T) {
	was := traction.DefaultTable()
	now, err := was.With(vehicle.SurfacesSpec{Kind: "surfaces", Rows: []vehicle.SurfaceRowSpec{row("gravel", "wet", ""), row("clinker", "dry", ""), row("snow", "snow", "")}})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		name string
		w    traction.Weather
		mu   float64
	}{{"gravel", traction.Wet, 0.31}, {"gravel", traction.Dry, 0.50}, {"clinker", traction.Dry, 0.31}, {"asphalt", traction.Snow, 0.31}, {"snow", traction.Dry, 0.31}, {"asphalt", traction.Ice, 0.07}} {
		if s, ok := now.Named(r.name, r.w); !ok || s.Mu.Design.V != r.mu {
			t.Errorf("%s %s: %g, %v, want %g", r.name, r.w, s.Mu.Design.V, ok, r.mu)
		}
	}
	if s, _ := was.Named("gravel", traction.Wet); s.Mu.Design.V != 0.40 {
		t.Error("the default table has changed")
	}
	for _, r := range []struct {
		tag   string
		w     traction.Weather
		want  string
		known bool
	}{{"clinker", traction.Dry, "clinker", true}, {"clinker", traction.Wet, "asphalt concrete paving compacted gravel earth grass sand mud", false}, {"clinker;asphalt", traction.Dry, "asphalt clinker", true}, {"clinker", traction.Ice, "ice", true}} {
		set, err := now.Possible(traction.SurfaceTags{Surface: r.tag, Tracktype: "grade1"}, r.w)
		var names []string
		for _, s := range set {
			names = append(names, s.Name)
		}
		if err != nil || strings.Join(names, " ") != r.want || now.Known(r.tag, r.w) != r.known {
			t.Errorf("surface=%s %s: %v, known %v, %v; want %s", r.tag, r.w, names, now.Known(r.tag, r.w), err, r.want)
		}
	}
	// As soft as it rolls: 0.02 is firmer than earth, and grade5 says earth or worse.
	soft, err := now.Possible(traction.SurfaceTags{Surface: "clinker", Tracktype: "grade5"}, traction.Dry)
	if err != nil || len(soft) != 5 || !strings.Contains(soft[0].From, "contradict") {
		t.Errorf("clinker on grade5: %v, %v", soft, err)
	}
	a := now.Assumed()
	if len(a) != 3 || a[0].Key != "surfaces.gravel.wet" || a[0].Standing != "given" || !strings.Contains(a[0].Source, "2 March") || len(was.Assumed()) != 0 {
		t.Errorf("assumptions %+v", a)
	}
	if _, err := was.With(vehicle.SurfacesSpec{Kind: "surfaces", Rows: []vehicle.SurfaceRowSpec{{Name: "gravel"}}}); err == nil {
		t.Error("half a row was taken")
	}
}

// Measures count on snow and ice alone, never grip worse than bare, and roll as
// bare. What winter aggregate adds on ice: traction tests of 1993-94 (abstract
// read): 15 % at 75 g/m2, 30 % at 150 g/m2.
func TestMeasures(t *testing.T) {
	bare := traction.DefaultTable()
	for _, m := range traction.Measures() {
		table, err := bare.WithMeasure(m)
		if err != nil {
			t.Fatal(err)
		}
		for _, was := range bare.Rows() {
			if was.Measure != traction.NoMeasure {
				continue
			}
			s, ok := table.Named(was.Name, was.Weather)
			covered := was.Name == "snow" || was.Name == "ice"
			switch {
			case !ok || s.Name != was.Name || (s.Measure == m) != covered:
				t.Errorf("%s: %s %s gives %+v", m, was.Name, was.Weather, s)
			case !covered && (s.Mu != was.Mu || s.Roll != was.Roll):
				t.Errorf("%s changes %s", m, was.Name)
			case covered && !(s.Mu.Low.V >= was.Mu.Low.V && s.Mu.Design.V > was.Mu.Design.V && s.Mu.High.V > was.Mu.High.V && s.Roll == was.Roll):
				t.Errorf("%s on %s: %+v after %+v", m, was.Name, s.Mu, was.Mu)
			}
		}
		if a := table.Assumed(); len(a) != 1 || a[0].Key != "measure."+string(m) {
			t.Errorf("%s assumes %+v", m, a)
		}
	}
	grit, _ := bare.WithMeasure(traction.Grit)
	ice, _ := bare.Named("ice", traction.Ice)
	gritted, _ := grit.Named("ice", traction.Ice)
	if math.Abs(gritted.Mu.Low.V/ice.Mu.Low.V-1.15) > 1e-9 || math.Abs(gritted.Mu.Design.V/ice.Mu.Design.V-1.30) > 1e-9 {
		t.Errorf("gritted ice %+v of %+v", gritted.Mu, ice.Mu)
	}
	if a := gritted.Assumed()[0]; a.Key != "surface.ice.grit.ice.mu" || gritted.Label() != "ice with grit" {
		t.Errorf("%s, %+v", gritted.Label(), a)
	}
	if _, err := bare.WithMeasure("spikes"); !errors.Is(err, traction.ErrMeasure) {
		t.Errorf("spikes: %v", err)
	}
}

// Every row has its six values, sourced, in order, and no name stands twice.
func TestRows(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range traction.DefaultTable().Rows() {
		key := s.Label() + " " + string(s.Weather)
		if seen[key] {
			t.Errorf("%s stands twice", key)
		}
		seen[key] = true
		for _, r := range []traction.Range{s.Mu, s.Roll} {
			if !(0 < r.Low.V && r.Low.V < r.Design.V && r.Design.V < r.High.V && r.High.V <= 1) {
				t.Errorf("%s: %g %g %g not in order", key, r.Low.V, r.Design.V, r.High.V)
			}
			for _, v := range []traction.Value{r.Low, r.Design, r.High} {
				if v.Source == "" || v.Standing == "" {
					t.Errorf("%s: %+v", key, v)
				}
			}
		}
	}
	if len(seen) != 11*2+2+4 {
		t.Errorf("%d rows", len(seen))
	}
}

func TestPossible(t *testing.T) {
	for _, r := range []struct {
		tags traction.SurfaceTags
		w    traction.Weather
		want string
		from string
	}{
		{traction.SurfaceTags{Surface: "asphalt"}, traction.Dry, "asphalt", "surface=asphalt"},
		{traction.SurfaceTags{Surface: "concrete:plates"}, traction.Wet, "concrete", "surface=concrete:plates"},
		{traction.SurfaceTags{Surface: "asphalt; gravel"}, traction.Dry, "asphalt gravel", "surface=asphalt; gravel"},
		{traction.SurfaceTags{Surface: "gravel", Highway: "motorway", Smoothness: "excellent"}, traction.Dry, "gravel", "surface=gravel"},
		{traction.SurfaceTags{Highway: "primary"}, traction.Dry, "asphalt concrete", "highway=primary without surface: one of 2"},
		{traction.SurfaceTags{Highway: "track", Tracktype: "grade2"}, traction.Dry, "compacted gravel", "tracktype=grade2: one of 2"},
		{traction.SurfaceTags{Highway: "track"}, traction.Wet, "compacted gravel earth grass sand mud", "highway=track without surface: one of 6"},
		{traction.SurfaceTags{Highway: "unclassified", Smoothness: "good"}, traction.Dry, "asphalt concrete paving", "smoothness=good"},
		{traction.SurfaceTags{Highway: "primary", Smoothness: "horrible"}, traction.Dry, "asphalt concrete", "highway=primary"},
		{traction.SurfaceTags{}, traction.Dry, "asphalt concrete paving compacted gravel earth grass sand mud", "no surface, tracktype or highway: one of 9"},
		{traction.SurfaceTags{Highway: "proposed"}, traction.Dry, "asphalt concrete paving compacted gravel earth grass sand mud", "highway=proposed says nothing"},
		{traction.SurfaceTags{Surface: "marshmallow", Highway: "primary"}, traction.Dry, "asphalt concrete paving compacted gravel earth grass sand mud", "surface=marshmallow is not a known value"},
		{traction.SurfaceTags{Surface: "mud;marshmallow", Highway: "primary"}, traction.Dry, "asphalt concrete paving compacted gravel earth grass sand mud", "surface=mud;marshmallow is not a known value"},
		{traction.SurfaceTags{Surface: "asphalt", Tracktype: "grade5"}, traction.Dry, "asphalt earth grass sand mud", "contradict each other: one of 5"},
		{traction.SurfaceTags{Surface: "gravel", Tracktype: "grade1"}, traction.Dry, "gravel", "surface=gravel"},
		{traction.SurfaceTags{Surface: "asphalt", Tracktype: "grade1"}, traction.Dry, "asphalt", "surface=asphalt"},
		{traction.SurfaceTags{Highway: "track"}, traction.Snow, "snow", "highway=track"},
		{traction.SurfaceTags{Surface: "ice"}, traction.Dry, "ice", "surface=ice"},
	} {
		got, err := traction.DefaultTable().Possible(r.tags, r.w)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, s := range got {
			names = append(names, s.Name)
			if !strings.Contains(s.From, r.from) {
				t.Errorf("%+v: from %q, want %q", r.tags, s.From, r.from)
			}
		}
		if strings.Join(names, " ") != r.want {
			t.Errorf("%+v: %v, want %s", r.tags, names, r.want)
		}
	}
	if _, err := traction.DefaultTable().Possible(traction.SurfaceTags{}, "fog"); !errors.Is(err, traction.ErrWeather) {
		t.Errorf("fog: %v", err)
	}
}
