//go:build cgo

package raster

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// save writes a layout as a file of a folder.
func (l layout) save(t testing.TB, folder, name string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	ds, err := godal.Open(l.write(t.(*testing.T)))
	must(t, err)
	tif, err := ds.Translate(path, []string{"-of", "GTiff"})
	must(t, err)
	must(t, tif.Close())
	must(t, ds.Close())
	return path
}

// cut is the part of hash cells from a column and row on, in the grid north10.
func cut(col, row, cols, rows int) layout {
	x, y := affine(north10).at(float64(col), float64(row))
	return layout{cols: cols, rows: rows, gt: [6]float64{x, 10, 0, y, 0, -10}, crs: "EPSG:32632+5773", kind: godal.Float32,
		cell: func(c, r int) float64 { return hash(c+col, r+row) }}
}

func openSet(t testing.TB, o Options, paths ...string) *Set {
	t.Helper()
	s, err := OpenAll(paths, o)
	must(t, err)
	t.Cleanup(func() { must(t, s.Close()) })
	return s
}

// inGrid gives points over the grid of r and a little beyond.
func (r *Raster) inGrid(t testing.TB, n int) []orb.Point {
	t.Helper()
	a, b := r.lonLat(t, -2, float64(r.rows)+2), r.lonLat(t, float64(r.cols)+2, -2)
	pts := scatter(n, 4)
	for i, p := range pts {
		pts[i] = orb.Point{a[0] + (b[0]-a[0])*(p[0]+0.03)/1.05, a[1] + (b[1]-a[1])*(p[1]-0.2)/0.83}
	}
	return pts
}

// A folder of tiles gives what the whole raster gives, bit for bit, across
// their borders too, whether the tiles only touch or overlap.
func TestTilesAreOneRaster(t *testing.T) {
	for name, over := range map[string]int{"touching": 0, "overlapping": 3} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			for _, c := range []int{0, 40, 80} {
				for _, r := range []int{0, 25, 50} {
					cut(c, r, 40+over, 25+over).save(t, folder, fmt.Sprintf("%d_%d.tif", 9-c/40, r))
				}
			}
			whole := openTest(t, cut(0, 0, 120+over, 75+over).write(t), Options{})
			set := openSet(t, Options{CacheBytes: 5000}, folder)
			if src := set.Sources(); len(src) != 1 || !strings.HasSuffix(src[0].Name, "/7_0.tif and 8 more") || src[0].Datum != "EGM96 geoid" {
				t.Fatalf("%+v", src)
			}
			pts := whole.inGrid(t, 4000)
			want := heights(t, whole, pts...)
			var wg sync.WaitGroup
			for range 2 {
				wg.Go(func() {
					got := make([]terrain.Sample, len(pts))
					if err := set.Elevations(context.Background(), pts, got); err != nil {
						t.Error(err)
						return
					}
					for i, s := range got {
						if !same(s, want[i]) {
							t.Errorf("%v: %+v, whole %+v", pts[i], s, want[i])
							return
						}
					}
				})
			}
			wg.Wait()
		})
	}
}

func TestOverlapsGapsAndVoids(t *testing.T) {
	folder := t.TempDir()
	flat := func(col, row, cols, rows int, zM float64) layout {
		l := cut(col, row, cols, rows)
		l.cell = func(c, r int) float64 {
			if zM == 1 && c+col == 15 && r+row == 5 {
				return math.NaN()
			}
			return zM
		}
		return l
	}
	flat(0, 0, 20, 20, 1).save(t, folder, "a.tif")
	flat(10, 0, 20, 20, 2).save(t, folder, "b.tif")
	flat(40, 0, 20, 20, 3).save(t, folder, "c.tif")
	set := openSet(t, Options{}, folder)
	r := openTest(t, cut(0, 0, 60, 20).write(t), Options{})
	for at, want := range map[[2]float64]terrain.Sample{
		{12.5, 9.5}: {ZM: 1},                  // both: the first by name
		{15.5, 5.5}: {ZM: 2},                  // the first has no data
		{20, 9}:     {ZM: 1.5},                // across the end of the first
		{25, 9}:     {ZM: 2},                  // the second alone
		{29.8, 9}:   {Why: terrain.Edge},      // on the last cell before the gap
		{35, 9}:     {Why: terrain.OffRaster}, // in the gap
		{39.9, 9}:   {Why: terrain.OffRaster}, // half a cell before the third
		{40.2, 9}:   {Why: terrain.Edge},      //
		{40.5, 9}:   {ZM: 3},                  //
		{59.8, 9}:   {Why: terrain.Edge},      // the end of the grid
		{-0.5, -20}: {Why: terrain.OffRaster}, //
	} {
		got := heights(t, set, r.lonLat(t, at[0], at[1]))[0]
		if got.Why != want.Why || got.Why == terrain.Valid && math.Abs(got.ZM-want.ZM) > 1e-6 {
			t.Errorf("at %v: %+v, want %+v", at, got, want)
		}
	}
}

func TestFolderSkipsAndRefuses(t *testing.T) {
	folder, bare := t.TempDir(), t.TempDir()
	cut(0, 0, 20, 16).save(t, folder, "a.tif")
	shifted := cut(20, 0, 20, 16)
	shifted.gt[0] += 3
	shifted.save(t, folder, "b.tif")
	noCRS := cut(40, 0, 20, 16)
	noCRS.crs = ""
	noCRS.save(t, folder, "c.tif")
	for i := range 7 {
		must(t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("notes%d.txt", i)), []byte("text"), 0o600))
	}
	must(t, os.Mkdir(filepath.Join(folder, "below"), 0o700))
	must(t, os.WriteFile(filepath.Join(bare, "a.txt"), []byte("text"), 0o600))
	set := openSet(t, Options{}, folder)
	if n := len(set.Sources()); n != 2 {
		t.Fatalf("%d sources, want 2 grids", n)
	}
	notes := strings.Join(set.Sources()[0].Notes, "; ")
	for _, say := range []string{"c.tif", "coordinate system", "notes0.txt", "and 2 more"} {
		if !strings.Contains(notes, say) || strings.Contains(notes, folder) {
			t.Errorf("notes %q do not say %q", notes, say)
		}
	}
	other := cut(0, 0, 20, 16)
	other.crs = "EPSG:32632+3855"
	for name, c := range map[string]struct {
		paths []string
		o     Options
		want  error
	}{
		"no raster in it": {[]string{bare}, Options{}, ErrNotRaster},
		"not there":       {[]string{folder, filepath.Join(bare, "none.tif")}, Options{}, fs.ErrNotExist},
		"nothing named":   {nil, Options{}, terrain.ErrSources},
		"datums differ":   {[]string{folder, other.write(t)}, Options{}, terrain.ErrDatum},
		"odd product":     {[]string{folder}, Options{Product: "moon"}, ErrOption},
	} {
		s, err := OpenAll(c.paths, c.o)
		if !errors.Is(err, c.want) || s != nil {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// The finest raster wins; blocks of all share one limit.
func TestSetSharesTheCache(t *testing.T) {
	coarse := layout{cols: 100, rows: 100, gt: [6]float64{499000, 40, 0, 5201000, 0, -40}, crs: "EPSG:32632+5773", kind: godal.Float32,
		cell: func(c, r int) float64 { return 3000 }}.write(t)
	fine := cut(0, 0, 150, 120)
	fine.create = []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"}
	set := openSet(t, Options{CacheBytes: 50000}, coarse, fine.write(t))
	r := openTest(t, fine.write(t), Options{})
	pts := r.inGrid(t, 3000)
	alone := heights(t, r, pts...)
	seen := [2]int{}
	for i, s := range heights(t, set, pts...) {
		seen[s.Source]++
		if want := alone[i]; want.Why == terrain.Valid && (s.Source != 0 || s.ZM != want.ZM) || want.Why != terrain.Valid && (s.Source != 1 || s.ZM != 3000) {
			t.Errorf("%v: %+v, the fine one alone %+v", pts[i], s, want)
		}
	}
	a, b := set.rasters[0], set.rasters[1]
	if seen[0] < 2000 || seen[1] < 100 || a.cache != b.cache || a.cache.used > 50000 || len(a.cache.entries) < 10 {
		t.Errorf("seen %v, %d bytes kept in %d blocks", seen, a.cache.used, len(a.cache.entries))
	}
}

// A raster around the Earth has no seam.
func TestAroundTheEarth(t *testing.T) {
	for name, crs := range map[string]string{"WGS84": "EPSG:4326", "NAD83": "EPSG:4269"} {
		for _, from := range []float64{-180, 0, 175} {
			wave := func(lon float64) float64 { return 100 * math.Cos(lon*math.Pi/180) }
			r := openTest(t, layout{cols: 360, rows: 40, gt: [6]float64{from, 1, 0, 30, 0, -1}, crs: crs,
				cell: func(c, _ int) float64 { return wave(from + 0.5 + float64(c)) }}.write(t), Options{})
			for lon := -182.0; lon < 182; lon += 0.37 {
				low := math.Floor(lon-from-0.5) + from + 0.5
				f := lon - low
				want := (1-f)*wave(low) + f*wave(low+1)
				if got := heights(t, r, orb.Point{lon, 12})[0]; got.Why != terrain.Valid || math.Abs(got.ZM-want) > 1e-3 {
					t.Errorf("%s from %v at %v: %+v, want %v", name, from, lon, got, want)
				}
			}
		}
	}
}

func ExampleOpenAll() {
	set, err := OpenAll([]string{"../../samples/valley.tif"}, Options{Product: "glo30"})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer set.Close()
	for _, s := range set.Sources() {
		fmt.Printf("%s: cells of %.1f m, SE %.2f m, CE90 %.0f m\n", s.Name, s.CellM, s.SEM, s.CE90M)
	}
	// Output:
	// valley.tif: cells of 2.0 m, SE 1.72 m, CE90 6 m
}
