package secondtow

import (
	"fmt"
	"math"
	"sort"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// shock is the factor on the steady pull of the whole train for a bar that
// must hold when the tractor loses its grip. From memory, unverified.
const shock = 1.5

// slackN is a force that a bar still passes on without a jerk, newtons. Choice.
const slackN = 5e3

// BarLoad is what a bar carries along a coupled stretch, each unit on its own grade
// and ground, the pull shared as each has it at hand; going down each holds back by
// its own mass.
type BarLoad struct {
	Helper   string  // on it, the one farther from the train
	MostN    float64 // largest tension, 0 where it is never pulled
	MostAtM  float64 // chainage of the train's foremost axle
	PushN    float64 // largest push, 0 where it is never pushed
	PushAtM  float64
	Slack    []float64 // where pull turns to push, or push to pull
	OwnN     float64   // most that the helpers beyond it can pull, or push, by themselves
	OwnAtM   float64
	RatedN   float64 // pull that bar and couplings are rated for, NaN when not known
	MayPushN float64 // push that they are rated for, 0 when they are not

	behind, rope bool
	lastSign     float64
}

// body is one of the coupled trains by itself.
type body struct {
	s   *check.Situation
	atM float64 // its foremost axle ahead of the train's
}

// stand is a body at one place of the way.
type stand struct {
	traction.Body
	haveN, brakesN float64 // pull and brakes at hand
}

// at is the body with the train's foremost axle at a place; false without height.
func (b *body) at(x float64) (out stand, ok bool) {
	c, g := b.s.Profile.ChainageM, b.s.TrainGrade.Value
	x = math.Max(0, math.Min(x+b.atM, c[len(c)-1]))
	k := min(max(sort.SearchFloat64s(c, x), 1), len(c)-1)
	t := (x - c[k-1]) / (c[k] - c[k-1])
	grade := g[k-1] + t*(g[k]-g[k-1])
	if math.IsNaN(grade) {
		return out, false
	}
	if t < 0.5 {
		k--
	}
	mu, roll := b.s.GripAt(k), b.s.RollAt(k)
	out.Body = traction.Body{MassKg: b.s.Train.GrossKg, GradeRatio: grade, Roll: roll}
	out.haveN = traction.AtHand(b.s.Train, grade, mu, roll)
	if grade < 0 {
		out.brakesN = traction.BrakesAtHand(b.s.Train, -grade, mu, roll)
	}
	return out, true
}

// bodies are helpers and train, front to rear, and which of them is the train.
func (p *planner) bodies(h *Hitch) (out []body, train int) {
	for _, m := range h.Members {
		if m.Behind {
			continue
		}
		out = append(out, body{p.solo(m.helper), m.atM})
	}
	train = len(out)
	out = append(out, body{p.s, 0})
	for _, m := range h.Members {
		if m.Behind {
			out = append(out, body{p.solo(m.helper), m.atM})
		}
	}
	return out, train
}

// barLoads follows the forces on the bars along a stretch.
func (p *planner) barLoads(h *Hitch, over route.Stretch) []BarLoad {
	bodies, train := p.bodies(h)
	loads := h.barsOf()
	now := make([]stand, len(bodies))
	for _, x := range p.s.Profile.ChainageM {
		if x < over.FromM || x > over.ToM {
			continue
		}
		known := true
		for j := range bodies {
			b, ok := bodies[j].at(x)
			now[j], known = b, known && ok
		}
		if !known {
			continue
		}
		for k, n := range traction.BarForces(shared(now, train)) {
			loads[k].take(x, n)
			loads[k].own(x, now, k)
		}
	}
	return loads
}

// shared sets the pulls: of what moves all of them, in the ratio of what each has
// at hand; of what holds them back, by their masses, and what the train's brakes
// do not manage falls to the others.
func shared(now []stand, train int) []traction.Body {
	need, hand, mass := 0.0, 0.0, 0.0
	for j := range now {
		need, hand, mass = need+now[j].ResistN(), hand+now[j].haveN, mass+now[j].MassKg
	}
	out := make([]traction.Body, len(now))
	over := 0.0
	if need < 0 && now[train].GradeRatio < 0 {
		over = math.Max(0, -need*now[train].MassKg/mass-now[train].brakesN)
	}
	for j := range now {
		out[j] = now[j].Body
		switch {
		case need > 0 && hand > 0:
			out[j].PullN = need * now[j].haveN / hand
		case j == train:
			out[j].PullN = need*now[j].MassKg/mass + over
		default:
			out[j].PullN = need*now[j].MassKg/mass - over*now[j].MassKg/(mass-now[train].MassKg)
		}
	}
	return out
}

func (b *BarLoad) take(x, n float64) {
	if n > b.MostN {
		b.MostN, b.MostAtM = n, x
	}
	if -n > b.PushN {
		b.PushN, b.PushAtM = -n, x
	}
	sign := 0.0
	switch {
	case n > slackN:
		sign = 1
	case n < -slackN:
		sign = -1
	}
	if sign != 0 {
		if b.lastSign != 0 && sign != b.lastSign {
			b.Slack = append(b.Slack, x)
		}
		b.lastSign = sign
	}
}

// own is what the helpers beyond the bar can give by themselves, the train giving
// nothing: past a crest they still pull while the train hangs on the climb.
func (b *BarLoad) own(x float64, now []stand, bar int) {
	n := 0.0
	for j := range now {
		if (j <= bar) != b.behind {
			n += now[j].haveN - now[j].ResistN()
		}
	}
	if n > b.OwnN {
		b.OwnN, b.OwnAtM = n, x
	}
}

// barsOf are the bars of a hitch, front to rear, with what is known of them.
func (h *Hitch) barsOf() []BarLoad {
	out := make([]BarLoad, len(h.Members))
	for k := range out {
		m := &h.Members[k]
		b := &out[k]
		b.Helper, b.behind, b.rope, b.RatedN = m.Helper, m.Behind, m.helper.bar.Rope, m.helper.BarRatedN
		j := vehicle.JointOf(m.helper.machine, m.helper.train)
		if m.Behind {
			if j = vehicle.JointOf(m.helper.train, m.helper.machine); !(b.RatedN < j.HoldN) {
				b.RatedN = j.HoldN
			}
		}
		if j.PushN > 0 && !b.rope {
			b.MayPushN = j.PushN
		}
	}
	return out
}

// barFindings compares every bar with what it must hold: when the tractor loses
// its grip on the steepest place and the helper holds all, and when the helper
// gives all it has; and says where it goes slack.
func (p *planner) barFindings(a *Assist) (out []check.Finding) {
	need, at := steepestPull(p.s, a.Over)
	for i := range a.Bars {
		b := &a.Bars[i]
		switch {
		case b.behind && a.Holding:
			out = append(out, b.held(a.Over, p.steepestPush(a.Over)))
		case b.behind:
			out = append(out, b.pushed(a.Over)...)
		default:
			out = append(out, b.pulled(a.Over, need, at)...)
		}
		out = append(out, b.slack(a.Over, a.Holding)...)
	}
	return out
}

func (b *BarLoad) quantities(needN, holdN float64) []check.Quantity {
	return []check.Quantity{{Name: "need", Value: holdN, Unit: check.Newton}, {Name: "pull", Value: needN, Unit: check.Newton},
		{Name: "rated", Value: b.RatedN, Unit: check.Newton}, {Name: "own", Value: b.OwnN, Unit: check.Newton}, {Name: "ownat", Value: b.OwnAtM, Unit: check.Chain},
		{Name: "helper", Text: b.Helper, Unit: check.Literal}, {Name: "push", Value: b.PushN, Unit: check.Newton}, {Name: "pushat", Value: b.PushAtM, Unit: check.Chain},
		{Name: "may", Value: b.MayPushN, Unit: check.Newton}}
}

func (b *BarLoad) pulled(over route.Stretch, needN, atM float64) []check.Finding {
	hold := math.Max(shock*needN, b.OwnN)
	f := check.Finding{Check: "bar", At: over, WorstM: atM, Demand: hold, Capacity: b.RatedN, P: math.NaN(), Unit: check.Newton,
		Rests: []string{"bar.shock"}, Unverified: true, Q: b.quantities(needN, hold)}
	switch {
	case math.IsNaN(b.RatedN):
		f.Outcome = check.NotLooked
		f.Say = "the rating of bar and couplings is not known; if the tractor loses grip the bar takes {pull}; all that {helper} can pull on it by itself is {own}"
		f.Close = "look up bar and couplings, give --bar-rating: passes if rated for {need} or more"
	case b.RatedN < shock*needN:
		f.Outcome = check.Caution
		f.Say = "bar and couplings are rated {rated}; if the tractor loses grip the bar takes {pull}, with a jerk {need}"
		f.Do = "pull off gently, nobody near the bar; stop at the first sign of slip"
	case b.RatedN < b.OwnN:
		f.Outcome = check.Caution
		f.Say = "bar and couplings are rated {rated}; {helper} by itself can pull {own} on it, at {ownat}"
		f.Do = "do not pull with all it has while the train does not move"
	default:
		return nil
	}
	return []check.Finding{f}
}

// pushed is a bar behind: it carries no more than it is rated for only as long as
// the helper gives no more.
func (b *BarLoad) pushed(over route.Stretch) []check.Finding {
	if b.MayPushN == 0 || b.OwnN <= b.MayPushN {
		return nil
	}
	f := check.Finding{Check: "bar", At: over, WorstM: b.OwnAtM, Demand: b.OwnN, Capacity: b.MayPushN, P: math.NaN(), Unit: check.Newton, Outcome: check.Caution, Q: b.quantities(0, b.OwnN),
		Say: "the couplings may be pushed with {may}; {helper} can push with {own}",
		Do:  "push no harder than {may}: in a gear and at a throttle tried before against a gauge, or a lighter helper"}
	return []check.Finding{f}
}

// held is a bar behind on the way down.
func (b *BarLoad) held(over route.Stretch, pushN float64) check.Finding {
	f := check.Finding{Check: "bar", At: over, WorstM: over.FromM, Demand: pushN, Capacity: b.RatedN, P: math.NaN(), Unit: check.Newton, Outcome: check.Caution, Q: append(b.quantities(pushN, pushN), check.Quantity{Name: "most", Value: b.MostN, Unit: check.Newton}),
		Say: "the couplings may be held back with {rated}: {most} hangs on them with the train's own brakes at work, {pull} without",
		Do:  "the train brakes first and all it can, {helper} holds back no harder than {rated}; nobody behind or between"}
	if pushN <= b.RatedN {
		f.Do = "the train brakes first, {helper} holds the bar taut; nobody behind or between"
	}
	return f
}

// steepestPush is what the train runs off with on the steepest place going down.
func (p *planner) steepestPush(over route.Stretch) (n float64) {
	for i, x := range p.s.Profile.ChainageM {
		if g := p.s.TrainGrade.Value[i]; x >= over.FromM && x <= over.ToM && g < 0 {
			n = math.Max(n, traction.PushN(p.s.Train.GrossKg, -g, p.s.RollAt(i)))
		}
	}
	return n
}

// slack says where the bar turns from pull to push.
func (b *BarLoad) slack(over route.Stretch, holding bool) []check.Finding {
	if len(b.Slack) == 0 {
		return nil
	}
	f := check.Finding{Check: "bar", At: over, WorstM: b.Slack[0], Demand: b.PushN, Capacity: b.MayPushN, P: math.NaN(), Unit: check.Newton, Outcome: check.Caution, Q: b.quantities(0, b.PushN),
		Say: "with each doing its share, the bar to {helper} goes slack and jerks at {slack}{more}; it is pushed with up to {push} at {pushat}",
		Do:  "keep {helper} pulling there, change no gear, nobody near the bar"}
	switch {
	case holding:
		f.Do = "keep {helper} holding back until all of it is off the slope; nobody near the bar"
	case b.behind:
		f.Do = "keep {helper} pushing there, change no gear, nobody near the bar"
	}
	if b.rope {
		f.Do = "a rope or chain cannot be pushed: keep it taut with the train's brake there, or the train runs up on {helper}; nobody near it"
	}
	f.Q = append(f.Q, check.Quantity{Name: "slack", Value: b.Slack[0], Unit: check.Chain}, check.Quantity{Name: "more", Text: more(len(b.Slack)), Unit: check.Literal})
	return []check.Finding{f}
}

// more says how many other places there are.
func more(n int) string {
	if n < 2 {
		return ""
	}
	if n == 2 {
		return " and one more place"
	}
	return fmt.Sprintf(" and %d more places", n-1)
}
