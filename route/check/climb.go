package check

import (
	"math"
	"slices"
	"sort"

	"drawbar/route"
)

// suspectGrade is a grade steeper than roads are built, rise over run. On a
// line whose structures nobody looked for it rather shows a tunnel, a cutting
// or a bridge. Choice.
const suspectGrade = 0.25

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

// climbAt judges one station: the grade under the train against the largest
// grade the train masters at a steady crawl on the ground below it. An
// untagged surface passes only on the worst ground it may be and fails only on
// the best.
func (s *Situation) climbAt(i int) reading {
	return s.against(i, func(o *option) *capacity { return &o.climb })
}

// startAt is climbAt for starting from rest.
func (s *Situation) startAt(i int) reading {
	return s.against(i, func(o *option) *capacity { return &o.start })
}

func (s *Situation) against(i int, of func(*option) *capacity) reading {
	d, se := s.TrainGrade.Value[i], s.TrainGrade.SE[i]
	r := reading{i: i, s: s.Profile.ChainageM[i], demand: d, varDemand: se * se, p: nan, capacity: nan}
	if math.IsNaN(d) {
		r.outcome = Pass // no height: the void check reports the place
		return r
	}
	sg := s.grounds[i]
	low := of(sg.worst.worst)
	r.capacity = low.grade
	g, m, e := low.variance(d)
	r.varSupply = g + m + e
	r.p = chance(d, low.grade, r.se())
	r.outcome = judge(r.p)
	if d > suspectGrade && r.outcome == Fail && s.bareAt(i) {
		r.suspect, r.outcome = true, NotLooked
		return r
	}
	if sg.worst.worst == sg.best.best || r.outcome == Pass {
		return r
	}
	high := of(sg.best.best)
	g, m, e = high.variance(d)
	r.outcome = max(min(judge(chance(d, high.grade, math.Sqrt(r.varDemand+g+m+e))), Fail), Undecided)
	return r
}

// climb compares the grade under the train with what it masters at a crawl.
func climb(s *Situation, k *Sink) {
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) { k.Place(s.climbFinding(at, w, false)) }
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		r := s.climbAt(i)
		s.explainGrade(k, r, false)
		g.add(r, s.spacing(i))
	}
	g.close()
}

// start compares the grade under the train with what it can start on, where
// it climbs. A short stretch with no cause to stop is passed without stopping.
func start(s *Situation, k *Sink) {
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) { k.Place(s.startFinding(at, w)) }
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		if s.climbAt(i).outcome != Pass {
			continue
		}
		r := s.startAt(i)
		if g := s.grounds[i]; r.demand <= 0 && g.worst.worst != g.best.best {
			continue // downhill on ground nobody described: the climb has said so
		}
		s.explainGrade(k, r, true)
		g.add(r, s.spacing(i))
	}
	g.close()
}

// climbFinding words a run.
func (s *Situation) climbFinding(at route.Stretch, w reading, fromRest bool) Finding {
	worst, best := s.grounds[w.i].worst.worst, s.grounds[w.i].best.best
	c, verb := &worst.climb, "climbs"
	if fromRest {
		c, verb = &worst.start, "starts"
	}
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, Unit: Grade,
		Outcome: w.outcome, Remedy: Pull, Rests: slices.Clone(c.rests),
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: c.grade, SE: math.Sqrt(w.varSupply), Unit: Grade},
			{Name: "surface", Text: s.grounds[w.i].worst.label(), Unit: Literal},
			{Name: "what", Text: c.limit.Decides, Unit: Literal},
			{Name: "verb", Text: verb, Unit: Literal},
			{Name: "needed", Value: c.passGrade(), Unit: Grade},
		},
		Decides: decides(c, w),
	}
	if worst != best {
		f.Rests = append(f.Rests, best.climb.rests...)
	}
	f.Unverified = s.unverified(f.Rests)
	f.Say = "grade {grade} under the train, {verb} {limit} on {surface} ({what} decides)"
	if w.suspect {
		f.Remedy, f.P = NoRemedy, nan
		f.Say = "grade {grade} under the train, steeper than roads are built: a tunnel, cutting or bridge that the line does not tell of?"
		f.Close = "look at the place, and give its grade; or give the way with its tags"
	}
	if w.outcome == Undecided {
		f.Close = "measure the grade under the train at the worst place: passes at up to {needed}"
		if gripDecides(f.Decides) {
			f.Close = "try the grip on the spot or lay grit: sure only where the grade under the train is at most {needed}"
		}
		if worst != best {
			f.Say = "grade {grade} under the train, {verb} {limit} on {weak} and {high} on {firm}: the surface decides"
			hc := &best.climb
			if fromRest {
				hc = &best.start
			}
			f.Close = "look at the surface and measure the grade: passes at up to {needed} on {weak}, {most} on {firm}"
			if c.passGrade() <= 0 {
				f.Close = "look at the surface: on {weak} the train does not move by itself; passes at up to {most} on {firm}"
			}
			f.Q = append(f.Q, Quantity{Name: "most", Value: hc.passGrade(), Unit: Grade}, Quantity{Name: "high", Value: hc.grade, Unit: Grade},
				Quantity{Name: "weak", Text: label(worst.surface), Unit: Literal},
				Quantity{Name: "firm", Text: label(best.surface), Unit: Literal})
		}
	}
	if w.outcome == Fail {
		bar, mass := s.shortfall(worst, w.demand)
		f.Do = "needs {bar} more at the drawbar: a helper of about {mass} or more on this ground, grit, a firmer surface, or a lighter load"
		if math.IsNaN(mass) {
			f.Do = "needs {bar} more at the drawbar; on this ground no helper's own weight gives that: winch from firm ground, grit, or go round"
		}
		f.Q = append(f.Q, Quantity{Name: "bar", Value: bar, Unit: Newton}, Quantity{Name: "mass", Value: mass, Unit: Kg})
	}
	return f
}

// gripDecides reports whether grip makes most of the uncertainty: measuring
// the grade closes nothing then.
func gripDecides(parts []Quantity) bool {
	return len(parts) > 0 && parts[0].Name == "grip" && parts[0].Value > 0.5
}

// startFinding makes a short stretch a caution and words the rest as a climb
// from rest.
func (s *Situation) startFinding(at route.Stretch, w reading) Finding {
	f := s.climbFinding(at, w, true)
	if f.At.LengthM() <= s.ShortStopM && len(s.stops(f.At)) == 0 {
		f.Outcome, f.Remedy = Caution, NoRemedy
		f.Say = "climbs but may not start again: {grade} under the train, starts on {limit} on {surface}"
		f.Do = "do not stop on this stretch; keep the road ahead clear before entering"
		f.Close = ""
		f.Rests = append(f.Rests, s.rests("start.short_stop_m")...)
	}
	return f
}

// stops are the places on a stretch where a train may have to stop. Fords and
// tunnels are; junctions are not known from a single line.
func (s *Situation) stops(at route.Stretch) (out []float64) {
	for _, p := range s.Structures {
		if p.Feature.Kind != "bridge" && p.At.Overlaps(at) {
			out = append(out, p.At.FromM)
		}
	}
	return out
}

// decides splits the variance at the worst place.
func decides(c *capacity, w reading) []Quantity {
	grip, mass, effort := c.variance(w.demand)
	total := w.varDemand + grip + mass + effort
	if total == 0 {
		return nil
	}
	parts := []Quantity{
		{Name: "grade", Value: w.varDemand / total, Unit: Share},
		{Name: "grip", Value: grip / total, Unit: Share},
		{Name: "mass", Value: mass / total, Unit: Share},
		{Name: "effort", Value: effort / total, Unit: Share},
	}
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].Value > parts[j].Value })
	for len(parts) > 0 && parts[len(parts)-1].Value < 0.005 {
		parts = parts[:len(parts)-1]
	}
	return parts
}

// StartChance is P(the train can start from rest) with its foremost axle at
// station i; NaN where there is no height.
func (s *Situation) StartChance(i int) float64 { return s.startAt(i).p }

// ClimbOutcome is the outcome of the climb at station i.
func (s *Situation) ClimbOutcome(i int) Outcome { return s.climbAt(i).outcome }
