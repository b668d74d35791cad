package profile_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"

	"github.com/paulmach/orb"
)

// withZ is a meridian of n vertices whose heights are those of f.
func withZ(t *testing.T, lengthM float64, n int, f func(s float64) float64) *route.Alignment {
	t.Helper()
	r := &route.Route{ID: "z", Pieces: []route.Piece{{First: 0, Last: n - 1}}}
	for i := range n {
		s := lengthM * float64(i) / float64(n-1)
		r.Line = append(r.Line, orb.Point{-27, 40 + s/metresPerDegree})
		r.Z = append(r.Z, f(s))
	}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestRouteZ(t *testing.T) {
	hill := func(s float64) float64 { return 200 + 0.06*s }
	flat := ground{z: func(float64) float64 { return 10 }, source: fine}
	a := withZ(t, 1000, 101, hill)
	p := build(t, a, nil, flat, profile.Options{Z: profile.ZRoute})
	g, se := p.At(500, []float64{-50, 50}, []float64{0.01, -0.01})
	if math.Abs(g-0.06) > 0.002 || se <= 0 {
		t.Errorf("grade from the file's heights %.4f +- %.4f, want 0.06", g, se)
	}
	if p.Sources[0].Name == "fine" {
		t.Error("the source is still the raster")
	}
	back := build(t, a.Reverse(), nil, flat, profile.Options{Z: profile.ZRoute})
	if gb, _ := back.At(500, []float64{-50, 50}, []float64{0.01, -0.01}); math.Abs(g+gb) > 1e-9 {
		t.Errorf("backwards %.6f, forwards %.6f", gb, g)
	}
	_, err := profile.Build(context.Background(), meridian(t, 100), nil, flat, profile.Options{Z: profile.ZRoute})
	if !errors.Is(err, profile.ErrNoZ) {
		t.Errorf("no heights in the file: %v", err)
	}
}

func TestDifference(t *testing.T) {
	wavy := func(s float64) float64 { return 300 + 40*math.Sin(s/100) }
	g := ground{z: wavy, source: fine}
	for _, tt := range []struct {
		name    string
		z       func(s float64) float64
		mean    float64
		meaning string
	}{
		{"offset", func(s float64) float64 { return wavy(s) + 12 }, 12, ""},
		{"feet", func(s float64) float64 { return wavy(s) / 0.3048 }, math.NaN(), "the file's heights look like feet"},
		{"zeros", func(float64) float64 { return 0 }, math.NaN(), "the file's heights are all 0: filled in, not measured"},
	} {
		p := build(t, withZ(t, 1200, 601, tt.z), nil, g, profile.Options{Z: profile.ZBoth})
		d := p.RouteZ
		if d == nil || d.ScaleMeaning != tt.meaning {
			t.Errorf("%s: %+v", tt.name, d)
			continue
		}
		if !math.IsNaN(tt.mean) && (math.Abs(d.MeanM-tt.mean) > 0.1 || d.SDM > 0.1) {
			t.Errorf("%s: mean %.3f, sd %.3f", tt.name, d.MeanM, d.SDM)
		}
	}
}

// TestSuspects: a valley under an untagged bridge and a hill over an untagged
// tunnel are suspected, a plain steep hill is not.
func TestSuspects(t *testing.T) {
	ramp := func(s, from, to, rate float64) float64 { return rate * min(max(s-from, 0), to-from) }
	for _, tt := range []struct {
		name string
		z    func(s float64) float64
		want profile.Shape
	}{
		{"gorge", func(s float64) float64 { return 100 - ramp(s, 400, 430, 0.5) + ramp(s, 450, 480, 0.5) }, profile.Dip},
		{"hill", func(s float64) float64 { return 100 + ramp(s, 400, 500, 0.4) - ramp(s, 560, 660, 0.4) }, profile.Hump},
		{"wall", func(s float64) float64 { return 100 + 0.1*s + ramp(s, 500, 500.5, 6) - ramp(s, 506, 506.5, 6) }, profile.Jump},
		{"step", func(s float64) float64 { return 100 + 0.05*s + ramp(s, 500, 500.5, 8) }, profile.Jump},
		{"steep road over a crest", func(s float64) float64 { return 100 + ramp(s, 200, 400, 0.14) - ramp(s, 440, 640, 0.14) }, ""},
		{"one long climb", func(s float64) float64 { return 100 + ramp(s, 200, 600, 0.3) }, ""},
	} {
		a := meridian(t, 1000)
		got := build(t, a, nil, ground{z: tt.z, source: fine}, profile.Options{}).Suspects()
		switch {
		case tt.want == "" && len(got) > 0:
			t.Errorf("%s: suspected %+v", tt.name, got)
		case tt.want != "" && (len(got) != 1 || got[0].Shape != tt.want || tt.want != profile.Jump && (got[0].At.FromM > 410 || got[0].OffM < 5)):
			t.Errorf("%s: %+v", tt.name, got)
		}
		if tt.name != "gorge" {
			continue
		}
		bridge := []route.Stretch{{FromM: 395, ToM: 485}}
		if left := build(t, a, bridge, ground{z: tt.z, source: fine}, profile.Options{}).Suspects(); len(left) > 0 {
			t.Errorf("the tagged bridge is still suspected: %+v", left)
		}
	}
}
