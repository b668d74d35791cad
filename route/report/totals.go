package report

import (
	"fmt"
	"math"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// jTrip is time and fuel of a route.
type jTrip struct {
	LengthM    num     `json:"length_m"`
	TimeS      num     `json:"time_s"`
	FuelL      num     `json:"fuel_l"`
	SlowestMS  num     `json:"slowest_ms"`
	SlowestAtM num     `json:"slowest_at_m"`
	Stall      *string `json:"stands_still_for"`
	StallAtM   num     `json:"stands_still_at_m"`
	LevelM     num     `json:"taken_as_level_m"`
	Helped     bool    `json:"with_helper"`
	WinchedM   num     `json:"winched_m"`
	Why        string  `json:"not_made,omitempty"`
}

func jsonTrip(t *check.Trip) *jTrip {
	if t == nil {
		return nil
	}
	out := &jTrip{metres(t.LengthM), num{t.TimeS, 1}, num{t.FuelL, 2}, num{t.SlowestMS, 3}, metres(t.SlowestAtM), nil, metres(t.StallAtM), metres(t.LevelM), t.Helped, metres(t.WinchedM), t.Why}
	if t.Stall != "" {
		out.Stall = &t.Stall
	}
	if t.Why != "" {
		out.LengthM.v, out.TimeS.v, out.FuelL.v = math.NaN(), math.NaN(), math.NaN()
	}
	return out
}

// totals is time and fuel in a line, where somebody asked.
func (t *text) totals(r *verdict.Result) {
	trip := r.Trip
	if trip == nil {
		return
	}
	line := fmt.Sprintf("driving %s or more, fuel about %s", t.u.duration(trip.TimeS), t.u.volume(trip.FuelL))
	switch {
	case trip.Why != "":
		line = "no driving time: " + short(trip.Why, sayingWidth)
	case trip.Stall != "":
		line = fmt.Sprintf("stands still at %s for want of %s, after %s and %s",
			t.u.Chainage(trip.StallAtM), trip.Stall, t.u.duration(trip.TimeS), t.u.volume(trip.FuelL))
	case !math.IsNaN(trip.SlowestMS):
		line += fmt.Sprintf(", slowest %s at %s", t.u.speed(trip.SlowestMS), t.u.Chainage(trip.SlowestAtM))
	}
	if trip.Helped {
		line += "; with the helper, coupling not counted"
	}
	if trip.WinchedM > 0 {
		line += fmt.Sprintf("; winching over %s not counted", t.size(trip.WinchedM))
	}
	if trip.LevelM > 0 {
		line += fmt.Sprintf("; %s without height taken as level", t.size(trip.LevelM))
	}
	t.wrap("  estimate: ", "    ", line)
}

// duration prints a time to the minute, to a tenth below ten minutes; rounded
// up: it is a least one.
func (u Units) duration(s float64) string {
	switch minutes := s / 60; {
	case minutes < 10:
		return upTo(minutes, 1) + " min"
	case minutes < 60:
		return upTo(minutes, 0) + " min"
	default:
		whole := math.Ceil(minutes - 1e-9)
		return fmt.Sprintf("%.0f h %02.0f min", math.Floor(whole/60), math.Mod(whole, 60))
	}
}

// volume prints fuel, rounded up: it must suffice.
func (u Units) volume(l float64) string {
	const gallonL = 3.785411784 // exact
	unit := " l"
	if u == US {
		l, unit = l/gallonL, " gal"
	}
	if l < 10 {
		return upTo(l, 1) + unit
	}
	return upTo(l, 0) + unit
}

// speed prints km/h or mile/h to a tenth.
func (u Units) speed(ms float64) string {
	if u == US {
		return plain(ms*3600/mileM, 1) + " mile/h"
	}
	return plain(3.6*ms, 1) + " km/h"
}
