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
	t.wrap("", "  ", fmt.Sprintf("%s: level %s, %s gross on %d axles, %s long, %s wide, %s high", c.Name, c.Level,
		t.u.Format(check.Quantity{Value: c.GrossKg, SE: c.GrossSEKg, Unit: check.Kg}), c.Axles,
		t.size(c.LengthM), t.size(c.WidthM), t.size(c.HeightM)))
	for _, k := range s.Kingpins {
		t.line("  on the kingpin of %s: %s", k.Name, t.tonnes(k.Kg))
	}
	t.axles(s.Axles)
	t.gears(s.Gears)
	t.mastered(s.Mastered)
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
	if t.u == US {
		return fmt.Sprintf("%.2f short tons", kg/shortKg)
	}
	return fmt.Sprintf("%.2f t", kg/1000)
}

func (t *text) axles(rows []AxleRow) {
	t.line("")
	t.line("axle  behind the first       load     rating  unit")
	for i, a := range rows {
		mark := ""
		if a.Driven {
			mark = ", driven"
		}
		over := ""
		if a.Kg > a.RatedKg {
			over = "  OVER ITS RATING"
		}
		t.line("%4d  %16s %10s %10s  %s%s%s", i+1, t.size(a.AtM), t.tonnes(a.Kg), t.tonnes(a.RatedKg), clean(short(a.Unit, 18)), mark, over)
	}
}

func (t *text) gears(rows []GearRow) {
	if len(rows) == 0 {
		return
	}
	t.line("")
	t.line("gear          ratio   km/h at peak torque - rated    kN at peak   kN to start")
	unit := ""
	for _, g := range rows {
		if g.Unit != unit {
			t.line("  %s", clean(short(g.Unit, 60)))
			unit = g.Unit
		}
		start := "-"
		if !math.IsNaN(g.ClutchStart) {
			start = fmt.Sprintf("%.1f", g.ClutchStart/1000)
		}
		t.line("  %-10s %7.2f   %12.2f - %-12.2f %12.1f  %12s", short(g.Gear, 10), g.Ratio, g.LowKmh, g.HighKmh, g.PeakN/1000, start)
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
		t.line("%s %-16s %12.2f %-8s %11.1f %9.2f %-7s %7.1f", star, m.Surface, 100*m.Climb, m.ClimbLimit,
			100*max(m.ClimbPass, -1), 100*m.Start, m.StartedBy, 100*max(m.StartPass, -1))
	}
	t.wrap("", "", "surely: still mastered when everything uncertain is at its 5 % end; a negative grade means it does not even move on the level; * rests on a value from memory, unverified")
}

func (t *text) ask(rows []AskRow) {
	t.line("")
	if len(rows) == 0 {
		t.line("the file has every field that a check of this program asks for")
		return
	}
	t.line("what one more field unlocks:")
	for _, a := range rows {
		t.wrap("  ", "      ", a.Field+": "+a.Check)
	}
}
