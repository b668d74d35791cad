package route_test

import (
	"testing"

	"drawbar/route"
)

// Legs of an amended way cover it without gap, only the stretch has changed,
// and the first way is as it was.
func TestAmend(t *testing.T) {
	r := route.Straight("r", []float64{100, 100}, []route.Tags{{Surface: "asphalt"}, {Surface: "asphalt"}})
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	b := a.Amend(route.Stretch{FromM: 60, ToM: 130}, func(t *route.Tags) { t.Surface = "gravel" })
	at, gravel := 0.0, 0.0
	for _, l := range b.Legs {
		if l.At.FromM != at {
			t.Errorf("leg begins at %g, the one before ends at %g", l.At.FromM, at)
		}
		if at = l.At.ToM; l.Tags.Surface == "gravel" {
			gravel += l.At.LengthM()
		}
	}
	if at != a.LengthM() || gravel < 69.999 || gravel > 70.001 || len(a.Legs) != 2 || len(b.Legs) != 4 {
		t.Errorf("to %g of %g, %g m changed, legs %d and %d", at, a.LengthM(), gravel, len(a.Legs), len(b.Legs))
	}
}
