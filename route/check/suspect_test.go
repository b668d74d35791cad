package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
)

// A void carried further than three cells and 100 m is a question, whatever
// the user lets be carried; and so is a long tunnel or bridge whose grade
// nobody told.
func TestCarriedTooFar(t *testing.T) {
	set := setup(t, check.Settings{})
	tunnel := func(lengthM float64, change func(*route.Tags)) []leg {
		legs := straight(asphalt, 400, lengthM, 400)
		legs[1].tags.Tunnel, legs[1].tags.MaxHeightM = "yes", limit(8)
		change(&legs[1].tags)
		return legs
	}
	asked := func(legs []leg) bool {
		for _, f := range of(run(onHills(t, set, func(float64) float64 { return 100 }, legs...)), "suspect") {
			if strings.Contains(f.Say, "carried straight") && f.Outcome == check.NotLooked {
				return true
			}
		}
		return false
	}
	if asked(tunnel(900, func(*route.Tags) {})) {
		t.Error("a tunnel of 900 m is asked about")
	}
	if !asked(tunnel(1100, func(*route.Tags) {})) {
		t.Error("a tunnel of 1100 m is not asked about")
	}
	if asked(tunnel(1100, func(t *route.Tags) { t.InclineRatio = limit(0.01) })) {
		t.Error("a tunnel with its incline tagged is asked about")
	}
	bridge := straight(asphalt, 400, 600, 400)
	bridge[1].tags.Bridge, bridge[1].tags.ClassWheeled = "yes", limit(150)
	if !asked(bridge) {
		t.Error("a bridge of 600 m is not asked about")
	}
}

// A tagged incline that the heights contradict is a question where the train
// would not surely climb it, and only there.
func TestContradictedInclineAsks(t *testing.T) {
	set := setup(t, check.Settings{})
	for incline, want := range map[float64]bool{0.30: true, 0.06: false, -0.30: false} {
		tags := asphalt
		tags.InclineRatio = limit(incline)
		fs := of(run(onHills(t, set, func(float64) float64 { return 100 }, straight(tags, 600)...)), "suspect")
		if got := len(fs) == 1 && strings.Contains(fs[0].Say, "contradict"); got != want {
			t.Errorf("incline %g: %+v", incline, fs)
		}
	}
}

// The void beyond what is carried by default stays a question when --carry
// reaches over it.
func TestLongVoidCarriedAsks(t *testing.T) {
	set := setup(t, check.Settings{})
	s := onVoid(t, set, 150, 1000)
	fs := of(run(s), "void")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked || math.Abs(fs[0].At.LengthM()-150) > 25 {
		t.Errorf("%+v", fs)
	}
	if fs := of(run(onVoid(t, set, 80, 1000)), "void"); len(fs) != 0 {
		t.Errorf("a void of 80 m: %+v", fs)
	}
}
