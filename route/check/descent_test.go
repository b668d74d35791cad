package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// weakRetarder is the sample train with a retarder at the shaft: 3000 N m times
// 7.2 over 0.64 m is 33.75 kN, whatever the gear.
func weakRetarder(t tb, o check.Settings, change ...func(*vehicle.Spec)) *check.Setup {
	t.Helper()
	return setup(t, o, append(change, func(s *vehicle.Spec) {
		s.Units[0].Power.RetarderAt, s.Units[0].Power.RetarderNm = "shaft", new(3000.0)
	})...)
}

func noHeat(s *vehicle.Spec) {
	for i := range s.Units {
		s.Units[i].Brakes = nil
	}
}

func hotBrakes(s *vehicle.Spec) {
	for i := range s.Units {
		*s.Units[i].Brakes.MassKg, *s.Units[i].Brakes.LimitC = 40, 100
	}
}

func noBraked(s *vehicle.Spec) {
	for i := range s.Units {
		s.Units[i].Brakes.ServiceKN = nil
		for k := range s.Units[i].Axles {
			s.Units[i].Axles[k].Braked = nil
		}
	}
}

func noParked(s *vehicle.Spec) {
	for i := range s.Units {
		s.Units[i].Brakes = nil
		for k := range s.Units[i].Axles {
			s.Units[i].Axles[k].Parked = nil
		}
	}
}

func noGears(s *vehicle.Spec) {
	p := s.Units[0].Power
	p.GearRatios, p.Ranges, p.FinalRatio, p.RetarderAt, p.EngineDragNm = nil, nil, nil, "", nil
	p.StartBy, p.SlipLimitKJ = "", nil
}

// Train A on asphalt, rolling 0.012, all forces worked by hand: drag 200 N m and
// 33.75 kN at the shaft in the lowest gear hold
// F = 200*122.148/0.64 + 33750 = 71.92 kN, which is a grade of 7.8 %.
// Source of the figures: the sample file, reference note on vehicle mechanics,
// sections 1.2 and 3.3.
func TestDescentLimit(t *testing.T) {
	set := weakRetarder(t, check.Settings{})
	f := of(run(onRamp(t, set, -0.12, straight(asphalt, 900)...)), "descent")
	if len(f) != 1 || f[0].Outcome != check.Caution {
		t.Fatalf("%+v", f)
	}
	d := set.Train.Units[0].Power
	force := 200*d.Gears[0].Ratio/0.64 + 3000*7.2/0.64
	x := force / (112000 * vehicle.G) / math.Hypot(1, 0.012)
	want := math.Tan(math.Asin(x) + math.Atan(0.012))
	if got := f[0].Capacity; math.Abs(got-want) > 1e-9 {
		t.Errorf("holds %.6f, by hand %.6f", got, want)
	}
	if q := quantity(t, f[0], "gear"); q.Text != "low 1" {
		t.Errorf("gear %q", q.Text)
	}
	if q := quantity(t, f[0], "speed"); math.Abs(3.6*q.Value-3.56) > 0.005 { // section 9: km/h at rated speed
		t.Errorf("speed %g m/s", q.Value)
	}
}

// The same descent with the retarder at the engine passes, on ice it does not:
// grip of the driven wheels, not the retarder, is what a pushing trailer leaves.
func TestDescentOnIce(t *testing.T) {
	at := func(set *check.Setup, g float64) check.Outcome {
		return worstOf(run(onRamp(t, set, g, straight(asphalt, 900)...)), "descent")
	}
	dry, ice := setup(t, check.Settings{}), setup(t, check.Settings{Weather: "ice"})
	if got := at(dry, -0.12); got != check.Pass {
		t.Errorf("dry: %v", got)
	}
	for _, r := range []struct {
		grade float64
		want  check.Outcome
	}{{0, check.Pass}, {-0.01, check.Pass}, {-0.035, check.Caution}, {-0.08, check.Undecided}, {-0.30, check.Fail}} {
		if got := at(ice, r.grade); got != r.want {
			t.Errorf("ice, %.1f %%: %v, want %v", 100*r.grade, got, r.want)
		}
	}
	// All eleven axles braked use 0.7 to 1.0 of grip 0.05 to 0.15: none of it holds 30 %.
	ice1, _ := traction.DefaultTable().Named("ice", traction.Ice)
	if best := traction.Brake(ice.Train, ice1.Mu.High.V, ice1.Roll.High.V).GradeRatio; best > 0.3 {
		t.Errorf("best of ice holds %g", best)
	}
}

// One continuous descent is one finding, though it eases on the way; a rise
// longer than the train parts two.
func TestOneFindingADescent(t *testing.T) {
	set := weakRetarder(t, check.Settings{})
	steps := func(grades ...float64) []check.Finding {
		return of(run(onHills(t, set, func(y float64) float64 {
			z := 500.0
			for i, g := range grades {
				z += g * min(max(y-400*float64(i), 0), 400)
			}
			return z
		}, straight(asphalt, 400*float64(len(grades)))...)), "descent")
	}
	if fs := steps(-0.13, -0.03, -0.13, -0.03, -0.13); len(fs) != 1 {
		t.Errorf("%d findings", len(fs))
	}
	if fs := steps(-0.13, 0.05, -0.13); len(fs) != 2 {
		t.Errorf("%d findings", len(fs))
	}
}

// Heat by hand: constant grade and speed make the closed form of the lumped
// brake (reference note, section 3.2) over the length that is coloured.
func TestDescentHeat(t *testing.T) {
	set := weakRetarder(t, check.Settings{})
	f := of(run(onRamp(t, set, -0.12, straight(asphalt, 900)...)), "descent")[0]
	su, _ := traction.DefaultTable().Named("asphalt", traction.Dry)
	power := quantity(t, f, "power").Value
	if most := traction.HoldPowerW(112000, 0.12, su.Roll.Design.V, quantity(t, f, "speed").Value); !(power > 0 && power < most) {
		t.Errorf("brakes take %g W of %g", power, most)
	}
	best := 0.0
	for _, u := range []struct{ load, mass, cool float64 }{{45300, 360, 220}, {66700, 630, 390}} {
		b := traction.Lump{MassKg: u.mass, HeatJKgK: 460, CoolWK: u.cool, AirC: 32}
		best = max(best, b.After(66, power*u.load/112000, f.At.LengthM()/quantity(t, f, "speed").Value))
	}
	if got := quantity(t, f, "hot").Value; math.Abs(got-best) > 0.01*best {
		t.Errorf("%g C, by hand %g", got, best)
	}
	hot := of(run(onRamp(t, weakRetarder(t, check.Settings{}, hotBrakes), -0.12, straight(asphalt, 900)...)), "descent")[0]
	if !strings.Contains(hot.Close, "level places to stop and cool") || hot.Outcome != check.NotLooked || !hot.Open() {
		t.Errorf("%v: %s", hot.Outcome, hot.Close)
	}
	if f.Outcome != check.Caution {
		t.Errorf("brakes that stay below their limit: %v", f.Outcome)
	}
	// Common drums that would fade on a longer descent make a question too.
	long := of(run(onRamp(t, weakRetarder(t, check.Settings{}, noHeat), -0.24, straight(asphalt, 6000)...)), "descent")[0]
	if long.Outcome != check.NotLooked || !long.Unverified || !strings.Contains(long.Close, "cool_w_k") {
		t.Errorf("6 km without data: %+v", long)
	}
	// Without data: a range, said to be from memory, and no verdict.
	none := of(run(onRamp(t, weakRetarder(t, check.Settings{}, noHeat), -0.12, straight(asphalt, 900)...)), "descent")[0]
	if quantity(t, none, "cool").Value >= quantity(t, none, "hot").Value || !none.Unverified || none.Outcome != check.Caution {
		t.Errorf("%+v", none)
	}
}

// A file that says nothing of brakes makes a question of each descent that
// engine and retarder do not hold, one a descent; what they hold passes.
func TestDescentWithoutBrakes(t *testing.T) {
	set := weakRetarder(t, check.Settings{}, noBraked)
	fs := of(run(onRamp(t, set, -0.12, straight(asphalt, 900)...)), "descent")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked || !fs[0].Open() || !strings.Contains(fs[0].Close, "{field}") {
		t.Fatalf("%+v", fs)
	}
	if q := quantity(t, fs[0], "field"); q.Text != "units[0].axles[0].braked" {
		t.Errorf("asks for %s", q.Text)
	}
	if fs := run(onRamp(t, set, -0.02, straight(asphalt, 400)...)); said(fs, "descent") != check.Pass {
		t.Errorf("%v on 2 %%", said(fs, "descent"))
	}
	// The trailer's brakes alone are known, and suffice.
	some := weakRetarder(t, check.Settings{}, func(s *vehicle.Spec) {
		s.Units[0].Brakes.ServiceKN = nil
		for k := range s.Units[0].Axles {
			s.Units[0].Axles[k].Braked = nil
		}
	})
	if got := worstOf(run(onRamp(t, some, -0.12, straight(asphalt, 400)...)), "descent"); got != check.Caution {
		t.Errorf("with the trailer's brakes known: %v", got)
	}
}

// Where grip decides the retarder is no help: all of the push is the brakes'.
func TestDescentJackKnife(t *testing.T) {
	set := setup(t, check.Settings{Weather: "ice"})
	f := of(run(onRamp(t, set, -0.035, straight(asphalt, 400)...)), "descent")[0]
	ice, _ := traction.DefaultTable().Named("ice", traction.Ice)
	want := traction.HoldPowerW(112000, 0.035, ice.Roll.Design.V, quantity(t, f, "speed").Value)
	if got := quantity(t, f, "power").Value; math.Abs(got-want) > 1e-6*want || !strings.Contains(f.Do, "retarder off") {
		t.Errorf("brakes take %g W, by hand %g: %s", got, want, f.Do)
	}
}

// Steeper down, less grip at the same rolling resistance (dry, wet, ice) or a heavier train never helps.
func TestDescentMonotone(t *testing.T) {
	sets := []*check.Setup{weakRetarder(t, check.Settings{}), weakRetarder(t, check.Settings{Weather: "wet"}),
		weakRetarder(t, check.Settings{Weather: "ice"})}
	heavier := weakRetarder(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[1].Load.MassKg += 8e3 })
	rapid.Check(t, func(t *rapid.T) {
		g, more := rapid.Float64Range(0, 0.5).Draw(t, "down"), rapid.Float64Range(0, 0.2).Draw(t, "more")
		// Grip that may not do and brakes that get hot are both a question.
		at := func(set *check.Setup, down float64) check.Outcome {
			o := worstOf(run(onRamp(t, set, -down, straight(asphalt, 400)...)), "descent")
			if o == check.NotLooked {
				return check.Undecided
			}
			return o
		}
		for i, set := range sets {
			a := at(set, g)
			if at(set, g+more) < a {
				t.Fatalf("%d: steeper is better", i)
			}
			if i > 0 && a < at(sets[i-1], g) {
				t.Fatalf("%d: less grip is better", i)
			}
		}
		if at(heavier, g) < at(sets[0], g) {
			t.Fatal("heavier is better")
		}
	})
}

// On ground nobody described the worst that it may be decides.
func TestDescentUnknownGround(t *testing.T) {
	s := onRamp(t, setup(t, check.Settings{}), -0.30, straight(route.Tags{Mapped: true, Highway: "track"}, 900)...)
	f := of(run(s), "descent")
	if len(f) != 1 || f[0].Outcome != check.Undecided || f[0].Close == "" {
		t.Errorf("%+v", f)
	}
}

// Brakes that the file calls weak hold no more than their force: 180 kN on 112 t
// and rolling 0.012 hold 17.7 % by hand. Without their force one line a route
// says that grip alone was looked at.
func TestDescentByBrakeForce(t *testing.T) {
	weak := func(s *vehicle.Spec) { *s.Units[0].Brakes.ServiceKN, *s.Units[1].Brakes.ServiceKN = 60, 120 }
	set := weakRetarder(t, check.Settings{}, weak)
	f := of(run(onRamp(t, set, -0.25, straight(asphalt, 900)...)), "descent")
	if len(f) != 1 || f[0].Outcome != check.Fail || !strings.Contains(f[0].Say, "by their force") {
		t.Fatalf("%+v", f)
	}
	x := 180e3 / (112000 * vehicle.G) / math.Hypot(1, 0.012)
	if want := math.Tan(math.Asin(x) + math.Atan(0.012)); math.Abs(f[0].Capacity-want) > 1e-9 {
		t.Errorf("holds %.6f, by hand %.6f", f[0].Capacity, want)
	}
	if c := of(run(onRamp(t, set, -0.12, straight(asphalt, 900)...)), "descent"); len(c) != 1 || c[0].Outcome != check.Caution || !strings.Contains(c[0].Do, "stop it in {stop}") {
		t.Errorf("12 %%: %+v", c)
	}
	lines := func(grade float64, change ...func(*vehicle.Spec)) (n int) {
		for _, f := range run(onRamp(t, weakRetarder(t, check.Settings{}, change...), grade, straight(asphalt, 900)...)) {
			if f.Check == "descent" && f.Standing {
				n++
			}
		}
		return n
	}
	if a, b, c := lines(-0.03, noHeat), lines(0.03, noHeat), lines(-0.03); a != 1 || b != 0 || c != 0 {
		t.Errorf("lines without brake force: down %d, up %d; with it %d", a, b, c)
	}
}
