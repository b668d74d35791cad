package traction

import (
	"math"

	"drawbar/vehicle"
)

// capBars holds back the engines ahead of a bar that would be pulled beyond its
// rating, and those behind one that would be pushed beyond it. perKg is the force
// that moves a kilogram of the train, newtons.
func capBars(c *vehicle.Combination, perKg float64, unitN []float64) {
	aheadN, aheadKg := 0.0, 0.0
	for i := range unitN {
		if u := &c.Units[i]; u.ByBar && !math.IsNaN(u.BarRatedN) {
			aheadN = capSide(unitN[:i], aheadN, aheadKg*perKg+u.BarRatedN)
		}
		aheadN += unitN[i]
		aheadKg += c.Units[i].MassKg
	}
	behindN, behindKg := 0.0, 0.0
	for i := len(unitN) - 1; i > 0; i-- {
		behindN += unitN[i]
		behindKg += c.Units[i].MassKg
		if u := &c.Units[i]; u.ByBar && !math.IsNaN(u.BarPushN) {
			behindN = capSide(unitN[i:], behindN, behindKg*perKg+u.BarPushN)
		}
	}
}

// capSide scales the forces on one side of a bar down to what it may pass on.
func capSide(unitN []float64, sumN, mostN float64) float64 {
	if !(sumN > mostN && sumN > 0) {
		return sumN
	}
	mostN = math.Max(mostN, 0)
	if math.IsInf(sumN, 1) {
		return capEndless(unitN, mostN)
	}
	for k := range unitN {
		unitN[k] *= mostN / sumN
	}
	return mostN
}

// capEndless shares the most among the units that would give without bound.
func capEndless(unitN []float64, mostN float64) float64 {
	n := 0.0
	for _, v := range unitN {
		if math.IsInf(v, 1) {
			n++
		}
	}
	for k, v := range unitN {
		unitN[k] = 0
		if math.IsInf(v, 1) {
			unitN[k] = mostN / n
		}
	}
	return mostN
}

// rated reports whether some bar of a train has a rating either way.
func rated(c *vehicle.Combination) bool {
	for i := range c.Units {
		if u := &c.Units[i]; u.ByBar && (!math.IsNaN(u.BarRatedN) || !math.IsNaN(u.BarPushN)) {
			return true
		}
	}
	return false
}

// Body is one of two bodies on a bar: what it weighs, where it stands and what it
// pulls with.
type Body struct {
	MassKg     float64
	GradeRatio float64 // under it, rise over run
	Roll       float64 // rolling coefficient below it
	PullN      float64 // at the road, negative when it holds back
}

// perKg is what a kilogram of the body asks for in steady motion, newtons.
func (b Body) perKg() float64 {
	return vehicle.G * (sin(b.GradeRatio) + b.Roll*cos(b.GradeRatio))
}

// ResistN is what moves the body steadily: m g (sin + f cos), newtons.
func (b Body) ResistN() float64 { return b.MassKg * b.perKg() }

// BarForce is the tension of a level bar between two bodies that move together,
// newtons, negative when it is pushed, each on its own grade and ground:
//
//	T = (F_a m_c - F_c m_a)/(m_a + m_c) + m_a m_c (r_c - r_a)/(m_a + m_c),
//
// r = g (sin + f cos). On one grade and ground the second part is nothing: the
// tension hangs on the pulls alone. Without pulls and rolling it is
// m_a m_c g (s_c - s_a)/(m_a + m_c). Derived.
func BarForce(front, rear Body) float64 {
	sum := front.MassKg + rear.MassKg
	return (front.PullN*rear.MassKg-rear.PullN*front.MassKg)/sum + front.MassKg*rear.MassKg*(rear.perKg()-front.perKg())/sum
}

// BarForces are the tensions of the bars between any number of bodies that move
// together, front to rear: each passes on what the bodies ahead of it have over.
func BarForces(bodies []Body) []float64 {
	over, mass := 0.0, 0.0
	for _, b := range bodies {
		over += b.PullN - b.ResistN()
		mass += b.MassKg
	}
	accel := over / mass
	out, sum := make([]float64, len(bodies)-1), 0.0
	for i := range out {
		b := bodies[i]
		sum += b.PullN - b.ResistN() - b.MassKg*accel
		out[i] = sum
	}
	return out
}

// AtHand is what the engines of a train give at crawl on a grade, newtons: of
// each the smaller of effort and grip.
func AtHand(c *vehicle.Combination, gradeRatio, mu, f float64) float64 {
	_, units := demand{c: c, mu: mu, f: f, effort: crawl(c)}.at(gradeRatio)
	return sum(units)
}

// BrakesAtHand is what the service brakes of a train hold back with going down a
// grade (positive), newtons: by unit the smaller of their force, where the file gives
// it, and the grip of its braked axles.
func BrakesAtHand(c *vehicle.Combination, downRatio, mu, f float64) float64 {
	h := newHoldback(c, mu, f, -1, serviceN(c), holding(c, braked))
	_, can := h.at(math.Min(downRatio, MaxGrade))
	return sum(can)
}
