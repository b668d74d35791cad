package check_test

import (
	"strings"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle/traction"
)

// On ice a train slides sideways where it is nowhere near tipping, and chains on
// the driven wheels do not hold the trailer: 12 % of crossfall is more than 0.04
// to 0.15 of grip, 3 % on dry asphalt is nothing.
func TestSlidesSideways(t *testing.T) {
	iced := setup(t, check.Settings{Weather: "ice"})
	chained, err := iced.WithMeasure(traction.Chains)
	if err != nil {
		t.Fatal(err)
	}
	way := straight(roadOf("secondary", 8), 300)
	for name, set := range map[string]*check.Setup{"ice": iced, "with chains": chained} {
		places, _ := leans(onSlope(t, set, fallsEast(.12), way...))
		if len(places) != 1 || places[0].Outcome != check.NotLooked || !strings.Contains(places[0].Say, "sideways") {
			t.Errorf("%s: %+v", name, places)
			continue
		}
		ice, _ := traction.DefaultTable().Named("ice", traction.Ice)
		if got := quantity(t, places[0], "grip").Value; got != ice.Mu.Low.V {
			t.Errorf("%s: grip %g, bare ice has %g", name, got, ice.Mu.Low.V)
		}
	}
	for _, f := range func() []check.Finding {
		places, _ := leans(onSlope(t, setup(t, check.Settings{}), fallsEast(.03), way...))
		return places
	}() {
		if f.Outcome != check.Pass {
			t.Errorf("dry: %+v", f)
		}
	}
	// Where the reading's error decides, the place is left open, and its line says
	// what the ice holds.
	off := fallsEast(.02)
	off.sem = 1
	here, standing := leans(onSlope(t, iced, off, way...))
	if len(here) > 0 && here[0].Outcome > check.Caution || len(standing) != 1 || quantity(t, standing[0], "sure").Value > 0.05 || !strings.Contains(quantity(t, standing[0], "leaning").Text, "ice") {
		t.Errorf("not sure: %+v, %+v", here, standing)
	}
	// A bend that is too fast for ice is a matter of speed.
	places, _ := leans(onSlope(t, iced, fallsEast(0), leg{arc(30, 1.5, 1), roadOf("secondary", 8)}))
	if len(places) != 1 || places[0].Outcome != check.Caution || quantity(t, places[0], "slow").Value >= iced.BendSpeedMS {
		t.Errorf("bend: %+v", places)
	}
}
