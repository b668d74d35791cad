package traction

import (
	"math"

	"drawbar/vehicle"
)

// SteerFloor is the share of a unit's own weight on its front axle group below
// which it may no longer steer. A usual floor, from memory, unverified: it makes
// a question, never a failure.
const SteerFloor = 0.2

// Tilt is how far a train may lean along the road before a support lifts or its
// front axle group gets light. Grades are rise over plan distance, downhill
// negative, within -0.5..0.5; a bound at an end of that range was not reached. A
// range whose lower bound is above its upper one is empty.
type Tilt struct {
	LiftUp, LiftDown       float64
	UpAt, DownAt           vehicle.Support // what lifts there
	SteerUp, SteerDown     float64         // front axle group at SteerFloor
	SteerUpAt, SteerDownAt int             // unit
}

// maxTilt bounds the search: no road is steeper. A bound there was not reached.
const maxTilt = 0.5

// TiltOf is the grade up and down from level at which a support of the train
// carries nothing, at steady crawl on rolling coefficient f, pull or engine
// braking shared by the driven wheels at equal grip
// ([vehicle.Combination.Statics]). Brakes of trailers are left out: their own
// braking only takes push off the kingpin.
func TiltOf(c *vehicle.Combination, f float64) Tilt {
	var t Tilt
	t.LiftDown, t.LiftUp = held(func(g float64) float64 { _, n := lightest(c, g, f, 0, nil); return n })
	t.SteerDown, t.SteerUp = held(func(g float64) float64 {
		s := c.Statics(g, f, 0)
		_, share := c.SteerShare(&s)
		return share - SteerFloor
	})
	t.UpAt, _ = lightest(c, t.LiftUp, f, 0, nil)
	t.DownAt, _ = lightest(c, t.LiftDown, f, 0, nil)
	up, down := c.Statics(t.SteerUp, f, 0), c.Statics(t.SteerDown, f, 0)
	t.SteerUpAt, _ = c.SteerShare(&up)
	t.SteerDownAt, _ = c.SteerShare(&down)
	return t
}

// held is the range of grades on which left is not negative, within
// -maxTilt..maxTilt; where it is nowhere, down is above up. Each load of a train
// with one engine is a cos + b sin of the slope: it changes sign once.
func held(left func(grade float64) float64) (down, up float64) {
	low, level, high := left(-maxTilt) >= 0, left(0) >= 0, left(maxTilt) >= 0
	down, up = -maxTilt, maxTilt
	switch {
	case level && !low:
		down = bisect(left, 0, -maxTilt)
	case !level && high:
		down = bisect(left, maxTilt, 0)
	}
	switch {
	case level && !high:
		up = bisect(left, 0, maxTilt)
	case !level && low:
		up = bisect(left, -maxTilt, 0)
	}
	if !low && !level && !high {
		return maxTilt, -maxTilt
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
	at, n := lightest(d.c, l.GradeRatio, d.f, d.accelG, units)
	l.LiftGrade = math.NaN()
	if n >= 0 || l.GradeRatio < 0 {
		return
	}
	least := func(g float64) float64 { _, n := lightest(d.c, g, d.f, d.accelG, units); return n }
	switch {
	case least(0) >= 0:
		l.LiftGrade = bisect(least, 0, l.GradeRatio)
	case least(-maxTilt) >= 0:
		l.LiftGrade = bisect(least, -maxTilt, 0)
	default:
		l.LiftGrade = -MaxGrade
	}
	l.GradeRatio, l.Decides, l.Lifts = l.LiftGrade, Lift, d.c.SupportName(at)
}
