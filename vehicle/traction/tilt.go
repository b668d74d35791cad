package traction

import (
	"math"

	"drawbar/vehicle"
)

// SteerFloor is the share of a unit's own weight on its front axle group below
// which it may no longer steer. A usual floor, from memory, unverified: it makes
// a question, never a failure.
const SteerFloor = 0.2

// Tilt is how far a train may lean along the road before a support lifts or a
// front axle group gets too light to steer.
type Tilt struct {
	LiftUp, LiftDown   Bound
	SteerUp, SteerDown Bound // front axle group at SteerFloor
}

// Bound is the grade beyond which something no longer holds, rise over plan
// distance, downhill negative; infinite where it holds on every grade looked at,
// 0 where it does not hold on the level either.
type Bound struct {
	GradeRatio float64
	At         vehicle.Support // what gives way
}

// maxTilt bounds the search: no road is steeper.
const maxTilt = 0.5

// TiltOf is how far a train may lean at steady crawl on rolling coefficient f.
// Going up the pull is shared by the driven wheels at equal grip
// ([vehicle.Combination.Statics]). Going down it is held back by the engines
// alone, or by the brakes of the rearmost unit alone; the worse of the two
// counts: the first pushes at the couplings, the second takes that push away and
// with it load from the front.
func TiltOf(c *vehicle.Combination, f float64) Tilt {
	load := func(s *vehicle.Forces) (vehicle.Support, float64) { return c.Lightest(s) }
	steer := func(s *vehicle.Forces) (vehicle.Support, float64) {
		unit, share := c.SteerShare(s)
		return vehicle.Support{Unit: unit}, share - SteerFloor
	}
	var t Tilt
	t.LiftDown, t.LiftUp = bounds(c, f, load)
	t.SteerDown, t.SteerUp = bounds(c, f, steer)
	return t
}

// margin is what gives way first under given forces, and what is left of it.
type margin func(*vehicle.Forces) (vehicle.Support, float64)

// leaning are the ways a train may be driven on a grade: all wheels that drive,
// and going down the brakes of the rearmost unit alone.
func leaning(c *vehicle.Combination, grade, f float64) []vehicle.Forces {
	s := c.Statics(grade, f, 0)
	if grade >= 0 || s.NeedN >= 0 {
		return []vehicle.Forces{s}
	}
	brakes := make([]float64, len(c.Units))
	brakes[len(brakes)-1] = s.NeedN
	return []vehicle.Forces{s, c.StaticsWith(grade, f, 0, brakes)}
}

// bounds are the grades down and up between which a margin is left. Each load of
// a train with one engine is a cos + b sin of the slope: it changes sign once.
func bounds(c *vehicle.Combination, f float64, of margin) (down, up Bound) {
	left := func(g float64) float64 {
		least := math.Inf(1)
		for _, s := range leaning(c, g, f) {
			_, n := of(&s)
			least = math.Min(least, n)
		}
		return least
	}
	if left(0) >= 0 {
		down.GradeRatio, up.GradeRatio = math.Inf(-1), math.Inf(1)
		if left(-maxTilt) < 0 {
			down.GradeRatio = bisect(left, 0, -maxTilt)
		}
		if left(maxTilt) < 0 {
			up.GradeRatio = bisect(left, 0, maxTilt)
		}
	}
	for _, b := range []*Bound{&down, &up} {
		least := math.Inf(1)
		for _, s := range leaning(c, min(max(b.GradeRatio, -maxTilt), maxTilt), f) {
			if at, n := of(&s); n < least {
				b.At, least = at, n
			}
		}
	}
	return down, up
}

// bisect narrows the crossing between a grade where left is not negative and
// one where it is to 1e-9; the answer is on the safe side of it.
func bisect(left func(float64) float64, held, lost float64) float64 {
	for range 30 {
		if mid := (held + lost) / 2; left(mid) >= 0 {
			held = mid
		} else {
			lost = mid
		}
	}
	return held
}

// lightest is the support that carries least on a grade, with the engines
// sharing the pull at equal grip and, where given, in the ratio of what they
// pull at the limit: between the two lies what a driver does.
func lightest(c *vehicle.Combination, grade, f, accelG float64, unitN []float64) (vehicle.Support, float64) {
	s := c.Statics(grade, f, accelG)
	at, n := c.Lightest(&s)
	if total := sum(unitN); total > 0 {
		share := make([]float64, len(unitN))
		for i := range share {
			share[i] = unitN[i] * s.NeedN / total
		}
		s = c.StaticsWith(grade, f, accelG, share)
		if other, m := c.Lightest(&s); m < n {
			at, n = other, m
		}
	}
	return at, n
}

// lift lowers the limit to the grade where a support lifts. A train that does
// not move on the level is not asked.
func (l *Limit) lift(d *demand, units []float64) {
	least := func(g float64) float64 { _, n := lightest(d.c, g, d.f, d.accelG, units); return n }
	l.LiftGrade = math.NaN()
	if least(l.GradeRatio) >= 0 || l.GradeRatio < 0 {
		return
	}
	switch {
	case least(0) >= 0:
		l.LiftGrade = bisect(least, 0, l.GradeRatio)
	case least(-maxTilt) >= 0:
		l.LiftGrade = bisect(least, -maxTilt, 0)
	default:
		l.LiftGrade = -MaxGrade
	}
	at, _ := lightest(d.c, l.LiftGrade, d.f, d.accelG, units)
	l.GradeRatio, l.Decides, l.Lifts = l.LiftGrade, Lift, d.c.SupportName(at)
}
