package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed is the import table of the house: what each room may import of ours.
// A room that is not in it fails the test, so that a new one is thought about.
// DEVELOPERS.md shows the same table.
var allowed = map[string]string{
	"route":              "",
	"terrain":            "",
	"vehicle":            "",
	"vehicle/traction":   "vehicle",
	"vehicle/sweep":      "vehicle",
	"vehicle/stability":  "vehicle",
	"vehicle/pull":       "vehicle",
	"vehicle/loadeffect": "vehicle",
	"vehicle/ground":     "vehicle",
	"vehicle/specfile":   "vehicle",
	"terrain/raster":     "terrain",
	"route/structure":    "route",
	"route/ways":         "route route/structure",
	"route/geofile":      "route route/structure route/ways",
	"route/geofile/osm":  "route route/structure route/ways route/geofile",
	"route/bend":         "route",
	"route/known":        "route",
	"route/profile":      "route terrain",
	"route/check":        "route route/bend route/known route/profile route/structure vehicle vehicle/traction vehicle/sweep vehicle/stability vehicle/loadeffect vehicle/ground",
	"route/secondtow":    "route route/check vehicle vehicle/traction vehicle/pull",
	"route/verdict":      "route route/known route/structure route/ways route/profile route/check route/secondtow terrain",
	"route/report":       "route route/known vehicle/traction route/structure route/check route/secondtow route/verdict route/geofile route/profile",
	"samples/valley":     "",
	"samples/generate":   "samples/valley",
	"cmd/drawbar":        "*",
}

// Outside the module: who alone may import what.
var onlyIn = map[string][]string{
	"github.com/airbusgeo/" + "godal": {"terrain/raster"},
	"github.com/spf13/cobra":          {"cmd/drawbar"},
	"github.com/goccy/go-yaml":        {"vehicle/specfile"},
	"github.com/tidwall/geojson":      {"route/geofile", "route/structure"},
	"github.com/paulmach/osm":         {}, // in tests only
	"github.com/tidwall/geodesic":     {"route"},
	"github.com/paulmach/orb/geo":     {},
	"github.com/paulmach/orb/geojson": {},
}

// impure packages may not be imported by rooms that compute.
var impure = []string{"os", "net", "time", "net/http", "os/exec"}

// pure are the rooms that compute.
var pure = []string{"route", "terrain", "vehicle", "vehicle/traction", "vehicle/sweep", "vehicle/stability", "vehicle/pull", "vehicle/loadeffect", "vehicle/ground", "route/known", "route/structure", "route/ways", "route/bend", "route/profile",
	"route/check", "route/secondtow", "route/verdict", "route/report", "samples/valley"}

// TestImportTable holds the direct imports of every package to the table.
func TestImportTable(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, "drawbar/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		room := strings.TrimPrefix(words[0], "drawbar/")
		may, ok := allowed[room]
		if !ok {
			t.Errorf("room %s is not in the import table", room)
			continue
		}
		seen++
		for _, imp := range words[1:] {
			checkImport(t, room, may, imp)
		}
	}
	if seen != len(allowed) {
		t.Errorf("the table has %d rooms, the module %d of them: take out what is gone", len(allowed), seen)
	}
}

func checkImport(t *testing.T, room, may, imp string) {
	t.Helper()
	if ours, ok := strings.CutPrefix(imp, "drawbar/"); ok {
		if may != "*" && !slices.Contains(strings.Fields(may), ours) {
			t.Errorf("%s imports %s: the table forbids it", room, ours)
		}
		return
	}
	for pkg, rooms := range onlyIn {
		if (imp == pkg || strings.HasPrefix(imp, pkg+"/")) && !slices.Contains(rooms, room) {
			t.Errorf("%s imports %s: only %v may", room, imp, rooms)
		}
	}
	if slices.Contains(pure, room) && slices.Contains(impure, imp) {
		t.Errorf("%s imports %s: it is a room that computes", room, imp)
	}
}
