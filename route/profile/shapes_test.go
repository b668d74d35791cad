package profile_test

import (
	"context"
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// plane rises to the east and to the north; exact but for the stated error.
func plane(east, north float64) terrain.Func {
	me, mn := terrain.MetresPerDegree(40)
	return terrain.Func{At: func(lon, lat float64) (float64, bool) { return 300 + east*(lon+27)*me + north*(lat-40)*mn, true },
		Source: terrain.Source{Name: "plane", CellM: 2, SEM: 0.05, CorrM: 50, CE90M: 0.01}}
}

// path is a way through metres east and north of 27 W 40 N.
func path(t *testing.T, pts ...[2]float64) *route.Alignment {
	t.Helper()
	me, mn := terrain.MetresPerDegree(40)
	r := &route.Route{ID: "p", Pieces: []route.Piece{{First: 0, Last: len(pts) - 1}}}
	for _, p := range pts {
		r.Line = append(r.Line, orb.Point{-27 + p[0]/me, 40 + p[1]/mn})
	}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestShapes: there and back, a loop, a line that crosses itself: grade belongs
// to chainage, not to the place.
func TestShapes(t *testing.T) {
	const east, north = 0.05, 0.08
	loop := [][2]float64{}
	for i := range 181 {
		a := float64(i) * 2 * math.Pi / 180
		loop = append(loop, [2]float64{100 * math.Sin(a), 100 * (1 - math.Cos(a))})
	}
	for name, pts := range map[string][][2]float64{
		"there and back": {{0, 0}, {0, 400}, {0, 0}},
		"loop":           loop,
		"crosses itself": {{0, 0}, {300, 0}, {300, 200}, {150, 200}, {150, -200}},
	} {
		a := path(t, pts...)
		p, err := profile.Build(context.Background(), a, nil, plane(east, north), profile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var g profile.Series
		p.Grade(10, &g)
		for i, s := range p.ChainageM {
			near := false // the estimate rounds a sharp break of grade over some tens of metres
			for k := 1; k+1 < len(a.ChainageM); k++ {
				near = near || (math.Abs(a.TurnRad[k]) > 0.1 && math.Abs(a.ChainageM[k]-s) < 40)
			}
			if near || s < 20 || s > p.LengthM()-20 {
				continue
			}
			az := a.Azimuth(s)
			want := east*math.Sin(az) + north*math.Cos(az)
			if math.Abs(g.Value[i]-want) > 3*g.SE[i] || g.SE[i] > 0.01 {
				t.Errorf("%s: at %.0f m grade %.4f +- %.4f, the plane has %.4f", name, s, g.Value[i], g.SE[i], want)
				break
			}
		}
	}
}

// TestLinearForms: vertical curvature and the ordinate under a hull on a
// parabola z = k s^2/2 are k and k L^2/8 (derived).
func TestLinearForms(t *testing.T) {
	const k, hull = 1.0 / 800, 24.0
	a := meridian(t, 400)
	g := ground{z: func(s float64) float64 { return k * (s - 200) * (s - 200) / 2 }, source: terrain.Source{Name: "exact", CellM: 2, SEM: 0.001, CorrM: 20}}
	p := build(t, a, nil, g, profile.Options{})
	var curve, ordinate profile.Series
	const h = 20.0
	p.Linear([]float64{-h, 0, h}, []float64{1 / (h * h), -2 / (h * h), 1 / (h * h)}, &curve)
	p.Linear([]float64{0, hull / 2, hull}, []float64{0.5, -1, 0.5}, &ordinate)
	mid := len(p.ChainageM) / 2
	if c := curve.Value[mid]; math.Abs(c-k) > 0.03*k {
		t.Errorf("curvature %.6f per m, want %.6f", c, k)
	}
	if o := ordinate.Value[mid]; math.Abs(o-k*hull*hull/8) > 0.005 {
		t.Errorf("ordinate %.4f m, want %.4f", o, k*hull*hull/8)
	}
}

// TestShortRoutes: a way of a few cells, or shorter than one, is no crash and no
// false certainty.
func TestShortRoutes(t *testing.T) {
	for _, length := range []float64{3, 12, 40, 150} {
		a := path(t, [2]float64{0, 0}, [2]float64{0, length})
		f := plane(0, 0.1)
		f.Source = terrain.Source{Name: "coarse", CellM: 90, SEM: 4.3, CorrM: 100, CE90M: 20}
		p, err := profile.Build(context.Background(), a, nil, f, profile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		g, se := p.At(length/2, []float64{-length / 4, length / 4}, []float64{2 / length, -2 / length})
		if !math.IsNaN(g) && se < 0.015 {
			t.Errorf("%.0f m on 90 m cells: grade %.3f +- %.4f is too sure", length, g, se)
		}
	}
}
