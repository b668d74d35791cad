package check

import (
	"math"
	"sort"

	"drawbar/route/profile"
	"drawbar/vehicle/traction"
)

// implausibleGrade is a grade steeper than roads are built, rise over run. On a
// line whose structures nobody looked for it rather shows a tunnel, a cutting
// or a bridge. Choice.
const implausibleGrade = 0.25

// bareAt reports whether the way under the train is not described by its
// source.
func (s *Situation) bareAt(i int) bool {
	for _, l := range s.Way.LegsIn(s.under(s.Profile.ChainageM[i])) {
		if !l.Tags.Mapped {
			return true
		}
	}
	return false
}

// rather reports whether a shape may be a structure's rather than the road's.
func rather(s profile.Shape) bool {
	return s == profile.Dip || s == profile.Hump || s == profile.Jump
}

// suspectAt reports whether the height under the train rather shows a
// structure nobody tagged than the road.
func (s *Situation) suspectAt(i int) bool {
	return s.shapeAt(i) || (math.Abs(s.TrainGrade.Value[i]) > implausibleGrade && s.bareAt(i))
}

// shapeAt reports such a shape of the height under the train.
func (s *Situation) shapeAt(i int) bool {
	under := s.under(s.Profile.ChainageM[i])
	for _, p := range s.suspects {
		if rather(p.Shape) && p.At.FromM <= under.ToM && under.FromM <= p.At.ToM {
			return true
		}
	}
	return false
}

// gradeAt judges one station: the grade under the train against the largest
// grade the train masters on the ground below it. An untagged surface passes
// only on the worst ground it may be and fails only on the best.
func (s *Situation) gradeAt(i int, m motion) reading {
	d, se := s.TrainGrade.Value[i], s.TrainGrade.SE[i]
	r := reading{i: i, s: s.Profile.ChainageM[i], demand: d, varDemand: se * se, p: nan, pBest: nan, capacity: nan}
	if m.down() {
		d = -d
		r.demand = d
	}
	if math.IsNaN(d) {
		r.outcome = Pass // no height: the void check reports the place
		return r
	}
	sp := s.grounds[i].span[m]
	low := s.capacityAt(i, sp.worst, m)
	r.capacity = low.grade
	r.varSupply = low.variance(d).sum()
	r.p = low.chance(d, r.varDemand)
	r.pBest, r.outcome = r.p, judge(r.p)
	if !sp.known() {
		high := s.capacityAt(i, sp.best, m)
		r.pBest = high.chance(d, r.varDemand)
	}
	if r.outcome == Pass {
		return r
	}
	if r.outcome = Undecided; judge(r.pBest) == Fail {
		r.outcome = Fail
	}
	if r.outcome == Fail && s.suspectAt(i) {
		r.suspect, r.outcome = true, NotLooked
	}
	return r
}

// capacityAt is an option's capacity at a station: at its height, and in the bend
// the train stands in.
func (s *Situation) capacityAt(i int, o *option, m motion) *capacity {
	c := &o.capacity[m]
	if s.breathes && m <= fromRest {
		if share := traction.AltitudeFactor(s.Profile.ZM[i]); share < 1 {
			c = o.inThinAir(m, share)
		}
	}
	if m <= fromRest && s.scrubAt(i) { // going down it only holds the train back
		t := c.scrubbed(s.scrub)
		c = &t
	}
	return c
}

// inThinAir is a capacity where only a share of the effort is left, to the next
// thousandth below; made once each.
func (o *option) inThinAir(m motion, share float64) *capacity {
	key := thinAir{m, int(share * 1000)}
	if c, ok := o.thinned.Load(key); ok {
		return c.(*capacity)
	}
	c, _ := o.thinned.LoadOrStore(key, o.capacity[m].thin(float64(key.share)/1000))
	return c.(*capacity)
}

// decides splits the variance at the worst place.
func decides(c *capacity, w reading) []Quantity {
	v := c.variance(w.demand)
	total := w.varDemand + v.sum()
	if total == 0 {
		return nil
	}
	out := []Quantity{
		{Name: "grade", Value: w.varDemand / total, Unit: Share},
		{Name: "grip", Value: v.grip / total, Unit: Share},
		{Name: "mass", Value: v.mass / total, Unit: Share},
		{Name: "effort", Value: v.effort / total, Unit: Share},
		{Name: "scrub", Value: v.scrub / total, Unit: Share},
		{Name: "place of the load", Value: v.place / total, Unit: Share},
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Value > out[j].Value })
	for len(out) > 0 && out[len(out)-1].Value < 0.005 {
		out = out[:len(out)-1]
	}
	return out
}

// explainGrade hands the steps of one station to the sink.
func (s *Situation) explainGrade(k *Sink, r reading, m motion) {
	if !k.Explain {
		return
	}
	g := s.grounds[r.i]
	c := s.capacityAt(r.i, g.span[m].worst, m)
	what := [motions]string{"steady crawl", "from rest", "down on engine and retarder", "down on the service brakes", "parked nose up", "parked nose down"}[m]
	k.Step("chainage of the foremost axle", r.s, Chain, what)
	k.Step("ground", nan, Literal, label(g.span[m].worst.surface)+" ("+g.leg[m].from+")")
	for _, st := range c.limit.Steps {
		k.Step(st.Name, st.Value, Unit(st.Unit), st.How)
	}
	k.Step("height of the road", s.Profile.ZM[r.i], Metre, "raster, conditioned")
	k.Step("height as sampled", s.Profile.RawZM[r.i], Metre, "raster, bilinear")
	k.Step("grade under the train", r.demand, Grade, "grades under the axles weighted by their static loads")
	k.Step("its standard error", math.Sqrt(r.varDemand), Grade, "posterior of the road's height")
	k.Step("standard error of the capacity", math.Sqrt(r.varSupply), Grade, "grip, rolling, mass, effort and place of the load in squares")
	k.Step("largest grade", r.capacity, Grade, "capacity on the worst ground it may be")
	k.Step("P(capacity >= demand)", r.p, Share, "grip, rolling, mass, effort and place of the load together, over the grade's error")
}

// StartChance is P(the train can start from rest) with its foremost axle at
// station i; NaN where there is no height.
func (s *Situation) StartChance(i int) float64 { return s.gradeAt(i, fromRest).p }

// ParkChance is P(the parked train holds with its foremost axle at station i);
// NaN where the file does not say which axles the parking brake acts on, or
// there is no height.
func (s *Situation) ParkChance(i int) float64 {
	if s.lacksField("hold", ".parked") != "" {
		return nan
	}
	r, _ := s.parkedAt(i)
	return r.p
}

// MayPark reports whether it does not surely slide: it holds with HoldAt, or
// nobody said which axles are parked.
func (s *Situation) MayPark(i int) bool {
	p := s.ParkChance(i)
	return math.IsNaN(p) || p >= HoldAt
}

// ClimbOutcome is the outcome of the climb at station i.
func (s *Situation) ClimbOutcome(i int) Outcome { return s.gradeAt(i, crawling).outcome }

// RollAt is the rolling coefficient of the worst ground at station i, at its
// design value.
func (s *Situation) RollAt(i int) float64 {
	return s.grounds[i].span[crawling].worst.surface.Roll.Design.V
}

// GripAt is the adhesion coefficient there, at its design value.
func (s *Situation) GripAt(i int) float64 {
	return s.grounds[i].span[crawling].worst.surface.Mu.Design.V
}

// DescentOutcome is the outcome of the descent at station i, Pass where the way
// does not fall.
func (s *Situation) DescentOutcome(i int) Outcome {
	if !(s.TrainGrade.Value[i] < 0) {
		return Pass
	}
	return s.downAt(i).outcome
}

// GroundAt is the worst ground a climb at station i may stand on.
func (s *Situation) GroundAt(i int) traction.Surface {
	return s.grounds[i].span[crawling].worst.surface
}
