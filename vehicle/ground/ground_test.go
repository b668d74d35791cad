package ground_test

import (
	"fmt"
	"math"
	"testing"

	"drawbar/vehicle/ground"
	"drawbar/vehicle/specfile"

	"pgregory.net/rapid"
)

// Worked example of field manual R6 (vehicle note 5.1, read): cone index 49 and
// remoulding index 0.87 in the layer of one pass, 56 and 0.85 in that of fifty;
// a vehicle of 21 and 49 goes once and not fifty times.
func TestWorkedExample(t *testing.T) {
	one, fifty := ground.RCI(49, 0.87), ground.RCI(56, 0.85)
	if math.Abs(one-42.6) > 0.05 || math.Abs(fifty-47.6) > 0.05 {
		t.Errorf("RCI %.2f and %.2f, published 42.6 and 47.6", one, fifty)
	}
	if math.Round(one) < 21 || math.Round(fifty) >= 49 {
		t.Errorf("43 goes once on 21, 48 does not go fifty times on 49")
	}
}

// miOf finds the mobility index of a one-pass index.
func miOf(want float64, vci func(float64) (float64, float64)) float64 {
	low, high := 1.0, 115.0
	for range 100 {
		mid := (low + high) / 2
		if one, _ := vci(mid); one < want {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// Published pairs of vehicle cone indices: an eight-wheeler 32 and 72 (R10), a
// light tracked gun 21 and 49 (R6). The index of one gives the other through
// the mobility index; the note has the MI between.
func TestPublishedPairs(t *testing.T) {
	for _, c := range []struct {
		name           string
		one, fifty, mi float64
		vci            func(float64) (float64, float64)
	}{{"wheels", 32, 72, 104.41, ground.WheeledVCI}, {"tracks", 21, 49, 72.51, ground.TrackedVCI}} {
		mi := miOf(c.one, c.vci)
		_, fifty := c.vci(mi)
		if math.Abs(mi-c.mi) > 0.01 || math.Abs(fifty-c.fifty) > 0.5 {
			t.Errorf("%s: MI %.2f (want %.2f), fifty passes %.2f (published %g)", c.name, mi, c.mi, fifty, c.fifty)
		}
	}
}

// Samples re-derived in the note (5.1): a tractor of 25 t on eight tyres 16.0 x
// 52.8 in with 16 in below it, alone and under a kingpin load.
func TestTractor(t *testing.T) {
	w := ground.Wheels{Kg: 25_000, Axles: 4, Tyres: 8, TyreWidthM: 16 * 0.0254, TyreDiamM: 52.8 * 0.0254, ClearanceM: 16 * 0.0254, Powered: true, KWPerTonne: 20, Automatic: true}
	one, fifty := ground.WheeledVCI(w.MobilityIndex())
	if mi := w.MobilityIndex(); math.Abs(mi-101.68) > 0.1 || math.Abs(one-31.4) > 0.1 || math.Abs(fifty-71.1) > 0.1 {
		t.Errorf("alone: MI %.2f, %.2f and %.2f, want 101.68, 31.4, 71.1", mi, one, fifty)
	}
	w.Kg, w.KWPerTonne = 45_300, 7.5 // under 10 hp a short ton
	one, fifty = ground.WheeledVCI(w.MobilityIndex())
	if mi := w.MobilityIndex(); math.Abs(mi-468) > 1 || math.Abs(one-63.6) > 0.1 || math.Abs(fifty-229) > 0.5 {
		t.Errorf("with kingpin load: MI %.1f, %.1f and %.1f, want 468, 63.6, 229", mi, one, fifty)
	}
}

// Heavier needs more, and fifty passes need more than one.
func TestNeedsGrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := ground.Wheels{Kg: rapid.Float64Range(8000, 60_000).Draw(t, "kg"), Axles: rapid.IntRange(2, 8).Draw(t, "axles"), TyreWidthM: 0.4, TyreDiamM: 1.3,
			ClearanceM: 0.4, Powered: rapid.Bool().Draw(t, "powered"), KWPerTonne: 5, Deflections: ground.Deflections}
		w.Tyres = 2 * w.Axles
		one, fifty := w.Needs()
		h := w
		h.Kg *= 1.3
		oneH, fiftyH := h.Needs()
		if !(oneH.High >= one.High*0.97 && fiftyH.High > fifty.High) || !(one.Low < one.High) {
			t.Fatalf("%v %v, heavier %v %v", one, fifty, oneH, fiftyH)
		}
	})
}

// The sample train by its file, and a file without tyres, which is named.
func TestTrain(t *testing.T) {
	c, err := specfile.Load("../../samples/transporter-112t.yaml")
	if err != nil {
		t.Fatal(err)
	}
	got := ground.Of(c)
	if got.Lacks != "" || !(got.One.Low > 20 && got.One.High < 250 && got.Fifty.Low > got.One.Low) {
		t.Errorf("%+v", got)
	}
	if a, b := got.After(1), got.After(50); a != got.One || b != got.Fifty || got.After(7).High <= a.High {
		t.Errorf("passes: %v %v %v", a, got.After(7), b)
	}
	c.Axles[4].Tyres = 0
	if got := ground.Of(c); got.Lacks != "units[1].axles[0].tyres" {
		t.Errorf("lacks %q", got.Lacks)
	}
}

// ExampleOfCBR: a bearing ratio of 2 % is a rating cone index of about 112.
func ExampleOfCBR() {
	r := ground.OfCBR(2)
	fmt.Printf("%.0f to %.0f\n", r.Low, r.High)
	// Output: 84 to 140
}
