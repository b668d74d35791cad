package secondtow

import (
	"fmt"
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/pull"
	"drawbar/vehicle/traction"
)

// Bar defaults, choices: a stiff towing bar from jaw to jaw.
const (
	barLengthM = 3.0
	barHeightM = 0.9
)

// NewHelper couples a helper ahead of a train once. A zero length or height of
// the bar takes a default, listed; a zero rating is not known, listed too.
func NewHelper(helper, train *vehicle.Combination, bar vehicle.Bar, set check.Settings) (Helper, error) {
	h := Helper{Name: helper.Name}
	assume := func(key string, v float64, unit, source string) {
		h.Assumed = append(h.Assumed, route.Assumption{Key: key, Value: v, Unit: unit, Source: source, Standing: "choice"})
	}
	if bar.LengthM == 0 {
		bar.LengthM = barLengthM
		assume("bar.length_m", barLengthM, "m", "stiff towing bar")
	}
	if bar.HeightM == 0 {
		bar.HeightM = helper.Units[len(helper.Units)-1].HitchHM
		if math.IsNaN(bar.HeightM) || bar.HeightM <= 0 {
			bar.HeightM = barHeightM
			assume("bar.height_m", barHeightM, "m", "towing jaw of a heavy tractor")
		}
	}
	c, err := vehicle.Couple(helper, train, bar)
	if err != nil {
		return h, fmt.Errorf("couple %s to %s: %w", helper.Name, train.Name, err)
	}
	if h.Coupled, err = check.NewSetup(c, set); err != nil {
		return h, err
	}
	if h.hoist, err = hoistOf(helper, set); err != nil {
		return h, err
	}
	if h.hoist != nil {
		h.Assumed = append(h.Assumed,
			route.Assumption{Key: "winch.tackle", Value: pull.TackleShare, Unit: "1", Source: "resistance added for each sheave, share of the load", Standing: "read"},
			route.Assumption{Key: "winch.keep_turns", Value: pull.KeepTurns, Unit: "turns", Source: "stay on the drum", Standing: "memory"},
			route.Assumption{Key: "winch.design_factor", Value: pull.DesignFactor, Unit: "1", Source: "breaking force of the rope over its pull: 3.5 by one maker's text, 3 to 4 in practice", Standing: "memory"})
	}
	h.AheadM = c.Axles[len(helper.Axles)].AtM
	h.BarRatedN = bar.RatedN
	if !(h.BarRatedN > 0) {
		h.BarRatedN = math.NaN()
	}
	h.Assumed = append(h.Assumed, route.Assumption{Key: "bar.shock", Value: shock, Unit: "1",
		Source: "load on a bar when the train behind loses its grip, over the steady pull: 1.5 to 2", Standing: "memory"})
	return h, nil
}

// Helper is the helper of a name, nil for none.
func (y *Yard) Helper(name string) *Helper {
	if y == nil {
		return nil
	}
	for i := range y.Helpers {
		if y.Helpers[i].Name == name {
			return &y.Helpers[i]
		}
	}
	return nil
}

// Situation puts the coupled pair on the way of the train alone.
func (h *Helper) Situation(s *check.Situation) *check.Situation {
	return check.NewSituation(h.Coupled, s.Way, s.Profile, s.Structures, s.Looked).Knowing(s.Answers, s.Today)
}

// shock is the factor on the steady pull of the whole train for a bar that
// must hold when the tractor loses its grip. From memory, unverified.
const shock = 1.5

// bar compares the rating of bar and couplings with what they carry when the
// tractor loses its grip on the steepest place and the helper holds all.
func (h *Helper) bar(s *check.Situation, over route.Stretch) []check.Finding {
	need, at := 0.0, over.FromM
	for i, c := range s.Profile.ChainageM {
		if c < over.FromM || c > over.ToM || math.IsNaN(s.TrainGrade.Value[i]) {
			continue
		}
		if n := traction.PullNeeded(s.Train, s.TrainGrade.Value[i], s.RollAt(i)).SumN; n > need {
			need, at = n, c
		}
	}
	f := check.Finding{Check: "bar", At: over, WorstM: at, Demand: shock * need, Capacity: h.BarRatedN, P: math.NaN(), Unit: check.Newton,
		Rests: []string{"bar.shock"}, Unverified: true,
		Q: []check.Quantity{{Name: "need", Value: shock * need, Unit: check.Newton}, {Name: "pull", Value: need, Unit: check.Newton},
			{Name: "rated", Value: h.BarRatedN, Unit: check.Newton}}}
	switch {
	case math.IsNaN(h.BarRatedN):
		f.Outcome = check.NotLooked
		f.Say = "the rating of bar and couplings is not known; if the tractor loses grip the bar takes {pull}"
		f.Close = "look up bar and couplings, give --bar-rating: passes if rated for {need} or more"
	case h.BarRatedN < shock*need:
		f.Outcome = check.Caution
		f.Say = "bar and couplings are rated {rated}; if the tractor loses grip the bar takes {pull}, with a jerk {need}"
		f.Do = "pull off gently, nobody near the bar; stop at the first sign of slip"
	default:
		return nil
	}
	return []check.Finding{f}
}
