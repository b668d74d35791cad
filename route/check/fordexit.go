package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/known"
	"drawbar/route/structure"
)

// fordExit looks at the climb out of a ford: wheels come up wet, until the whole
// train has left the water the grip is that of wet ground. It asks and never
// fails: how wet the ground is there nobody knows beforehand.
func (s *Situation) fordExit(k *Sink, p structure.Placed) {
	wet := s.Setup
	if s.Weather == "dry" {
		var err error
		if wet, err = s.wet(); err != nil {
			return
		}
	}
	out := route.Stretch{FromM: p.At.ToM, ToM: min(p.At.ToM+s.Train.LengthM, s.Way.LengthM())}
	c := s.Profile.ChainageM
	worst, at := math.Inf(1), -1
	var least *option
	for i := range c {
		if c[i] < out.FromM || c[i] > out.ToM || math.IsNaN(s.TrainGrade.Value[i]) {
			continue
		}
		o := wet.groundOf(s.Way.LegsIn(route.Stretch{FromM: c[i], ToM: c[i]})[0].Tags).span[crawling].worst
		if spare := o.capacity[crawling].grade - s.TrainGrade.Value[i]; spare < worst {
			worst, at, least = spare, i, o
		}
	}
	if at < 0 {
		return
	}
	limit := &least.capacity[crawling]
	grade, se := s.TrainGrade.Value[at], s.TrainGrade.SE[at]
	sd := math.Sqrt(square(se) + limit.variance(grade).sum())
	f := Finding{At: clip(out, s.reach()), WorstM: c[at], Demand: grade, Capacity: limit.grade, SE: sd, P: chance(grade, limit.grade, sd), Unit: Grade, Rests: limit.rests,
		Say:   "out of {name} with wet wheels: grade {grade} under the train, climbs {limit} on {surface}",
		Close: "let it run off before the climb, lay stone or grit; passes where the grade is at most {needed}",
		Needs: known.Needs{{{Key: "grade_pct", Pass: 100 * limit.passGrade(), Fail: nan, AtMost: true}}, word("looked", "yes")},
		Q: []Quantity{{Name: "name", Text: named(p.Feature.Name), Unit: Literal}, {Name: "grade", Value: grade, SE: se, Unit: Grade}, {Name: "limit", Value: limit.grade, Unit: Grade},
			{Name: "surface", Text: label(least.surface), Unit: Literal}, {Name: "needed", Value: limit.passGrade(), Unit: AtMost}}}
	f.PBest, f.Unverified = f.P, s.unverified(f.Rests)
	if f.Outcome = judge(f.P); f.Outcome == Fail {
		f.Outcome, f.P, f.PBest = NotLooked, nan, nan
	}
	if f.At.LengthM() > 0 {
		k.Place(f)
	}
}
