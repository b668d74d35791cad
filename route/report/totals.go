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
	Rests      []jRest `json:"rests"`
	Why        string  `json:"not_made,omitempty"`
}

func jsonTrip(t *check.Trip) *jTrip {
	if t == nil {
		return nil
	}
	out := &jTrip{metres(t.LengthM), num{t.TimeS, 1}, num{t.FuelL, 2}, num{t.SlowestMS, 3}, metres(t.SlowestAtM), nil, metres(t.StallAtM), metres(t.LevelM), t.Helped, metres(t.WinchedM), []jRest{}, t.Why}
	if t.Stall != "" {
		out.Stall = &t.Stall
	}
	if t.Why != "" {
		out.LengthM.v, out.TimeS.v, out.FuelL.v = math.NaN(), math.NaN(), math.NaN()
	}
	return out
}

// jsonTripOf is the trip of a result with its rests.
func jsonTripOf(r *verdict.Result) *jTrip {
	out := jsonTrip(r.Trip)
	if out == nil {
		return nil
	}
	out.Rests = jsonRests(r)
	return out
}

func jsonRests(r *verdict.Result) []jRest {
	out := []jRest{}
	for _, x := range r.Rests {
		out = append(out, jRest{metres(x.AtM), metres(x.DueM), num{x.DueS, 1}, num{x.StartP, 4}})
	}
	return out
}

type jRest struct {
	AtM    num `json:"at_m"`
	DueM   num `json:"due_at_m"`
	DueS   num `json:"due_after_s"`
	Starts num `json:"starts_again"`
}

// totals is time and fuel in a line, and the halts to look at the load, where
// somebody asked.
func (t *text) totals(r *verdict.Result) {
	if r.Trip != nil {
		t.estimate(r.Trip)
	}
	for _, r := range r.Rests {
		where := "no sure place to stop on the way there"
		if !math.IsNaN(r.AtM) {
			where = fmt.Sprintf("stop at %s (starts again: %s)", t.u.Chainage(r.AtM), percent(r.StartP))
		}
		t.wrap("  look at lashings, tyres and brakes: ", "    ", fmt.Sprintf("%s, due after %s at %s", where, t.u.duration(r.DueS), t.u.Chainage(r.DueM)))
	}
}

func (t *text) estimate(trip *check.Trip) {
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
