package secondtow

import (
	"math"
	"slices"
	"sort"

	"drawbar/route"
	"drawbar/route/check"
)

// planner is a yard on one way.
type planner struct {
	y        *Yard
	s        *check.Situation
	on       map[*Hitch]*check.Situation
	by       map[*Helper]*check.Situation // helpers by themselves
	sets     map[string]*check.Setup      // the train on other ground or loaded otherwise
	coupledM float64                      // longest coupled train
}

func newPlanner(y *Yard, s *check.Situation) *planner {
	p := &planner{y: y, s: s, on: map[*Hitch]*check.Situation{}, by: map[*Helper]*check.Situation{}, sets: map[string]*check.Setup{}, coupledM: s.Train.LengthM}
	for i := range y.Helpers {
		p.coupledM = max(p.coupledM, y.Helpers[i].Coupled.Train.LengthM)
	}
	return p
}

// coupledOn is the coupled train on the way, made once; nil where it cannot be
// coupled.
func (p *planner) coupledOn(h *Hitch) *check.Situation {
	c, ok := p.on[h]
	if !ok {
		if h.Setup() != nil {
			c = h.Situation(p.s)
		}
		p.on[h] = c
	}
	return c
}

// by itself on the way, made once.
func (p *planner) solo(h *Helper) *check.Situation {
	c, ok := p.by[h]
	if !ok {
		c = check.NewSituation(h.driving, p.s.Way, p.s.Profile, p.s.Structures, p.s.Looked)
		p.by[h] = c
	}
	return c
}

// mostTries bounds how many pairs of places are checked for one hitch.
const mostTries = 40

// solve finds the quickest help for a need, hooked on not before a place. One
// helper is tried before two, and two only where none does alone or they might be
// quicker still. Without help it gives the attempt that came nearest.
func (p *planner) solve(n need, fromM float64) (*Assist, Attempt) {
	near := Attempt{Over: n.at, For: n.which, Fails: n.fails, Down: n.hold && !n.pull}
	hooks, casts := places(p.s, n.at, -1, fromM, p.coupledM, near.Down), places(p.s, n.at, +1, p.s.Way.LengthM(), p.coupledM, near.Down)
	if hooks[0].AtM < fromM {
		return nil, near
	}
	var best, asked *Assist
	var others []Option
	offer := func(a *Assist) {
		if best != nil && a.TimeS >= best.TimeS {
			others = append(others, a.option())
			return
		}
		if best != nil {
			others = append(others, best.option())
		}
		best = a
	}
	for _, h := range p.y.hitches() {
		if n.pull && !h.pushes() || n.hold && !h.holds() || p.coupledOn(h) == nil {
			continue
		}
		if two := len(h.Members) > 1; two && best != nil && best.TimeS <= p.least(h, n) {
			continue
		}
		a, stop := p.tow(h, n, hooks, casts)
		switch {
		case a != nil:
			offer(a)
		case stop != nil && (near.Helper == "" || stop.P > near.Why.P):
			near.Helper, near.Why = h.Name(), *stop
		}
	}
	if n.pull && !n.hold {
		var sure *Assist
		if sure, asked = p.winch(n, hooks, casts); sure != nil {
			offer(sure)
		}
	}
	if best == nil {
		best = asked
	}
	if best != nil {
		best.For, best.Others = n.which, others
	}
	return best, near
}

// least is a time that no plan with a hitch gets below.
func (p *planner) least(h *Hitch, n need) float64 {
	return float64(len(h.Members))*(HookS+CastS) + n.at.LengthM()*(WalkS+1/CoupledMS)
}

// pairOf is a place to hook on and one to cast off.
type pairOf struct{ hook, cast int }

// tow tries a hitch between the places that take least time first, and gives the
// plan that does; else what stopped the first try.
func (p *planner) tow(h *Hitch, n need, hooks, casts []Place) (*Assist, *check.Finding) {
	c := p.coupledOn(h)
	if n.hold && !c.BrakesSaid() {
		return nil, &check.Finding{Check: "descent", At: n.at, WorstM: n.at.FromM, P: 0, Outcome: check.NotLooked, Unit: check.Grade,
			Say: "which axles of train and helper are braked the files do not say"}
	}
	perM := WalkS + 1/paceMS(c, n.at, h.AheadM, n.hold && !n.pull)
	q := newQueue(hooks, casts, perM, p.s.Way.LengthM())
	var first *check.Finding
	for range mostTries {
		at, timeS, ok := q.next()
		if !ok {
			break
		}
		hook, cast := &hooks[at.hook], &casts[at.cast]
		over := route.Stretch{FromM: hook.AtM, ToM: cast.AtM}
		found, start := p.coupled(h, over)
		a := &Assist{Helper: h.Name(), Members: h.Members, Holding: n.hold, Over: over, Findings: found, hitch: h,
			HookStartP: hook.StartP, CastStartP: cast.StartP, PairStartP: start,
			TimeS: timeS + float64(len(h.Members))*(HookS+CastS), Hooks: best(hooks, at.hook), Casts: best(casts, at.cast)}
		stop := worst(found, n.hold)
		if stop == nil {
			if stop = a.stranded(q.atEnd(cast)); stop == nil {
				return a, nil
			}
			if !(start >= check.PassAt) {
				q.noHook[at.hook] = true
			} else {
				q.noCast[at.cast] = true
			}
		} else {
			q.block(stop, h.AheadM)
		}
		q.done[at] = true
		if first == nil {
			first = stop
		}
	}
	return nil, first
}

// queue gives pairs of places in order of time, leaving out those that a try has
// shown to fail.
type queue struct {
	hooks, casts   []Place
	perM, endM     float64
	noHook, noCast map[int]bool
	done           map[pairOf]bool
	in             []float64 // places of the train's foremost axle that stop it
	over           []route.Stretch
	aheadM         float64
}

func newQueue(hooks, casts []Place, perM, endM float64) *queue {
	return &queue{hooks: hooks, casts: casts, perM: perM, endM: endM, noHook: map[int]bool{}, noCast: map[int]bool{}, done: map[pairOf]bool{}}
}

func (q *queue) atEnd(p *Place) bool { return p.AtM >= q.endM-1e-6 }

// block leaves out every pair between which a finding lies.
func (q *queue) block(f *check.Finding, aheadM float64) {
	q.aheadM = aheadM
	if ofTrain(f) {
		q.in = append(q.in, f.WorstM)
		return
	}
	q.over = append(q.over, f.At)
}

// doubt ranks a pair behind all that are sure.
func (q *queue) doubt(p *Place) float64 {
	if p.sure() {
		return 0
	}
	d := doubtS * (2 - p.StartP)
	if p.OnStructure || math.IsNaN(d) {
		d = 3 * doubtS
	}
	return d
}

func (q *queue) next() (at pairOf, timeS float64, ok bool) {
	least := math.Inf(1)
	for i := range q.hooks {
		if q.noHook[i] {
			continue
		}
		for k := range q.casts {
			if q.noCast[k] || q.done[pairOf{i, k}] || q.blocked(q.hooks[i].AtM, q.casts[k].AtM) {
				continue
			}
			h, c := &q.hooks[i], &q.casts[k]
			t := (c.AtM-h.AtM)*q.perM + h.MoreS + c.MoreS
			doubt := q.doubt(h)
			if !q.atEnd(c) {
				doubt += q.doubt(c)
			}
			if t+doubt < least {
				least, at, timeS, ok = t+doubt, pairOf{i, k}, t, true
			}
		}
	}
	return at, timeS, ok
}

func (q *queue) blocked(from, to float64) bool {
	for _, x := range q.in {
		if x >= from && x <= to {
			return true
		}
	}
	w := route.Stretch{FromM: from + q.aheadM, ToM: to + q.aheadM}
	for _, o := range q.over {
		if o.Overlaps(w) {
			return true
		}
	}
	return false
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

// coupled makes every check for the coupled train from hook-on to cast-off, and
// gives P(it starts where it is hooked on).
func (p *planner) coupled(h *Hitch, over route.Stretch) (found []check.Finding, startP float64) {
	c := *p.coupledOn(h)
	c.Window = route.Stretch{
		FromM: min(over.FromM+h.AheadM, c.Way.LengthM()),
		ToM:   min(over.ToM+h.AheadM, c.Way.LengthM()),
	}
	var k check.Sink
	check.Run(&c, &k)
	for _, f := range k.Findings {
		if !f.Standing {
			found = append(found, seenFromTrain(f, h.AheadM))
		}
	}
	at := sort.SearchFloat64s(c.Profile.ChainageM, c.Window.FromM-1e-6)
	return found, c.StartChance(min(at, len(c.Profile.ChainageM)-1))
}

// ofTrain reports a finding whose places are those of the foremost axle; the
// others lie on the way: a bridge, a bend.
func ofTrain(f *check.Finding) bool {
	return f.Check == "climb" || f.Check == "start" || f.Check == "uplift" || f.Check == "descent" || f.Check == "hold"
}

// seenFromTrain moves a finding whose places are those of the foremost axle of all
// to the train's.
func seenFromTrain(f check.Finding, aheadM float64) check.Finding {
	if !ofTrain(&f) {
		return f
	}
	back := func(s float64) float64 { return max(s-aheadM, 0) }
	f.At, f.WorstM = route.Stretch{FromM: back(f.At.FromM), ToM: back(f.At.ToM)}, back(f.WorstM)
	f.Q = slices.Clone(f.Q)
	for i := range f.Q {
		if f.Q[i].Unit == check.Chain {
			f.Q[i].Value = back(f.Q[i].Value)
		}
	}
	return f
}

// worst is the finding that stops the coupled train, nil if none: what fails, and
// what is not sure of what the help is for. Open questions stop nothing: most
// stand in the solo findings too, and the verdict shows the others.
func worst(found []check.Finding, hold bool) *check.Finding {
	var w *check.Finding
	for i := range found {
		f := &found[i]
		meant := f.Remedy == check.Pull || hold && f.Remedy == check.HoldBack
		if f.Outcome == check.Fail || (meant && f.Outcome == check.Undecided) {
			if w == nil || f.Outcome > w.Outcome || (f.Outcome == w.Outcome && f.P < w.P) {
				w = f
			}
		}
	}
	return w
}
