package traction

import (
	"math"

	"drawbar/vehicle"
)

// lugShare is the engine speed below which a gear is taken to be lost, over the
// speed of peak torque. Choice: a diesel pulled below it stalls or must be shifted.
const lugShare = 0.7

// HoldsRun reports whether a train that enters a way at entryMS, m/s, in the gear
// that pulls most there gets over it without a change of gear: it never falls to
// the speed at which that gear is lost. The stations are those of a march. Engines
// without gears count as they are. The error is that of the march.
func HoldsRun(c *vehicle.Combination, o MarchOptions, entryMS float64, way []Station) (bool, error) {
	one, lostMS := inOneGear(c, entryMS)
	if entryMS <= lostMS {
		return false, nil
	}
	o.StartMS = entryMS
	m, err := NewMarcher(one, o)
	if err != nil {
		return false, err
	}
	states := make([]State, len(way))
	trip, err := m.Run(way, states)
	if err != nil || trip.Stall != "" || trip.Reached < len(way) {
		return false, err
	}
	for _, s := range states {
		if s.SpeedMS <= lostMS {
			return false, nil
		}
	}
	return true, nil
}

// inOneGear is the train with every engine left in the gear that pulls most at a
// speed, and the speed at which the first of them is lost.
func inOneGear(c *vehicle.Combination, speedMS float64) (*vehicle.Combination, float64) {
	out := *c
	out.Units = append([]vehicle.Unit(nil), c.Units...)
	lost := 0.0
	for i := range out.Units {
		if !drives(c, i) || len(out.Units[i].Power.Gears) == 0 {
			continue
		}
		d := *out.Units[i].Power
		_, name := Envelope(&d, speedMS)
		for _, g := range d.Gears {
			if g.Name == name {
				d.Gears = []vehicle.Gear{g}
				lost = math.Max(lost, lugShare*Speed(&d, g, d.PeakTorqueRPM))
			}
		}
		out.Units[i].Power = &d
	}
	return &out, lost
}
