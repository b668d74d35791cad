package geofile_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
)

// TestRatedBridge: an engineer's rating and an owner's clearance come with their
// unit in the key; what is no figure above 0 is unreadable, never no limit.
func TestRatedBridge(t *testing.T) {
	f, _, ok := geofile.StructureOf(map[string]string{"bridge": "yes", "bridge:structure": "arch", "bridge:span": "32",
		"rated_moment_knm": "9000", "rated_shear_kn": "-5", "cleared_mass_kg": "112000"})
	if !ok || f.Form != "arch" || f.RatedMomentNm.Value != 9e6 || f.RatedShearN.State != route.Unreadable || f.ClearedMassKg.Value != 112e3 || f.SpanM.Value != 32 {
		t.Errorf("%+v", f)
	}
}
