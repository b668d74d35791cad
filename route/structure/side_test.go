package structure_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

// Side ways of a route due north: one to each side, one that is no road, one that
// runs along the route, one too far off; the route itself is in the file.
func TestSides(t *testing.T) {
	const north = 1 / 111132.954 // degrees a metre, about
	east := north / math.Cos(40*math.Pi/180)
	at := func(x, y float64) orb.Point { return orb.Point{-27 + x*east, 40 + y*north} }
	way := func(tags route.Tags, pts ...orb.Point) *route.Route {
		tags.Mapped = true
		return &route.Route{Line: pts, Pieces: []route.Piece{{First: 0, Last: len(pts) - 1, Tags: tags}}}
	}
	main := way(route.Tags{}, at(0, 0), at(0, 200), at(0, 500), at(0, 1000))
	main.ID = "main"
	a, err := route.Align(main)
	if err != nil {
		t.Fatal(err)
	}
	w := structure.NewAround([]*route.Route{main,
		way(route.Tags{WidthM: known(4)}, at(0, 200), at(60, 200)),                    // to the right, 60 m
		way(route.Tags{}, at(-30, 500), at(0, 500), at(90, 510)),                      // across: both sides
		way(route.Tags{Doubts: []string{"highway=steps"}}, at(0, 700), at(0+80, 700)), // no road
		way(route.Tags{}, at(0, 800), at(1, 900)),                                     // along it
		way(route.Tags{}, at(40, 900), at(140, 900)),                                  // not joined
	})
	got := w.Sides(a)
	want := []structure.Side{{AtM: 200, LengthM: 60, WidthM: 4}, {AtM: 500, LengthM: 90.55}, {AtM: 500, LengthM: 30}}
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, s := range want {
		if math.Abs(got[i].AtM-s.AtM) > 1 || math.Abs(got[i].LengthM-s.LengthM) > 0.5 || (s.WidthM != 0) == math.IsNaN(got[i].WidthM) {
			t.Errorf("side %d: %+v, want %+v", i, got[i], s)
		}
	}
}
