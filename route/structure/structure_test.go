package structure_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

func known(v float64) route.Limit { return route.Limit{Value: v, State: route.Known} }

func TestPlace(t *testing.T) {
	r := &route.Route{ID: "t",
		Line: orb.LineString{{-27, 40}, {-27, 40.001}, {-27, 40.002}, {-27, 40.003}, {-27, 40.004}, {-27, 40.005}},
		Pieces: []route.Piece{
			{First: 0, Last: 1, Tags: route.Tags{Mapped: true}},
			{First: 1, Last: 2, Tags: route.Tags{Mapped: true, Bridge: "yes", MaxMassKg: known(40000)}},
			{First: 2, Last: 3, Tags: route.Tags{Mapped: true, Bridge: "yes", MaxMassKg: known(30000)}},
			{First: 3, Last: 4},
			{First: 4, Last: 5, Tags: route.Tags{Mapped: true, Bridge: "viaduct"}},
		}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	got, looked := structure.Place(a)
	if len(got) != 3 {
		t.Fatalf("got %d structures, want the two pieces of the split bridge and the viaduct", len(got))
	}
	for i, kg := range []float64{40000, 30000} {
		if got[i].Feature.MaxMassKg != known(kg) || got[i].At != (route.Stretch{FromM: a.ChainageM[i+1], ToM: a.ChainageM[i+2]}) {
			t.Errorf("piece %d is %+v at %v", i+1, *got[i].Feature, got[i].At)
		}
	}
	if len(looked.Bare) != 1 || looked.Bare[0].FromM != a.ChainageM[3] {
		t.Errorf("bare stretches %v, want the fourth leg", looked.Bare)
	}
}

// A piece without a limit takes none from its neighbour; pieces that say the same
// are one structure, whatever else changes between them.
func TestPlaceInheritsNothing(t *testing.T) {
	bridge := func(name string, l route.Limit, lanes string) route.Tags {
		return route.Tags{Mapped: true, Bridge: "yes", Name: name, MaxMassKg: l, Surface: lanes}
	}
	for _, c := range []struct {
		a, b route.Tags
		want int
	}{
		{bridge("old", route.Limit{}, ""), bridge("new", known(150e3), ""), 2},
		{bridge("", route.Limit{}, ""), bridge("", known(150e3), ""), 2},
		{bridge("", route.Limit{State: route.None}, ""), bridge("", route.Limit{}, ""), 2},
		{bridge("mill", known(40e3), "asphalt"), bridge("mill", known(40e3), "concrete"), 1},
	} {
		r := &route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.001}, {-27, 40.002}}, Pieces: []route.Piece{{First: 0, Last: 1, Tags: c.a}, {First: 1, Last: 2, Tags: c.b}}}
		a, err := route.Align(r)
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := structure.Place(a); len(got) != c.want {
			t.Errorf("%+v then %+v: %d structures, want %d", c.a, c.b, len(got), c.want)
		}
	}
}

// TestUnder: what runs under something is a structure with a clear height to
// ask for.
func TestUnder(t *testing.T) {
	for _, tt := range []struct {
		tags route.Tags
		want int
	}{
		{route.Tags{Mapped: true}, 0},
		{route.Tags{Mapped: true, Tunnel: "yes"}, 1},
		{route.Tags{Mapped: true, Covered: "yes"}, 1},
		{route.Tags{Mapped: true, Layer: -1}, 1},
		{route.Tags{Mapped: true, Layer: 1}, 0},
		{route.Tags{Mapped: true, Layer: -1, Ford: "yes"}, 1}, // the ford alone
	} {
		r := &route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.001}}, Pieces: []route.Piece{{First: 0, Last: 1, Tags: tt.tags}}}
		a, err := route.Align(r)
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := structure.Place(a); len(got) != tt.want {
			t.Errorf("%+v: %d structures, want %d", tt.tags, len(got), tt.want)
		}
	}
}

// TestOver: a deck across the way is over it, one that begins at it or runs
// along it is not, nor one below it.
func TestOver(t *testing.T) {
	r := &route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.01}}, Pieces: []route.Piece{{First: 0, Last: 1, Tags: route.Tags{Mapped: true}}}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	deck := func(layer int, pts ...orb.Point) []*route.Route {
		return []*route.Route{{Line: pts, Pieces: []route.Piece{{First: 0, Last: len(pts) - 1, Tags: route.Tags{Bridge: "yes", Layer: layer}}}}}
	}
	split := deck(1, orb.Point{-27.001, 40.004}, orb.Point{-27, 40.004}, orb.Point{-26.999, 40.004})
	split[0].Pieces = []route.Piece{{First: 0, Last: 1, Tags: route.Tags{Bridge: "yes", Layer: 1}}, {First: 1, Last: 2, Tags: route.Tags{Bridge: "yes", Layer: 1}}}
	for _, tt := range []struct {
		name string
		d    []*route.Route
		want int
	}{
		{"across", deck(1, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 1},
		{"across, no layer", deck(0, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 1},
		{"a bridge below the ground we are on cannot be", deck(-1, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 1},
		{"split where it crosses", split, 1},
		{"begins at it", deck(1, orb.Point{-27, 40.004}, orb.Point{-26.999, 40.004}), 0},
		{"along it", deck(1, orb.Point{-27.00001, 40.004}, orb.Point{-26.99999, 40.006}), 0},
		{"elsewhere", deck(1, orb.Point{-26, 40.004}, orb.Point{-25, 40.004}), 0},
	} {
		got := structure.NewAround(tt.d).Over(a)
		if len(got) != tt.want {
			t.Errorf("%s: %d over the way, want %d", tt.name, len(got), tt.want)
		}
		if len(got) == 1 {
			mid := (got[0].At.FromM + got[0].At.ToM) / 2
			if want := 0.4 * a.LengthM(); mid < want-1 || mid > want+1 || got[0].At.LengthM() < 9.9 || got[0].At.LengthM() > 10.1 {
				t.Errorf("%s: at %v, want 10 m about %.1f", tt.name, got[0].At, want)
			}
		}
	}
}

// Two bridges at one place: the one on the higher layer is over the other; where
// layers do not say, the deck is asked about.
func TestOverOurBridge(t *testing.T) {
	for _, c := range []struct{ ours, deck, want int }{{1, 2, 1}, {2, 1, 0}, {1, 1, 1}, {0, 0, 1}} {
		r := &route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.01}}, Pieces: []route.Piece{{First: 0, Last: 1, Tags: route.Tags{Mapped: true, Bridge: "yes", Layer: c.ours}}}}
		a, err := route.Align(r)
		if err != nil {
			t.Fatal(err)
		}
		ways := []*route.Route{{Line: orb.LineString{{-27.001, 40.004}, {-26.999, 40.004}}, Pieces: []route.Piece{{First: 0, Last: 1, Tags: route.Tags{Bridge: "yes", Layer: c.deck}}}}}
		if got := structure.NewAround(ways).Over(a); len(got) != c.want {
			t.Errorf("ours on layer %d, the deck on %d: %d over us, want %d", c.ours, c.deck, len(got), c.want)
		}
	}
}

// What a file of ways far off, or of a part of the way, says of the rest.
func TestKnownM(t *testing.T) {
	a, err := route.Align(&route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.02}}, Pieces: []route.Piece{{First: 0, Last: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	way := func(pts ...orb.Point) []*route.Route {
		return []*route.Route{{Line: pts, Pieces: []route.Piece{{First: 0, Last: len(pts) - 1}}}}
	}
	for name, c := range map[string]struct {
		ways []*route.Route
		want float64 // share
	}{
		"far":  {way(orb.Point{-26, 40}, orb.Point{-26, 40.02}), 0},
		"ours": {way(orb.Point{-27, 40}, orb.Point{-27, 40.02}), 1},
		"half": {way(orb.Point{-27, 40}, orb.Point{-27, 40.01}), 0.5},
	} {
		if got := structure.NewAround(c.ways).KnownM(a) / a.LengthM(); math.Abs(got-c.want) > 0.08 {
			t.Errorf("%s: known on %.2f of the length, want %.2f", name, got, c.want)
		}
	}
}
