package ways_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/structure"
	"drawbar/route/ways"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// at is a position in metres east and north of a point on the equator.
func at(x, y float64) orb.Point { return orb.Point{x / 111320, y / 110574} }

func way(id string, t route.Tags, pts ...orb.Point) *ways.Way {
	if t.Highway == "" && t.Other == "" {
		t.Highway = "tertiary"
	}
	t.Mapped = true
	return &ways.Way{ID: id, Line: pts, Tags: t}
}

func line(t rapid.TB, pts ...orb.Point) *route.Alignment {
	t.Helper()
	a, err := route.Align(&route.Route{ID: "t", Line: pts, Pieces: []route.Piece{{First: 0, Last: len(pts) - 1}}})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// ids are the ways followed, "-" for none.
func ids(m *ways.Match) (out []string) {
	for _, r := range m.Runs {
		id := "-"
		if r.Way != nil {
			id = r.Way.ID
		}
		if len(out) == 0 || out[len(out)-1] != id {
			out = append(out, id)
		}
	}
	return out
}

func same(a []string, b ...string) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func TestMatch(t *testing.T) {
	oneway := route.Tags{Oneway: "yes"}
	bridge := route.Tags{Bridge: "yes", Layer: 1}
	for _, c := range []struct {
		name string
		ways []*ways.Way
		line []orb.Point
		want []string
	}{
		{"the near one", []*ways.Way{way("a", route.Tags{}, at(0, 0), at(0, 500)), way("b", route.Tags{}, at(30, 0), at(30, 500))},
			[]orb.Point{at(4, 0), at(3, 250), at(5, 500)}, []string{"a"}},
		{"on through a junction", []*ways.Way{way("a", route.Tags{}, at(0, 0), at(0, 250)), way("b", route.Tags{}, at(0, 250), at(0, 500)), way("c", route.Tags{}, at(0, 250), at(250, 250))},
			[]orb.Point{at(3, 10), at(3, 490)}, []string{"a", "b"}},
		{"carriageways 10 m apart, by their direction", []*ways.Way{way("up", oneway, at(0, 0), at(0, 500)), way("down", oneway, at(-10, 500), at(-10, 0))},
			[]orb.Point{at(-5, 500), at(-5, 0)}, []string{"down"}},
		{"and the other way", []*ways.Way{way("up", oneway, at(0, 0), at(0, 500)), way("down", oneway, at(-10, 500), at(-10, 0))},
			[]orb.Point{at(-5, 0), at(-5, 500)}, []string{"up"}},
		{"under a bridge", []*ways.Way{way("low", route.Tags{}, at(0, 0), at(0, 500)), way("high", bridge, at(-200, 250), at(200, 250))},
			[]orb.Point{at(2, 0), at(2, 248), at(-2, 252), at(2, 500)}, []string{"low"}},
		{"stacked ways with a vertex on one spot do not meet", []*ways.Way{way("low", route.Tags{}, at(0, 0), at(0, 250), at(0, 500)), way("high", bridge, at(-200, 250), at(0, 250), at(200, 250))},
			[]orb.Point{at(0, 0), at(0, 240), at(0, 260), at(0, 500)}, []string{"low"}},
		{"a bridge in the way, continued", []*ways.Way{way("a", route.Tags{}, at(0, 0), at(0, 200)), way("deck", bridge, at(0, 200), at(0, 230)), way("b", route.Tags{}, at(0, 230), at(0, 500))},
			[]orb.Point{at(0, 0), at(0, 500)}, []string{"a", "deck", "b"}},
		{"off the network and back", []*ways.Way{way("a", route.Tags{}, at(0, 0), at(0, 300)), way("b", route.Tags{}, at(0, 700), at(0, 1000))},
			[]orb.Point{at(0, 0), at(0, 300), at(0, 700), at(0, 1000)}, []string{"a", "-", "b"}},
		{"nowhere", []*ways.Way{way("a", route.Tags{}, at(0, 0), at(0, 300))},
			[]orb.Point{at(500, 0), at(500, 300)}, []string{"-"}},
		{"a footway beside the road", []*ways.Way{way("road", route.Tags{}, at(0, 0), at(0, 500)), way("foot", route.Tags{Highway: "footway", Doubts: []string{"a footway"}}, at(6, 0), at(6, 500))},
			[]orb.Point{at(3.5, 0), at(3.5, 500)}, []string{"road"}},
	} {
		m := ways.NewNetwork(c.ways).Match(line(t, c.line...))
		if !same(ids(m), c.want...) {
			t.Errorf("%s: %v, want %v", c.name, ids(m), c.want)
		}
	}
}

// What a way against the line says is turned; what stands at its nodes and what
// crosses is placed in chainage.
func TestFollow(t *testing.T) {
	a := way("a", route.Tags{Oneway: "yes", InclineRatio: route.Limit{Value: 0.05, State: route.Known}}, at(0, 400), at(0, 200), at(0, 0))
	a.Points = []ways.Point{{Vertex: 1, Feature: structure.Feature{Kind: structure.Gate, What: "gate"}}}
	b := way("b", route.Tags{Bridge: "yes", MaxMassKg: route.Limit{Value: 30e3, State: route.Known, Raw: "30"}}, at(0, 400), at(0, 450))
	c := way("c", route.Tags{}, at(0, 450), at(0, 800))
	brook, river := way("brook", route.Tags{Other: "waterway=stream"}, at(-50, 600), at(50, 600)), way("river", route.Tags{Other: "waterway=river"}, at(-50, 425), at(50, 425))
	brook.Kind, river.Kind = ways.Water, ways.Water
	pipe := way("pipe", route.Tags{Other: "waterway=stream", Tunnel: "culvert"}, at(-50, 700), at(50, 700))
	pipe.Kind, pipe.Below = ways.Water, true
	over := way("over", route.Tags{Bridge: "yes", Layer: 1}, at(-50, 100), at(50, 100))
	f := ways.NewIndex("area.osm", []*ways.Way{a, b, c, brook, river, pipe, over}).Follow(line(t, at(0, 0), at(0, 800)))
	if len(f.Way.Legs) != 3 {
		t.Fatalf("%d legs", len(f.Way.Legs))
	}
	first, deck := f.Way.Legs[0], f.Way.Legs[1]
	if first.Tags.Oneway != "-1" || first.Tags.InclineRatio.Value != -0.05 || first.From != "ways of area.osm" {
		t.Errorf("the first leg: %+v", first)
	}
	if deck.Tags.MaxMassKg.Value != 30e3 || math.Abs(deck.At.FromM-400) > 0.5 || math.Abs(deck.At.ToM-450) > 0.5 {
		t.Errorf("the deck: %+v", deck)
	}
	want := map[structure.Kind]float64{structure.Overhead: 100, structure.Gate: 200, structure.Unbridged: 600, structure.Culvert: 700}
	for _, p := range f.Placed {
		mid := (p.At.FromM + p.At.ToM) / 2
		if s, ok := want[p.Feature.Kind]; !ok || math.Abs(s-mid) > 1 {
			t.Errorf("%s at %.1f m", p.Feature.Kind, mid)
		}
		delete(want, p.Feature.Kind)
	}
	if len(want) > 0 {
		t.Errorf("not found: %v", want)
	}
}

// A route with tags keeps them; the stricter limit counts and both are named.
func TestFollowTagged(t *testing.T) {
	kg := func(v float64, raw string) route.Limit { return route.Limit{Value: v, State: route.Known, Raw: raw} }
	w := way("w", route.Tags{Bridge: "yes", Surface: "gravel", MaxMassKg: kg(30e3, "30"), MaxHeightM: kg(4.5, "4.5")}, at(0, 0), at(0, 300))
	a := line(t, at(0, 0), at(0, 300))
	own := route.Tags{Mapped: true, Highway: "service", Surface: "asphalt", MaxMassKg: kg(40e3, "40"), MaxHeightM: kg(4, "4")}
	a = a.WithLegs([]route.Leg{{At: route.Stretch{ToM: a.LengthM()}, Tags: own}})
	l := ways.NewIndex("f", []*ways.Way{w}).Follow(a).Way.Legs[0]
	if l.Tags.Surface != "asphalt" || l.Tags.Highway != "service" || l.Tags.Bridge != "yes" || l.Tags.MaxMassKg.Value != 30e3 || l.Tags.MaxHeightM.Value != 4 || len(l.Differs) != 2 {
		t.Errorf("%+v", l)
	}
}

// Runs cover any line without gap, whatever the network.
func TestRunsCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coord := rapid.Float64Range(-200, 200)
		pt := rapid.Custom(func(t *rapid.T) orb.Point { return at(coord.Draw(t, "x"), coord.Draw(t, "y")) })
		var list []*ways.Way
		for i := range rapid.IntRange(0, 6).Draw(t, "ways") {
			w := way(string(rune('a'+i)), route.Tags{Oneway: rapid.SampledFrom([]string{"", "yes", "-1"}).Draw(t, "oneway")}, rapid.SliceOfN(pt, 2, 6).Draw(t, "way")...)
			list = append(list, w)
		}
		a := line(t, rapid.SliceOfN(pt, 2, 20).Draw(t, "line")...)
		x := ways.NewIndex("f", list)
		f := x.Follow(a)
		s := 0.0
		for _, l := range f.Way.Legs {
			if l.At.FromM != s || l.At.ToM < s {
				t.Fatalf("legs do not join at %g: %v", s, l.At)
			}
			s = l.At.ToM
		}
		if s != a.LengthM() {
			t.Fatalf("legs end at %g of %g", s, a.LengthM())
		}
		s = 0
		for _, r := range f.Match.Runs {
			if math.Abs(r.At.FromM-s) > 1e-6 {
				t.Fatalf("runs do not join at %g: %v", s, r.At)
			}
			s = r.At.ToM
		}
		if f.Match.MatchedM > a.LengthM()+1e-6 {
			t.Fatalf("%g m of %g matched", f.Match.MatchedM, a.LengthM())
		}
	})
}
