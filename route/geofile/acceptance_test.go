package geofile_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"drawbar/route"
	"drawbar/route/geofile"
)

const dataDir = "../../../shared/data"

func needData(t *testing.T) {
	t.Helper()
	if _, err := os.Stat(dataDir); err != nil {
		t.Skip("the shared data folder is not there: acceptance files not read")
	}
}

// notTheReaders are verdicts of the manifest that rest on more than the file
// and its geometry, so that the reader alone must or may take it silently.
var notTheReaders = map[string]string{
	"route/lonlat_swapped.geojson":       "a whole line with swapped axes is a legal line elsewhere: only the raster tells",
	"route/wholly_outside.geojson":       "a legal line: only the raster tells",
	"route/outside_bristol.geojson":      "legal lines: only the raster tells",
	"route/antimeridian_plain.geojson":   "read as the short line that it is, with a note: the reader unwraps it",
	"route/weight_huge.geojson":          "gross_t is a figure of the transporter, not a tag of the way",
	"geojson/rasterio_issue1446.geojson": "by its content a legal file: lines in CRS84, not points in a projection as the manifest has it",
	"route/out_and_back.geojson":         "U-turns are found by the bends of the alignment",
	"route/right_angle.geojson":          "radius at a kink is judged by the bends of the alignment",
	"route/z_feet.geojson":               "1500 to 3000 is as good in metres: only the raster tells",
}

func TestBadInputs(t *testing.T) {
	needData(t)
	manifest, err := os.ReadFile(filepath.Join(dataDir, "badinputs/MANIFEST.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	counts, used := map[string]int{}, map[string]bool{}
	for row := range strings.Lines(string(manifest)) {
		f := strings.Split(row, "\t")
		group, _, _ := strings.Cut(f[0], "/")
		if group != "json" && group != "geojson" && group != "route" {
			continue
		}
		verdict := f[3]
		routes, noted, why := readOne(t, f[0])
		_, excused := notTheReaders[f[0]]
		used[f[0]] = true
		ok := true
		switch verdict {
		case "REJECT":
			ok = routes == 0
		case "ACCEPT":
			ok = routes > 0 && why == nil
		case "WARN":
			ok = noted || why != nil
		}
		switch {
		case ok && excused:
			t.Errorf("%s: an exception that is none (any more)", f[0])
		case !ok && !excused:
			t.Errorf("%s: %s wanted, got %d routes, noted %t, %v", f[0], verdict, routes, noted, why)
		case excused:
			verdict += " by others"
		}
		counts[group+" "+verdict]++
	}
	for name := range notTheReaders {
		if !used[name] {
			t.Errorf("%s: an exception without a file", name)
		}
	}
	t.Logf("files by group and verdict: %v", counts)
}

// readOne reads a file of the bad inputs: the number of routes, whether each
// has a note, the first error.
func readOne(t *testing.T, name string) (routes int, noted bool, why error) {
	t.Helper()
	start := time.Now()
	recs, why := geofile.ReadFile(filepath.Join(dataDir, "badinputs", name), geofile.Options{})
	if took := time.Since(start); took > 10*time.Second {
		t.Errorf("%s: took %v", name, took)
	}
	for _, r := range recs {
		if r.Err != nil {
			if why == nil {
				why = r.Err
			}
			continue
		}
		checkRoute(t, r.Route)
		routes++
		noted = noted || len(r.Route.Notes) > 0
	}
	if errors.Is(why, os.ErrNotExist) {
		t.Fatal(why)
	}
	return routes, noted, why
}

func readReal(t *testing.T, name string) []*route.Route {
	t.Helper()
	needData(t)
	recs, err := geofile.ReadFile(filepath.Join(dataDir, name), geofile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var all []*route.Route
	for _, r := range recs {
		if r.Err != nil {
			t.Errorf("%s: %v", name, r.Err)
			continue
		}
		checkRoute(t, r.Route)
		all = append(all, r.Route)
	}
	return all
}

// Source of the counts: the project's data index (12.8 km with a tunnel and a
// bridge, once in pieces, once as a bare line).
func TestRealPiecesAndLine(t *testing.T) {
	for _, name := range []string{"li_vaduz_malbun", "li_balzers_triesenberg", "li_ruggell_vaduz"} {
		pieces := readReal(t, "roads/"+name+".geojson")
		bare := readReal(t, "roads/"+name+"_line.geojson")
		if len(pieces) != 1 || len(bare) != 1 {
			t.Fatalf("%s: %d and %d routes", name, len(pieces), len(bare))
		}
		if pieces[0].ID != name || len(pieces[0].Pieces) < 30 || len(bare[0].Pieces) != 1 {
			t.Errorf("%s: route %q of %d pieces", name, pieces[0].ID, len(pieces[0].Pieces))
		}
		if !pieces[0].Line.Equal(bare[0].Line) {
			t.Errorf("%s: pieces and line differ: %d and %d vertices", name, len(pieces[0].Line), len(bare[0].Line))
		}
		bridges, tunnels := 0, 0
		for _, p := range pieces[0].Pieces {
			if !p.Tags.Mapped {
				t.Errorf("%s: a piece with highway is not mapped", name)
			}
			if p.Tags.Bridge != "" {
				bridges++
			}
			if p.Tags.Tunnel != "" {
				tunnels++
			}
		}
		if bare[0].Pieces[0].Tags.Mapped {
			t.Errorf("%s: the bare line passes for mapped", name)
		}
		if name == "li_vaduz_malbun" && (tunnels == 0 || bridges == 0) {
			t.Errorf("%d bridges, %d tunnels", bridges, tunnels)
		}
		t.Logf("%s: %d vertices, %d pieces, %d bridges, %d tunnels, notes %q", name, len(bare[0].Line), len(pieces[0].Pieces), bridges, tunnels, pieces[0].Notes)
	}
}

func TestRealSequences(t *testing.T) {
	for _, name := range []string{"network/li_300.geojsonseq", "network/poa_300.geojsonseq"} {
		all := readReal(t, name)
		n := 0
		for _, r := range all {
			n += len(r.Line)
		}
		if len(all) != 300 || all[0].ID != "R00000" {
			t.Errorf("%s: %d routes", name, len(all))
		}
		t.Logf("%s: %d routes, %d vertices", name, len(all), n)
	}
}

func TestRealHeights(t *testing.T) {
	flat, high := readReal(t, "roads/lisbon_route.geojson"), readReal(t, "roads/lisbon_route_3d.geojson")
	if len(flat) != 1 || len(high) != 1 || flat[0].Z != nil || len(high[0].Z) != len(high[0].Line) {
		t.Fatal("the 3D route has lost its heights")
	}
	// First position of the file: 55.91551621.
	if high[0].Z[0] != 55.91551621 {
		t.Errorf("Z[0] = %v", high[0].Z[0])
	}
	for _, z := range high[0].Z {
		if math.IsNaN(z) {
			t.Error("a height is missing")
		}
	}
}

func TestRealCollections(t *testing.T) {
	for name, want := range map[string]int{
		"roads/bristol_ways_no_dem.geojson": 5143, "roads/inl_roads.geojson": 7094, "roads/lisbon_road_network.geojson": 271,
		"roads/seattle_magnolia_slopepct.geojson": 433, "network/liechtenstein_edges.geojson": 4117, "network/poa_edges.geojson": 21423,
	} {
		needData(t)
		recs, err := geofile.ReadFile(filepath.Join(dataDir, name), geofile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		bad := 0
		seen := map[string]bool{}
		for _, r := range recs {
			if r.Err != nil {
				if bad++; bad < 4 {
					t.Logf("%s: %v", name, r.Err)
				}
				continue
			}
			if seen[r.Route.ID] {
				t.Errorf("%s: ID %q twice", name, r.Route.ID)
			}
			seen[r.Route.ID] = true
		}
		if len(recs) != want {
			t.Errorf("%s: %d records, want %d", name, len(recs), want)
		}
		t.Logf("%s: %d routes, %d errors", name, len(recs)-bad, bad)
	}
}

func BenchmarkRead200k(b *testing.B) {
	data, err := os.ReadFile(filepath.Join(dataDir, "badinputs/route/many_points_200k.geojson"))
	if err != nil {
		b.Skip("the shared data folder is not there")
	}
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := geofile.Read(strings.NewReader(string(data)), "x.geojson", geofile.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
