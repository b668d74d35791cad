package check

import (
	"math"

	"drawbar/vehicle/traction"
)

// Strength is what the train has for one motion on the ground at a station,
// beside what the way asks of it there. Where the ground is not known it is that
// of the worst it may be.
type Strength struct {
	Surface         string  // "wet gravel"
	Known           bool    // the ground is one surface
	Grade, GradeSE  float64 // under the train, rise over run
	Design          float64 // largest grade at the design values
	Pass, Fail      float64 // still sure, and surely not beyond, when the grade has no error
	P               float64 // P(capacity >= demand)
	Outcome         Outcome
	Limit           traction.Limit
	Decides         []Quantity // what makes the uncertainty, largest first, shares
	Rests           []string
	Unverified      bool
	RollLow         float64 // rolling coefficient of that ground at its low end
	NeedN           float64 // pull needed at steady crawl on this grade, newtons
	GradeN, RollN   float64 // of it
	GripN, EffortN  float64 // what grip and what the engines allow there, design values
	HaveN, MissingN float64 // the smaller of the two by engine, and what is wanted at a bar
}

// Spare is how much steeper the way may be and still surely pass, rise over
// run; negative where it is too steep for that.
func (s Strength) Spare() float64 { return s.Pass - s.Grade }

// Climb is the strength at station i at a steady crawl; Start that from rest.
func (s *Situation) Climb(i int) Strength { return s.strength(i, crawling) }

// Start is Climb for pulling away from rest.
func (s *Situation) Start(i int) Strength { return s.strength(i, fromRest) }

func (s *Situation) strength(i int, m motion) Strength {
	r := s.gradeAt(i, m)
	sp := s.grounds[i].span[m]
	c := s.capacityAt(i, sp.worst, m)
	out := Strength{Surface: label(sp.worst.surface), Known: sp.known(), Grade: r.demand, GradeSE: math.Sqrt(r.varDemand),
		Design: c.grade, Pass: c.passGrade(), Fail: c.failGrade(), P: r.p, Outcome: r.outcome,
		Limit: c.limit, Decides: decides(c, r), Rests: c.rests, Unverified: s.unverified(c.rests), RollLow: sp.worst.surface.Roll.Low.V}
	if math.IsNaN(r.demand) {
		return out
	}
	su := sp.worst.surface
	need := traction.PullNeeded(s.Train, r.demand, su.Roll.Design.V)
	a := traction.Shortfall(s.Train, r.demand, su.Mu.Design.V, su.Roll.Design.V)
	out.NeedN, out.GradeN, out.RollN = need.SumN, need.GradeN, need.RollingN
	out.GripN, out.EffortN, out.HaveN, out.MissingN = a.GripN, a.EffortN, a.AvailN, a.BarN
	return out
}

// HangingN is what the train pulls on a rope at station i with its own engine not
// counted, newtons, with mass, grade and rolling resistance at their bad ends
// (95 %, one-sided, in squares).
func (s *Situation) HangingN(i int) float64 {
	su := s.grounds[i].span[crawling].worst.surface
	g, se := s.TrainGrade.Value[i], s.TrainGrade.SE[i]
	need := traction.PullNeeded(s.Train, g, su.Roll.Design.V).SumN
	off := func(grade, roll float64) float64 { return traction.PullNeeded(s.Train, grade, roll).SumN - need }
	more := math.Sqrt(square(off(g, su.Roll.High.V)) + square(off(g+oneSided*se, su.Roll.Design.V)) + square(oneSided*s.relMass()*need))
	return need + more
}
