package traction

import (
	"math"

	"drawbar/vehicle"
)

// Park is the steepest grade, a positive number, on which a parked train stays
// by its parking brake on adhesion mu: nose up or nose down, by the grip of the
// parked axles and, where the file gives it for every unit that has one, by the
// brake's own force. Rolling resistance counts for nothing at rest. How a
// parked train shares the force between its units nobody knows: it is the
// steepest that holds both when every parked wheel uses its grip alike and when
// the foremost unit holds the trailers.
func Park(c *vehicle.Combination, mu float64, noseUp bool) Limit {
	sign := -1.0
	if noseUp {
		sign = 1
	}
	h := newHoldback(c, mu, 0, sign, parkN(c), holding(c, parked))
	l := h.limit(0, "")
	pulled := steepest(func(steep float64) float64 {
		return mu - ParkUse(c, h.sign*steep, parked)
	})
	if pulled < l.GradeRatio {
		l.GradeRatio, l.PullGrade, l.Decides = pulled, pulled, Grip
		l.NeedN = h.demandN(pulled)
		l.Steps = append(l.Steps, Step{"with the trailers held by the foremost unit", pulled, "1", "statics, decided by grip"})
	}
	l.GripGrade = math.Min(l.GripGrade, pulled)
	return l
}

func parked(a *vehicle.Axle) bool { return a.Parked }

// ParkForceKnown reports whether the file gives the force of every parking
// brake; false too when no axle is parked.
func ParkForceKnown(c *vehicle.Combination) bool {
	some := false
	for i, axles := range holding(c, parked) {
		if len(axles) > 0 {
			some = true
			if math.IsNaN(c.Units[i].Brakes.ParkN) {
				return false
			}
		}
	}
	return some
}

// parkN are the forces of the parking brakes by unit; without bound where one
// of them is not known: grip alone then speaks.
func parkN(c *vehicle.Combination) []float64 {
	out := make([]float64, len(c.Units))
	known := ParkForceKnown(c)
	for i := range out {
		out[i] = math.Inf(1)
		if known {
			out[i] = c.Units[i].Brakes.ParkN
			if math.IsNaN(out[i]) {
				out[i] = 0 // no parked axle
			}
		}
	}
	return out
}

// ParkUse is the adhesion coefficient that the picked axles need to hold the
// train at rest on a grade (rise over plan distance, positive nose up): W sin
// over the sum of their loads, the trailers hanging on the foremost unit or
// pushing it. +Inf when they carry nothing. Source: reference note on vehicle
// mechanics, section 3.4, derived.
func ParkUse(c *vehicle.Combination, gradeRatio float64, picks func(a *vehicle.Axle) bool) float64 {
	force := make([]float64, len(c.Units))
	force[0] = GradeResistance(c.GrossKg, gradeRatio)
	s := c.StaticsWith(gradeRatio, 0, 0, force)
	n := 0.0
	for k := range c.Axles {
		if picks(&c.Axles[k]) {
			n += math.Max(s.AxleN[k], 0)
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	return math.Abs(force[0]) / n
}
