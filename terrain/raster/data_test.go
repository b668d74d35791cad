//go:build cgo

package raster

import (
	"context"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/tidwall/gjson"
)

const dataDir = "../../../shared/data"

// data names a file of the data folder, which is not part of the repository.
func data(t testing.TB, parts ...string) string {
	t.Helper()
	if _, err := os.Stat(dataDir); err != nil {
		t.Skip("no folder shared/data beside the repository")
	}
	return filepath.Join(append([]string{dataDir}, parts...)...)
}

func text(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	must(t, err)
	return string(b)
}

// Source: z of the route sampled from the raster bilinearly by other software,
// key/lisbon.json; 0.00024 m is its own check.
func TestLisbonRouteIsMet(t *testing.T) {
	r := openTest(t, data(t, "dem", "lisbon_10m_epsg3763.tif"), Options{})
	var pts []orb.Point
	var want []float64
	for _, c := range gjson.Get(text(t, data(t, "roads", "lisbon_route_3d.geojson")), "features.0.geometry.coordinates").Array() {
		v := c.Array()
		pts, want = append(pts, orb.Point{v[0].Num, v[1].Num}), append(want, v[2].Num)
	}
	worst := 0.0
	for i, s := range heights(t, r, pts...) {
		if s.Why != terrain.Valid {
			t.Fatalf("vertex %d: %v", i, s.Why)
		}
		worst = max(worst, math.Abs(s.ZM-want[i]))
	}
	t.Logf("%d vertices, worst %.6f m", len(pts), worst)
	if len(pts) != 375 || worst > 0.01 {
		t.Errorf("%d vertices, worst %v m", len(pts), worst)
	}
}

// spread are points all over the tile N47E009, and on its cell centres.
func spread() []orb.Point {
	pts := scatter(3000, 7)
	for i := range pts {
		pts[i] = orb.Point{9.47 + 0.13*pts[i][0], 47.13 + 0.13*(pts[i][1]-0.2)}
	}
	return append(pts, orb.Point{9.5, 47.2}, orb.Point{9.55, 47.15})
}

func TestTwinsOfOneTileAgree(t *testing.T) {
	hgt := openTest(t, data(t, "dem", "N47E009.hgt"), Options{})
	pts := spread()
	want := heights(t, hgt, pts...)
	dted := filepath.Join(t.TempDir(), "n47.dt1")
	ds, err := godal.Open(data(t, "dem", "N47E009.hgt"))
	must(t, err)
	out, err := ds.Translate(dted, []string{"-of", "DTED"}, godal.ErrLogger((&gdalLog{}).handle))
	must(t, err)
	must(t, out.Close())
	must(t, ds.Close())
	for name, path := range map[string]string{"COG": data(t, "dem", "N47E009_cog.tif"), "DTED": dted} {
		r := openTest(t, path, Options{})
		worst := 0.0
		for i, s := range heights(t, r, pts...) {
			if s.Why != want[i].Why {
				t.Fatalf("%s at %v: %v, HGT %v", name, pts[i], s.Why, want[i].Why)
			}
			if s.Why == terrain.Valid {
				worst = max(worst, math.Abs(s.ZM-want[i].ZM))
			}
		}
		// The three origins differ in the last digit of a double: 1e-13 degrees.
		if t.Logf("%s: worst %.2g m", name, worst); worst > 1e-6 {
			t.Errorf("%s: worst %v m", name, worst)
		}
		if name == "DTED" && r.Sources()[0].Datum != "EGM96" {
			t.Errorf("datum %q", r.Sources()[0].Datum)
		}
	}
}

// The LV95 twin is a cubic resampling to 30 m of 63 x 93 m cells: heights
// differ by what two interpolations differ, more where the ground is rough, but
// without bias. A shift of half a cell would show as tens of metres.
func TestProjectedTwinIsClose(t *testing.T) {
	hgt := openTest(t, data(t, "dem", "N47E009.hgt"), Options{})
	lv95 := openTest(t, data(t, "dem", "liechtenstein_30m_epsg2056_float.tif"), Options{})
	pts := spread()
	a, b := heights(t, hgt, pts...), heights(t, lv95, pts...)
	var diff []float64
	sum := 0.0
	for i := range pts {
		if a[i].Why == terrain.Valid && b[i].Why == terrain.Valid {
			diff = append(diff, math.Abs(a[i].ZM-b[i].ZM))
			sum += a[i].ZM - b[i].ZM
		}
	}
	slices.Sort(diff)
	n := len(diff)
	mean, median, p95 := sum/float64(n), diff[n/2], diff[n*95/100]
	t.Logf("%d points: mean %.3f m, median of size %.3f m, 95 %% %.3f m, worst %.3f m", n, mean, median, p95, diff[n-1])
	if n < 2000 || math.Abs(mean) > 0.1 || median > 1.5 || p95 > 8 {
		t.Errorf("%d points: mean %v m, median %v m, 95 %% %v m", n, mean, median, p95)
	}
}

// Source: key/inl_feet.json: raster less levelled altitude of 69 wells has
// median 1.07 ft, 95 % within 6.91 ft.
func TestFeetRasterMeetsLevelledWells(t *testing.T) {
	r := openTest(t, data(t, "dem", "inl_100m_feet.tif"), Options{})
	if s := r.Sources()[0]; s.Unit != "ft" {
		t.Fatalf("unit %q", s.Unit)
	}
	rows, err := csv.NewReader(strings.NewReader(text(t, data(t, "roads", "inl_sites_altitude_ft.csv")))).ReadAll()
	must(t, err)
	var diff, size []float64
	for _, row := range rows[1:] {
		if row[4] != "L" {
			continue
		}
		var v [3]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(row[i+1], 64)
			must(t, err)
		}
		if s := heights(t, r, orb.Point{v[0], v[1]})[0]; s.Why == terrain.Valid {
			diff = append(diff, s.ZM/0.3048-v[2])
			size = append(size, math.Abs(s.ZM/0.3048-v[2]))
		}
	}
	slices.Sort(diff)
	slices.Sort(size)
	n := len(diff)
	at := 0.95 * float64(n-1) // the key's percentile, linear between ranks
	k := int(at)
	median, p95 := diff[n/2], size[k]+(at-float64(k))*(size[k+1]-size[k])
	t.Logf("%d wells: median %.2f ft, 95 %% within %.2f ft", n, median, p95)
	if n != 69 || math.Abs(median-1.07) > 0.01 || math.Abs(p95-6.91) > 0.01 {
		t.Errorf("%d wells: median %v ft, 95 %% within %v ft", n, median, p95)
	}
}

func TestTwinsOfTheReferenceAgree(t *testing.T) {
	ref := openTest(t, data(t, "badinputs", "raster", "ok_reference.tif"), Options{})
	pts := spread()
	want := heights(t, ref, pts...)
	for name, within := range map[string]float64{
		"big_endian.tif": 0, "ifd_loop.tif": 0, "feet_unit_tag.tif": 0.2, "feet_compound_crs.tif": 0.2,
	} {
		r := openTest(t, data(t, "badinputs", "raster", name), Options{})
		for i, s := range heights(t, r, pts...) {
			if s.Why != want[i].Why || s.Why == terrain.Valid && math.Abs(s.ZM-want[i].ZM) > within {
				t.Fatalf("%s at %v: %+v, reference %+v", name, pts[i], s, want[i])
			}
		}
	}
	// The other twins the reference has: made here.
	ds, err := godal.Open(data(t, "badinputs", "raster", "ok_reference.tif"))
	must(t, err)
	defer ds.Close()
	dir := t.TempDir()
	for name, switches := range map[string][]string{
		"bigtiff.tif": {"-co", "BIGTIFF=YES", "-co", "TILED=YES", "-co", "BLOCKXSIZE=16", "-co", "BLOCKYSIZE=16"},
		"scaled.tif":  {"-ot", "Int32", "-scale", "0", "1000", "0", "100000", "-a_scale", "0.01", "-a_offset", "0"},
		"zstd.tif":    {"-co", "COMPRESS=ZSTD", "-ot", "Float64"},
		"ascii.asc":   {"-of", "AAIGrid"},
		"virtual.vrt": {"-of", "VRT"},
	} {
		path := filepath.Join(dir, name)
		out, err := ds.Translate(path, switches, godal.ErrLogger((&gdalLog{}).handle))
		must(t, err)
		must(t, out.Close())
		r := openTest(t, path, Options{})
		within := 1e-6
		if name == "ascii.asc" {
			within = 1e-4 // its header holds 12 decimals: the far side lies 1e-10 degrees off
		}
		for i, s := range heights(t, r, pts...) {
			if s.Why != want[i].Why || s.Why == terrain.Valid && math.Abs(s.ZM-want[i].ZM) > within {
				t.Fatalf("%s at %v: %+v, reference %+v", name, pts[i], s, want[i])
			}
		}
	}
}

// tolerated are files marked REJECT that give heights here, and why.
var tolerated = map[string]string{
	"ifd_loop.tif": "the looping list of directories comes after the one image, whose cells are whole and equal the reference",
}

func TestBadRasters(t *testing.T) {
	want := map[string]string{}
	for _, line := range strings.Split(text(t, data(t, "badinputs", "MANIFEST.tsv")), "\n") {
		if f := strings.Split(line, "\t"); len(f) > 3 {
			want[f[0]] = f[3]
		}
	}
	ran := 0
	for _, folder := range []string{"raster", "tiff_fuzz"} {
		entries, err := os.ReadDir(data(t, "badinputs", folder))
		must(t, err)
		for _, e := range entries {
			ran++
			t.Run(e.Name(), func(t *testing.T) {
				began := time.Now()
				err := useAll(t, data(t, "badinputs", folder, e.Name()))
				if d := time.Since(began); d > 10*time.Second {
					t.Errorf("took %v", d)
				}
				verdict, reason := want[folder+"/"+e.Name()], tolerated[e.Name()]
				switch {
				case verdict == "":
					t.Error("not in the manifest")
				case verdict == "REJECT" && err == nil && reason == "":
					t.Error("accepted")
				case verdict == "ACCEPT" && err != nil:
					t.Errorf("refused: %v", err)
				case reason != "" && err != nil:
					t.Errorf("no longer tolerated: %v", err)
				}
				var ours *Error
				if err != nil && (!errors.As(err, &ours) || ours.Err == nil || !strings.Contains(err.Error(), e.Name())) {
					t.Errorf("an error without a file or a sentinel: %v", err)
				}
			})
		}
	}
	if ran < 79 {
		t.Errorf("only %d files", ran)
	}
}

// useAll opens a raster and asks for heights all over it.
func useAll(t *testing.T, path string) error {
	r, err := Open(path, Options{CacheBytes: 8 << 20})
	if err != nil {
		return err
	}
	defer r.Close()
	var pts []orb.Point
	for i := range 15 {
		for j := range 15 {
			pts = append(pts, r.lonLat(t, float64(r.cols)*float64(i)/14, float64(r.rows)*float64(j)/14))
		}
	}
	out := make([]terrain.Sample, len(pts))
	if err := r.Elevations(context.Background(), pts, out); err != nil {
		return err
	}
	for _, s := range out {
		if (s.Why == terrain.Valid) == math.IsNaN(s.ZM) {
			t.Errorf("%+v", s)
		}
	}
	return nil
}
