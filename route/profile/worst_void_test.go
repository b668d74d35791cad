package profile_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
)

// TestWorstVoid: the steep part lies after a void and is judged all the same,
// from both ends; a stretch inside the void is not told.
func TestWorstVoid(t *testing.T) {
	for _, c := range []struct {
		name          string
		before, after float64
	}{{"steep after", 0.02, 0.10}, {"steep before", 0.10, 0.02}} {
		g := ground{source: fine,
			z:     func(s float64) float64 { return c.before*min(s, 2200) + c.after*max(s-2200, 0) },
			valid: func(s float64) bool { return s < 2000 || s > 2400 }}
		a := meridian(t, 4000)
		k := a.LengthM() / 4000
		p := build(t, a, nil, g, profile.Options{})
		off, weight := []float64{-25, 25}, []float64{1.0 / 50, -1.0 / 50}
		w, err := p.Worst(context.Background(), route.Stretch{FromM: 500, ToM: 3500}, off, weight, nil, profile.WorstOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(w.Median()-0.10/k) > 0.004 {
			t.Errorf("%s: median of the worst %.4f, the steep side is 0.10", c.name, w.Median())
		}
		if _, err := p.Worst(context.Background(), route.Stretch{FromM: 2100, ToM: 2300}, off, weight, nil, profile.WorstOptions{}); !errors.Is(err, profile.ErrNoRoad) {
			t.Errorf("inside the void: %v", err)
		}
	}
}
