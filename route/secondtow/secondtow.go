// Package secondtow finds what at hand gets a train over the places it fails
// alone: which helper, hooked on where, cast off where, with every check made
// again for the coupled pair from hook-on to cast-off.
package secondtow

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"drawbar/route"
	"drawbar/route/check"
)

// Helper is a unit at hand, coupled to the train once.
type Helper struct {
	Name    string
	Coupled *check.Setup // the helper on the bar ahead of the train
	// AheadM is how far the helper's foremost axle stands before the train's.
	AheadM float64
	// BarRatedN is the rating of bar and couplings, NaN when not known.
	BarRatedN float64
	Assumed   []route.Assumption

	hoist *hoist // its winch, nil without one
}

// Yard is what is at hand, quickest first. The zero value has nothing.
type Yard struct{ Helpers []Helper }

// Choices of the plan; all listed in the report.
const (
	// MergeM: stretches nearer to each other are one; unhooking between them is
	// not worth the time.
	MergeM = 500
	// LookM is how far back and on a place to hook on or cast off is looked for.
	LookM = 1000
	// TryBelow: a helper is looked for where the chance to pass alone is less
	// than this: at the design values of grip the train rather fails.
	TryBelow = 0.5
	// LevelRatio: a place no steeper than this is taken before any other.
	LevelRatio = 0.05
)

// Assumed lists those choices and those of the helpers' couplings.
func (y *Yard) Assumed() []route.Assumption {
	out := []route.Assumption{
		{Key: "secondtow.level_grade", Value: LevelRatio, Unit: "ratio", Source: "preferred steepest place to hook on or cast off", Standing: "choice"},
		{Key: "secondtow.look_m", Value: LookM, Unit: "m", Source: "how far a place to hook on or cast off is looked for", Standing: "choice"},
		{Key: "secondtow.try_below", Value: TryBelow, Unit: "1", Source: "a helper is looked for where the chance to pass alone is less", Standing: "choice"},
		{Key: "secondtow.merge_m", Value: MergeM, Unit: "m", Source: "stretches nearer than this share one hook-up", Standing: "choice"},
	}
	for _, h := range y.Helpers {
		out = append(out, h.Assumed...)
		out = append(out, h.Coupled.Assumed...)
	}
	return out
}

// Assist is one stretch done with a helper.
type Assist struct {
	Helper  string
	Winched bool // from the crest; the helper is not coupled
	// Over runs from hook-on to cast-off, chainage of the train's own foremost
	// axle (not the helper's).
	Over route.Stretch
	// For are the findings it puts right, as indices into those given to Plan.
	For []int
	// Findings are those of the coupled pair over that stretch that do not
	// pass. Of climb, start and uplift the chainage is that of the train's own
	// foremost axle, as elsewhere.
	Findings []check.Finding
	// HookStartP and CastStartP are P(the train starts alone) at hook-on and
	// cast-off; NaN where there is no height.
	HookStartP, CastStartP float64
	// PairStartP is P(the pair starts) at hook-on.
	PairStartP float64
}

// Asked are the findings of the coupled pair that are questions.
func (a *Assist) Asked() (out []int) {
	for i := range a.Findings {
		if a.Findings[i].Open() {
			out = append(out, i)
		}
	}
	return out
}

// Plan is what the yard can do.
type Plan struct {
	Assists []Assist
	// Tried are helpers that did not suffice, with what stopped the best of
	// them; one entry a stretch without an Assist.
	Tried []Attempt
}

// Attempt is a stretch no helper gets the train over.
type Attempt struct {
	Over   route.Stretch
	For    []int
	Helper string // the one that came nearest, "" when there is none at hand
	Why    check.Finding
	Fails  bool // the train surely fails alone; else it more likely fails than not
}

// Plan looks for a helper for every finding that pulling could put right.
func (y *Yard) Plan(s *check.Situation, found []check.Finding) Plan {
	var plan Plan
	for _, need := range needs(found) {
		a, near := y.help(s, need.at)
		if a == nil {
			if near.Helper == "" && !need.fails {
				continue // nothing was tried, and the question stands
			}
			near.Over, near.For, near.Fails = need.at, need.which, need.fails
			plan.Tried = append(plan.Tried, near)
			continue
		}
		a.For = need.which
		plan.Assists = append(plan.Assists, *a)
	}
	return plan
}

// help looks for a helper between the preferred places to hook on and cast off,
// then between the nearest sure ones: the longer way of the first may lead over
// a bridge that does not carry the pair.
func (y *Yard) help(s *check.Situation, at route.Stretch) (*Assist, Attempt) {
	var near Attempt
	var before route.Stretch
	for i, level := range []float64{LevelRatio, math.Inf(1)} {
		hook, cast := place(s, at, level)
		over := route.Stretch{FromM: s.Profile.ChainageM[hook], ToM: s.Profile.ChainageM[cast]}
		if i > 0 && over == before {
			break
		}
		before = over
		a, attempt := y.try(s, over, hook, cast)
		if a != nil {
			return a, Attempt{}
		}
		if i == 0 {
			near = attempt
		}
	}
	hook, cast := place(s, at, math.Inf(1))
	over := route.Stretch{FromM: s.Profile.ChainageM[hook], ToM: s.Profile.ChainageM[cast]}
	if a := y.tryWinch(s, over, hook, cast); a != nil {
		return a, Attempt{}
	}
	return nil, near
}

// need is a stretch with the findings that make it one.
type need struct {
	at    route.Stretch
	which []int
	fails bool // one of them fails, the others more likely fail than not
}

// needs joins the failures that pulling could put right, in order of chainage.
func needs(found []check.Finding) (out []need) {
	for i := range found {
		f := &found[i]
		wanted := f.Outcome == check.Fail || (f.Outcome == check.Undecided && f.PBest < TryBelow)
		if wanted && f.Remedy == check.Pull {
			out = append(out, need{f.At, []int{i}, f.Outcome == check.Fail})
		}
	}
	slices.SortStableFunc(out, func(a, b need) int { return cmp.Compare(a.at.FromM, b.at.FromM) })
	kept := 0
	for _, n := range out {
		if l := kept - 1; l >= 0 && n.at.FromM <= out[l].at.ToM+MergeM {
			out[l].at.ToM = max(out[l].at.ToM, n.at.ToM)
			out[l].which = append(out[l].which, n.which...)
			out[l].fails = out[l].fails || n.fails
			continue
		}
		out[kept] = n
		kept++
	}
	return out[:kept]
}

// try couples the helpers one after the other and returns the first with which
// the stretch passes, or the attempt that came nearest.
func (y *Yard) try(s *check.Situation, over route.Stretch, hook, cast int) (*Assist, Attempt) {
	var near Attempt
	for i := range y.Helpers {
		h := &y.Helpers[i]
		found, start := coupled(s, h, over)
		a := &Assist{Helper: h.Name, Over: over, Findings: found,
			HookStartP: s.StartChance(hook), CastStartP: s.StartChance(cast), PairStartP: start}
		stop := worst(found)
		if stop == nil {
			stop = a.stranded(cast == len(s.Profile.ChainageM)-1)
		}
		if stop == nil {
			a.Findings = append(a.Findings, h.bar(s, over)...)
			return a, Attempt{}
		}
		if near.Helper == "" || stop.P > near.Why.P {
			near.Helper, near.Why = h.Name, *stop
		}
	}
	return nil, near
}

// stranded is why a plan that climbs still leaves somebody standing, nil if it
// does not: the pair must surely start where it was hooked on, the train alone
// where the helper is cast off, unless that is the end of the way.
func (a *Assist) stranded(toTheEnd bool) *check.Finding {
	stuck := func(at, p float64, say string) *check.Finding {
		return &check.Finding{Check: "start", At: route.Stretch{FromM: at, ToM: at}, WorstM: at, P: p, Outcome: check.Undecided, Unit: check.Grade, Say: say,
			Q: []check.Quantity{{Name: "at", Value: at, Unit: check.Chain}, {Name: "chance", Value: p, Unit: check.Share}}}
	}
	switch {
	case !(a.PairStartP >= check.PassAt):
		return stuck(a.Over.FromM, a.PairStartP, "the pair does not surely start where it is hooked on, at {at}: chance {chance}")
	case !toTheEnd && !(a.CastStartP >= check.PassAt):
		return stuck(a.Over.ToM, a.CastStartP, "the train does not surely start alone where the helper is cast off, at {at}: chance {chance}")
	}
	return nil
}

// coupled makes every check for the pair from hook-on to cast-off, and gives
// P(the pair starts where it is hooked on).
func coupled(s *check.Situation, h *Helper, over route.Stretch) (found []check.Finding, startP float64) {
	c := h.Situation(s)
	c.Window = route.Stretch{
		FromM: min(over.FromM+h.AheadM, s.Way.LengthM()),
		ToM:   min(over.ToM+h.AheadM, s.Way.LengthM()),
	}
	var k check.Sink
	check.Run(c, &k)
	for _, f := range k.Findings {
		if !f.Standing {
			found = append(found, h.seenFromTrain(f))
		}
	}
	at := sort.SearchFloat64s(s.Profile.ChainageM, c.Window.FromM-1e-6)
	return found, c.StartChance(min(at, len(s.Profile.ChainageM)-1))
}

// seenFromTrain moves a finding whose places are those of the pair's foremost
// axle, the helper's, to the train's.
func (h *Helper) seenFromTrain(f check.Finding) check.Finding {
	if f.Check != "climb" && f.Check != "start" && f.Check != "uplift" {
		return f // of a place on the way: a bridge, a bend
	}
	back := func(s float64) float64 { return max(s-h.AheadM, 0) }
	f.At, f.WorstM = route.Stretch{FromM: back(f.At.FromM), ToM: back(f.At.ToM)}, back(f.WorstM)
	f.Q = slices.Clone(f.Q)
	for i := range f.Q {
		if f.Q[i].Unit == check.Chain {
			f.Q[i].Value = back(f.Q[i].Value)
		}
	}
	return f
}

// worst is the finding that stops the pair, nil if none: what fails, and a climb
// that is not sure. Open questions stop nothing: most stand in the solo findings
// too, and the verdict shows the others.
func worst(found []check.Finding) *check.Finding {
	var w *check.Finding
	for i := range found {
		f := &found[i]
		pulling := f.Remedy == check.Pull
		if f.Outcome == check.Fail || (pulling && f.Outcome == check.Undecided) {
			if w == nil || f.Outcome > w.Outcome || (f.Outcome == w.Outcome && f.P < w.P) {
				w = f
			}
		}
	}
	return w
}

// place finds the stations to hook on and cast off: the nearest before and
// after the stretch where the train can start alone on a place no steeper than
// level, clear of structures; else the one where it most surely starts. There is
// always an answer; how sure it is stands beside it.
func place(s *check.Situation, at route.Stretch, level float64) (hook, cast int) {
	c := s.Profile.ChainageM
	first, last := 0, len(c)-1
	for first < last && c[first+1] < at.FromM {
		first++
	}
	for last > 0 && c[last-1] > at.ToM {
		last--
	}
	hook = pick(s, first, -1, at.FromM, level)
	cast = pick(s, last, +1, at.ToM, level)
	return hook, cast
}

func pick(s *check.Situation, from, dir int, edge, level float64) int {
	c := s.Profile.ChainageM
	best, bestP := from, -1.0
	for i := from; i >= 0 && i < len(c) && math.Abs(c[i]-edge) <= LookM; i += dir {
		if s.ClimbOutcome(i) == check.Fail {
			if i != from {
				break // the next failing stretch begins
			}
			continue
		}
		p := s.StartChance(i)
		if math.IsNaN(p) || onStructure(s, c[i]) {
			continue
		}
		if p >= check.PassAt && math.Abs(s.TrainGrade.Value[i]) <= level && s.MayPark(i) {
			return i
		}
		if p > bestP {
			best, bestP = i, p
		}
	}
	return best
}

func onStructure(s *check.Situation, at float64) bool {
	for _, p := range s.Structures {
		if at >= p.At.FromM && at-s.Train.LengthM <= p.At.ToM {
			return true
		}
	}
	return false
}
