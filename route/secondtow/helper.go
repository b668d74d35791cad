package secondtow

import (
	"fmt"
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
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
	h.AheadM = c.Axles[len(helper.Axles)].AtM
	if bar.RatedN == 0 || math.IsNaN(bar.RatedN) {
		assume("bar.rated_kn", math.Inf(1), "kN", "no rating given: bar and couplings are NOT checked, look up their rating")
	}
	return h, nil
}
