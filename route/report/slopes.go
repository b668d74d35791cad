package report

import (
	"math"

	"drawbar/route/check"
)

// held prints what keeps the train from rolling off, by surface.
func (t *text) held(rows []check.Held) {
	if len(rows) == 0 {
		return
	}
	t.line("")
	t.line("held on grade, %%     engine, retarder  surely  all brakes  parked: nose up  down")
	grip := false
	for _, h := range rows {
		star := " "
		if h.DownUnverified {
			star = "*"
		}
		grip = grip || (h.ParkForceUncounted && !math.IsNaN(h.ParkUp))
		t.line("%s %-16s %10s %-6s %7s %11s %16s %5s", star, h.Surface, t.slope(h.Down, 2), h.DownBy,
			t.slope(h.DownPass, 1), t.slope(h.BrakesPass, 1), t.slope(h.ParkUp, 1), t.slope(h.ParkDown, 1))
	}
	note := "engine, retarder: going down at crawl in the lowest gear, at design values, then surely; all brakes: their grip, surely, whatever their heat; parked: surely in 99 of 100"
	if grip {
		note += ", by grip alone: the file does not give the force of the parking brake"
	}
	t.wrap("", "", note)
}

// slope is a grade in %, 0 where the train does not even hold itself.
func (t *text) slope(g float64, digits int) string {
	if math.IsNaN(g) {
		return "-"
	}
	return plain(100*max(g, 0), digits)
}

// slopes prints a descent by grade: what pushes, and how fast it may go.
func (t *text) slopes(rows []check.Slope) {
	if len(rows) == 0 {
		return
	}
	speed, force, perSpeed, perForce := "km/h", "kN", 1/3.6, 1000.0
	if t.u == US {
		speed, force, perSpeed, perForce = "mph", "klbf", mileM/3600, 1000*poundN
	}
	t.line("")
	const columns = "%6s %7s %8s  %-10s %12s %8s %6s %10s"
	t.line(columns, "firm", "pushes", "held to", "in gear", "grip: going", "parked", "", "a start")
	t.line(columns, "road %", force, speed, "", "down", "nose up", "down", "up, MJ")
	for _, r := range rows {
		pace, gear := "-", "-"
		if r.SpeedMS > 0 {
			pace, gear = downTo(r.SpeedMS/perSpeed, 1), clean(short(r.Gear, 10))
		}
		t.line(columns, plain(100*r.GradeRatio, 0), plain(r.PushN/perForce, 1), pace, gear,
			share2(r.DownUse), share2(r.ParkUpUse), share2(r.ParkDownUse), megajoules(r.StartJ))
	}
	t.wrap("", "", "held to: fastest that engine and retarder hold without the brakes; grip: what the driven and what the parked wheels need; a start up: heat in clutch or converter, one start from rest")
}

// share2 is a coefficient, rounded up: it is a need.
func share2(v float64) string {
	switch {
	case math.IsNaN(v):
		return "-"
	case math.IsInf(v, 0) || v > 9:
		return "over 9"
	}
	return upTo(max(v, 0), 2)
}

func megajoules(j float64) string {
	if math.IsNaN(j) {
		return "-"
	}
	return upTo(j/1e6, 2)
}
