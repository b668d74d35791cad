package profile_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// ground is a surface given by a height over latitude only, so that chainage
// along a meridian is the one coordinate.
type ground struct {
	z      func(s float64) float64 // metres north of latitude 40
	valid  func(s float64) bool
	source terrain.Source
}

const metresPerDegree = 111035.0 // of latitude near 40 N; scale of the test only

func (g ground) Elevations(_ context.Context, pts []orb.Point, out []terrain.Sample) error {
	for i, p := range pts {
		s := (p[1] - 40) * metresPerDegree
		if g.valid != nil && !g.valid(s) {
			out[i] = terrain.Sample{ZM: math.NaN(), Why: terrain.Void}
			continue
		}
		out[i] = terrain.Sample{ZM: g.z(s)}
	}
	return nil
}

func (g ground) Sources() []terrain.Source { return []terrain.Source{g.source} }

func meridian(t testing.TB, lengthM float64) *route.Alignment {
	t.Helper()
	r := &route.Route{ID: "m", Line: orb.LineString{{-27, 40}, {-27, 40 + lengthM/metresPerDegree}},
		Pieces: []route.Piece{{First: 0, Last: 1}}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func build(t testing.TB, a *route.Alignment, carried []route.Stretch, g ground, o profile.Options) *profile.Profile {
	t.Helper()
	p, err := profile.Build(context.Background(), a, carried, g, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// fine is a good raster: 2 m cells, a decimetre of error.
var fine = terrain.Source{Name: "fine", CellM: 2, SEM: 0.1, CorrM: 20}

// TestRamp: on a ramp without noise the grade is the ramp's, at both ends too.
func TestRamp(t *testing.T) {
	a := meridian(t, 1000)
	p := build(t, a, nil, ground{z: func(s float64) float64 { return 100 + 0.08*s }, source: fine}, profile.Options{})
	var g profile.Series
	p.Grade(20, &g)
	want := 0.08 * metresPerDegree * (1000 / metresPerDegree) / a.LengthM()
	for i, v := range g.Value {
		if math.Abs(v-want) > 3*g.SE[i] || math.Abs(v-want) > 0.002 {
			t.Fatalf("station %d at %.1f m: grade %.4f +- %.4f, want %.4f", i, p.ChainageM[i], v, g.SE[i], want)
		}
	}
}

// TestTunnel: a line through a hill is a wall in the raster; the tagged tunnel
// is straight between its portals.
func TestTunnel(t *testing.T) {
	hill := func(s float64) float64 {
		z := 100 + 0.012*s
		if s > 400 && s < 1100 {
			z += 0.6 * min(s-400, 1100-s)
		}
		return z
	}
	a := meridian(t, 1500)
	k := a.LengthM() / 1500
	tunnel := []route.Stretch{{FromM: 400 * k, ToM: 1100 * k}}
	p := build(t, a, tunnel, ground{z: hill, source: fine}, profile.Options{})
	g, se := p.At(750*k, []float64{-100, 100}, []float64{1. / 200, -1. / 200})
	if math.Abs(g-0.012/k) > 0.002 || se <= 0 {
		t.Errorf("in the tunnel %.4f +- %.4f, want 0.0120", g, se)
	}
	naive := build(t, a, nil, ground{z: hill, source: fine}, profile.Options{})
	if g, _ := naive.At(600*k, []float64{-100, 100}, []float64{1. / 200, -1. / 200}); g < 0.5 {
		t.Errorf("untagged the same place shows %.3f, want the wall of 0.6", g)
	}
}

// TestReverse: the same road backwards has the same grades with the other
// sign.
func TestReverse(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	noise := make([]float64, 2000)
	for i := range noise {
		noise[i] = rng.NormFloat64() * 0.3
	}
	wavy := func(s float64) float64 { return 100 + 10*math.Sin(s/150) + noise[int(math.Abs(s)/2)%2000] }
	a := meridian(t, 1700)
	g := ground{z: wavy, valid: func(s float64) bool { return s < 800 || s > 850 }, source: fine}
	p, q := build(t, a, nil, g, profile.Options{}), build(t, a.Reverse(), nil, g, profile.Options{})
	var up, down profile.Series
	p.Grade(30, &up)
	q.Grade(30, &down)
	n := len(up.Value)
	for i := range n {
		u, d := up.Value[i], down.Value[n-1-i]
		if math.IsNaN(u) != math.IsNaN(d) || math.Abs(u+d) > 1e-9 || math.Abs(up.SE[i]-down.SE[n-1-i]) > 1e-9 {
			t.Fatalf("station %d: %.6f forward, %.6f back", i, u, d)
		}
	}
}

func TestVoids(t *testing.T) {
	flat := func(s float64) float64 { return 10 }
	a := meridian(t, 1000)
	short := ground{z: flat, source: fine, valid: func(s float64) bool { return s < 500 || s > 504 }}
	p := build(t, a, nil, short, profile.Options{})
	if miss, _ := p.MissingStretches(); len(miss) != 0 || p.Covered() < 0.999 {
		t.Errorf("a void of 4 m (two cells) was not carried: %v", miss)
	}
	carried := 0
	for _, m := range p.Mark {
		if m == profile.Carried {
			carried++
		}
	}
	if carried == 0 {
		t.Error("the carried stations are not marked")
	}
	long := ground{z: flat, source: fine, valid: func(s float64) bool { return s < 500 || s > 620 }}
	p = build(t, a, nil, long, profile.Options{})
	miss, why := p.MissingStretches()
	if len(miss) != 1 || why[0] != terrain.Void || math.Abs(miss[0].LengthM()-120) > 6 {
		t.Fatalf("a void of 120 m gives %v, %v", miss, why)
	}
	var g profile.Series
	p.Linear([]float64{0, 25}, []float64{1. / 25, -1. / 25}, &g)
	for i, s := range p.ChainageM {
		inside := s > miss[0].FromM+1e-6 && s < miss[0].ToM+25-1e-6
		if math.IsNaN(g.Value[i]) != inside {
			t.Errorf("at %.1f m the 25 m behind have grade %.3f, void %v", s, g.Value[i], miss[0])
		}
	}
}

func TestNothingKnown(t *testing.T) {
	p := build(t, meridian(t, 300), nil, ground{source: fine, valid: func(float64) bool { return false }}, profile.Options{})
	if p.Covered() != 0 {
		t.Errorf("covered %.2f of a way without heights", p.Covered())
	}
	if g, _ := p.At(100, []float64{0, 10}, []float64{0.1, -0.1}); !math.IsNaN(g) {
		t.Errorf("grade %.3f out of nothing", g)
	}
}

// TestDenseVertices: 4 cm between vertices do not make 4 cm grades.
func TestDenseVertices(t *testing.T) {
	r := &route.Route{ID: "dense"}
	for i := range 50001 {
		r.Line = append(r.Line, orb.Point{-27, 40 + 0.04*float64(i)/metresPerDegree})
	}
	r.Pieces = []route.Piece{{First: 0, Last: len(r.Line) - 1}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	p := build(t, a, nil, ground{z: func(s float64) float64 { return s * 0.05 }, source: fine}, profile.Options{})
	if n := len(p.ChainageM); n > 3200 {
		t.Errorf("%d stations on 2 km with 2 m steps", n)
	}
	for i := 1; i < len(p.ChainageM); i++ {
		if p.ChainageM[i]-p.ChainageM[i-1] < p.StepM/3-1e-9 {
			t.Fatalf("stations %.3f m apart", p.ChainageM[i]-p.ChainageM[i-1])
		}
	}
}

func TestConstant(t *testing.T) {
	p := profile.Constant(0.12, 200)
	var g profile.Series
	p.Grade(20, &g)
	for i := range g.Value {
		if math.Abs(g.Value[i]-0.12) > 1e-12 || g.SE[i] != 0 {
			t.Errorf("station %d: %.6f +- %.6f", i, g.Value[i], g.SE[i])
		}
	}
}

func ExampleProfile_Grade() {
	p := profile.Constant(0.08, 100)
	var g profile.Series
	p.Grade(20, &g)
	fmt.Printf("grade over 20 m at %.0f m: %.1f %%\n", p.ChainageM[5], 100*g.Value[5])
	// Output: grade over 20 m at 50 m: 8.0 %
}
