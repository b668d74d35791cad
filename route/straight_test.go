package route_test

import (
	"math"
	"testing"

	"drawbar/route"
)

func TestStraight(t *testing.T) {
	a, err := route.Align(route.Straight("hill", []float64{30, 400, 12000}, make([]route.Tags, 3)))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0, 30, 430, 12430} {
		if math.Abs(a.ChainageM[i]-want) > 1e-6 || a.TurnRad[i] != 0 {
			t.Errorf("vertex %d at %.9f m, turn %g; want %g and 0", i, a.ChainageM[i], a.TurnRad[i], want)
		}
	}
	if len(a.Legs) != 3 || a.Legs[1].At.LengthM() < 399.999 {
		t.Errorf("legs %+v", a.Legs)
	}
}
