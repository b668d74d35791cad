package secondtow

import (
	"math"

	"drawbar/route"
	"drawbar/route/check"
)

// PushRadiusM: an articulated train is pushed only where the way bends no tighter.
// Choice; the practice to push on straight stretches only is from memory.
const PushRadiusM = 150.0

// bendBaseM is the length over which the turn of the line is taken.
const bendBaseM = 20.0

// pushing are the cautions of a helper that pushes from behind.
func (p *planner) pushing(a *Assist) []check.Finding {
	last := &a.Members[len(a.Members)-1]
	if !last.Behind || a.Holding || !a.hitch.pushes() || len(p.s.Train.Units) < 2 {
		return nil
	}
	b := &a.Bars[len(a.Bars)-1]
	q := b.quantities(0, b.PushN)
	out := []check.Finding{{Check: "push", At: a.Over, WorstM: b.PushAtM, Demand: b.PushN, Capacity: b.MayPushN, P: math.NaN(), Unit: check.Newton, Outcome: check.Caution, Q: q,
		Rests: []string{"secondtow.push_radius_m"}, Unverified: true,
		Say: "{helper} pushes an articulated train with up to {push}: where it does not stand straight the push folds it",
		Do:  "push only where train and helper stand straight; the tractor pulls first and all it can, the helper follows by radio; stop at once if a unit leaves the line"}}
	reach := route.Stretch{FromM: max(a.Over.FromM-p.coupledM, 0), ToM: a.Over.ToM}
	if r, at := tightest(p.s.Way, reach); r < PushRadiusM {
		out = append(out, check.Finding{Check: "push", At: route.Stretch{FromM: max(at-bendBaseM, a.Over.FromM), ToM: min(max(at, a.Over.FromM)+bendBaseM, a.Over.ToM)}, WorstM: at,
			Demand: r, Capacity: PushRadiusM, P: math.NaN(), Unit: check.Metre, Outcome: check.NotLooked, Rests: []string{"secondtow.push_radius_m"}, Unverified: true,
			Q:     []check.Quantity{{Name: "radius", Value: r, Unit: check.Metre}, {Name: "at", Value: at, Unit: check.Chain}, {Name: "least", Value: PushRadiusM, Unit: check.Metre}},
			Say:   "a bend of {radius} at {at}, where the train would be pushed: there the push may fold it",
			Close: "walk the bend: passes where the helper need not push in it, or where it is no tighter than {least}"})
	}
	return out
}

// tightest is the least radius of the line over a stretch, taken over bendBaseM of
// it, and where; +Inf on a straight.
func tightest(a *route.Alignment, over route.Stretch) (radiusM, atM float64) {
	radiusM, atM = math.Inf(1), over.FromM
	c := a.ChainageM
	for i, j := 0, 0; i < len(c); i++ {
		if c[i] < over.FromM || c[i] > over.ToM {
			continue
		}
		for c[i]-c[j] > bendBaseM {
			j++
		}
		turn := 0.0
		for k := j; k <= i; k++ {
			turn += a.TurnRad[k]
		}
		// Each vertex turns half the edges beside it; a corner between long ones is
		// rounded as a train's driver would.
		base := (c[min(i+1, len(c)-1)] + c[i] - c[j] - c[max(j-1, 0)]) / 2
		if base > 2*bendBaseM {
			base = bendBaseM
		}
		if r := base / math.Abs(turn); r < radiusM {
			radiusM, atM = r, c[i]
		}
	}
	return radiusM, atM
}
