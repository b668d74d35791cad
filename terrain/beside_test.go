package terrain_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// tilted is a plane at a place, z = 500 + east*p + north*q in metres.
func tilted(at orb.Point, p, q float64, source terrain.Source) terrain.Func {
	east, north := terrain.MetresPerDegree(at[1])
	return terrain.Func{Source: source, At: func(lon, lat float64) (float64, bool) {
		return 500 + (lon-at[0])*east*p + (lat-at[1])*north*q, true
	}}
}

func beside(t testing.TB, s terrain.Surface, p orb.Point, azimuthRad float64, o terrain.BesideOptions) terrain.Ground {
	t.Helper()
	got, err := terrain.Beside(context.Background(), s, []orb.Point{p}, []float64{azimuthRad}, o)
	if err != nil {
		t.Fatal(err)
	}
	return got[0]
}

// On a plane every ratio is the plane's slope to the right of the azimuth,
// p*cos - q*sin, with the documented sign. Source: derived.
func TestBesideOnAPlane(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		at := orb.Point{f("lon", -179, 179), f("lat", -70, 70)}
		p, q, azimuth := f("p", -1, 1), f("q", -1, 1), f("azimuth", -7, 7)
		g := beside(t, tilted(at, p, q, terrain.Source{CellM: 1}), at, azimuth, terrain.BesideOptions{BaseM: f("base", 0, 100)})
		right := p*math.Cos(azimuth) - q*math.Sin(azimuth) // rise to the right
		for name, c := range map[string][2]float64{"crossfall": {g.CrossfallRatio, -right}, "cross slope": {g.CrossSlopeRatio, -right},
			"left": {g.LeftRatio, -right}, "right": {g.RightRatio, right}} {
			if !(math.Abs(c[0]-c[1]) < 1e-6) {
				rt.Fatalf("%s %v, want %v", name, c[0], c[1])
			}
		}
	})
}

// A road along the contour, hill on the left: platform level, cut rising on the
// left, fill falling on the right.
func TestBesideOfARoadInAHillside(t *testing.T) {
	here := orb.Point{9, 47}
	_, north := terrain.MetresPerDegree(47)
	road := func(cellM float64) terrain.Func {
		return terrain.Func{Source: terrain.Source{CellM: cellM}, At: func(_, lat float64) (float64, bool) {
			y := (lat - 47) * north // uphill, to the left of a road that runs east
			switch {
			case math.Abs(y) <= 4:
				return 600 + 0.03*y, true // falls to the right
			case y > 4:
				return 600.12 + (y - 4), true
			}
			return 599.88 + 0.8*(y+4), true
		}}
	}
	o := terrain.BesideOptions{FromM: 4, ToM: 8, BaseM: 20}
	g := beside(t, road(1), here, math.Pi/2, o)
	for name, c := range map[string][2]float64{"crossfall": {g.CrossfallRatio, 0.03}, "left": {g.LeftRatio, 1},
		"right": {g.RightRatio, -0.8}, "cross slope": {g.CrossSlopeRatio, (16.12 + 0.12 + 0.8*16) / 40}} {
		if math.Abs(c[0]-c[1]) > 1e-6 {
			t.Errorf("%s %v, want %v", name, c[0], c[1])
		}
	}
	back := beside(t, road(1), here, -math.Pi/2, o)
	if math.Abs(back.CrossfallRatio+g.CrossfallRatio) > 1e-9 || math.Abs(back.LeftRatio-g.RightRatio) > 1e-9 || math.Abs(back.CrossSlopeRatio+g.CrossSlopeRatio) > 1e-9 {
		t.Errorf("the other direction: %+v after %+v", back, g)
	}
	coarse := beside(t, road(terrain.BesideCellM+0.1), here, math.Pi/2, o)
	if !math.IsNaN(coarse.CrossfallRatio+0*coarse.LeftRatio) || !math.IsNaN(coarse.LeftRatio) || !math.IsNaN(coarse.RightRatio) || math.IsNaN(coarse.CrossSlopeRatio) {
		t.Errorf("cells too coarse for the carriageway: %+v", coarse)
	}
}

// Heights of two sources are never subtracted from one another; where the fine
// one ends the coarse one gives the cross slope.
func TestBesideAtTheEndOfTheFineRaster(t *testing.T) {
	here := orb.Point{9, 47}
	east, _ := terrain.MetresPerDegree(47)
	calls := 0
	fine, coarse := tilted(here, 0.1, 0, terrain.Source{CellM: 1, Datum: "EGM96"}), tilted(here, 0.3, 0, terrain.Source{CellM: 30, Datum: "EGM96"})
	inner := fine.At
	fine.At = func(lon, lat float64) (float64, bool) {
		z, _ := inner(lon, lat)
		return z, (lon-9)*east < 1.5
	}
	s, err := terrain.NewStack([]terrain.Surface{coarse, fine})
	if err != nil {
		t.Fatal(err)
	}
	counted := counting{s, &calls}
	got, err := terrain.Beside(context.Background(), counted, []orb.Point{here, {9 - 100/east, 47}, {9.1, 47}}, make([]float64, 3), terrain.BesideOptions{})
	if err != nil || calls != 1 {
		t.Fatalf("%d calls, %v", calls, err)
	}
	for i, want := range []terrain.Ground{
		{CrossfallRatio: nan, LeftRatio: -0.1, RightRatio: nan, CrossSlopeRatio: nan},
		{CrossfallRatio: -0.1, LeftRatio: -0.1, RightRatio: 0.1, CrossSlopeRatio: -0.1},
		{CrossfallRatio: nan, LeftRatio: nan, RightRatio: nan, CrossSlopeRatio: -0.3, Source: 1},
	} {
		g := got[i]
		for name, c := range map[string][2]float64{"crossfall": {g.CrossfallRatio, want.CrossfallRatio}, "left": {g.LeftRatio, want.LeftRatio},
			"right": {g.RightRatio, want.RightRatio}, "cross slope": {g.CrossSlopeRatio, want.CrossSlopeRatio}} {
			if math.IsNaN(c[0]) != math.IsNaN(c[1]) || math.Abs(c[0]-c[1]) > 1e-6 {
				t.Errorf("point %d, %s %v, want %v", i, name, c[0], c[1])
			}
		}
		if g.Source != want.Source {
			t.Errorf("point %d from source %d", i, g.Source)
		}
	}
}

type counting struct {
	terrain.Surface
	calls *int
}

func (c counting) Elevations(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	*c.calls++
	return c.Surface.Elevations(ctx, pts, out)
}

// z = 50 + 2e-4x2 - 1e-4y2 + 3e-4xy + 0.06x - 0.04y + 1e-6x3 on 10 m cells,
// x and y from 500000, 5000000, row 17, column 23: central differences over one
// cell (Zevenbergen and Thorne) give 27.518 %, the surface itself 27.509 %.
// Source: worked out for this surface and met by gdaldem 3.6.2 (see also
// TestSlopeAgainstGdaldem in raster).
func TestSlopeOfAClosedForm(t *testing.T) {
	here := orb.Point{0, 0}
	east, north := terrain.MetresPerDegree(0)
	const x0, y0 = 235.0, -175.0 // centre of the cell, metres from the corner
	s := terrain.Func{Source: terrain.Source{CellM: 10}, At: func(lon, lat float64) (float64, bool) {
		return closedForm(x0+lon*east, y0+lat*north), true
	}}
	p := -beside(t, s, here, 0, terrain.BesideOptions{BaseCells: 1}).CrossSlopeRatio        // to the east
	q := beside(t, s, here, math.Pi/2, terrain.BesideOptions{BaseCells: 1}).CrossSlopeRatio // to the north
	if got := 100 * math.Hypot(p, q); math.Abs(got-27.518) > 5e-4 {
		t.Errorf("slope %.4f %%, want 27.518", got)
	}
	fine := terrain.BesideOptions{BaseCells: 0.01}
	p, q = -beside(t, s, here, 0, fine).CrossSlopeRatio, beside(t, s, here, math.Pi/2, fine).CrossSlopeRatio
	if got := 100 * math.Hypot(p, q); math.Abs(got-27.509) > 5e-4 {
		t.Errorf("slope over 0.1 m %.4f %%, want 27.509", got)
	}
}

func closedForm(x, y float64) float64 {
	return 50 + 2e-4*x*x - 1e-4*y*y + 3e-4*x*y + 0.06*x - 0.04*y + 1e-6*x*x*x
}

func TestBesideRefuses(t *testing.T) {
	s := tilted(orb.Point{}, 0, 0, terrain.Source{CellM: 1})
	for name, o := range map[string]terrain.BesideOptions{
		"negative width": {HalfWidthM: -1}, "backwards": {FromM: 6, ToM: 3}, "NaN": {BaseM: nan}, "endless": {ToM: math.Inf(1)},
	} {
		if _, err := terrain.Beside(context.Background(), s, nil, nil, o); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, err := terrain.Beside(context.Background(), s, make([]orb.Point, 2), nil, terrain.BesideOptions{}); err == nil {
		t.Error("points without azimuths accepted")
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := terrain.Beside(gone, s, make([]orb.Point, 2), make([]float64, 2), terrain.BesideOptions{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if g := beside(t, s, orb.Point{}, nan, terrain.BesideOptions{}); !math.IsNaN(g.CrossSlopeRatio) || !math.IsNaN(g.CrossfallRatio) {
		t.Errorf("no azimuth: %+v", g)
	}
}

func ExampleBeside() {
	// A hillside that rises by 30 % to the north, a road that runs east.
	hill := tilted(orb.Point{9, 47}, 0, 0.30, terrain.Source{CellM: 1})
	got, err := terrain.Beside(context.Background(), hill, []orb.Point{{9, 47}}, []float64{math.Pi / 2}, terrain.BesideOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("crossfall %+.2f, left %+.2f, right %+.2f\n", got[0].CrossfallRatio, got[0].LeftRatio, got[0].RightRatio)
	// Output:
	// crossfall +0.30, left +0.30, right -0.30
}
