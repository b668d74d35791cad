package profile_test

import (
	"context"
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"
)

// onBench is a way due north on a platform of halfM to each side that falls
// across by fall to the right, in a hillside that falls by slope.
func onBench(t *testing.T, halfM, fall, slope, cellM float64, o profile.Options, carried ...route.Stretch) *profile.Profile {
	t.Helper()
	me, _ := terrain.MetresPerDegree(40)
	ground := terrain.Func{At: func(lon, _ float64) (float64, bool) {
		x := (lon + 27) * me // to the right of the line
		on := min(max(x, -halfM), halfM)
		return 300 - fall*on - slope*(x-on), true
	}, Source: terrain.Source{Name: "bench", CellM: cellM, SEM: 0.1, CorrM: 50, CE90M: 0.01}}
	p, err := profile.Build(context.Background(), path(t, [2]float64{0, 0}, [2]float64{0, 400}), carried, ground, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// On a wide platform only the raster's noise is left: sqrt(2) 0.1/6 = 2.357 %.
// Derived.
func TestCrossfallOnAPlatform(t *testing.T) {
	p := onBench(t, 12, .03, .6, 2, profile.Options{LineSEM: 2})
	c, se := p.CrossfallAt(50, 6)
	if math.Abs(c-.03) > 1e-4 || math.Abs(se-.02357) > 1e-4 {
		t.Errorf("%.5f +- %.5f", c, se)
	}
	if _, narrow := p.CrossfallAt(50, 3); math.Abs(narrow-se) > 1e-4 {
		t.Errorf("flat ground beyond a narrow carriageway is no error: %g", narrow)
	}
}

// Banks beside a carriageway of 6 m make the place of the line count: 2 m off it
// moves the reading by 2/6 of the bank against the road, 0.57/3 = 0.19; half of a
// base beyond a road of 3 m counts as much as 0.57/2 = 0.285. Derived.
func TestCrossfallBesideBanks(t *testing.T) {
	p := onBench(t, 3, .03, .6, 2, profile.Options{LineSEM: 2})
	for width, want := range map[float64]float64{6: math.Hypot(.02357, .19), 3: math.Hypot(math.Hypot(.02357, .19), .285)} {
		if c, se := p.CrossfallAt(50, width); math.Abs(c-.03) > 1e-4 || math.Abs(se-want) > 1e-3 {
			t.Errorf("width %g: %.5f +- %.5f, want %.5f", width, c, se, want)
		}
	}
	sure := onBench(t, 3, .03, .6, 2, profile.Options{LineSEM: .3})
	if _, se := sure.CrossfallAt(50, 6); math.Abs(se-math.Hypot(.02357, .0285)) > 1e-3 {
		t.Errorf("a line known to 0.3 m: %g", se)
	}
}

// Coarse cells, heights of the file and decks have no crossfall.
func TestCrossfallNotResolved(t *testing.T) {
	deck := onBench(t, 12, .03, .6, 2, profile.Options{LineSEM: 2}, route.Stretch{FromM: 100, ToM: 200})
	for name, c := range map[string]struct {
		p *profile.Profile
		i int
	}{
		"10 m cells": {onBench(t, 12, .03, .6, 10, profile.Options{}), 20},
		"a deck":     {deck, 75},
		"a ramp":     {profile.Constant(.05, 400), 5},
	} {
		if v, se := c.p.CrossfallAt(c.i, 6); !math.IsNaN(v) || !math.IsNaN(se) {
			t.Errorf("%s: %g +- %g", name, v, se)
		}
	}
	if v, _ := deck.CrossfallAt(20, 6); math.Abs(v-.03) > 1e-4 {
		t.Errorf("beside the deck: %g", v)
	}
}

// Travelled the other way the road falls to the other side, as surely.
func TestCrossfallReversed(t *testing.T) {
	ground := plane(-.04, 0)
	a := path(t, [2]float64{0, 0}, [2]float64{0, 300})
	for _, way := range []*route.Alignment{a, a.Reverse()} {
		p, err := profile.Build(context.Background(), way, nil, ground, profile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		want := .04
		if way.Reversed {
			want = -want
		}
		if c, se := p.CrossfallAt(10, 6); math.Abs(c-want) > 1e-4 || !(se > 0 && se < .02) {
			t.Errorf("reversed %v: %g +- %g", way.Reversed, c, se)
		}
	}
}
