package pull_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle/pull"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// Source: reference note on vehicle mechanics, section 6.4, derived: drum 400 mm,
// rope 28 mm, 250 kN: layers 250, 221.1, 198.1, 179.5, 164.1 kN; 28.2, 31.9, 35.6,
// 39.3, 43.0 m a layer on 21 turns.
func TestLayers(t *testing.T) {
	w := pull.Winch{PullN: 250e3, DrumM: 0.4, WidthM: 0.6, RopeM: 100, RopeD: 0.028}
	for i, want := range [][2]float64{{250, 28.2}, {221.1, 31.9}, {198.1, 35.6}, {179.5, 39.3}, {164.1, 43.0}} {
		near(t, "kN", w.LayerPull(i+1)/1e3, want[0], 0.05)
		near(t, "m", w.LayerM(i+1), want[1], 0.05)
	}
}

// Source: section 6.2, procedure read, figures derived.
func TestRig(t *testing.T) {
	for _, c := range []struct {
		load, line          float64
		parts               int
		tackle, total, fall float64
	}{
		{608.0122, 200, 4, 182.4, 790.4, 197.6},
		{1216.0244, 350, 5, 486.4, 1702.4, 340.5},
		{1824.0366, 350, 10, 1641.6, 3465.7, 346.6},
	} {
		n := pull.PartsFor(c.load, c.line)
		r := pull.RigOf(c.load, n)
		if n != c.parts {
			t.Errorf("%g kN with %g: %d parts, want %d", c.load, c.line, n, c.parts)
		}
		near(t, "tackle", r.TackleN, c.tackle, 0.05)
		near(t, "total", r.TotalN, c.total, 0.05)
		near(t, "fall", r.FallN, c.fall, 0.05)
	}
	if n := pull.PartsFor(1216, 200); n != 0 {
		t.Errorf("1216 kN with 200: %d parts, want none up to 12", n)
	}
}

// Source: section 6.2, rigging handbook's table, read (it truncates: 0.01).
func TestBlocks(t *testing.T) {
	for deg, want := range map[float64]float64{0: 2, 30: 1.93, 45: 1.84, 60: 1.73, 90: 1.41, 120: 1, 135: 0.76, 150: 0.52, 180: 0} {
		near(t, "block", pull.BlockLoad(1, deg*math.Pi/180), want, 0.0101)
	}
	for deg, want := range map[float64]float64{0: 0.5, 30: 0.5176, 60: 0.5774, 90: 0.7071, 120: 1} {
		near(t, "two parts", pull.TwoPart(deg*math.Pi/180), want, 5e-5)
	}
	near(t, "1000 lb at 50 degrees", pull.BlockLoad(1000, 50*math.Pi/180), 1810, 5)
}

func TestWinchRefused(t *testing.T) {
	good := pull.Winch{PullN: 2e5, DrumM: 0.32, WidthM: 0.5, RopeM: 90, RopeD: 0.02, BreakN: math.NaN(), AnchorN: math.NaN()}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for name, w := range map[string]pull.Winch{
		"no pull": {DrumM: 1, WidthM: 1, RopeM: 1, RopeD: 0.1}, "NaN": {PullN: math.NaN(), DrumM: 1, WidthM: 1, RopeM: 1, RopeD: 0.1},
		"narrow": {PullN: 1, DrumM: 1, WidthM: 0.01, RopeM: 1, RopeD: 0.1}, "thin": {PullN: 1, DrumM: 0.05, WidthM: 1, RopeM: 1, RopeD: 0.1},
	} {
		if !errors.Is(w.Check(), pull.ErrWinch) {
			t.Errorf("%s: accepted", name)
		}
	}
}

// A rig moves its load on every layer in use, with one part fewer it does not on
// the outermost; the fall line never gets below a tenth of the load.
func TestRigProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := pull.Winch{PullN: rapid.Float64Range(5e4, 4e5).Draw(r, "pull"), DrumM: rapid.Float64Range(0.2, 0.6).Draw(r, "drum"), WidthM: rapid.Float64Range(0.3, 1).Draw(r, "width"),
			RopeM: rapid.Float64Range(30, 200).Draw(r, "rope"), RopeD: rapid.Float64Range(0.012, 0.032).Draw(r, "d"), BreakN: math.NaN(), AnchorN: math.NaN()}
		load := rapid.Float64Range(1e4, 2e6).Draw(r, "load")
		rig, ok := w.RigFor(load)
		outer := w.LayerPull(w.Layer(0))
		if !ok {
			if n := pull.PartsFor(load, outer); n != 0 {
				r.Fatalf("refused, though %d parts do", n)
			}
			return
		}
		if rig.FallN > outer || rig.FallN < load/10 {
			r.Errorf("fall line %g, outermost layer %g, load %g", rig.FallN, outer, load)
		}
		if rig.Parts > 1 && pull.RigOf(load, rig.Parts-1).FallN <= outer {
			r.Errorf("%d parts, one fewer does", rig.Parts)
		}
		for out := 0.0; out < w.RopeM-5; out += 5 {
			if n := w.Layer(out); n > 0 && w.LayerPull(n) < outer-1e-6 {
				r.Errorf("with %g m out layer %d pulls less than the outermost", out, n)
			}
		}
	})
}
