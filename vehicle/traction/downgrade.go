package traction

import (
	"errors"
	"fmt"
	"math"
)

// Most of what the published downgrade model was calibrated on.
const (
	calibratedLb    = 80_000.0 // five axles, ten drum brakes
	calibratedAxles = 5
	calibratedMph   = 65.0
)

// ErrCalibration is returned outside what the downgrade model was fitted to.
var ErrCalibration = errors.New("the downgrade model holds for a truck of five axles up to 80,000 lb and 65 mph: use a lumped brake with its own data")

// Downgrade is a truck on a long grade in the published downgrade model of
// 1982, in its own US units: it is a fit, not mechanics, and no heavy
// transporter lies within it.
type Downgrade struct {
	WeightLb   float64
	Axles      int
	GradeRatio float64 // positive downhill
	LengthMi   float64
	SpeedMph   float64 // held all the way
}

// DowngradeHeat is what the model makes of it.
type DowngradeHeat struct {
	BrakeHP  float64 // power into the brakes
	RollingF float64 // temperature at the foot, degrees Fahrenheit
	StopF    float64 // what one stop adds
	FinalF   float64 // the two together; the model's limit is 500
}

// BrakeHeat is the 1982 model of brake temperature on a downgrade:
//
//	Tf = T0 + (Tinf - T0 + K2 HP)(1 - exp(-K1 L/V)) + 3.11e-7 W V2
//	HP = (W grade - 450 - 17.25 V) V/375 - 73
//	K1 = 1.23 + 0.0256 V, K2 = 1/(0.100 + 0.00208 V), T0 = 150, Tinf = 90
//
// Source: FHWA-RD-81-185 (1982), from memory with a consistency check: reference
// note on vehicle mechanics, section 3.1. ErrCalibration outside the truck that
// it was fitted to.
func (g Downgrade) BrakeHeat() (DowngradeHeat, error) {
	if g.Axles != calibratedAxles || !(g.WeightLb > 0 && g.WeightLb <= calibratedLb) || !(g.SpeedMph > 0 && g.SpeedMph <= calibratedMph) {
		return DowngradeHeat{}, fmt.Errorf("%w, has %d axles, %.0f lb, %.0f mph", ErrCalibration, g.Axles, g.WeightLb, g.SpeedMph)
	}
	const startF, airF = 150, 90
	v := g.SpeedMph
	k1, k2 := 1.23+0.0256*v, 1/(0.100+0.00208*v)
	h := DowngradeHeat{BrakeHP: (g.WeightLb*g.GradeRatio-450-17.25*v)*v/375 - 73, StopF: 3.11e-7 * g.WeightLb * v * v}
	h.RollingF = startF + (airF-startF+k2*h.BrakeHP)*(1-math.Exp(-k1*g.LengthMi/v))
	h.FinalF = h.RollingF + h.StopF
	return h, nil
}

// FastestMph is the greatest whole speed, mph, up to 65, at which the model's
// final temperature stays within 500 F; 0 when none does. ErrCalibration as
// BrakeHeat.
func (g Downgrade) FastestMph() (int, error) {
	const limitF = 500
	for v := int(calibratedMph); v > 0; v-- {
		g.SpeedMph = float64(v)
		h, err := g.BrakeHeat()
		if err != nil {
			return 0, err
		}
		if h.FinalF <= limitF {
			return v, nil
		}
	}
	return 0, nil
}
