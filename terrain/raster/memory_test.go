//go:build cgo

package raster

import (
	"context"
	"fmt"
	"math"
	"testing"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// layout of a raster in GDAL's memory for a test.
type layout struct {
	cols, rows int
	gt         [6]float64
	crs        string
	kind       godal.DataType
	bands      int
	create     []string
	cell       func(col, row int) float64 // stored value
	finish     func(t *testing.T, ds *godal.Dataset)
}

// north10 are 10 m cells, north up, at a place in UTM 32.
var north10 = [6]float64{500000, 10, 0, 5200000, 0, -10}

func (l layout) write(t *testing.T) string {
	t.Helper()
	register()
	if l.cols == 0 {
		l.cols, l.rows = 20, 16
	}
	if l.kind == 0 {
		l.kind = godal.Float64
	}
	path := fmt.Sprintf("/vsimem/drawbar_test_%d.tif", vrtSerial.Add(1))
	ds, err := godal.Create(godal.GTiff, path, max(l.bands, 1), l.kind, l.cols, l.rows, godal.CreationOption(l.create...))
	must(t, err)
	if l.gt != [6]float64{} {
		must(t, ds.SetGeoTransform(l.gt))
	}
	if l.crs != "" {
		sr, err := godal.NewSpatialRef(l.crs)
		must(t, err)
		must(t, ds.SetSpatialRef(sr))
		sr.Close()
	}
	cells := make([]float64, l.cols*l.rows)
	for i := range cells {
		if l.cell != nil {
			cells[i] = l.cell(i%l.cols, i/l.cols)
		}
	}
	must(t, ds.Bands()[0].Write(0, 0, cells, l.cols, l.rows))
	if l.finish != nil {
		l.finish(t, ds)
	}
	must(t, ds.Close())
	t.Cleanup(func() { must(t, godal.VSIUnlink(path)) })
	return path
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func openTest(t testing.TB, path string, o Options) *Raster {
	t.Helper()
	r, err := Open(path, o)
	must(t, err)
	t.Cleanup(func() { must(t, r.Close()) })
	return r
}

// lonLat gives the point at a column and row counted from the outer corner.
func (r *Raster) lonLat(t testing.TB, col, row float64) orb.Point {
	t.Helper()
	back, err := r.facts.transform(false)
	must(t, err)
	defer back.Close()
	x, y := r.facts.gt.at(col, row)
	xs, ys := []float64{x}, []float64{y}
	must(t, back.TransformEx(xs, ys, nil, nil))
	return orb.Point{xs[0], ys[0]}
}

func heights(t testing.TB, s terrain.Surface, pts ...orb.Point) []terrain.Sample {
	t.Helper()
	out := make([]terrain.Sample, len(pts))
	must(t, s.Elevations(context.Background(), pts, out))
	return out
}

// Source: z = 100 + 0.08x + 0.03y on 10 m cells, where a raster read half a
// cell off is wrong by 0.25 m; derived.
func TestPlaneIsExactInEveryDirection(t *testing.T) {
	const s30, c30 = 0.5, 0.8660254037844386
	for name, gt := range map[string][6]float64{
		"north up":   north10,
		"south up":   {500000, 10, 0, 5200000, 0, 10},
		"west ward":  {500200, -10, 0, 5200000, 0, -10},
		"transposed": {500000, 0, 10, 5200000, -10, 0},
		"rotated 30": {500000, 10 * c30, 10 * s30, 5200000, 10 * s30, -10 * c30},
		"sheared":    {500000, 10, 4, 5200000, 1, -12},
	} {
		t.Run(name, func(t *testing.T) {
			a := affine(gt)
			plane := func(x, y float64) float64 { return 100 + 0.08*(x-500000) + 0.03*(y-5200000) }
			r := openTest(t, layout{gt: gt, crs: "EPSG:32632", cell: func(c, r int) float64 {
				return plane(a.at(float64(c)+0.5, float64(r)+0.5))
			}}.write(t), Options{})
			for _, at := range [][2]float64{{0.5, 0.5}, {3.2, 7.9}, {19.49, 15.49}, {10, 1}, {7.5, 3.25}} {
				got := heights(t, r, r.lonLat(t, at[0], at[1]))[0]
				if want := plane(a.at(at[0], at[1])); got.Why != terrain.Valid || math.Abs(got.ZM-want) > 1e-7 {
					t.Errorf("at %v: %+v, want %v", at, got, want)
				}
			}
			for at, why := range map[[2]float64]terrain.Why{
				{0.3, 5}: terrain.Edge, {5, 15.8}: terrain.Edge, {-1, 5}: terrain.OffRaster, {5, 17}: terrain.OffRaster,
			} {
				if got := heights(t, r, r.lonLat(t, at[0], at[1]))[0]; got.Why != why || !math.IsNaN(got.ZM) {
					t.Errorf("at %v: %+v, want %v", at, got, why)
				}
			}
		})
	}
}

func TestVoids(t *testing.T) {
	hole := func(void float64) func(c, r int) float64 {
		return func(c, r int) float64 {
			if c == 5 && r == 5 {
				return void
			}
			return 100
		}
	}
	maskOut := func(t *testing.T, ds *godal.Dataset) {
		m, err := ds.CreateMaskBand(2, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=YES"))
		must(t, err)
		cells := make([]byte, 20*16)
		for i := range cells {
			if i != 5*20+5 {
				cells[i] = 255
			}
		}
		must(t, m.Write(0, 0, cells, 20, 16))
	}
	alpha := func(t *testing.T, ds *godal.Dataset) {
		b := ds.Bands()[1]
		must(t, b.SetColorInterp(godal.CIAlpha))
		cells := make([]float64, 20*16)
		for i := range cells {
			if i != 5*20+5 {
				cells[i] = 255
			}
		}
		must(t, b.Write(0, 0, cells, 20, 16))
	}
	nodata := func(v float64) func(*testing.T, *godal.Dataset) {
		return func(t *testing.T, ds *godal.Dataset) { must(t, ds.SetNoData(v)) }
	}
	for name, c := range map[string]struct {
		l   layout
		why terrain.Why
	}{
		"tag, float64":           {layout{cell: hole(-9999), finish: nodata(-9999)}, terrain.Void},
		"tag, int16":             {layout{kind: godal.Int16, cell: hole(-32768), finish: nodata(-32768)}, terrain.Void},
		"tag, int32":             {layout{kind: godal.Int32, cell: hole(-2147483648), finish: nodata(-2147483648)}, terrain.Void},
		"tag, byte":              {layout{kind: godal.Byte, cell: hole(0), finish: nodata(0)}, terrain.Void},
		"tag, uint16":            {layout{kind: godal.UInt16, cell: hole(65535), finish: nodata(65535)}, terrain.Void},
		"tag, lowest float32":    {layout{kind: godal.Float32, cell: hole(-math.MaxFloat32), finish: nodata(-math.MaxFloat32)}, terrain.Void},
		"tag a cell cannot hold": {layout{kind: godal.Byte, cell: hole(7), finish: nodata(-9999)}, terrain.Valid},
		"NaN, float32":           {layout{kind: godal.Float32, cell: hole(math.NaN())}, terrain.Void},
		"NaN beside another tag": {layout{cell: hole(math.NaN()), finish: nodata(-9999)}, terrain.Void},
		"no tag":                 {layout{kind: godal.Int16, cell: hole(-32768)}, terrain.Implausible},
		"wrong tag":              {layout{kind: godal.Int16, cell: hole(-32768), finish: nodata(-32678)}, terrain.Implausible},
		"mask":                   {layout{kind: godal.Float32, cell: hole(100), finish: maskOut}, terrain.Void},
		"alpha band, float32":    {layout{kind: godal.Float32, bands: 2, cell: hole(100), finish: alpha}, terrain.Void},
		"alpha band":             {layout{kind: godal.UInt16, bands: 2, cell: hole(100), finish: alpha}, terrain.Void},
	} {
		t.Run(name, func(t *testing.T) {
			c.l.gt, c.l.crs = north10, "EPSG:32632"
			r := openTest(t, c.l.write(t), Options{})
			near := heights(t, r, r.lonLat(t, 6.0, 6.0), r.lonLat(t, 6.499, 5.5))
			for _, got := range near {
				if got.Why != c.why {
					t.Errorf("beside the hole: %+v, want %v", got, c.why)
				}
			}
			for _, at := range [][2]float64{{6.5, 5.5}, {6.5, 6.5}, {6.7, 5.2}, {12, 12}, {4.5, 5.5}} {
				if got := heights(t, r, r.lonLat(t, at[0], at[1]))[0]; got.Why != terrain.Valid || math.Abs(got.ZM-100) > 1e-9 {
					t.Errorf("at %v the hole has no weight: %+v", at, got)
				}
			}
		})
	}
}

func TestScaleTypeAndUnit(t *testing.T) {
	scaled := func(scale, offset float64) func(*testing.T, *godal.Dataset) {
		return func(t *testing.T, ds *godal.Dataset) { must(t, ds.SetScaleOffset(scale, offset)) }
	}
	is := func(v float64) func(int, int) float64 { return func(int, int) float64 { return v } }
	for name, c := range map[string]struct {
		l     layout
		o     Options
		want  float64
		unit  string
		datum string
	}{
		"plain":            {layout{cell: is(123.456)}, Options{}, 123.456, "unknown (taken as m)", "unknown"},
		"scaled":           {layout{kind: godal.Int16, cell: is(12345), finish: scaled(0.1, -200)}, Options{Unit: "m"}, 1034.5, "m", "unknown"},
		"thousandths":      {layout{kind: godal.Int32, cell: is(1234567), finish: scaled(0.001, 0)}, Options{}, 1234.567, "unknown (taken as m)", "unknown"},
		"uint32":           {layout{kind: godal.UInt32, cell: is(4000)}, Options{}, 4000, "unknown (taken as m)", "unknown"},
		"feet by option":   {layout{cell: is(1000)}, Options{Unit: "ft"}, 304.8, "ft", "unknown"},
		"us feet":          {layout{cell: is(3937)}, Options{Unit: "us-ft"}, 1200, "US survey ft", "unknown"},
		"feet of the axis": {layout{crs: "EPSG:32632+6360", cell: is(3937)}, Options{}, 1200, "US survey ft", "North American Vertical Datum 1988"},
		"metres of the axis": {layout{crs: "EPSG:25832+5783", cell: is(800)}, Options{}, 800, "m",
			"Deutsches Haupthoehennetz 1992"},
		"scaled feet": {layout{kind: godal.Int16, cell: is(10000), finish: scaled(0.1, 0)}, Options{Unit: "ft"}, 304.8, "ft", "unknown"},
	} {
		t.Run(name, func(t *testing.T) {
			c.l.gt = north10
			if c.l.crs == "" {
				c.l.crs = "EPSG:32632"
			}
			r := openTest(t, c.l.write(t), c.o)
			if got := heights(t, r, r.lonLat(t, 9.3, 8.1))[0]; math.Abs(got.ZM-c.want) > 1e-9*c.want {
				t.Errorf("%+v, want %v m", got, c.want)
			}
			s := r.Sources()[0]
			if s.Unit != c.unit || s.Datum != c.datum || math.Abs(s.CellM-10) > 0.02 {
				t.Errorf("unit %q, datum %q, cell %v m", s.Unit, s.Datum, s.CellM)
			}
			if stated := s.Assumed[0].Key == "terrain.unit"; stated != (c.unit == "unknown (taken as m)") {
				t.Errorf("assumed %+v with unit %q", s.Assumed, c.unit)
			}
		})
	}
}

func TestLongitudeTurns(t *testing.T) {
	is := func(c, _ int) float64 { return float64(c) }
	for name, c := range map[string]struct {
		gt  [6]float64
		crs string
		lon float64
	}{
		"raster from -180":            {[6]float64{-180, 1, 0, 10, 0, -1}, "EPSG:4326", -169.5},
		"raster beyond 180":           {[6]float64{175, 1, 0, 10, 0, -1}, "EPSG:4326", 185.5},
		"raster beyond 180, no WGS84": {[6]float64{175, 1, 0, 10, 0, -1}, "EPSG:4269", 185.5},
		"projected":                   {[6]float64{400000, 1000, 0, 1000000, 0, -1000}, "EPSG:32601", -177.85},
	} {
		t.Run(name, func(t *testing.T) {
			r := openTest(t, layout{gt: c.gt, crs: c.crs, cell: is}.write(t), Options{})
			p := r.lonLat(t, 10.25, 8)
			p[0] = math.Remainder(p[0], 360)
			out := heights(t, r, p, orb.Point{p[0] + 360, p[1]}, orb.Point{p[0] - 360, p[1]}, orb.Point{p[0] + 720, p[1]})
			for i, s := range out {
				if s.Why != terrain.Valid || math.Abs(s.ZM-9.75) > 1e-5 {
					t.Errorf("turn %d: %+v, want 9.75 m", i, s)
				}
			}
			bad := heights(t, r, orb.Point{math.NaN(), 0}, orb.Point{math.Inf(1), 0}, orb.Point{p[0], 91}, orb.Point{0, math.NaN()})
			for _, s := range bad {
				if s.Why != terrain.OffRaster {
					t.Errorf("no place on Earth: %+v", s)
				}
			}
		})
	}
}
