// Package secondtow finds what at hand gets a train over the places it fails
// alone: which helpers, coupled how, hooked on where, cast off where, with every
// check made again for the coupled train from hook-on to cast-off, and how long
// that takes beside anything else that would do.
package secondtow

import (
	"cmp"
	"slices"
	"sync"

	"drawbar/route"
	"drawbar/route/check"
)

// Yard is what is at hand. The zero value has nothing. It must not be copied once
// it has planned.
type Yard struct {
	Helpers []Helper

	once sync.Once
	all  []*Hitch
}

// Choices of the plan; all listed in the report.
const (
	// LookM is how far back and on a place to hook on or cast off is looked for.
	LookM = 1000
	// TryBelow: a helper is looked for where the chance to pass alone is less
	// than this: at the design values of grip the train rather fails.
	TryBelow = 0.5
	// LevelRatio: hooking on at a place steeper than this takes longer.
	LevelRatio = 0.05
	// mostJoined stretches are done with one hook-up.
	mostJoined = 5
)

// Assumed lists those choices and those of the helpers' couplings.
func (y *Yard) Assumed() []route.Assumption {
	out := []route.Assumption{
		{Key: "secondtow.level_grade", Value: LevelRatio, Unit: "ratio", Source: "steeper places to hook on or cast off take longer", Standing: "choice"},
		{Key: "secondtow.look_m", Value: LookM, Unit: "m", Source: "how far a place to hook on or cast off is looked for", Standing: "choice"},
		{Key: "secondtow.try_below", Value: TryBelow, Unit: "1", Source: "a helper is looked for where the chance to pass alone is less", Standing: "choice"},
		{Key: "secondtow.merge_m", Value: MergeM, Unit: "m", Source: "stretches nearer than this may share one hook-up: from the times of hooking and driving", Standing: "derived"},
	}
	out = append(out, clockAssumed()...)
	for _, h := range y.Helpers {
		out = append(out, h.Assumed...)
		out = append(out, h.Coupled.Assumed...)
	}
	return out
}

// Assist is one stretch done with help.
type Assist struct {
	Helper  string   // who helps, and from where
	Members []Member // front to rear; of a winch its helper
	Winched bool     // from the crest; the helper is not coupled
	Holding bool     // it holds the train back, at least
	// Over runs from hook-on to cast-off, chainage of the train's own foremost
	// axle (not the helper's).
	Over route.Stretch
	// For are the findings it puts right, as indices into those given to Plan.
	For []int
	// Findings are those of the coupled train over that stretch that do not
	// pass. Of climb, start and uplift the chainage is that of the train's own
	// foremost axle, as elsewhere.
	Findings []check.Finding
	// HookStartP and CastStartP are P(the train starts alone) at hook-on and
	// cast-off; NaN where there is no height.
	HookStartP, CastStartP float64
	// PairStartP is P(the coupled train starts) at hook-on.
	PairStartP float64

	TimeS float64   // hooking on, walking, driving, casting off
	Bars  []BarLoad // front to rear; none of a winch
	// Hooks and Casts are the best places, that of the plan first.
	Hooks, Casts []Place
	// Others would do as well, quickest first.
	Others []Option
	Moves  []Move // of its helpers, from the stretch before; none of the first

	hitch *Hitch
}

// Hitch is how the train is coupled; nil of a winch.
func (a *Assist) Hitch() *Hitch { return a.hitch }

// Asked are the findings of the coupled train that are questions.
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
	// Tried are stretches without an Assist, with what stopped the helper that came
	// nearest.
	Tried []Attempt
}

// Attempt is a stretch no helper gets the train over.
type Attempt struct {
	Over   route.Stretch
	For    []int
	Helper string // the one that came nearest, "" when there is none at hand
	Why    check.Finding
	Fails  bool // the train surely fails alone; else it more likely fails than not
	Down   bool // going down: it is holding back that lacks
	// Would do, quickest first: what nobody said to be at hand.
	Would []Option
	// Unlocks are the fields without which no helper is offered behind the train.
	Unlocks []string
}

// need is a stretch with the findings that make it one.
type need struct {
	at         route.Stretch
	which      []int
	fails      bool // one of them fails, the others more likely fail than not
	pull, hold bool // what would put it right
}

// needs are the failures that a helper could put right, in order of chainage; those
// that overlap are one.
func needs(found []check.Finding) (out []need) {
	for i := range found {
		f := &found[i]
		wanted := f.Outcome == check.Fail || (f.Outcome == check.Undecided && f.PBest < TryBelow)
		if wanted && f.Remedy != check.NoRemedy {
			out = append(out, need{f.At, []int{i}, f.Outcome == check.Fail, f.Remedy == check.Pull, f.Remedy == check.HoldBack})
		}
	}
	slices.SortStableFunc(out, func(a, b need) int { return cmp.Compare(a.at.FromM, b.at.FromM) })
	kept := 0
	for _, n := range out {
		if l := kept - 1; l >= 0 && n.at.FromM <= out[l].at.ToM {
			out[l] = joined(out[l : l+1 : l+1])
			out[l] = joined([]need{out[l], n})
			continue
		}
		out[kept] = n
		kept++
	}
	return out[:kept]
}

// joined is one need of several.
func joined(ns []need) need {
	out := need{at: ns[0].at}
	for _, n := range ns {
		out.at.FromM, out.at.ToM = min(out.at.FromM, n.at.FromM), max(out.at.ToM, n.at.ToM)
		out.which = append(out.which, n.which...)
		out.fails, out.pull, out.hold = out.fails || n.fails, out.pull || n.pull, out.hold || n.hold
	}
	return out
}

// prefix is the best that is known for the first needs.
type prefix struct {
	unsolved int
	netS     float64 // time over driving those stretches alone
	castM    float64 // where the last helper is cast off
	last     *Assist
	tried    *Attempt
	before   int
}

// Plan looks for help for every finding that a helper could put right: the
// grouping of stretches into hook-ups that leaves the fewest without help and
// takes least time.
func (y *Yard) Plan(s *check.Situation, found []check.Finding) Plan {
	ns := needs(found)
	p := newPlanner(y, s)
	all := make([]prefix, len(ns)+1)
	for k := 1; k <= len(ns); k++ {
		all[k] = p.alone(all[k-1], ns[k-1], k-1)
		stuck := all[k].unsolved > all[k-1].unsolved // perhaps for want of room between the two
		for i := k - 2; i >= 0 && k-i <= mostJoined; i-- {
			if gap := ns[i+1].at.FromM - ns[i].at.ToM; gap > MergeM && !(stuck && i == k-2 && gap <= 2*LookM) {
				break
			}
			a, _ := p.solve(joined(ns[i:k]), all[i].castM)
			if a == nil {
				continue
			}
			if q := all[i].with(a, i); q.unsolved < all[k].unsolved || (q.unsolved == all[k].unsolved && q.netS < all[k].netS) {
				all[k] = q
			}
		}
	}
	return p.gather(all)
}

// alone is the prefix with one more need done by itself.
func (p *planner) alone(before prefix, n need, i int) prefix {
	a, near := p.solve(n, before.castM)
	if a != nil {
		return before.with(a, i)
	}
	return prefix{unsolved: before.unsolved + 1, netS: before.netS, castM: before.castM, tried: &near, before: i}
}

func (b prefix) with(a *Assist, i int) prefix {
	return prefix{unsolved: b.unsolved, netS: b.netS + a.TimeS - a.Over.LengthM()/AloneMS, castM: a.Over.ToM, last: a, before: i}
}

// gather reads the plan back from the last prefix.
func (p *planner) gather(all []prefix) (plan Plan) {
	for k := len(all) - 1; k > 0; k = all[k].before {
		switch q := &all[k]; {
		case q.last != nil:
			plan.Assists = append(plan.Assists, *q.last)
		case q.tried.Helper == "" && !q.tried.Fails:
			// nothing was tried, and the question stands
		default:
			plan.Tried = append(plan.Tried, *q.tried)
		}
	}
	slices.Reverse(plan.Assists)
	slices.Reverse(plan.Tried)
	plan.Tried = nobody(plan.Tried)
	for i := range plan.Assists {
		p.finish(&plan.Assists[i])
	}
	p.leapfrog(plan.Assists)
	for i := range plan.Tried {
		t := &plan.Tried[i]
		t.Would = p.would(need{at: t.Over, which: t.For, fails: t.Fails, pull: !t.Down, hold: t.Down})
		t.Unlocks = p.y.unlocks(t.Down)
	}
	return plan
}

// nobody joins neighbouring stretches that nobody at hand was even tried on.
func nobody(tried []Attempt) (out []Attempt) {
	for _, t := range tried {
		if k := len(out) - 1; k >= 0 && t.Helper == "" && out[k].Helper == "" && t.Down == out[k].Down && t.Over.FromM <= out[k].Over.ToM+MergeM {
			out[k].Over.ToM, out[k].Fails = max(out[k].Over.ToM, t.Over.ToM), out[k].Fails || t.Fails
			out[k].For = append(out[k].For, t.For...)
			continue
		}
		out = append(out, t)
	}
	return out
}
