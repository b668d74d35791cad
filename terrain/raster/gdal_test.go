//go:build cgo

package raster

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		p := filepath.Join(dir, name)
		must(t, os.WriteFile(p, []byte(text), 0o600))
		return p
	}
	source := filepath.Join(dir, "ok.tif")
	ds, err := godal.Open(layout{gt: north10, crs: "EPSG:32632"}.write(t))
	must(t, err)
	tif, err := ds.Translate(source, nil)
	must(t, err)
	must(t, tif.Close())
	must(t, ds.Close())
	vrt := func(name, head, band string) string {
		return file(name, `<VRTDataset rasterXSize="20" rasterYSize="16">`+head+`<VRTRasterBand dataType="Float64" band="1">`+band+
			`<SimpleSource><SourceFilename relativeToVRT="1">ok.tif</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand></VRTDataset>`)
	}
	const place = `<SRS>EPSG:32632</SRS><GeoTransform>500000, 10, 0, 5200000, 0, -10</GeoTransform>`
	palette := layout{gt: north10, crs: "EPSG:32632", kind: godal.Byte, finish: func(t *testing.T, ds *godal.Dataset) {
		must(t, ds.Bands()[0].SetColorTable(godal.ColorTable{PaletteInterp: godal.RGBPalette, Entries: [][4]int16{{1, 2, 3, 255}}}))
	}}
	picture := layout{gt: north10, crs: "EPSG:32632", kind: godal.Byte, bands: 3, create: []string{"PHOTOMETRIC=RGB"}}
	for name, c := range map[string]struct {
		path string
		o    Options
		want error
	}{
		"nothing there":            {filepath.Join(dir, "none.tif"), Options{}, ErrNotFound},
		"text":                     {file("text.tif", "no raster"), Options{}, ErrNotRaster},
		"folder":                   {dir, Options{}, ErrNotRaster},
		"no CRS":                   {layout{gt: north10}.write(t), Options{}, ErrNoCRS},
		"local CRS":                {layout{gt: north10, crs: `LOCAL_CS["site",UNIT["metre",1]]`}.write(t), Options{}, ErrNoCRS},
		"no geotransform":          {layout{crs: "EPSG:32632"}.write(t), Options{}, ErrGeotransform},
		"geotransform of five":     {vrt("five.vrt", `<SRS>EPSG:32632</SRS><GeoTransform>500000, 10, 0, 5200000, 0</GeoTransform>`, ""), Options{}, ErrGeotransform},
		"geotransform of NaN":      {vrt("nan.vrt", `<SRS>EPSG:32632</SRS><GeoTransform>500000, nan, 0, 5200000, 0, -10</GeoTransform>`, ""), Options{}, ErrGeotransform},
		"singular":                 {layout{gt: [6]float64{5e5, 10, 20, 52e5, 10, 20}, crs: "EPSG:32632"}.write(t), Options{}, ErrGeotransform},
		"metres called degrees":    {layout{gt: north10, crs: "EPSG:4326"}.write(t), Options{}, ErrGeotransform},
		"degrees called metres":    {layout{gt: [6]float64{9, 0.001, 0, 47, 0, -0.001}, crs: "EPSG:32632"}.write(t), Options{}, ErrGeotransform},
		"complex":                  {layout{gt: north10, crs: "EPSG:32632", kind: godal.CFloat32}.write(t), Options{}, ErrNoHeights},
		"palette":                  {palette.write(t), Options{}, ErrNoHeights},
		"picture":                  {picture.write(t), Options{}, ErrNoHeights},
		"depths":                   {layout{gt: north10, crs: "EPSG:32632+5715"}.write(t), Options{}, ErrNoHeights},
		"no such band":             {source, Options{Band: 2}, ErrNoHeights},
		"band below 0":             {source, Options{Band: -1}, ErrNoHeights},
		"odd unit":                 {vrt("furlong.vrt", place, "<UnitType>furlong</UnitType>"), Options{}, ErrUnit},
		"odd unit asked":           {source, Options{Unit: "yd"}, ErrUnit},
		"odd product":              {source, Options{Product: "moon"}, ErrOption},
		"scale of zero":            {vrt("flat.vrt", place, "<Scale>0</Scale>"), Options{}, ErrNoHeights},
		"off the Earth":            {vrt("far.vrt", `<SRS>EPSG:4326</SRS><GeoTransform>9, 20, 0, 300, 0, -1</GeoTransform>`, ""), Options{}, ErrGeotransform},
		"network":                  {"/vsicurl/http://127.0.0.1:1/a.tif", Options{}, ErrRefused},
		"picture, band named":      {picture.write(t), Options{Band: 2}, nil},
		"odd unit settled":         {filepath.Join(dir, "furlong.vrt"), Options{Unit: "ft"}, nil},
		"VRT with a spelled metre": {vrt("metre.vrt", place, "<UnitType>metre</UnitType>"), Options{}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := Open(c.path, c.o)
			if r != nil {
				must(t, r.Close())
			}
			if !errors.Is(err, c.want) {
				t.Fatalf("%v, want %v", err, c.want)
			}
			var ours *Error
			if c.want != nil && (!errors.As(err, &ours) || ours.File != c.path || ours.Op != "open" || ours.Reason == "" || strings.Contains(err.Error(), dir+"/")) {
				t.Errorf("%#v", err)
			}
		})
	}
	if _, err := Open(filepath.Join(dir, "none.tif"), Options{}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("%v is not fs.ErrNotExist", err)
	}
}

// A raster of 10^10 cells, all but one tile of it left out, costs what is
// touched.
func TestMemoryDoesNotGrowWithTheRaster(t *testing.T) {
	register()
	path := filepath.Join(t.TempDir(), "big.tif")
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, 100000, 100000,
		godal.CreationOption("TILED=YES", "SPARSE_OK=TRUE", "BIGTIFF=YES", "COMPRESS=DEFLATE"))
	must(t, err)
	must(t, ds.SetGeoTransform([6]float64{400000, 1, 0, 5300000, 0, -1}))
	sr, err := godal.NewSpatialRefFromEPSG(32632)
	must(t, err)
	must(t, ds.SetSpatialRef(sr))
	tile := make([]float32, 256*256)
	for i := range tile {
		tile[i] = 700
	}
	must(t, ds.Bands()[0].Write(256*100, 256*100, tile, 256, 256))
	must(t, ds.Close())

	r := openTest(t, path, Options{CacheBytes: 8 << 20, Unit: "m"})
	pts := []orb.Point{r.lonLat(t, 256*100+128, 256*100+128)}
	low, high := r.lonLat(t, 2000, 98000), r.lonLat(t, 98000, 2000)
	for _, p := range scatter(1500, 9) {
		pts = append(pts, orb.Point{low[0] + (high[0]-low[0])*math.Abs(p[0]), low[1] + (high[1]-low[1])*(p[1]-0.2)})
	}
	forgetPeak(t)
	before := peakKiB(t)
	out := heights(t, r, pts...)
	grown := peakKiB(t) - before
	if out[0].Why != terrain.Valid || out[0].ZM != 700 {
		t.Errorf("on the tile: %+v", out[0])
	}
	voids := 0
	for _, s := range out[1:] {
		if s.Why == terrain.Void {
			voids++
		}
	}
	// Our cache, GDAL's of 64 MiB, and what the collector lags behind; the
	// raster itself would be 40 GB.
	t.Logf("%d of %d points void, peak grown by %d MiB", voids, len(out)-1, grown>>10)
	if voids < len(out)*9/10 || r.cache.used > 8<<20 || grown > 200<<10 {
		t.Errorf("%d voids, cache %d bytes, peak grown by %d KiB", voids, r.cache.used, grown)
	}
}

// forgetPeak sets the largest resident memory back to what it is now.
func forgetPeak(t *testing.T) {
	if err := os.WriteFile("/proc/self/clear_refs", []byte("5"), 0); err != nil {
		t.Log("peak memory cannot be set back; it may be that of other tests")
	}
}

// peakKiB is the largest resident memory of this process so far, 0 where the
// system does not tell.
func peakKiB(t *testing.T) int {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Log("no /proc: peak memory not looked at")
		return 0
	}
	_, after, _ := strings.Cut(string(status), "VmHWM:")
	n, err := strconv.Atoi(strings.Fields(after)[0])
	must(t, err)
	return n
}

func TestGoroutinesShareARaster(t *testing.T) {
	l := layout{cols: 300, rows: 300, gt: [6]float64{500000, 10, 0, 5200000, 0, -10}, crs: "EPSG:32632",
		create: []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"}, cell: func(c, r int) float64 { return hash(c, r) }}
	path := l.write(t)
	wide := openTest(t, path, Options{})
	corner, far := wide.lonLat(t, 1, 299), wide.lonLat(t, 299, 1)
	pts := scatter(3000, 11)
	for i, p := range pts {
		pts[i] = orb.Point{corner[0] + (far[0]-corner[0])*p[0], corner[1] + (far[1]-corner[1])*(p[1]-0.2)}
	}
	want := heights(t, wide, pts...)
	tiny := openTest(t, path, Options{CacheBytes: 4096})
	var wg sync.WaitGroup
	for g := range 4 {
		wg.Go(func() {
			for start := g * 100; start < len(pts); start += 400 {
				out := make([]terrain.Sample, 100)
				if err := tiny.Elevations(context.Background(), pts[start:start+100], out); err != nil {
					t.Error(err)
					return
				}
				for i, s := range out {
					if !same(s, want[start+i]) {
						t.Errorf("point %d: %+v, alone %+v", start+i, s, want[start+i])
						return
					}
				}
			}
		})
	}
	wg.Wait()
}

func TestClosedRaster(t *testing.T) {
	r, err := Open(layout{gt: north10, crs: "EPSG:32632"}.write(t), Options{})
	must(t, err)
	p := r.lonLat(t, 5, 5)
	must(t, r.Close())
	if err := r.Elevations(context.Background(), []orb.Point{p}, make([]terrain.Sample, 1)); !errors.Is(err, ErrRead) {
		t.Errorf("after Close: %v", err)
	}
}

func TestFormatsAndVersions(t *testing.T) {
	read := map[string]bool{}
	for _, f := range Formats() {
		read[f.Driver] = f.Read && f.Name != ""
	}
	for _, name := range []string{"GTiff", "VRT", "SRTMHGT", "DTED", "AAIGrid"} {
		if !read[name] {
			t.Errorf("%s is not read", name)
		}
	}
	if v := Versions().GDAL; len(strings.Split(v, ".")) != 3 {
		t.Errorf("GDAL %q", v)
	}
	for _, name := range []string{"WMS", "HTTP", "WCS"} {
		if _, ok := godal.RasterDriver(godal.DriverName(name)); ok {
			t.Errorf("the network driver %s is there", name)
		}
	}
}

func TestMessagesCarryNoFolders(t *testing.T) {
	got := said([]string{"/a/b/x.tif: bad  tag", "x.tif: bad tag", `cannot open "/other/place/y.tif"`, "a/b is 1/2"}, "/a/b/x.tif")
	if want := []string{"a/b is 1/2", `cannot open "y.tif"`, "x.tif: bad tag"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := said([]string{"in ../up/x.tif"}, "x.tif"); got[0] != "in ../up/x.tif" {
		t.Errorf("%q", got)
	}
}

func tool(t *testing.T, name string) string {
	t.Helper()
	p, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("no %s on this machine", name)
	}
	return p
}

// centre gives the point at the centre of a cell. PROJ's way back from LV95 is
// not quite that of its way there (1.3 mm, measured), so it is corrected once.
func (r *Raster) centre(t *testing.T, col, row int) orb.Point {
	t.Helper()
	c, w := float64(col)+0.5, float64(row)+0.5
	p := r.lonLat(t, c, w)
	v := &visit{sampler: &r.sampler, ctx: context.Background()}
	defer v.done()
	gotC, gotW, err := v.place(p[0], p[1])
	must(t, err)
	return r.lonLat(t, 2*c-gotC, 2*w-gotW)
}

// gdallocationinfo reads the cell a point falls in: at a cell's centre the
// interpolation must give that cell.
func TestCellsAgainstLocationInfo(t *testing.T) {
	info := tool(t, "gdallocationinfo")
	for _, name := range []string{"N47E009.hgt", "lisbon_10m_epsg3763.tif", "zion_srtm_uint16.tif", "liechtenstein_30m_epsg2056_float.tif", "n00_e006_3arc_v2.dt1"} {
		path := data(t, "dem", name)
		r := openTest(t, path, Options{})
		var in strings.Builder
		var pts []orb.Point
		for i := range 150 {
			p := r.centre(t, (i*37+5)%r.cols, (i*91+3)%r.rows)
			pts = append(pts, p)
			fmt.Fprintf(&in, "%.15g %.15g\n", p[0], p[1])
		}
		cmd := exec.Command(info, "-valonly", "-wgs84", path)
		cmd.Stdin = strings.NewReader(in.String())
		text, err := cmd.Output()
		must(t, err)
		lines := strings.Fields(string(text))
		if len(lines) != len(pts) {
			t.Fatalf("%s: %d answers", name, len(lines))
		}
		for i, s := range heights(t, r, pts...) {
			want, err := strconv.ParseFloat(lines[i], 64)
			must(t, err)
			void := math.IsNaN(want) || want == r.facts.nodata && r.facts.hasVoid
			if void != (s.Why != terrain.Valid) || !void && math.Abs(s.ZM-want) > 1e-4 {
				t.Errorf("%s at %v: %+v, want %v", name, pts[i], s, want)
			}
		}
	}
}

// gdalwarp -r bilinear away from voids, onto a finer grid.
func TestBilinearAgainstWarp(t *testing.T) {
	warp := tool(t, "gdalwarp")
	for name, c := range map[string]struct {
		file, srs, te, tr string
	}{
		"same system":       {"N47E009.hgt", "EPSG:4326", "9.5 47.1 9.52 47.12", "0.0002 0.0002"},
		"projected to LV95": {"liechtenstein_30m_epsg2056_float.tif", "EPSG:4326", "9.5 47.1 9.52 47.12", "0.0001 0.0001"},
		"degrees to UTM":    {"N47E009.hgt", "EPSG:32632", "540000 5220000 541000 5221000", "10 10"},
	} {
		t.Run(name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "warped.tif")
			args := append([]string{"-q", "-r", "bilinear", "-et", "0", "-ot", "Float64", "-t_srs", c.srs, "-te"}, strings.Fields(c.te)...)
			args = append(append(args, "-tr"), strings.Fields(c.tr)...)
			path := data(t, "dem", c.file)
			if text, err := exec.Command(warp, append(args, path, out)...).CombinedOutput(); err != nil {
				t.Fatalf("%v: %s", err, text)
			}
			r, w := openTest(t, path, Options{}), openTest(t, out, Options{Unit: "m"})
			worst := 0.0
			for i := range 400 {
				p := w.lonLat(t, float64((i*7)%w.cols)+0.5, float64((i*13)%w.rows)+0.5)
				a, b := heights(t, r, p)[0], heights(t, w, p)[0]
				if a.Why != terrain.Valid || b.Why != terrain.Valid {
					t.Fatalf("%v: %+v and %+v", p, a, b)
				}
				worst = max(worst, math.Abs(a.ZM-b.ZM))
			}
			if t.Logf("worst %.2g m", worst); worst > 1e-3 {
				t.Errorf("worst %v m", worst)
			}
		})
	}
}
