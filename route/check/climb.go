package check

import (
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// climb compares the grade under the train with what it masters at a crawl.
func climb(s *Situation, k *Sink) {
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) {
		f := s.gradeFinding(at, w, crawling)
		s.wholeChance(&f, w, crawling)
		s.momentum(&f, w)
		k.Place(f)
	}
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		r := s.gradeAt(i, crawling)
		s.explainGrade(k, r, crawling)
		g.add(r, s.spacing(i))
	}
	g.close()
	coarse(s, k)
	unknownSurface(s, k)
}

// The longest climb at the train's limit that heights may hide and still judge a
// way, metres: in their errors, and between their cells. Choices: six lengths of a
// train, and cells of 100 m.
const (
	mostHiddenM  = 150.0
	mostSkippedM = 200.0
)

// firmest is the largest grade the train climbs on the firmest ground of the way.
func (s *Situation) firmest() (grade float64) {
	for _, l := range s.Way.LegsIn(s.Window) {
		grade = max(grade, s.groundOf(l.Tags).span[crawling].best.capacity[crawling].grade)
	}
	return grade
}

// coarse says that short climbs do not show: shorter than two cells, or lost in
// the errors of the heights. Where long ones hide too it is a question.
func coarse(s *Situation, k *Sink) {
	cell := 0.0
	for _, src := range s.Profile.Sources {
		cell = max(cell, src.CellM)
	}
	grade := s.firmest()
	lost := s.Profile.Shown(grade)
	shown := max(2*cell, lost)
	if shown <= s.Train.LengthM {
		return
	}
	f := standing(s, "climbs of {grade} shorter than {shown} do not show in heights {cell} apart with such errors", "walk the way for short ramps, bridge approaches and dips; or give finer or better heights", 1)
	f.Q = append(f.Q, Quantity{Name: "shown", Value: shown, Unit: Metre}, Quantity{Name: "cell", Value: cell, Unit: Metre}, Quantity{Name: "grade", Value: grade, Unit: Grade})
	if lost > mostHiddenM || 2*cell > mostSkippedM {
		f.Standing = false
		f.Close = "give finer or better heights, or their true error with --dem-le90 or --dem-product; or level the steep pieces: passes where the grade under the train is at most {needed}"
		f.Q = append(f.Q, Quantity{Name: "needed", Value: s.weakestIn(s.Window).capacity[crawling].passGrade(), Unit: AtMost})
	}
	k.Place(f)
}

// gradeFinding words a run.
func (s *Situation) gradeFinding(at route.Stretch, w reading, m motion) Finding {
	sp := s.grounds[w.i].span[m]
	c := s.capacityAt(w.i, sp.worst, m)
	verb := [2]string{"climbs", "starts"}[m]
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.pBest, Unit: Grade,
		Outcome: w.outcome, Remedy: Pull, Rests: slices.Clone(c.rests), Decides: decides(c, w),
		Say: "grade {grade} under the train, {verb} {limit} on {surface} ({what} decides)",
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: c.grade, SE: math.Sqrt(w.varSupply), Unit: Grade},
			{Name: "surface", Text: sp.label(), Unit: Literal},
			{Name: "what", Text: c.limit.Decides, Unit: Literal},
			{Name: "verb", Text: verb, Unit: Literal},
			{Name: "needed", Value: c.passGrade(), Unit: AtMost},
			{Name: "behind", Value: s.under(at.FromM).FromM, Unit: Chain},
			{Name: "ahead", Value: min(at.ToM, s.Way.LengthM()), Unit: Chain},
		}}
	if !sp.known() {
		f.Rests = append(f.Rests, sp.best.capacity[m].rests...)
	}
	f.Unverified = s.unverified(f.Rests)
	switch {
	case w.suspect:
		s.wordSuspect(&f, w.s)
	case c.limit.Decides == traction.Lift:
		s.wordLift(&f, c)
	case w.outcome == Fail && s.capacityAt(w.i, sp.best, m).limit.Decides == traction.Lift:
		s.wordLift(&f, s.capacityAt(w.i, sp.best, m))
	case w.outcome == Undecided && !sp.known():
		s.wordSurface(&f, sp, c, s.capacityAt(w.i, sp.best, m))
	case w.outcome == Undecided:
		f.Close = "measure the grade from {behind} to {ahead}: passes where it is at most {needed} under the train"
		if gripDecides(f.Decides) {
			f.Close = "try the grip on the spot or lay grit: sure only where the grade under the train is at most {needed}"
		}
	case w.outcome == Fail:
		s.wordShortfall(&f, sp.best, w.demand)
	}
	return f
}

// wordSuspect words a grade that is rather a structure's.
func (s *Situation) wordSuspect(f *Finding, at float64) {
	f.Remedy, f.P, f.PBest = NoRemedy, nan, nan
	f.Say = "grade {grade} under the train, steeper than roads are built: a tunnel, cutting or bridge that the line does not tell of?"
	f.Close = "look at the place, and give its grade; or give the way with its tags"
	for _, p := range s.suspects {
		if p.At.FromM <= f.At.ToM && f.At.FromM <= p.At.ToM {
			f.Say = "grade {grade} under the train beside a " + string(p.Shape) + " of {off}: not the road's?"
			f.Q = append(f.Q, Quantity{Name: "off", Value: p.OffM, Unit: Metre})
			return
		}
	}
}

// wordLift words a grade on which a support of the train lifts. Pulling may
// still put it right: a bar takes the pull off the wheels behind it.
func (s *Situation) wordLift(f *Finding, c *capacity) {
	f.Say = "grade {grade} under the train, and the {lifts} carries nothing from {lift} on"
	f.Q = append(f.Q, Quantity{Name: "lifts", Text: c.limit.Lifts, Unit: Literal}, Quantity{Name: "lift", Value: c.limit.LiftGrade, Unit: Grade})
	const move = "move or lower the load, or set the coupling elsewhere"
	if f.Outcome == Fail {
		f.Do = move + "; do not drive this grade as loaded"
		return
	}
	f.Close = move + "; or weigh that axle group on the level and measure the grade: passes at up to {needed}"
}

// wordSurface words a grade that the surface decides.
func (s *Situation) wordSurface(f *Finding, sp span, low, high *capacity) {
	f.Say = "grade {grade} under the train, {verb} {limit} on {weak} and {high} on {firm}: the surface decides"
	f.Close = "look at the surface and measure the grade: passes at up to {needed} on {weak}, {most} on {firm}"
	if low.passGrade() <= 0 {
		f.Close = "look at the surface: on {weak} the train does not move by itself; passes at up to {most} on {firm}"
	}
	f.Q = append(f.Q, Quantity{Name: "most", Value: high.passGrade(), Unit: AtMost}, Quantity{Name: "high", Value: high.grade, Unit: Grade},
		Quantity{Name: "weak", Text: label(sp.worst.surface), Unit: Literal},
		Quantity{Name: "firm", Text: label(sp.best.surface), Unit: Literal})
}

// wordShortfall says what would put a failure right.
func (s *Situation) wordShortfall(f *Finding, o *option, demand float64) {
	bar, mass := s.shortfall(o, demand)
	f.Do = "needs {bar} more at the drawbar: a helper of about {mass} or more on this ground, grit, a firmer surface, or a lighter load"
	if math.IsNaN(mass) {
		f.Do = "needs {bar} more at the drawbar; on this ground no helper's own weight gives that: winch from firm ground, grit, or go round"
	}
	f.Q = append(f.Q, Quantity{Name: "bar", Value: bar, Unit: Newton}, Quantity{Name: "mass", Value: mass, Unit: Kg})
}

// gripDecides reports whether grip makes most of the uncertainty: measuring
// the grade closes nothing then.
func gripDecides(parts []Quantity) bool {
	return len(parts) > 0 && parts[0].Name == "grip" && parts[0].Value > 0.5
}
