package structure_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

func known(v float64) route.Limit { return route.Limit{Value: v, State: route.Known} }

func TestStricter(t *testing.T) {
	none := route.Limit{State: route.None}
	bad := route.Limit{State: route.Unreadable, Raw: "heavy"}
	for _, tt := range []struct{ a, b, want route.Limit }{
		{route.Limit{}, route.Limit{}, route.Limit{}},
		{route.Limit{}, none, none},
		{none, known(5), known(5)},
		{known(5), known(3), known(3)},
		{known(3), bad, bad}, // the unread one may be lower
		{known(3), route.Limit{}, known(3)},
	} {
		if got := structure.Stricter(tt.a, tt.b); got != tt.want {
			t.Errorf("%v, %v: got %v, want %v", tt.a, tt.b, got, tt.want)
		}
		if got := structure.Stricter(tt.b, tt.a); got != tt.want {
			t.Errorf("%v, %v: got %v, want %v", tt.b, tt.a, got, tt.want)
		}
	}
}

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
	if len(got) != 2 {
		t.Fatalf("got %d structures, want the split bridge as one and the viaduct", len(got))
	}
	if got[0].Feature.MaxMassKg != known(30000) || got[0].At != (route.Stretch{FromM: a.ChainageM[1], ToM: a.ChainageM[3]}) {
		t.Errorf("first bridge is %+v at %v", *got[0].Feature, got[0].At)
	}
	if len(looked.Bare) != 1 || looked.Bare[0].FromM != a.ChainageM[3] {
		t.Errorf("bare stretches %v, want the fourth leg", looked.Bare)
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
	deck := func(layer int, pts ...orb.Point) structure.Deck { return structure.Deck{Line: pts, Layer: layer} }
	for _, tt := range []struct {
		name string
		d    structure.Deck
		want int
	}{
		{"across", deck(1, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 1},
		{"across, no layer", deck(0, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 1},
		{"below", deck(-1, orb.Point{-27.001, 40.004}, orb.Point{-26.999, 40.004}), 0},
		{"begins at it", deck(1, orb.Point{-27, 40.004}, orb.Point{-26.999, 40.004}), 0},
		{"along it", deck(1, orb.Point{-27.00001, 40.004}, orb.Point{-26.99999, 40.006}), 0},
		{"elsewhere", deck(1, orb.Point{-26, 40.004}, orb.Point{-25, 40.004}), 0},
	} {
		got := structure.Over(a, []structure.Deck{tt.d})
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
