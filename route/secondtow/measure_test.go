package secondtow_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/route/secondtow"
)

// steepest is the station where the train's climb is least sure.
func steepest(s *check.Situation) int {
	best, least := -1, math.Inf(1)
	for i := range s.TrainGrade.Value {
		if c := s.Climb(i); c.Spare() < least {
			best, least = i, c.Spare()
		}
	}
	return best
}

// Measures on a climb that is too steep alone: each is what the climb check
// says of the train as it would be, the least mass is the least, and nothing is
// offered that makes it worse than promised.
func TestMeasures(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), ramp(0.13, asphalt)...)
	i := steepest(s)
	ms, err := yard(t, train, "helper-40t.yaml").Measures(s, i)
	if err != nil {
		t.Fatal(err)
	}
	if len(ms) != 4 {
		t.Fatalf("%d measures, want helper, load moved, ballast, lighter load: %+v", len(ms), ms)
	}
	if !ms[0].Passes() {
		t.Errorf("the helper does not get it up: %+v", ms[0])
	}
	lighter := ms[3]
	off := lighter.Q[0].Value
	if !lighter.Passes() || !(off > 0) {
		t.Fatalf("lighter load: %+v", lighter)
	}
	for _, by := range []struct {
		kg     float64
		passes bool
	}{{off, true}, {off - 1000, false}} {
		c, err := train.Reload(1, train.Units[1].LoadKg-by.kg, 0)
		if err != nil {
			t.Fatal(err)
		}
		n := road(t, solo(t, c), ramp(0.13, asphalt)...)
		if got := n.Climb(i).P >= check.PassAt; got != by.passes {
			t.Errorf("lighter by %.0f kg: passes %v, want %v (the least is said to be %.0f)", by.kg, got, by.passes, off)
		}
	}
	for _, m := range ms {
		if !(m.ClimbP >= 0 && m.ClimbP <= 1 && m.StartP <= m.ClimbP+1e-9) {
			t.Errorf("chances %+v", m)
		}
	}
}

// Dry ground is offered only where it is not dry, and is the dry train's answer.
func TestMeasureDry(t *testing.T) {
	train := strong(t)
	wet, err := check.NewSetup(train, check.Settings{Weather: "wet"})
	if err != nil {
		t.Fatal(err)
	}
	s := road(t, wet, ramp(0.15, asphalt)...)
	i := steepest(s)
	ms, err := (&secondtow.Yard{}).Measures(s, i)
	if err != nil {
		t.Fatal(err)
	}
	dry := road(t, solo(t, train), ramp(0.15, asphalt)...).Climb(i).P
	if ms[0].Say != "wait until the ground is dry" || ms[0].ClimbP != dry {
		t.Errorf("first %+v, dry climbs with %g", ms[0], dry)
	}
}
