package check

import (
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// How much of the grip below them all braked axles use together before the
// first of them slides: loads move with the slope and brakes are set for the
// level. Choices, none read.
const (
	brakeUseLow    = 0.70
	brakeUseDesign = 0.85
	brakeUseHigh   = 1.00
)

// reactS is the time in which nothing happens before a train brakes, s. Choice:
// reference note on vehicle mechanics, section 3.4, reckons with it.
const (
	reactS   = 1.5
	reactKey = "descent.react_s"
)

var brakeUseKeys = []string{"descent.brake_use", "descent.brake_use.low", "descent.brake_use.high"}

// holdAssumed lists the values of descent and hold that no file gives.
func holdAssumed() []route.Assumption {
	const what = "grip that all braked axles use together over that of a block"
	return []route.Assumption{
		{Key: brakeUseKeys[0], Value: brakeUseDesign, Unit: "1", Source: what, Standing: "choice"},
		{Key: brakeUseKeys[1], Value: brakeUseLow, Unit: "1", Source: what, Standing: "choice"},
		{Key: brakeUseKeys[2], Value: brakeUseHigh, Unit: "1", Source: what, Standing: "choice"},
		{Key: reactKey, Value: reactS, Unit: "s", Source: "until the brakes bite", Standing: "choice"},
		{Key: heatKeys[0], Value: airC, Unit: "C", Source: "air, 90 F of the downgrade model of 1982", Standing: "memory"},
		{Key: heatKeys[1], Value: startC, Unit: "C", Source: "brakes at the crest, 150 F of the downgrade model of 1982", Standing: "memory"},
		{Key: heatKeys[2], Value: drumKg, Unit: "kg", Source: "drum, two an axle, where the file does not give the brakes", Standing: "memory"},
		{Key: heatKeys[3], Value: drumCoolWK, Unit: "W/K", Source: "heat that such a drum gives off", Standing: "memory"},
		{Key: heatKeys[4], Value: fadeC, Unit: "C", Source: "common drum brakes begin to fade: 250 to 300, lower end", Standing: "memory"},
	}
}

// holdOn solves what holds the train back on one surface.
func (s *Setup) holdOn(o *option) {
	s.retardOn(o)
	s.brakeOn(o)
	su := o.bare
	for m, up := range map[motion]bool{parkedUp: true, parkedDown: false} {
		o.capacity[m] = s.heldOn(su, func(c *vehicle.Combination, mu, _ float64) traction.Limit { return traction.Park(c, mu, up) })
		o.capacity[m].rests = slices.DeleteFunc(o.capacity[m].rests, func(key string) bool { return strings.Contains(key, ".roll") })
	}
}

func (s *Setup) retardOn(o *option) {
	o.capacity[retarding] = s.heldOn(o.surface, traction.Descend)
	o.capacity[retarding].rests = append(o.capacity[retarding].rests, s.retarderRests()...)
}

func (s *Setup) brakeOn(o *option) {
	o.bare = s.underBrakes(o.surface)
	o.capacity[braking] = s.brakedOn(o.bare)
}

// underBrakes is the ground as the braked and the parked wheels find it: chains
// are on the driven ones only, and most others are braked too.
func (s *Setup) underBrakes(su traction.Surface) traction.Surface {
	if su.Measure != traction.Chains {
		return su
	}
	bare, err := s.surfaces.WithMeasure(traction.NoMeasure)
	if err != nil {
		return su
	}
	if b, ok := bare.Named(su.Name, su.Weather); ok {
		return b
	}
	return su
}

// heldOn is capacityOn for a train that is held back: rolling resistance helps
// it, so its low value is the bad one.
func (s *Setup) heldOn(su traction.Surface, steepest solver) capacity {
	c := s.heldBy(su, steepest)
	c.seal()
	return c
}

func (s *Setup) heldBy(su traction.Surface, steepest solver) capacity {
	c := s.solve(su, 1, steepest)
	if c.limit.Decides == traction.Effort {
		c.effort = square(c.limits.effort.own)
	}
	return c
}

// brakedOn adds to the grip of the braked axles how much of it they use.
func (s *Setup) brakedOn(su traction.Surface) capacity {
	by := func(use float64) solver {
		return func(c *vehicle.Combination, mu, f float64) traction.Limit { return traction.Brake(c, use*mu, f) }
	}
	c := s.heldBy(su, by(brakeUseDesign))
	off := func(use float64) (grip, all float64) {
		l := by(use)(s.Train, su.Mu.Design.V, su.Roll.Design.V)
		return (l.GripGrade - c.limit.GripGrade) / oneSided, square((l.GradeRatio - c.grade) / oneSided)
	}
	low, down := off(brakeUseLow)
	high, up := off(brakeUseHigh)
	c.gripDown += down
	c.gripUp += up
	c.limits.grip.use = [2]float64{low, high}
	c.rests = append(c.rests, brakeUseKeys...)
	c.seal()
	return c
}

// retarderRests are the keys of what the file did not say of engine and
// retarder.
func (s *Setup) retarderRests() (out []string) {
	for _, a := range s.Train.Assumed {
		for _, end := range []string{".engine_drag_nm", ".retarder_nm", ".retarder_kw"} {
			if strings.HasSuffix(a.Key, end) {
				out = append(out, a.Key)
			}
		}
	}
	return out
}

// lacksField is the first field with this ending that a check waits for, "" when
// none.
func (s *Setup) lacksField(check, end string) string {
	for _, l := range s.Train.Lacking {
		if l.Check == check && strings.HasSuffix(l.Field, end) {
			return l.Field
		}
	}
	return ""
}
