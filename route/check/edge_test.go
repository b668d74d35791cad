package check_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"drawbar/route/check"
)

// stood reports whether a check is a standing matter.
func stood(fs []check.Finding, name string) bool {
	return slices.ContainsFunc(fs, func(f check.Finding) bool { return f.Check == name && f.Standing })
}

// leftBank falls 1:1 on the left of a way due north, from 100 to 200 m.
var leftBank = slope{cellM: 1, sem: 0.01, z: func(east, north float64) float64 {
	if north > 100 && north < 200 {
		return 300 - math.Max(-east-2.5, 0)
	}
	return 300
}}

// TestSoftEdge: a way 4.4 m wide with a bank of 1:1 on its left warns there and
// nowhere else; one 7 m wide keeps the train away from it; going back the bank is
// on the right. Made ground.
func TestSoftEdge(t *testing.T) {
	bank := leftBank
	set := setup(t, check.Settings{})
	warned := func(g slope, widthM float64) []check.Finding {
		return of(run(onSlope(t, set, g, straight(roadOf("track", widthM), 400)...)), "edge")
	}
	found := warned(bank, 4.4)
	if len(found) != 1 || found[0].Outcome != check.Caution || !strings.Contains(found[0].Say, "{side}") || found[0].Q[0].Text != "left" {
		t.Fatalf("%+v", found)
	}
	if at := found[0].At; math.Abs(at.FromM-100) > 4 || math.Abs(at.ToM-200) > 4 {
		t.Errorf("soft from %.0f to %.0f m, made from 100 to 200", at.FromM, at.ToM)
	}
	if f := warned(bank, 7); len(f) != 0 {
		t.Errorf("7 m wide: %+v", f)
	}
	back := bank
	back.reverse = true
	if f := warned(back, 4.4); len(f) != 1 || f[0].Q[0].Text != "right" {
		t.Errorf("going back: %+v", f)
	}
	// Nobody has a width: one line for the whole way.
	if f := run(onSlope(t, set, bank, straight(roadOf("track", 0), 400)...)); len(of(f, "edge")) != 0 || !stood(f, "edge") {
		t.Errorf("no width: %+v", of(f, "edge"))
	}
}
