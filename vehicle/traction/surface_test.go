package traction_test

import (
	"errors"
	"math"
	"strings"
	"testing"

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
