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

// at is the body with the train's foremost axle at a place; false without height.
func (b *body) at(x float64) (out traction.Body, haveN float64, ok bool) {
	c, g := b.s.Profile.ChainageM, b.s.TrainGrade.Value
	x = math.Max(0, math.Min(x+b.atM, c[len(c)-1]))
	k := min(max(sort.SearchFloat64s(c, x), 1), len(c)-1)
	t := (x - c[k-1]) / (c[k] - c[k-1])
	grade := g[k-1] + t*(g[k]-g[k-1])
	if math.IsNaN(grade) {
		return out, 0, false
	}
	if t < 0.5 {
		k--
	}
	out = traction.Body{MassKg: b.s.Train.GrossKg, GradeRatio: grade, Roll: b.s.RollAt(k)}
	return out, traction.AtHand(b.s.Train, grade, b.s.GripAt(k), out.Roll), true
}

// bodies are helpers and train, front to rear.
func (p *planner) bodies(h *Hitch) (out []body) {
	for _, m := range h.Members {
		if m.Behind {
			continue
		}
		out = append(out, body{p.solo(m.helper), m.atM})
	}
	out = append(out, body{p.s, 0})
	for _, m := range h.Members {
		if m.Behind {
			out = append(out, body{p.solo(m.helper), m.atM})
		}
	}
	return out
}

// barLoads follows the forces on the bars along a stretch.
func (p *planner) barLoads(h *Hitch, over route.Stretch) []BarLoad {
	bodies := p.bodies(h)
	loads := h.barsOf()
	now, have := make([]traction.Body, len(bodies)), make([]float64, len(bodies))
	for _, x := range p.s.Profile.ChainageM {
		if x < over.FromM || x > over.ToM {
			continue
		}
		known := true
		for j := range bodies {
			b, n, ok := bodies[j].at(x)
			now[j], have[j], known = b, n, known && ok
		}
		if !known {
			continue
		}
		share(now, have)
		for k, n := range traction.BarForces(now) {
			loads[k].take(x, n)
			loads[k].own(x, now, have, k)
		}
	}
	return loads
}

// share sets the pulls: of what moves all of them, in the ratio of what each has at
// hand; of what holds them back, by their masses.
func share(now []traction.Body, have []float64) {
	need, hand, mass := 0.0, 0.0, 0.0
	for j := range now {
		need, hand, mass = need+now[j].ResistN(), hand+have[j], mass+now[j].MassKg
	}
	for j := range now {
		if now[j].PullN = need * now[j].MassKg / mass; need > 0 && hand > 0 {
			now[j].PullN = need * have[j] / hand
		}
	}
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
func (b *BarLoad) own(x float64, now []traction.Body, have []float64, bar int) {
	n := 0.0
	for j := range now {
		if (j <= bar) != b.behind {
			n += have[j] - now[j].ResistN()
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
		if b.behind {
			out = append(out, b.pushed(a.Over)...)
		} else {
			out = append(out, b.pulled(a.Over, need, at)...)
		}
		out = append(out, b.slack(a.Over)...)
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

// slack says where the bar turns from pull to push.
func (b *BarLoad) slack(over route.Stretch) []check.Finding {
	if len(b.Slack) == 0 {
		return nil
	}
	f := check.Finding{Check: "bar", At: over, WorstM: b.Slack[0], Demand: b.PushN, Capacity: b.MayPushN, P: math.NaN(), Unit: check.Newton, Outcome: check.Caution, Q: b.quantities(0, b.PushN),
		Say: "as both pull, the bar to {helper} goes slack and jerks at {slack}{more}; it is pushed with up to {push} at {pushat}",
		Do:  "keep {helper} pulling there, change no gear, nobody near the bar"}
	if b.behind {
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
	return fmt.Sprintf(" and %d more places", n-1)
}
