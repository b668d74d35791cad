package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// clutch makes the sample's clutch take so much, kJ; 0 leaves it unsaid.
func clutch(kJ float64) func(*vehicle.Spec) {
	return func(s *vehicle.Spec) {
		if s.Units[0].Power.SlipLimitKJ = new(kJ); kJ == 0 {
			s.Units[0].Power.SlipLimitKJ = nil
		}
	}
}

// passedOf are the passed comparisons of a check.
func passedOf(s *check.Situation, name string) (out []check.Finding) {
	var k check.Sink
	check.Run(s, &k)
	for _, f := range k.Passed {
		if f.Check == name {
			out = append(out, f)
		}
	}
	return out
}

// Without a limit in the file the heat of a start is told as a range, and judges
// nothing; with one the starts are counted. Energies by hand: TestSlipByHand.
func TestHeatOfStarts(t *testing.T) {
	const grade = 0.06
	on := func(kJ float64, o check.Settings) *check.Situation {
		return onRamp(t, setup(t, o, clutch(kJ)), grade, straight(asphalt, 900)...)
	}
	free := on(0, check.Settings{})
	fs := passedOf(free, "start")
	if len(fs) != 1 || !strings.Contains(fs[0].Say, "never hold the load on it") || len(of(run(free), "start")) != 0 {
		t.Fatalf("no limit: %+v", fs)
	}
	low, high, kept := quantity(t, fs[0], "low").Value, quantity(t, fs[0], "high").Value, quantity(t, fs[0], "kept").Value
	s, err := traction.SlipsOf(free.Train, grade, 0.5, 0.012, 0, traction.DefaultSlip())
	if err != nil || !(low < s[0].HeatJ && s[0].HeatJ < high) || math.Abs(kept-3*high) > 1e-6 {
		t.Errorf("%g to %g J about %+v, three %g, %v", low, high, s, kept, err)
	}
	for _, c := range []struct {
		kJ     float64
		starts int
		want   check.Outcome
		fit    float64
	}{
		{3.1 * high / 1e3, 0, check.Pass, 3}, {2.5 * high / 1e3, 0, check.Caution, 2}, {1.5 * high / 1e3, 0, check.Caution, 1},
		{2.5 * high / 1e3, 2, check.Pass, 2}, {0.8 * high / 1e3, 0, check.NotLooked, 0},
	} {
		at := on(c.kJ, check.Settings{Starts: c.starts})
		fs := of(run(at), "start")
		if got := worstOf(run(at), "start"); got != c.want {
			t.Errorf("%.0f kJ: %v, want %v", c.kJ, got, c.want)
		}
		if c.want == check.Pass {
			continue
		}
		if len(fs) != 1 || quantity(t, fs[0], "fit").Value != c.fit {
			t.Errorf("%.0f kJ: %+v, want %g starts", c.kJ, fs, c.fit)
		}
	}
	// One start may be too much, on a short stretch with no cause to stop.
	short := onRamp(t, setup(t, check.Settings{}, clutch(0.8*high/1e3)), grade, straight(asphalt, 250)...)
	if fs := of(run(short), "start"); len(fs) != 1 || fs[0].Outcome != check.Caution || !strings.Contains(fs[0].Do, "do not stop") {
		t.Errorf("short stretch: %+v", fs)
	}
}

// A converter's heat at stall is its engine's power at that torque and speed.
func TestHeatAtStall(t *testing.T) {
	set := setup(t, check.Settings{}, clutch(0), func(s *vehicle.Spec) {
		s.Units[0].Power.StartBy, s.Units[0].Power.StallRatio = "converter", new(1.8)
	})
	s := onRamp(t, set, 0.06, straight(asphalt, 900)...)
	h, ok := s.StartHeat(len(s.Profile.ChainageM) - 1)
	if want := 1900 * 2 * math.Pi * 1100 / 60; !ok || math.Abs(h.StallW-want) > 1e-6 || h.What != "converter" {
		t.Errorf("%+v, %v", h, ok)
	}
}
