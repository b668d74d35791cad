package secondtow

import (
	"fmt"
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/pull"
)

// Bar defaults, choices: a stiff towing bar from jaw to jaw.
const (
	barLengthM = 3.0
	barHeightM = 0.9
)

// Helper is a unit at hand, coupled ahead of the train once.
type Helper struct {
	Name    string
	Coupled *check.Setup // the helper on the bar ahead of the train
	// AheadM is how far the helper's foremost axle stands before the train's.
	AheadM float64
	// BarRatedN is the rating of bar and couplings, NaN when not known.
	BarRatedN float64
	Assumed   []route.Assumption

	machine, train *vehicle.Combination
	bar            vehicle.Bar
	set            check.Settings
	solo           *check.Setup // by itself
	driving        *check.Setup // of that as much as is asked for
	hoist          *hoist       // its winch, nil without one
}

// NewHelper couples a helper ahead of a train once. A zero length or height of
// the bar takes a default, listed; a zero rating is not known, listed too.
func NewHelper(helper, train *vehicle.Combination, bar vehicle.Bar, set check.Settings) (Helper, error) {
	h := Helper{Name: helper.Name, machine: helper, train: train, set: set}
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
	h.bar = bar
	c, err := vehicle.Couple(helper, train, bar)
	if err != nil {
		return h, fmt.Errorf("couple %s to %s: %w", helper.Name, train.Name, err)
	}
	if h.Coupled, err = check.NewSetup(c, set); err != nil {
		return h, err
	}
	if h.solo, err = check.NewSetup(helper, set); err != nil {
		return h, err
	}
	h.driving = h.solo.Narrowed(false)
	if h.hoist = hoistOf(helper, h.solo); h.hoist != nil {
		h.driving = h.solo // it parks too
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
