package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
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

// Readings of the whole tunnel tell its grade; readings of a third do not, nor
// does a tag that the heights contradict.
func TestTunnelTold(t *testing.T) {
	set := setup(t, check.Settings{})
	legs := straight(asphalt, 400, 1200, 400)
	legs[1].tags.Tunnel, legs[1].tags.MaxHeightM = "yes", limit(8)
	reading := func(from, to float64) profile.Options {
		return profile.Options{Readings: []profile.Reading{{At: route.Stretch{FromM: from, ToM: to}, GradeRatio: 0, SE: 0.002, Measured: true}}}
	}
	for _, c := range []struct {
		o     profile.Options
		asked bool
	}{{reading(400, 1600), false}, {reading(400, 800), true}, {profile.Options{}, true}} {
		asked := false
		for _, f := range of(run(onGround(t, set, c.o, func(float64) float64 { return 100 }, legs...)), "suspect") {
			asked = asked || strings.Contains(f.Say, "carried straight")
		}
		if asked != c.asked {
			t.Errorf("%+v: asked %v, want %v", c.o.Readings, asked, c.asked)
		}
	}
}

// What README says of --known holds: a measured grade from end to end closes a
// void, a carried void and a jump of the heights.
func TestReadingsClose(t *testing.T) {
	set := setup(t, check.Settings{})
	all := profile.Options{Readings: []profile.Reading{{At: route.Stretch{FromM: 0, ToM: 1000}, GradeRatio: 0, SE: 0.002, Measured: true}}}
	hole := func(y float64) float64 {
		if y > 400 && y < 600 {
			return math.NaN()
		}
		return 100
	}
	step := func(y float64) float64 { return 100 + 6*min(max((y-500)/2, 0), 1) }
	for name, z := range map[string]func(float64) float64{"void": hole, "suspect": step} {
		if got := of(run(onGround(t, set, profile.Options{}, z, straight(asphalt, 1000)...)), name); len(got) == 0 {
			t.Errorf("%s: nothing asked without a reading", name)
		}
		if got := of(run(onGround(t, set, all, z, straight(asphalt, 1000)...)), name); len(got) > 0 {
			t.Errorf("%s: still asked with a reading: %+v", name, got)
		}
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
