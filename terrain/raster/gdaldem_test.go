//go:build cgo

package raster

import (
	"context"
	"math"
	"os/exec"
	"path/filepath"
	"testing"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// unscaled is a projection whose metres are those of the ground and whose
// north is true north along the meridian of x = 500000: what gdaldem takes for
// granted.
const unscaled = "+proj=tmerc +lat_0=0 +lon_0=9 +k=1 +x_0=500000 +y_0=0 +ellps=WGS84 +units=m"

// The cross slope over one cell to each side is the operator of Zevenbergen and
// Thorne; that of Horn is the mean of three of them, the middle one counted
// twice. Source: gdaldem, and 27.518 % at row 17, column 23 of the surface of
// terrain.TestSlopeOfAClosedForm.
func TestSlopeAgainstGdaldem(t *testing.T) {
	dem := tool(t, "gdaldem")
	for name, bumpM := range map[string]float64{"closed form": 0, "bumpy": 0.2} {
		t.Run(name, func(t *testing.T) { slopesAgainst(t, dem, bumpM) })
	}
}

func slopesAgainst(t *testing.T, dem string, bumpM float64) {
	folder := t.TempDir()
	l := layout{cols: 60, rows: 40, gt: [6]float64{499765, 10, 0, 5000000, 0, -10}, crs: unscaled, cell: func(c, r int) float64 {
		x, y := 10*float64(c)+5, -10*float64(r)-5
		return 50 + 2e-4*x*x - 1e-4*y*y + 3e-4*x*y + 0.06*x - 0.04*y + 1e-6*x*x*x + bumpM*math.Sin(x*y)
	}}
	path := l.save(t, folder, "surface.tif")
	r := openTest(t, path, Options{Unit: "m"})
	for alg, rows := range map[string][]float64{"ZevenbergenThorne": {0}, "Horn": {-1, 0, 0, 1}} {
		out := filepath.Join(folder, alg+".tif")
		if text, err := exec.Command(dem, "slope", path, out, "-q", "-p", "-alg", alg).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		want := wholeBand(t, out)
		worst := 0.0
		for _, at := range [][2]int{{23, 17}, {22, 5}, {24, 30}, {20, 11}, {26, 20}} {
			got := 100 * math.Hypot(slopeAt(t, r, at, rows, 0), slopeAt(t, r, at, rows, math.Pi/2))
			worst = max(worst, math.Abs(got-want[at[1]*l.cols+at[0]]))
		}
		if closed := want[17*l.cols+23]; bumpM == 0 && math.Abs(closed-27.518) > 5e-4 {
			t.Errorf("%s: gdaldem gives %v %%, not 27.518", alg, closed)
		}
		// gdaldem writes float32: 2e-6 of 27 %, and a little for the distances.
		if t.Logf("%s: worst %.2g %%", alg, worst); worst > 2e-4 {
			t.Errorf("%s: worst %v %%", alg, worst)
		}
	}
}

// slopeAt is the mean rise to the right of an azimuth over one cell to each
// side, along lines that lie so many cells ahead of a cell.
func slopeAt(t *testing.T, r *Raster, at [2]int, ahead []float64, azimuthRad float64) float64 {
	t.Helper()
	var pts []orb.Point
	var azimuths []float64
	for _, a := range ahead {
		sin, cos := math.Sincos(azimuthRad)
		pts = append(pts, r.lonLat(t, float64(at[0])+0.5+a*sin, float64(at[1])+0.5-a*cos))
		azimuths = append(azimuths, azimuthRad)
	}
	got, err := terrain.Beside(context.Background(), r, pts, azimuths, terrain.BesideOptions{BaseCells: 10 / r.source.CellM})
	must(t, err)
	sum := 0.0
	for _, g := range got {
		sum -= g.CrossSlopeRatio
	}
	return sum / float64(len(got))
}

func wholeBand(t *testing.T, path string) []float64 {
	t.Helper()
	ds, err := godal.Open(path)
	must(t, err)
	defer ds.Close()
	s := ds.Structure()
	cells := make([]float64, s.SizeX*s.SizeY)
	must(t, ds.Bands()[0].Read(0, 0, cells, s.SizeX, s.SizeY))
	return cells
}
