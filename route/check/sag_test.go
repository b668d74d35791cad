package check_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/terrain"
)

// onArc puts the train under a structure 10 m long at the bottom (or, with a
// negative radius, the top) of a vertical curve, on fine heights.
func onArc(t *testing.T, radiusM, sem float64) check.Finding {
	t.Helper()
	_, north := terrain.MetresPerDegree(47)
	ground := terrain.Func{
		At:     func(_, lat float64) (float64, bool) { return 100 + square((lat-47)*north-200)/2/radiusM, true },
		Source: terrain.Source{Name: "toy", CellM: 2, SEM: sem, CorrM: 50},
	}
	under := asphalt
	under.Covered = "yes"
	a := wayOf(t, []leg{straight(asphalt, 195)[0], {straight(under, 205)[0].to, under}, {straight(asphalt, 400)[0].to, asphalt}})
	placed, looked := structure.Place(a)
	p, err := profile.Build(context.Background(), a, []route.Stretch{placed[0].At}, ground, profile.Options{LineSEM: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	found := of(run(check.NewSituation(setup(t, check.Settings{}), a, p, placed, looked)), "overhead")
	if len(found) != 1 {
		t.Fatalf("%d findings", len(found))
	}
	return found[0]
}

// chordM is the distance of the sample's supports under its load: kingpin to
// the middle of seven lines.
const chordM = 10.55

// TestSagTable: the sag compensation of TD 27/05 table 6-2 (bridges note 6, from
// memory), for a chord of 25 m, by the loss of our shorter chord in squares;
// within 6 mm, as the note finds of the formula.
func TestSagTable(t *testing.T) {
	for _, c := range []struct{ radiusM, mm float64 }{{1000, 80}, {1200, 70}, {1500, 55}, {2000, 45}, {3000, 25}, {6000, 15}} {
		f := onArc(t, c.radiusM, 0.002)
		got := 1000 * quantity(t, f, "sag").Value * square(25/chordM)
		t.Logf("R %.0f: %.1f mm, table %.0f", c.radiusM, got, c.mm)
		if math.Abs(got-c.mm) > 6 {
			t.Errorf("R %.0f m: %.1f mm over 25 m, table %.0f", c.radiusM, got, c.mm)
		}
	}
}

// Over a sag the middle rises by L2/8R, over a crest the overhang by o(L+o)/2R
// (geometry note 5.4); what is asked for grows by it.
func TestSagAndCrest(t *testing.T) {
	const overhang = 14.90 + 4.10 - chordM // behind the middle of the lines
	flat := quantity(t, onArc(t, 1e9, 0.002), "need").Value
	for _, c := range []struct{ radiusM, want float64 }{{300, square(chordM) / 8 / 300}, {-300, overhang * (chordM + overhang) / 2 / 300}} {
		f := onArc(t, c.radiusM, 0.002)
		got := quantity(t, f, "sag").Value
		if math.Abs(got-c.want) > 0.006 {
			t.Errorf("R %g: %.4f m, want %.4f", c.radiusM, got, c.want)
		}
		if need := quantity(t, f, "need").Value; need < flat+got {
			t.Errorf("R %g: asks for %.3f, on the level %.3f and %.3f of sag", c.radiusM, need, flat, got)
		}
	}
}

// Coarse heights do not tell a sag: the question says how to measure one.
func TestSagUnresolved(t *testing.T) {
	f := onArc(t, 300, 2)
	if !strings.Contains(f.Close, "{chord}") || math.Abs(quantity(t, f, "chord").Value-chordM) > 1e-9 {
		t.Errorf("%s: %v", f.Close, f.Q)
	}
}
