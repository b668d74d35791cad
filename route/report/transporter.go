package report

import (
	"bufio"
	"fmt"
	"io"
	"math"

	"drawbar/route"
	"drawbar/route/check"
)

// Sheet is a transporter in figures, for the crew that must believe it.
type Sheet struct {
	Train    Train
	Kingpins []Load
	Axles    []AxleRow
	Gears    []GearRow
	Mastered []check.Mastered
	Tipping  *check.Tipping // nil when the file lacks a field for it
	Held     []check.Held
	Slopes   []check.Slope
	Loads    *Loads // nil for none
	Ask      []AskRow
	Assumed  []route.Assumption
}

// Load is a weight at a place.
type Load struct {
	Name string
	Kg   float64
}

// AxleRow is one axle: place behind the foremost one, static load, rating.
type AxleRow struct {
	SideKg      [2]float64 // left and right on the level; NaN where the file does not say enough
	Unit        string
	AtM         float64
	Kg, RatedKg float64
	Driven      bool
}

// GearRow is one gear of one engine.
type GearRow struct {
	Unit, Gear         string
	Ratio              float64
	LowKmh, HighKmh    float64 // at peak torque and at rated speed
	PeakN, ClutchStart float64 // newtons; ClutchStart NaN when not known
}

// AskRow says what a check needs.
type AskRow struct{ Check, Field string }

// Transporter writes the sheet, at most 80 columns.
func Transporter(w io.Writer, s *Sheet, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	c := s.Train
	t.wrap("", "  ", fmt.Sprintf("%s: level %s, %s gross on %d axles, %s", short(c.Name, nameWidth), c.Level,
		t.u.Format(check.Quantity{Value: c.GrossKg, SE: c.GrossSEKg, Unit: check.Kg}), c.Axles,
		t.sizes(&c)))
	for _, k := range s.Kingpins {
		t.wrap("  ", "    ", fmt.Sprintf("on the kingpin of %s: %s", short(k.Name, nameWidth), t.tonnes(k.Kg)))
	}
	t.axles(s.Axles)
	t.gears(s.Gears)
	t.mastered(s.Mastered)
	t.tipping(s.Tipping)
	t.held(s.Held)
	t.slopes(s.Slopes)
	t.loads(s.Loads)
	t.ask(s.Ask)
	t.assumed(s.Assumed)
	t.line("")
	t.wrap("", "", caution)
	return t.w.Flush()
}

func (t *text) tonnes(kg float64) string {
	if math.IsNaN(kg) {
		return "-"
	}
	return t.mass(kg) + " " + t.massUnit()
}

// mass is tonnes without its unit, for columns.
func (t *text) mass(kg float64) string {
	switch {
	case math.IsNaN(kg):
		return "-"
	case t.u == US:
		return plain(kg/shortKg, 2)
	}
	return plain(kg/1000, 2)
}

func (t *text) massUnit() string {
	if t.u == US {
		return "short tons"
	}
	return "t"
}

func (t *text) axles(rows []AxleRow) {
	t.line("")
	t.line("axle  behind first      load    rating  unit; masses in %s", t.massUnit())
	for i, a := range rows {
		mark := ""
		if a.Driven {
			mark = ", driven"
		}
		if left, right := a.SideKg[0], a.SideKg[1]; math.Abs(left-right) > 1 { // to the kilogram
			mark += fmt.Sprintf(", left %s right %s", t.mass(left), t.mass(right))
		}
		if a.Kg > a.RatedKg || 2*a.SideKg[0] > a.RatedKg || 2*a.SideKg[1] > a.RatedKg { // a side bears half of it
			mark += ", OVER ITS RATING"
		}
		t.line("%4d  %12s %9s %9s  %s%s", i+1, t.size(a.AtM), t.mass(a.Kg), t.mass(a.RatedKg), clean(short(a.Unit, 14)), mark)
	}
}

func (t *text) gears(rows []GearRow) {
	if len(rows) == 0 {
		return
	}
	t.line("")
	speed, force := "km/h", "kN"
	perSpeed, perForce := 1.0, 1000.0
	if t.u == US {
		speed, force, perSpeed, perForce = "mph", "klbf", mileM/1000, 1000*poundN
	}
	t.line("gear          ratio   %4s at peak torque - rated  %4s at peak %4s to start", speed, force, force)
	unit := ""
	for _, g := range rows {
		if g.Unit != unit {
			t.line("  %s", clean(short(g.Unit, nameWidth)))
			unit = g.Unit
		}
		start := "-"
		if !math.IsNaN(g.ClutchStart) {
			start = plain(g.ClutchStart/perForce, 1)
		}
		t.line("  %-10s %7.2f   %12.2f - %-12.2f %12.1f  %12s", clean(short(g.Gear, 10)), g.Ratio,
			g.LowKmh/perSpeed, g.HighKmh/perSpeed, g.PeakN/perForce, start)
	}
}

func (t *text) mastered(rows []check.Mastered) {
	t.line("")
	t.line("largest grade, %%     climbs: at design grip   surely    starts: design   surely")
	for _, m := range rows {
		star := " "
		if m.Unverified {
			star = "*"
		}
		t.line("%s %-16s %12s %-8s %11s %9s %-7s %7s", star, m.Surface, plain(100*m.Climb, 2), m.ClimbLimit,
			plain(100*max(m.ClimbPass, -1), 1), plain(100*m.Start, 2), m.StartedBy, plain(100*max(m.StartPass, -1), 1))
	}
	t.wrap("", "", "surely: still mastered when everything uncertain is at its 5 % end; a negative grade means it does not even move on the level; * rests on a value from memory, unverified")
}

func (t *text) tipping(p *check.Tipping) {
	if p == nil {
		return
	}
	t.line("")
	const deg = 180 / math.Pi
	line := fmt.Sprintf("on crossfall the %s tips first, at %s %% (%s deg)", short(p.Part, nameWidth), plain(100*p.Limit, 1), plain(math.Atan(p.Limit)*deg, 1))
	switch {
	case p.Sure > 0:
		line += fmt.Sprintf("; sure up to %s %% (%s deg)", plain(math.Floor(1000*p.Sure)/10, 1), plain(math.Floor(10*math.Atan(p.Sure)*deg)/10, 1))
	default:
		line += "; sure on no road"
	}
	if p.Unverified {
		line = "* " + line
	}
	t.wrap("", "  ", line)
}

func (t *text) ask(rows []AskRow) {
	t.line("")
	if len(rows) == 0 {
		t.line("the file has every field that a check of this program asks for")
		return
	}
	t.line("what one more field unlocks:")
	for _, a := range rows {
		t.wrap("  ", "      ", short(a.Field, nameWidth)+": "+short(a.Check, nameWidth))
	}
}
