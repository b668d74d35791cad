package known_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/known"

	"github.com/paulmach/orb"
)

// An answer stands by chainage in either direction, by coordinate where the
// line was drawn anew, twice where the way comes by twice, and nowhere when it
// is of another route, direction or place.
func TestPlace(t *testing.T) {
	r := route.Straight("r", []float64{1000, 1000}, []route.Tags{{}, {}})
	way, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	there := way.At(300)
	off := func(m float64) orb.Point { return orb.Point{there[0], there[1] + m/111_195} }
	back := route.Straight("r", []float64{1000, 1000}, []route.Tags{{}, {}})
	back.Line = append(back.Line[:2:2], back.Line[0]) // out and home again
	twice, err := route.Align(back)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		way  *route.Alignment
		a    known.Answer
		want []float64 // from each
	}{
		{"chainage", way, known.Answer{Route: "r", Placed: true, At: route.Stretch{FromM: 250, ToM: 350}}, []float64{250}},
		{"reverse", way.Reverse(), known.Answer{Route: "r", Placed: true, At: route.Stretch{FromM: 250, ToM: 350}}, []float64{1650}},
		{"only forward", way.Reverse(), known.Answer{Route: "r", Direction: "forward", Placed: true, At: route.Stretch{FromM: 250, ToM: 350}}, nil},
		{"other route", way, known.Answer{Route: "s", Placed: true, At: route.Stretch{FromM: 250, ToM: 350}}, nil},
		{"beyond the end", way, known.Answer{Route: "r", Placed: true, At: route.Stretch{FromM: 2500, ToM: 2600}}, nil},
		{"point", way, known.Answer{Pointed: true, Point: off(20)}, []float64{300}},
		{"point too far", way, known.Answer{Pointed: true, Point: off(40)}, nil},
		{"point reverse", way.Reverse(), known.Answer{Pointed: true, Point: off(20)}, []float64{1700}},
		{"point twice", twice, known.Answer{Pointed: true, Point: off(20)}, []float64{300, 1700}},
		{"both agree", way, known.Answer{Route: "r", Placed: true, At: route.Stretch{FromM: 250, ToM: 350}, Pointed: true, Point: there}, []float64{250}},
		{"line drawn anew", way, known.Answer{Route: "r", Placed: true, At: route.Stretch{FromM: 1250, ToM: 1350}, Pointed: true, Point: there}, []float64{300}},
	} {
		a := c.a
		a.WithinM = known.WithinM
		got := known.Place(c.way, []*known.Answer{&a})
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v, want %v", c.name, got, c.want)
			continue
		}
		for i, g := range got {
			if math.Abs(g.On.FromM-c.want[i]) > 2 {
				t.Errorf("%s: at %.1f, want %g", c.name, g.On.FromM, c.want[i])
			}
		}
	}
}
