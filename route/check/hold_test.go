package check_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func lines(fs []check.Finding, name string) (out []check.Finding) {
	for _, f := range fs {
		if f.Check == name {
			out = append(out, f)
		}
	}
	return out
}

// The sample train: 80 and 170 kN hold the grade whose sine is 250 kN over its
// weight, 23.4 %, less than its grip on asphalt does. Derived.
func TestHoldByForce(t *testing.T) {
	set := setup(t, check.Settings{})
	f := lines(run(onRamp(t, set, 0.22, straight(asphalt, 400)...)), "hold")
	if len(f) != 1 || f[0].Outcome != check.Caution {
		t.Fatalf("%+v", f)
	}
	sine := 250e3 / (112000 * vehicle.G)
	if want := sine / math.Sqrt(1-sine*sine); math.Abs(f[0].Capacity-want) > 1e-9 {
		t.Errorf("holds %g, by hand %g", f[0].Capacity, want)
	}
	var k check.Sink
	check.Run(onRamp(t, set, 0.12, straight(asphalt, 400)...), &k)
	if len(lines(k.Findings, "hold")) != 0 || len(lines(k.Passed, "hold")) != 1 {
		t.Error("12 % passes, once, and is seen to")
	}
}

// Bound of a pass 0.99, not 0.95: between the two stands a caution.
func TestHoldBound(t *testing.T) {
	set := setup(t, check.Settings{})
	se := math.Hypot(0.05*0.2338, 0.002)
	for _, r := range []struct {
		grade float64
		want  check.Outcome
	}{{0.2338 - 3.5*se, check.Pass}, {0.2338 - 2*se, check.Caution}, {0.3, check.Caution}} {
		if got := worstOf(run(onRamp(t, set, r.grade, straight(asphalt, 400)...)), "hold"); got != r.want {
			t.Errorf("%.3f: %v, want %v", r.grade, got, r.want)
		}
	}
}

// Nose down on the rear group alone the slope takes the load off the wheels that
// hold: reference note on vehicle mechanics, section 3.4, table and trap 6.
func TestHoldNoseDown(t *testing.T) {
	set := setup(t, check.Settings{}, noHeat, func(s *vehicle.Spec) {
		for k := range s.Units[1].Axles {
			s.Units[1].Axles[k].Parked = new(false)
		}
	})
	up := lines(run(onRamp(t, set, 0.12, straight(asphalt, 400)...)), "hold")[0]
	down := lines(run(onRamp(t, set, -0.12, straight(asphalt, 400)...)), "hold")[0]
	if !(down.Capacity < up.Capacity) || down.Outcome != check.Caution {
		t.Errorf("nose down %g, up %g, %v", down.Capacity, up.Capacity, down.Outcome)
	}
	su, _ := traction.DefaultTable().Named("asphalt", traction.Dry)
	if use := traction.ParkUse(set.Train, -down.Capacity, func(a *vehicle.Axle) bool { return a.Parked }); use > su.Mu.Design.V+1e-9 {
		t.Errorf("at its limit it uses grip %g of %g", use, su.Mu.Design.V)
	}
}

// What the file does not say is one line a route, never silence.
func TestHoldUnknown(t *testing.T) {
	for name, change := range map[string]func(*vehicle.Spec){"axles": noParked, "force": noHeat} {
		f := lines(run(onRamp(t, setup(t, check.Settings{}, change), 0.02, straight(asphalt, 400)...)), "hold")
		if len(f) != 1 || !f[0].Standing || f[0].Close == "" {
			t.Errorf("%s: %+v", name, f)
		}
	}
}
