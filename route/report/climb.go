package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
)

// ClimbSheet is one climb on one screen, for a crew that stands before it.
type ClimbSheet struct {
	Train        Train
	Way          string  // id of the route, empty for a hill on the spot
	FromM, ToM   float64 // on it; of a hill 0 and its length
	Hill, HillSE float64 // grade of a hill on the spot and its standard error
	Verdict      verdict.Verdict
	NotCovered   []string        // checks that this data cannot answer
	Findings     []check.Finding // that speak of it, the deciding one first
	Climb, Start check.Strength
	Heat         *check.StartHeat // of starts on it; nil where it does not start
	Down         *ClimbDown       // the same grade going down; nil where it is level
	Measures     []secondtow.Measure
	Grounds      []check.Mastered // what it masters on other ground in this weather
	Assumed      []route.Assumption
}

// ClimbDown is what holds the train on the hill.
type ClimbDown struct {
	check.Held
	GradeRatio float64 // of the hill, positive
	SpeedMS    float64 // fastest that engine and retarder hold on it; 0 when none
	Gear       string
}

// climbCaution stands under every such screen.
const climbCaution = "The officer in charge, licensed practice and local rules decide. Nobody between coupled units, beside them, or in the " +
	"line of rope and bar. Never hold a load on the clutch. If it stalls: brakes on, wheels chocked, people away, then think."

// Climb writes the sheet, at most 80 columns.
func Climb(w io.Writer, s *ClimbSheet, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	t.memory = fromMemory(s.Assumed)
	t.wrap("", "  ", fmt.Sprintf("%s, %s, on %s: %s", short(s.Train.Name, nameWidth),
		u.Format(check.Quantity{Value: s.Train.GrossKg, SE: s.Train.GrossSEKg, Unit: check.Kg}), s.ground(), t.hill(s)))
	t.wrap("", "  ", t.climbHeadline(s))
	t.line("")
	if s.Climb.Grade >= 0 {
		t.pulls(&s.Climb)
		t.limits(s)
		t.heat(s.Heat)
	}
	t.down(s.Down)
	t.besides(s)
	t.measures(s)
	t.grounds(s)
	if keys := t.unverified(&check.Finding{Rests: s.Climb.Rests}); len(keys) > 0 {
		t.wrap("", "  ", "rests on unverified values: "+strings.Join(keys, ", "))
	}
	t.wrap("", "  ", "values taken because no input gave them: drawbar transporter FILE lists them")
	t.line("")
	t.wrap("", "", climbCaution)
	return t.w.Flush()
}

// ground is what the figures are for.
func (s *ClimbSheet) ground() string {
	if s.Climb.Known {
		return s.Climb.Surface
	}
	return s.Climb.Surface + ", the worst it may be"
}

// hill says which climb it is.
func (t *text) hill(s *ClimbSheet) string {
	if s.Way == "" {
		at := fmt.Sprintf("%s at %s", t.size(s.ToM), t.u.Format(check.Quantity{Value: s.Hill, SE: s.HillSE, Unit: check.Grade}))
		if math.Abs(s.Climb.Grade-s.Hill) > 0.0005 {
			at += fmt.Sprintf(", shorter than the train: %s under it", t.u.Format(check.Quantity{Value: s.Climb.Grade, SE: s.Climb.GradeSE, Unit: check.Grade}))
		}
		return at
	}
	return fmt.Sprintf("%s from %s to %s", short(s.Way, nameWidth), t.u.Chainage(s.FromM), t.u.Chainage(s.ToM))
}

// climbHeadline says the verdict and both chances.
func (t *text) climbHeadline(s *ClimbSheet) string {
	line := heading(s.Verdict) + ": going down"
	if s.Climb.Grade >= 0 {
		line = fmt.Sprintf("%s: climbs with a chance of %s, starts again on it with %s", heading(s.Verdict), percent(s.Climb.P), percent(s.Start.P))
	}
	if len(s.NotCovered) > 0 {
		line += "; for you to check: " + strings.Join(s.NotCovered, ", ")
	}
	return line
}

// besides are the findings that the figures above do not say: where not to stop,
// what lifts, where the height is not known.
func (t *text) besides(s *ClimbSheet) {
	for i := range s.Findings {
		f := &s.Findings[i]
		if f.Check == "climb" && f.Outcome == check.Caution || strings.Contains(f.Say, "; a run would") || strings.Contains(f.Say, "; no run") {
			t.finding(f) // a run at it
			continue
		}
		if f.Check == "climb" || (f.Check == "start" && s.Climb.Outcome != check.Pass) {
			continue
		}
		t.finding(f)
	}
}

// pulls are the forces on the grade.
func (t *text) pulls(c *check.Strength) {
	n := func(v float64) string { return t.u.Format(check.Quantity{Value: v, Unit: check.Newton}) }
	t.wrap("pull needed   ", "              ", fmt.Sprintf("%s: grade %s, rolling %s", n(c.NeedN), signed(t.u, c.GradeN), n(c.RollN)))
	what := map[string]string{"grip": "the grip decides", "effort": "the engine decides", "bar": "the bar decides", "lift": "the " + c.Limit.Lifts + " lifts first"}[c.Limit.Decides]
	gear := ""
	if c.Limit.Gear != "" {
		gear = " in " + c.Limit.Gear
	}
	t.wrap("there is      ", "              ", fmt.Sprintf("%s, %s: grip %s, engine%s %s", n(c.HaveN), what, n(c.GripN), gear, n(c.EffortN)))
	if c.MissingN > 0 {
		t.wrap("wanted        ", "              ", n(c.MissingN)+" more at a bar")
	}
}

// signed prints a force that may be negative, going down.
func signed(u Units, n float64) string {
	if n < 0 {
		return "-" + u.Format(check.Quantity{Value: -n, Unit: check.Newton})
	}
	return u.Format(check.Quantity{Value: n, Unit: check.Newton})
}

// down is what holds the train going down the hill and parked on it.
func (t *text) down(d *ClimbDown) {
	if d == nil {
		return
	}
	g := func(v float64) string {
		if math.IsNaN(v) {
			return "unknown"
		}
		return t.u.Format(check.Quantity{Value: max(v, 0), Unit: check.AtMost})
	}
	line := fmt.Sprintf("engine and retarder surely hold %s, with all brakes %s", g(d.DownPass), g(d.BrakesPass))
	if d.SpeedMS > 0 && d.DownPass >= d.GradeRatio {
		line += fmt.Sprintf("; this grade at up to %s in %s", t.u.speed(d.SpeedMS), d.Gear)
	}
	t.wrap("coming down   ", "              ", line)
	by := ""
	if d.ParkForceUncounted {
		by = ", by grip alone: the brake's own force is not in the file"
	}
	t.wrap("parked        ", "              ", fmt.Sprintf("surely holds %s nose up, %s nose down%s", g(d.ParkUp), g(d.ParkDown), by))
}

// limits are the largest grades and the reading that would decide.
func (t *text) limits(s *ClimbSheet) {
	g := func(v float64) string { return t.u.Format(check.Quantity{Value: v, Unit: check.AtMost}) }
	t.wrap("climbs        ", "              ", fmt.Sprintf("up to %s at the usual grip, surely up to %s", g(s.Climb.Design), g(s.Climb.Pass)))
	t.wrap("starts again  ", "              ", fmt.Sprintf("up to %s, surely up to %s", g(s.Start.Design), g(s.Start.Pass)))
	reading := fmt.Sprintf("a reading of at most %s under the whole train makes it sure; from %s on it surely fails", g(s.Climb.Pass), t.u.Format(check.Quantity{Value: s.Climb.Fail, Unit: check.Grade}))
	if s.Climb.Pass <= 0 {
		reading = "no reading of the grade makes it sure on this ground"
	}
	t.wrap("the grade     ", "              ", fmt.Sprintf("%s; %s", t.u.Format(check.Quantity{Value: s.Climb.Grade, SE: s.Climb.GradeSE, Unit: check.Grade}), reading))
	if len(s.Climb.Decides) > 0 {
		var parts []string
		for _, d := range s.Climb.Decides {
			parts = append(parts, d.Name+" "+percent(d.Value))
		}
		t.wrap("doubt is from ", "              ", strings.Join(parts, ", "))
	}
}

// heat is what starts on the hill put into clutch or converter.
func (t *text) heat(h *check.StartHeat) {
	if h == nil {
		return
	}
	j := func(v float64) string { return t.u.Format(check.Quantity{Value: v, Unit: check.Joule}) }
	line := fmt.Sprintf("%s to %s of heat in the %s of %s, %d in succession up to %s", j(h.LowJ), j(h.HighJ), h.What, h.Unit, h.Starts, j(h.KeptJ))
	if math.IsInf(h.HighJ, 1) {
		line = fmt.Sprintf("%s of heat in the %s of %s, and it may slip without end", j(h.LowJ), h.What, h.Unit)
	}
	switch {
	case math.IsNaN(h.LimitJ):
		line += "; what it takes the file does not say (power.slip_limit_kj)"
	case h.Fit >= h.Starts:
		line += fmt.Sprintf("; it takes %s", j(h.LimitJ))
	case h.Fit == 0:
		line += fmt.Sprintf("; it takes %s: one start may be too much", j(h.LimitJ))
	default:
		line += fmt.Sprintf("; it takes %s: no more than %d, then let it cool", j(h.LimitJ), h.Fit)
	}
	if h.StallW > 0 {
		line += fmt.Sprintf("; held at stall %s of heat", t.u.Format(check.Quantity{Value: h.StallW, Unit: check.Watt}))
	}
	t.wrap("each start    ", "              ", line)
}

// measures is the table of what was tried.
func (t *text) measures(s *ClimbSheet) {
	if len(s.Measures) == 0 {
		return
	}
	t.line("")
	t.line("%-44s %9s %9s %13s", "what could change it", "climbs", "starts", "sure up to")
	for i := range s.Measures {
		m := &s.Measures[i]
		sure := "unknown"
		if !math.IsNaN(m.Sure) {
			sure = t.u.Format(check.Quantity{Value: m.Sure, Unit: check.AtMost})
		}
		lines := folded(clean(t.fill(m.Say, m.Q)), 42)
		t.line("  %-42s %9s %9s %13s", lines[0], percent(m.ClimbP), percent(m.StartP), sure)
		for _, l := range lines[1:] {
			t.line("    %s", l)
		}
	}
}

// folded breaks words into lines of at most n runes; a longer word stands alone,
// cut.
func folded(s string, n int) (lines []string) {
	line := ""
	for _, w := range glued(strings.Fields(s)) {
		w = short(w, n)
		if line != "" && len([]rune(line))+1+len([]rune(w)) > n {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(lines, line)
}

// grounds are the grades it surely masters on other ground.
func (t *text) grounds(s *ClimbSheet) {
	var parts []string
	for _, m := range s.Grounds {
		star := ""
		if m.Unverified {
			star = "*"
		}
		if m.ClimbPass <= 0 {
			parts = append(parts, m.Surface+star+" none")
			continue
		}
		parts = append(parts, m.Surface+star+" "+t.u.Format(check.Quantity{Value: m.ClimbPass, Unit: check.AtMost}))
	}
	if len(parts) > 0 {
		t.line("")
		t.wrap("surely climbs ", "              ", strings.Join(parts, ", ")+" (* rests on a value from memory)")
	}
}
