package traction

import (
	"math"

	"drawbar/vehicle"
)

// SlipOptions are the terms of the heat of a start beside those of the start.
type SlipOptions struct {
	Start    StartOptions
	Coupling float64 // speed ratio at which a converter ends to slip, below 1
}

// DefaultSlip are the usual terms.
func DefaultSlip() SlipOptions { return SlipOptions{Start: DefaultStart(), Coupling: 0.85} }

// Assumed lists what the heat of a train's starts rests on beside the terms of the
// start.
func (o SlipOptions) Assumed(c *vehicle.Combination) (out []vehicle.Assumption) {
	for i := range c.Units {
		if d := c.Units[i].Power; d != nil && d.Converter {
			out = append(out, vehicle.Assumption{Key: SlipKeys[0], Value: o.Coupling, Unit: "1", Source: "speed ratio at which a torque converter ends to slip", Standing: "memory"})
			break
		}
	}
	return append(out, vehicle.Assumption{Key: SlipKeys[1], Value: 1, Unit: "1", Standing: "choice",
		Source: "while it slips the engine holds the speed of its peak torque, and gives its torque at the start"})
}

// SlipKeys are the keys of those assumptions.
var SlipKeys = []string{"start.coupling_ratio", "start.slip_speed"}

// SlipsOf is the heat of one start from rest in the clutch or converter of every
// engine with gears, each in the gear that starts it best. All of them pull at
// once, no more than the driven wheels have grip mu for, against grade, rolling
// resistance at rest and moreN, newtons, that somebody is not sure of; each slips
// until its wheels run as its engine. ErrNoStart where nothing is left to gain
// speed with; nil without a gear list. Standard mechanics, see [ClutchStart] and
// [ConverterStart].
func SlipsOf(c *vehicle.Combination, gradeRatio, mu, f, moreN float64, o SlipOptions) ([]Slip, error) {
	pulls, gears := startPulls(c, o.Start.AccelMS2)
	total := sum(pulls)
	mass := c.GrossKg * (1 + o.Start.RotatingWheels)
	roll := f * o.Start.BreakAway
	resist := GradeResistance(c.GrossKg, gradeRatio) + RollingResistance(c.GrossKg, gradeRatio, roll) + moreN
	share := 1.0
	if s := c.Statics(gradeRatio, roll, 0); !math.IsInf(mu, 1) && total > mu*s.DrivenN {
		share = math.Max(mu*s.DrivenN, 0) / total // the driver lets no more through
	}
	var out []Slip
	for i := range c.Units {
		if gears[i] == nil {
			continue
		}
		d := *c.Units[i].Power
		d.StartTorqueNm *= share
		others := resist - share*(total-pulls[i])
		s, err := ClutchStart(&d, *gears[i], mass, others)
		if d.Converter {
			s, err = ConverterStart(&d, *gears[i], mass, others, d.StallRatio, o.Coupling)
		}
		if err != nil {
			return nil, err
		}
		s.Unit = i
		out = append(out, s)
	}
	return out, nil
}

// startPulls is what every engine pulls from rest, by unit, and the gear it does
// it in; nil for one without a gear list.
func startPulls(c *vehicle.Combination, accelMS2 float64) (pullN []float64, gears []*vehicle.Gear) {
	pullN, gears = fromRest(c, accelMS2).unitN, make([]*vehicle.Gear, len(c.Units))
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		d := c.Units[i].Power
		_, _, name := bestStart(d, accelMS2)
		for k := range d.Gears {
			if d.Gears[k].Name == name {
				gears[i] = &d.Gears[k]
			}
		}
	}
	return pullN, gears
}

// StartN is the pull from rest at the wheels of all engines, newtons, their own
// rotating mass not yet taken off.
func StartN(c *vehicle.Combination, o StartOptions) float64 {
	return sum(fromRest(c, o.AccelMS2).unitN)
}
