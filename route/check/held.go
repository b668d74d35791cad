package check

import (
	"math"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// Held is what keeps a train from rolling off on one surface: the steepest
// grades, rise over run. NaN where the file does not say which axles.
type Held struct {
	Surface            string
	Down, DownPass     float64 // by engine and retarder in the lowest gear: design values, and with 95 % confidence
	DownBy             string  // grip or effort
	BrakesPass         float64 // by all service brakes, 95 %
	ParkUp, ParkDown   float64 // parked nose up and nose down, 99 %
	DownUnverified     bool    // rests on a value from memory
	ParkForceUncounted bool    // parked by grip alone: the brake's own force is not in the file
}

// Held lists it for every surface of the weather, firm ones first.
func (s *Setup) Held() (out []Held) {
	all, _ := s.surfaces.Surfaces(traction.Weather(s.Weather)) // weather was checked by NewSetup
	for _, su := range all {
		c := &s.on(su.Name).capacity
		h := Held{Surface: label(su), Down: c[retarding].grade, DownPass: c[retarding].passGrade(), DownBy: c[retarding].limit.Decides,
			BrakesPass: c[braking].passGrade(), ParkUp: c[parkedUp].surelyHeld(), ParkDown: c[parkedDown].surelyHeld(),
			DownUnverified: s.unverified(c[retarding].rests), ParkForceUncounted: !traction.ParkForceKnown(s.Train)}
		if s.lacksField("descent", ".braked") != "" {
			h.BrakesPass = nan
		}
		if s.lacksField("hold", ".parked") != "" {
			h.ParkUp, h.ParkDown = nan, nan
		}
		out = append(out, h)
	}
	return out
}

// surelyHeld is the steepest grade held with 99 % confidence.
func (c *capacity) surelyHeld() float64 { return c.largest(HoldAt) }

// Slope is one grade up and down on firm road at its low rolling resistance.
type Slope struct {
	GradeRatio float64
	PushN      float64 // to hold going down
	SpeedMS    float64 // fastest that engine and retarder hold, 0 when none
	Gear       string
	// Grip that is needed: of the driven wheels to hold back, of the parked ones
	// nose up and nose down. NaN where the file does not say which they are.
	DownUse, ParkUpUse, ParkDownUse float64
	StartJ                          float64 // heat of one start uphill in clutch or converter, the engine's that takes most; NaN when it does not start or has no gears
}

// Slopes lists the grades that people ask for.
func (s *Setup) Slopes() (out []Slope) {
	all, _ := s.surfaces.Surfaces(traction.Weather(s.Weather))
	f := all[0].Roll.Low.V
	parked := func(a *vehicle.Axle) bool { return a.Parked }
	for _, g := range []float64{0.04, 0.06, 0.08, 0.10, 0.12, 0.15, 0.20} {
		r := Slope{GradeRatio: g, PushN: traction.PushN(s.Train.GrossKg, g, f), DownUse: -s.Train.Statics(-g, f, 0).GripUse,
			ParkUpUse: traction.ParkUse(s.Train, g, parked), ParkDownUse: traction.ParkUse(s.Train, -g, parked), StartJ: nan}
		r.SpeedMS, r.Gear = traction.FastestDown(s.Train, g, f)
		if s.lacksField("hold", ".parked") != "" {
			r.ParkUpUse, r.ParkDownUse = nan, nan
		}
		if slips, err := traction.SlipsOf(s.Train, g, math.Inf(1), all[0].Roll.Design.V, 0, traction.DefaultSlip()); err == nil {
			for _, slip := range slips {
				if !(slip.HeatJ <= r.StartJ) {
					r.StartJ = slip.HeatJ
				}
			}
		}
		out = append(out, r)
	}
	return out
}
