package verdict

import (
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/secondtow"
)

// drive marches where time and fuel or halting places are asked for.
func (res *Result) drive(j *Judge, s *check.Situation) {
	terms := j.March
	if terms == nil {
		if j.RestEveryS <= 0 {
			return
		}
		terms = &check.MarchTerms{CapMS: check.DefaultMarchMS}
		if j.RestCapMS > 0 {
			terms = &check.MarchTerms{CapMS: j.RestCapMS, Given: true}
		}
	}
	trip := j.march(s, &res.Plan, *terms)
	res.Assumed = append(res.Assumed, terms.Assumed()...)
	if j.March != nil {
		res.Trip = &trip
	}
	if j.RestEveryS > 0 {
		res.Rests = rests(s, &trip, j.RestEveryS)
	}
}

// march drives the whole way once: alone, and coupled from hook-on to cast-off
// of every second tow of the plan. The train stands where a helper is hooked on
// or cast off; the time that takes is not in it.
func (j *Judge) march(s *check.Situation, plan *secondtow.Plan, terms check.MarchTerms) check.Trip {
	sum := check.Trip{SlowestMS: math.NaN(), SlowestAtM: math.NaN(), StallAtM: math.NaN()}
	at := 0.0
	for i := range plan.Assists {
		a := &plan.Assists[i]
		h := a.Hitch()
		from := max(at, a.Over.FromM)
		if h == nil && !a.Winched || !(a.Over.ToM > from) {
			continue
		}
		if !join(&sum, s.March(terms, route.Stretch{FromM: at, ToM: from}), 0) {
			return sum
		}
		if a.Winched { // nobody knows how long the rope work takes
			sum.WinchedM += a.Over.ToM - from
			at = a.Over.ToM
			continue
		}
		ahead := func(m float64) float64 { return min(m+h.AheadM, s.Way.LengthM()) }
		pair := h.Situation(s).March(terms, route.Stretch{FromM: ahead(from), ToM: ahead(a.Over.ToM)})
		sum.Helped = true
		if at = a.Over.ToM; !join(&sum, pair, h.AheadM) {
			return sum
		}
	}
	join(&sum, s.March(terms, route.Stretch{FromM: at, ToM: s.Way.LengthM()}), 0)
	return sum
}

// join adds a part to a trip; its chainages are those of a foremost axle so far
// ahead of the train's. False when the trip ends there.
func join(sum *check.Trip, t check.Trip, aheadM float64) bool {
	for _, c := range t.Clock {
		sum.Clock = append(sum.Clock, check.Passing{AtM: c.AtM - aheadM, TimeS: sum.TimeS + c.TimeS})
	}
	sum.LengthM += t.LengthM
	sum.TimeS += t.TimeS
	sum.FuelL += t.FuelL
	sum.LevelM += t.LevelM
	sum.Stall, sum.StallAtM, sum.Why = t.Stall, t.StallAtM-aheadM, t.Why
	if t.SlowestMS < sum.SlowestMS || math.IsNaN(sum.SlowestMS) {
		sum.SlowestMS, sum.SlowestAtM = t.SlowestMS, t.SlowestAtM-aheadM
	}
	return t.Stall == "" && t.Why == ""
}
