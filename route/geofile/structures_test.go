package geofile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"drawbar/route/structure"
)

func structuresOf(t *testing.T, name, text string) (*Structures, error) {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return ReadStructures(p, Options{})
}

func TestStructures(t *testing.T) {
	const geo = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"barrier":"height_restrictor","maxheight":"3.8"},"geometry":{"type":"Point","coordinates":[10,47]}},
{"type":"Feature","properties":{"no_go":"yes","name":"Mire","valid_until":"2026-05-01"},"geometry":{"type":"Polygon","coordinates":[[[10,47],[10.1,47],[10.1,47.1],[10,47]]]}},
{"type":"Feature","properties":{"bridge":"yes","maxweight":"12 t"},"geometry":{"type":"LineString","coordinates":[[10,47],[10.1,47]]}},
{"type":"Feature","properties":{"amenity":"bench"},"geometry":{"type":"Point","coordinates":[10,47]}}]}`
	s, err := structuresOf(t, "a.geojson", geo)
	if err != nil || len(s.Spots) != 2 || len(s.Lands) != 1 || len(s.Lines) != 1 || len(s.Notes) != 1 {
		t.Fatalf("%+v, %v", s, err)
	}
	for _, x := range s.Spots {
		switch x.Feature.Kind {
		case structure.Overhead:
			if x.Feature.MaxHeightM.Value != 3.8 || x.Point[0] != 10 {
				t.Errorf("%+v", x)
			}
		case structure.Bridge:
			if x.Feature.MaxMassKg.Value != 12000 || x.Line == nil {
				t.Errorf("%+v", x)
			}
		default:
			t.Errorf("%+v", x)
		}
	}
	if f := s.Lands[0].Feature; f.What != "no-go" || f.ValidUntil != "2026-05-01" || f.Name != "Mire" {
		t.Errorf("%+v", f)
	}
	const table = "\ufefflon,lat,ford,depth,barrier,width\n10,47,yes,0.4,,\n10,47,,,gate,3.2\n10,47,,,no,\n"
	if s, err = structuresOf(t, "a.csv", table); err != nil || len(s.Spots) != 2 || len(s.Notes) != 1 {
		t.Fatalf("%+v, %v", s, err)
	}
	if f := s.Spots[0].Feature; f.Kind != structure.Ford || f.DepthM.Value != 0.4 {
		t.Errorf("%+v", f)
	}
	if f := s.Spots[1].Feature; f.Kind != structure.Gate || f.MaxWidthM.Value != 3.2 {
		t.Errorf("%+v", f)
	}
}

func TestStructuresRefused(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"lat.csv":     {"lon,lat\n10,91\n", "row 2: lat"},
		"nan.csv":     {"lon,lat\nNaN,1\n", "row 2: lon"},
		"head.csv":    {"x,y\n1,2\n", "columns lon and lat are needed"},
		"ragged.csv":  {"lon,lat\n1,2\n1\n", "row 3"},
		"quote.csv":   {"lon,lat,barrier\n1,2,\"x\n", "row 2"},
		"empty.csv":   {"", "row 1"},
		"ring.json":   {`{"type":"Feature","properties":{"no_go":"yes"},"geometry":{"type":"Polygon","coordinates":[[[10,47],[11,47]]]}}`, "feature 1"},
		"many.json":   {`{"type":"Feature","properties":{"barrier":"gate"},"geometry":{"type":"MultiPoint","coordinates":[[10,47],[11,47]]}}`, "MultiPoint"},
		"empty.json":  {"", "the file is empty"},
		"cut.json":    {`{"type":"Feature","prop`, "cut.json"},
		"beyond.json": {`{"type":"Feature","properties":{"barrier":"gate"},"geometry":{"type":"Point","coordinates":[190,47]}}`, "feature 1"},
	} {
		if _, err := structuresOf(t, name, c.text); err == nil || !strings.HasPrefix(err.Error(), name+": ") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// What a line is by its tags.
func TestWayOf(t *testing.T) {
	for _, c := range []struct {
		kv   map[string]string
		kind int
	}{
		{map[string]string{"highway": "track"}, 0},
		{map[string]string{"railway": "rail"}, 1},
		{map[string]string{"railway": "tram"}, 4},
		{map[string]string{"railway": "abandoned"}, 4},
		{map[string]string{"railway": "rail", "highway": "service"}, 0},
		{map[string]string{"waterway": "stream", "tunnel": "culvert"}, 2},
		{map[string]string{"power": "line", "voltage": "110000;20000"}, 3},
		{map[string]string{"power": "cable"}, 4},
	} {
		tags, _ := TagsOf(c.kv)
		w := WayOf(tags)
		if int(w.Kind) != c.kind {
			t.Errorf("%v: kind %d, want %d", c.kv, w.Kind, c.kind)
		}
		if c.kv["tunnel"] == "culvert" && !w.Below || c.kv["voltage"] != "" && w.VoltageV != 110e3 {
			t.Errorf("%v: %+v", c.kv, w)
		}
	}
}
