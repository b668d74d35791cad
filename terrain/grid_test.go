package terrain_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// plane is a grid of 0.01 degree cells whose height is 400 + 1000*(lon-9) - 500*(47-lat).
func plane(t testing.TB, stepLon, stepLat float64) *terrain.Grid {
	t.Helper()
	lon, lat := 9.0, 47.0
	if stepLon < 0 {
		lon = 9.09
	}
	if stepLat > 0 {
		lat = 46.93
	}
	var rows [][]float64
	for j := range 8 {
		var row []float64
		for i := range 10 {
			row = append(row, height(lon+float64(i)*stepLon, lat+float64(j)*stepLat))
		}
		rows = append(rows, row)
	}
	g, err := terrain.NewGrid(terrain.GridSpec{LonDeg: lon, LatDeg: lat, StepLonDeg: stepLon, StepLatDeg: stepLat, RowsZM: rows})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func height(lon, lat float64) float64 { return 400 + 1000*(lon-9) - 500*(47-lat) }

func TestGridIsExactOnAPlane(t *testing.T) {
	pts := []orb.Point{{9.033, 46.951}, {9.0001, 46.9999}, {9.05, 46.95}, {9.033 + 360, 46.951}, {9.033 - 720, 46.951}}
	for _, step := range [][2]float64{{0.01, -0.01}, {0.01, 0.01}, {-0.01, -0.01}, {-0.01, 0.01}} {
		out := make([]terrain.Sample, len(pts))
		if err := plane(t, step[0], step[1]).Elevations(context.Background(), pts, out); err != nil {
			t.Fatal(err)
		}
		for i, p := range pts {
			want := height(math.Remainder(p[0], 360), p[1])
			if out[i].Why != terrain.Valid || math.Abs(out[i].ZM-want) > 1e-9 {
				t.Errorf("steps %v, %v: %+v, want %v", step, p, out[i], want)
			}
		}
	}
}

func TestGridOutside(t *testing.T) {
	pts := []orb.Point{{8.996, 46.95}, {8.9, 46.95}, {9.05, 47.004}, {9.05, 48}, {math.NaN(), 47}}
	want := []terrain.Why{terrain.Edge, terrain.OffRaster, terrain.Edge, terrain.OffRaster, terrain.OffRaster}
	out := make([]terrain.Sample, len(pts))
	if err := plane(t, 0.01, -0.01).Elevations(context.Background(), pts, out); err != nil {
		t.Fatal(err)
	}
	for i := range pts {
		if out[i].Why != want[i] || !math.IsNaN(out[i].ZM) {
			t.Errorf("%v: %+v, want %v", pts[i], out[i], want[i])
		}
	}
}

func TestGridCell(t *testing.T) {
	// Mid row at 46.965 N: 1 degree is 76 054 m east and 111 174 m north.
	// Source: USNIMA length-of-a-degree formula, evaluated here by hand to 10 m.
	got := plane(t, 0.01, -0.01).Sources()[0].CellM
	if want := math.Sqrt(760.5 * 1111.7); math.Abs(got-want) > 1 {
		t.Errorf("cell %v m, want %v", got, want)
	}
}

func TestGridRefuses(t *testing.T) {
	two := [][]float64{{1, 2}, {3, 4}}
	for name, spec := range map[string]terrain.GridSpec{
		"no rows":     {StepLonDeg: 1, StepLatDeg: 1},
		"one row":     {StepLonDeg: 1, StepLatDeg: 1, RowsZM: two[:1]},
		"ragged":      {StepLonDeg: 1, StepLatDeg: 1, RowsZM: [][]float64{{1, 2}, {3}}},
		"zero step":   {StepLatDeg: 1, RowsZM: two},
		"nan origin":  {LonDeg: nan, StepLonDeg: 1, StepLatDeg: 1, RowsZM: two},
		"single cell": {StepLonDeg: 1, StepLatDeg: 1, RowsZM: [][]float64{{1}, {2}}},
	} {
		if _, err := terrain.NewGrid(spec); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestSurfacesCheckRoomAndContext(t *testing.T) {
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	for name, s := range map[string]terrain.Surface{
		"grid": plane(t, 0.01, -0.01),
		"func": terrain.Func{At: func(_, _ float64) (float64, bool) { return 1, true }},
	} {
		if err := s.Elevations(context.Background(), make([]orb.Point, 2), make([]terrain.Sample, 1)); err == nil {
			t.Errorf("%s: wrong length accepted", name)
		}
		if err := s.Elevations(gone, make([]orb.Point, 2), make([]terrain.Sample, 2)); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: cancelled context gives %v", name, err)
		}
	}
}

func TestFunc(t *testing.T) {
	f := terrain.Func{At: func(lon, _ float64) (float64, bool) { return lon * 1000, lon > 0 }}
	out := make([]terrain.Sample, 3)
	if err := f.Elevations(context.Background(), []orb.Point{{1, 0}, {-1, 0}, {10, 0}}, out); err != nil {
		t.Fatal(err)
	}
	if out[0].ZM != 1000 || out[1].Why != terrain.Void || out[2].Why != terrain.Implausible {
		t.Errorf("got %+v", out)
	}
}

func ExampleNewGrid() {
	grid, err := terrain.NewGrid(terrain.GridSpec{
		LonDeg: 9, LatDeg: 47, StepLonDeg: 0.01, StepLatDeg: -0.01,
		RowsZM: [][]float64{
			{400, 410, 420},
			{440, 450, math.NaN()},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	pts := []orb.Point{{9.005, 46.995}, {9.015, 46.995}, {9.1, 47}}
	out := make([]terrain.Sample, len(pts))
	if err := grid.Elevations(context.Background(), pts, out); err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range out {
		fmt.Printf("%.1f m %q\n", s.ZM, s.Why)
	}
	// Output:
	// 425.0 m ""
	// NaN m "void"
	// NaN m "off raster"
}
