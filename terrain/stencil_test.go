package terrain_test

import (
	"math"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

var nan = math.NaN()

func TestLocate(t *testing.T) {
	for _, c := range []struct {
		name     string
		col, row float64
		want     terrain.Stencil
		why      terrain.Why
	}{
		{"first centre", 0.5, 0.5, terrain.Stencil{}, terrain.Valid},
		{"last centre", 3.5, 2.5, terrain.Stencil{Col: 3, Row: 2}, terrain.Valid},
		{"between", 1.75, 1, terrain.Stencil{Col: 1, FX: 0.25, FY: 0.5}, terrain.Valid},
		{"rounding below a centre", 1.5 - 1e-9, 0.5, terrain.Stencil{Col: 1}, terrain.Valid},
		{"rounding outside the first centre", 0.5 - 1e-9, 0.5, terrain.Stencil{}, terrain.Valid},
		{"outer half cell, west", 0.49, 1, terrain.Stencil{}, terrain.Edge},
		{"outer half cell, south", 2, 2.6, terrain.Stencil{}, terrain.Edge},
		{"corner", 0, 0, terrain.Stencil{}, terrain.Edge},
		{"off, west", -1e-3, 1, terrain.Stencil{}, terrain.OffRaster},
		{"off on one axis, edge on the other", 0.1, 3.1, terrain.Stencil{}, terrain.OffRaster},
		{"not a number", nan, 1, terrain.Stencil{}, terrain.OffRaster},
		{"infinite", math.Inf(1), 1, terrain.Stencil{}, terrain.OffRaster},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, why := terrain.Locate(c.col, c.row, 4, 3)
			if got != c.want || why != c.why {
				t.Errorf("got %+v %v, want %+v %v", got, why, c.want, c.why)
			}
		})
	}
}

func TestMix(t *testing.T) {
	mid := terrain.Stencil{FX: 0.25, FY: 0.5}
	for _, c := range []struct {
		name           string
		s              terrain.Stencil
		ul, ur, ll, lr float64
		want           float64
		why            terrain.Why
	}{
		// (1-fy)[(1-fx)z00+fx z10]+fy[(1-fx)z01+fx z11] by hand: 0.5*102.5 + 0.5*125
		{"four cells", mid, 100, 110, 120, 140, 113.75, terrain.Valid},
		{"one void of four", mid, 100, nan, 120, 140, nan, terrain.Void},
		{"void of zero weight", terrain.Stencil{FY: 0.5}, 100, nan, 120, nan, 110, terrain.Valid},
		{"row of zero weight", terrain.Stencil{FX: 0.5}, 100, 110, nan, nan, 105, terrain.Valid},
		{"on a centre", terrain.Stencil{}, 100, nan, nan, nan, 100, terrain.Valid},
		{"undeclared void at weight 0.0001", terrain.Stencil{FX: 0.0001}, 100, -32768, 0, 0, nan, terrain.Implausible},
		{"void beats implausible", mid, nan, 1e38, 0, 0, nan, terrain.Void},
		{"infinite", mid, math.Inf(1), 0, 0, 0, nan, terrain.Implausible},
		{"lowest shore", terrain.Stencil{}, -430, 0, 0, 0, -430, terrain.Valid},
		{"above Everest", terrain.Stencil{}, 9001, 0, 0, 0, nan, terrain.Implausible},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, why := c.s.Mix(c.ul, c.ur, c.ll, c.lr)
			if why != c.why || (got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want))) {
				t.Errorf("got %v %v, want %v %v", got, why, c.want, c.why)
			}
		})
	}
}

// Bilinear interpolation gives a plane exactly and never leaves the range of
// its four cells.
func TestMixProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := terrain.Stencil{FX: rapid.Float64Range(0, 0.999).Draw(t, "fx"), FY: rapid.Float64Range(0, 0.999).Draw(t, "fy")}
		z := rapid.SliceOfN(rapid.Float64Range(-500, 9000), 4, 4).Draw(t, "cells")
		got, why := s.Mix(z[0], z[1], z[2], z[3])
		lo, hi := min(z[0], z[1], z[2], z[3]), max(z[0], z[1], z[2], z[3])
		if why != terrain.Valid || got < lo-1e-9 || got > hi+1e-9 {
			t.Fatalf("%v %v of cells %v", got, why, z)
		}
		a, b := rapid.Float64Range(-50, 50).Draw(t, "a"), rapid.Float64Range(-50, 50).Draw(t, "b")
		plane := func(x, y float64) float64 { return 1000 + a*x + b*y }
		got, _ = s.Mix(plane(0, 0), plane(1, 0), plane(0, 1), plane(1, 1))
		if d := math.Abs(got - plane(s.FX, s.FY)); d > 1e-9 {
			t.Fatalf("plane missed by %g m", d)
		}
	})
}

// A grid around the Earth has no seam: z = cos(lon) sampled every 10 degrees
// is met at the seam as well as anywhere else.
func TestAroundTheEarth(t *testing.T) {
	for _, step := range []float64{10, -10} {
		rows := make([][]float64, 2)
		for j := range rows {
			for i := range 36 {
				rows[j] = append(rows[j], 100*math.Cos((-175+float64(i)*step)*math.Pi/180))
			}
		}
		g, err := terrain.NewGrid(terrain.GridSpec{LonDeg: -175, LatDeg: 1, StepLonDeg: step, StepLatDeg: -1, RowsZM: rows})
		if err != nil {
			t.Fatal(err)
		}
		for lon := -185.0; lon < 186; lon += 2.5 {
			got := at(t, g, orb.Point{lon, 0.5})[0]
			low := 5 + 10*math.Floor((lon-5)/10)
			f := (lon - low) / 10
			want := (1-f)*100*math.Cos(low*math.Pi/180) + f*100*math.Cos((low+10)*math.Pi/180)
			if got.Why != terrain.Valid || math.Abs(got.ZM-want) > 1e-9 {
				t.Errorf("step %v at %v: %+v, want %v", step, lon, got, want)
			}
		}
	}
	if _, why := terrain.LocateAround(2, 0.2, 4, 4); why != terrain.Edge {
		t.Errorf("north edge: %v", why)
	}
	if _, why := terrain.LocateAround(-0.1, 1, 4, 4); why != terrain.OffRaster {
		t.Errorf("beyond a turn: %v", why)
	}
	if terrain.Around(36, 37) || !terrain.Around(36, -36) {
		t.Error("which rasters go around")
	}
}
