package check_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
)

// The line as the US Army courses write it (geometry note 3.5): width in metres,
// type, class, clear height, and obstructions. Two of their examples, and what
// is not known; the courses write a height of 5 m as 5m in one and 4.6 in
// another, here the unit always stands.
func TestClassificationLine(t *testing.T) {
	nan := math.NaN()
	place := []check.Obstruction{{What: "ford"}}
	for _, c := range []struct {
		in   check.Classification
		want string
	}{
		{check.Classification{WidthM: 6.78, Type: 'Y', Class: 30, HeightM: 5, Flood: true, Places: place}, "6.7m/Y/30/5m (OB)(W)"},
		{check.Classification{WidthM: 7, Type: 'Y', Class: 50.9, HeightM: 4.69, Places: place}, "7m/Y/50/4.6m (OB)"},
		{check.Classification{WidthM: 10.5, Type: 'X', Class: 120, HeightM: 5, Snow: true, Places: place}, "10.5m/X/120/5m (OB)(T)"},
		{check.Classification{WidthM: 6.1, Type: 'Z', Class: 40, HeightM: math.Inf(1)}, "6.1m/Z/40/∞"},
		{check.Classification{WidthM: nan, Class: nan, HeightM: nan}, "?/?/?/?"},
	} {
		if got := c.in.Line(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Percent up, radius down: 93 m in 3720 m is 2.5 and written 3, 1.75 m twice in
// 150 m is 2.33 and written 3 (the worked examples of the courses), 16.97 m of
// radius is written 16.
func TestRounding(t *testing.T) {
	for _, c := range []struct {
		o    check.Obstruction
		want float64
	}{
		{check.Obstruction{What: "grade", Value: 93.0 / 3720}, 0.03},
		{check.Obstruction{What: "grade", Value: 3.5 / 150}, 0.03},
		{check.Obstruction{What: "grade", Value: 0.07}, 0.07},
		{check.Obstruction{What: "radius", Value: 16.97}, 16},
		{check.Obstruction{What: "clear height", Value: 4.29}, 4.2},
		{check.Obstruction{What: "ford", Value: 0.41}, 0.5},
	} {
		if got := c.o.Rounded(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%+v: %g, want %g", c.o, got, c.want)
		}
	}
}

// A way with one of each: what is placed where, and what stays unknown.
func TestClassify(t *testing.T) {
	wide := asphalt
	wide.WidthM = limit(7.25)
	low, bridge, ford, narrow := wide, wide, wide, wide
	low.Tunnel, low.MaxHeightM = "yes", limit(4.19)
	bridge.Bridge, bridge.ClassWheeled = "yes", limit(60)
	ford.Ford, ford.DepthM = "yes", limit(0.4)
	narrow.WidthM = limit(4)
	legs := straight(wide, 300, 300, 300, 300, 300, 300)
	for i, tags := range []route.Tags{1: low, 2: bridge, 3: ford, 4: narrow} {
		if i > 0 {
			legs[i].tags = tags
		}
	}
	// The raster rises 8 % over the last leg: surely an obstruction there.
	s := onHills(t, setup(t, check.Settings{}), func(y float64) float64 { return 100 + 0.08*max(y-1500, 0) }, legs...)
	c := s.Classify()
	if got := c.Line(); got != "4m/X/60/? (OB)" {
		t.Errorf("%s; %v", got, c.Why)
	}
	at := map[string]route.Stretch{}
	for _, o := range c.Places {
		at[o.What] = o.At
		if o.What == "grade" && !(o.P > 0.95 && o.Value > 0.07) {
			t.Errorf("%+v", o)
		}
	}
	for what, from := range map[string]float64{"clear height": 300, "ford": 900, "width": 1200, "grade": 1500} {
		if math.Abs(at[what].FromM-from) > 60 {
			t.Errorf("%s at %v, want it from %g m", what, at[what], from)
		}
	}
	if len(at) != 4 {
		t.Errorf("%v", c.Places)
	}
}
