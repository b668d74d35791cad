package check_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func drive(s *check.Situation) check.Trip {
	return s.March(check.MarchTerms{CapMS: check.DefaultMarchMS}, s.Window)
}

// On the level the train is at its cap but for the ends: derived. Fuel of the
// level part: reference note on vehicle mechanics, section 8.2 (mg f/eta by 205
// g/kWh), with a tenth for fan and converter, and air.
func TestMarchOnTheLevel(t *testing.T) {
	set := setup(t, check.Settings{})
	long, short := drive(onRamp(t, set, 0, straight(asphalt, 4000)...)), drive(onRamp(t, set, 0, straight(asphalt, 2000)...))
	lengthM := long.LengthM - short.LengthM
	if got := lengthM / (long.TimeS - short.TimeS); math.Abs(got-25/3.6) > 1e-6 || long.Stall != "" {
		t.Errorf("%.4f m/s, want 25 km/h; %+v", got, long)
	}
	air := traction.AirResistance(8, 25/3.6)
	pull := 0.012*set.Train.GrossKg*vehicle.G + air
	want := pull * lengthM / 0.84 * 1.1 / 3.6e6 * 205 / 1000 / 0.835
	if got := long.FuelL - short.FuelL; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("fuel %.5f l, want %.5f", got, want)
	}
	if atLeast := 2000 / (25 / 3.6); short.TimeS < atLeast || short.TimeS > atLeast+30 {
		t.Errorf("2 km in %.1f s", short.TimeS)
	}
}

// A climb is slow, a wall is a stall, and the other direction is another trip.
func TestMarchUpAndDown(t *testing.T) {
	set := setup(t, check.Settings{})
	up, down := drive(onRamp(t, set, 0.08, straight(asphalt, 2000)...)), drive(onRamp(t, set, -0.08, straight(asphalt, 2000)...))
	if !(up.FuelL > 5*down.FuelL) {
		t.Errorf("up %.2f l, down %.2f l", up.FuelL, down.FuelL)
	}
	// Down no faster than engine and retarder hold on this grade, nor slower than
	// they hold on one a point steeper.
	su, _ := traction.DefaultTable().Named("asphalt", traction.Dry)
	fast, _ := traction.FastestDown(set.Train, 0.08, su.Roll.Low.V)
	slow, _ := traction.FastestDown(set.Train, 0.09, su.Roll.Low.V)
	if v := (down.LengthM - 200) / (down.Clock[len(down.Clock)-11].TimeS - down.Clock[10].TimeS); v > 1.01*fast || v < 0.99*slow {
		t.Errorf("down at %.2f m/s, held at %.2f on 8 %%, %.2f on 9 %%", v, fast, slow)
	}
	held := traction.PowerSpeed(set.Train.Units[0].Power, set.Train.GrossKg, 0.08, 0.012)
	if !(up.SlowestMS < held && up.SlowestMS > 0.7*held) {
		t.Errorf("slowest %.2f m/s, power alone holds %.2f", up.SlowestMS, held)
	}
	wall := drive(onRamp(t, set, 0.35, straight(asphalt, 500)...))
	if wall.Stall != traction.Grip || wall.StallAtM != 0 || wall.TimeS != 0 {
		t.Errorf("35 %%: %+v", wall)
	}
}

// Where there is no height the way counts as level and the trip says how much.
func TestMarchOverAVoid(t *testing.T) {
	set := setup(t, check.Settings{})
	trip := drive(onVoid(t, set, 300, 10))
	if !(trip.LevelM >= 300 && trip.LevelM < 450) || trip.Stall != "" || !(trip.TimeS > 0) {
		t.Errorf("%+v", trip)
	}
}

// An engine that breathes freely has less at height: reference note, section 1.2.
func TestMarchInThinAir(t *testing.T) {
	thin := false
	naked := setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].Power.Turbo = &thin })
	high := func(set *check.Setup) check.Trip {
		s := onHills(t, set, func(y float64) float64 { return 2400 + 0.06*y }, straight(asphalt, 1500)...)
		return drive(s)
	}
	a, b := high(naked), high(setup(t, check.Settings{}))
	if !(a.TimeS > 1.1*b.TimeS) {
		t.Errorf("naturally aspirated %.0f s, turbocharged %.0f s", a.TimeS, b.TimeS)
	}
}

// A train without an engine has no time, and says why; a stretch of nothing is
// no trip.
func TestMarchOfNothing(t *testing.T) {
	c := *setup(t, check.Settings{}).Train
	c.Units = append([]vehicle.Unit(nil), c.Units...)
	c.Units[0].Power = nil
	dead, err := check.NewSetup(&c, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if trip := drive(onRamp(t, dead, 0, straight(asphalt, 500)...)); trip.Why == "" || trip.TimeS != 0 {
		t.Errorf("no engine: %+v", trip)
	}
	s := onRamp(t, setup(t, check.Settings{}), 0, straight(asphalt, 500)...)
	if trip := s.March(check.MarchTerms{CapMS: 5}, route.Stretch{FromM: 100, ToM: 100}); trip.TimeS != 0 || trip.Why != "" || trip.Stall != "" {
		t.Errorf("nothing: %+v", trip)
	}
}
