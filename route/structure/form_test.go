package structure_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

// Words of bridge:structure, bridge and material, OpenStreetMap.
func TestFormOf(t *testing.T) {
	for _, c := range []struct {
		tags route.Tags
		want structure.Form
	}{
		{route.Tags{Bridge: "yes"}, ""},
		{route.Tags{Bridge: "yes", BridgeStructure: "arch"}, structure.FormArch},
		{route.Tags{Bridge: "yes", BridgeStructure: "tied-arch"}, structure.FormArch},
		{route.Tags{Bridge: "culvert"}, structure.FormCulvert},
		{route.Tags{Bridge: "yes", BridgeMaterial: "wood"}, structure.FormTimber},
		{route.Tags{Bridge: "yes", BridgeStructure: "beam", BridgeMaterial: "steel"}, "beam"},
	} {
		if got := structure.FormOf(c.tags); got != c.want {
			t.Errorf("%+v: %q, want %q", c.tags, got, c.want)
		}
	}
}

// What a bridge is made of comes with it, and parts it where it changes.
func TestPlaceForm(t *testing.T) {
	piece := func(form string) route.Tags {
		return route.Tags{Mapped: true, Bridge: "yes", BridgeStructure: form, BridgeSpans: 3}
	}
	r := &route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.001}, {-27, 40.002}, {-27, 40.003}},
		Pieces: []route.Piece{{First: 0, Last: 1, Tags: piece("arch")}, {First: 1, Last: 2, Tags: piece("arch")}, {First: 2, Last: 3, Tags: piece("beam")}}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	got, _ := structure.Place(a)
	if len(got) != 2 || got[0].Feature.Form != structure.FormArch || got[0].Feature.Spans != 3 || got[1].Feature.Form != "beam" {
		t.Errorf("%+v", got)
	}
}
