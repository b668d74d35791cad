package profile_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"
)

// shapesIn are the shapes of the suspects of a profile, in order.
func shapesIn(p *profile.Profile) (out []profile.Shape) {
	for _, s := range p.Suspects() {
		out = append(out, s.Shape)
	}
	return out
}

// Faults of a raster that the grade under a train does not show: seams, waves,
// steps, filled gaps. What a road may do is let through.
func TestFaults(t *testing.T) {
	gappy := fine
	gappy.Fills = []float64{0, 255}
	whole := gappy
	whole.StepM = 1
	wave := func(s float64) float64 { return 100 + 1.7*math.Sin(2*math.Pi*s/30) }
	step := func(h float64) func(float64) float64 {
		return func(s float64) float64 { return 100 + h*min(max((s-500)/2, 0), 1) }
	}
	level := func(z float64) func(float64) float64 { return func(float64) float64 { return z } }
	for _, tt := range []struct {
		name   string
		z      func(s float64) float64
		source terrain.Source
		want   profile.Shape
	}{
		{"seam of 1.2 m", step(1.2), fine, profile.Jump},
		{"seam of 2 m", step(2), fine, profile.Jump},
		{"kerb", step(0.2), fine, ""},
		{"waves of 30 m, 36 % steep", wave, fine, profile.Ramp},
		{"rough by much more than stated", func(s float64) float64 { return 100 + 0.18*math.Sin(s*s) }, terrain.Source{Name: "sure", CellM: 2, SEM: 0.025, CorrM: 20}, profile.Rough},
		{"waves on coarse cells", wave, terrain.Source{Name: "coarse", CellM: 30, SEM: 3, CorrM: 100}, ""},
		{"waves of 300 m", func(s float64) float64 { return 100 + 2*math.Sin(2*math.Pi*s/300) }, fine, ""},
		{"zeros in a file without a void value", level(0), gappy, profile.Flat},
		{"the end of the type", level(255), whole, profile.Flat},
		{"one real number all along", level(123.456), gappy, profile.Flat},
		{"one whole number all along", level(123), whole, ""},
		{"zeros in a file that declares its voids", level(0), fine, ""},
		{"sloping", func(s float64) float64 { return 0.001 * s }, gappy, ""},
	} {
		got := shapesIn(build(t, meridian(t, 1000), nil, ground{z: tt.z, source: tt.source}, profile.Options{}))
		if tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) == 0 || got[0] != tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, got, tt.want)
		}
	}
}

// Heights of a route file: filled in, impossible, or leaping as no road does.
func TestFaultsOfRouteHeights(t *testing.T) {
	flat := ground{z: func(float64) float64 { return 10 }, source: fine}
	for _, tt := range []struct {
		name string
		z    func(s float64) float64
		want profile.Shape
	}{
		{"all zero", func(float64) float64 { return 0 }, profile.Flat},
		{"all the same", func(float64) float64 { return 412 }, profile.Flat},
		{"level for a while in whole metres", func(s float64) float64 { return math.Round(min(s, 500) / 25) }, ""},
		{"saw of 20 m", func(s float64) float64 { return 100 + 20*math.Mod(math.Round(s/10), 2) }, profile.Jump},
		{"step of 8 m in 10 m", func(s float64) float64 { return 100 + 8*math.Round(min(max((s-495)/10, 0), 1)) }, profile.Jump},
		{"noisy by a metre", func(s float64) float64 { return 100 + 0.05*s + math.Sin(s*s) }, ""},
	} {
		p := build(t, withZ(t, 1000, 101, tt.z), nil, flat, profile.Options{Z: profile.ZRoute})
		got := shapesIn(p)
		if tt.want == "" && len(got) > 0 || tt.want != "" && (len(got) == 0 || got[0] != tt.want) {
			t.Errorf("%s: %v, want %q", tt.name, got, tt.want)
		}
	}
	p := build(t, withZ(t, 1000, 101, func(float64) float64 { return 1e9 }), nil, flat, profile.Options{Z: profile.ZRoute})
	if _, why := p.MissingStretches(); len(why) != 1 || why[0] != terrain.Implausible {
		t.Errorf("a height of 1e9 m: missing for %v", why)
	}
}

// A posted incline that the heights contradict is kept for the checks, seen as
// travelled.
func TestContradictedIsKept(t *testing.T) {
	a := meridian(t, 1000)
	for i := range a.Legs {
		a.Legs[i].Tags.InclineRatio = route.Limit{State: route.Known, Value: 0.3}
	}
	level := ground{z: func(float64) float64 { return 100 }, source: fine}
	for _, way := range []*route.Alignment{a, a.Reverse()} {
		p := build(t, way, nil, level, profile.Options{})
		if want := way.Legs[0].Tags.InclineRatio.Value; len(p.Contradicted) != 1 || p.Contradicted[0].GradeRatio != want {
			t.Errorf("contradicted %+v, want one of %g", p.Contradicted, want)
		}
	}
}
