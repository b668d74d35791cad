package structure_test

import (
	"fmt"
	"testing"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
	"github.com/tidwall/geojson"
)

// north is a way of 1.1 km due north.
func north(t testing.TB, tags route.Tags) *route.Alignment {
	t.Helper()
	a, err := route.Align(&route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.005}, {-27, 40.01}}, Pieces: []route.Piece{{First: 0, Last: 2, Tags: tags}}})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// A point is placed within 25 m of the way, joined to what stands there, and told
// when it lies on no route.
func TestFilePlace(t *testing.T) {
	a := north(t, route.Tags{Mapped: true, Bridge: "yes", MaxMassKg: route.Limit{Value: 60e3, State: route.Known, Raw: "60"}})
	placed, _ := structure.Place(a)
	f := structure.NewFile("mine.csv", []structure.Spot{
		{ID: "row 2", Point: orb.Point{-27.0002, 40.004}, Feature: structure.Feature{Kind: structure.Bridge, MaxMassKg: route.Limit{Value: 40e3, State: route.Known, Raw: "40"}}}, // 17 m off
		{ID: "row 3", Point: orb.Point{-27.0004, 40.004}, Feature: structure.Feature{Kind: structure.Gate}},                                                                       // 34 m off
		{ID: "row 4", Point: orb.Point{-27, 40.002}, Feature: structure.Feature{Kind: structure.Ford}},
	}, nil, nil)
	placed = f.Place(a, placed)
	if len(placed) != 2 {
		t.Fatalf("%d structures, want the bridge and the ford", len(placed))
	}
	if b := placed[0].Feature; b.MaxMassKg.Value != 40e3 || b.Source != "route tags and mine.csv" || len(b.Differs) != 1 {
		t.Errorf("the stricter limit does not count, or the sources are not named: %+v", b)
	}
	if s := placed[1].At; s.FromM < 219 || s.ToM > 225 {
		t.Errorf("the ford lies at %v, want about 222 m", s)
	}
	if u := f.Unplaced(); len(u) != 1 || u[0] != "row 3 (gate) lies on no route" {
		t.Errorf("%v", u)
	}
}

// A way that passes a point twice has it twice.
func TestFilePasses(t *testing.T) {
	a, err := route.Align(&route.Route{ID: "t", Line: orb.LineString{{-27, 40}, {-27, 40.01}, {-26.9999, 40.01}, {-26.9999, 40}}, Pieces: []route.Piece{{First: 0, Last: 3}}})
	if err != nil {
		t.Fatal(err)
	}
	f := structure.NewFile("mine.csv", []structure.Spot{{Point: orb.Point{-27, 40.004}, Feature: structure.Feature{Kind: structure.Gate}}}, nil, nil)
	if got := f.Place(a, nil); len(got) != 2 || got[1].At.FromM-got[0].At.FromM < 1000 {
		t.Errorf("%v", got)
	}
}

func TestAreas(t *testing.T) {
	region, err := geojson.Parse(`{"type":"Polygon","coordinates":[[[-27.001,40.002],[-26.999,40.002],[-26.999,40.003],[-27.001,40.003],[-27.001,40.002]]]}`, nil)
	if err != nil {
		t.Fatal(err)
	}
	a := north(t, route.Tags{})
	f := structure.NewFile("areas.geojson", nil, []structure.Land{{Region: region, Feature: structure.Feature{Kind: structure.Area, What: "no-go"}}}, nil)
	got := f.Place(a, nil)
	if len(got) != 1 {
		t.Fatalf("%d areas entered, want one", len(got))
	}
	// A thousandth of a degree of latitude is 111.0 m here: 222.1 m to 333.1 m.
	if s := got[0].At; s.FromM > 222.1 || s.FromM < 212 || s.ToM < 333.1 || s.ToM > 343.2 {
		t.Errorf("entered at %v, want 222 m to 333 m and less than 10 m more", s)
	}
}

func TestStricter(t *testing.T) {
	k := func(v float64) route.Limit { return route.Limit{Value: v, State: route.Known, Raw: fmt.Sprint(v)} }
	none, odd, absent := route.Limit{State: route.None, Raw: "none"}, route.Limit{State: route.Unreadable, Raw: "?"}, route.Limit{}
	for _, c := range []struct {
		a, b, want route.Limit
		most, diff bool
	}{
		{k(3), k(4), k(3), false, true}, {k(4), k(3), k(3), false, true}, {k(3), k(4), k(4), true, true}, {k(4), k(3), k(4), true, true},
		{k(3), k(3), k(3), false, false}, {k(3), absent, k(3), false, false}, {absent, k(3), k(3), false, false},
		{none, k(3), k(3), false, true}, {k(3), none, k(3), false, true}, {odd, k(3), odd, false, true}, {k(3), odd, odd, false, true}, {absent, none, none, false, false},
	} {
		if got, diff := structure.Stricter(c.a, c.b, c.most); got != c.want || diff != c.diff {
			t.Errorf("%+v and %+v: %+v %v", c.a, c.b, got, diff)
		}
	}
}

// BenchmarkFilePlace: a way of 1000 edges with 200 structures.
func BenchmarkFilePlace(b *testing.B) {
	r := &route.Route{ID: "b"}
	var spots []structure.Spot
	for i := range 1001 {
		p := orb.Point{-27, 40 + float64(i)*2e-4}
		r.Line = append(r.Line, p)
		if i%5 == 0 {
			spots = append(spots, structure.Spot{Point: p, Feature: structure.Feature{Kind: structure.Bridge}})
		}
	}
	r.Pieces = []route.Piece{{First: 0, Last: 1000}}
	a, err := route.Align(r)
	if err != nil {
		b.Fatal(err)
	}
	f := structure.NewFile("b", spots, nil, nil)
	for b.Loop() {
		if got := f.Place(a, nil); len(got) < 200 {
			b.Fatal(len(got))
		}
	}
}
