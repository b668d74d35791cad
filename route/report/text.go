package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/verdict"
)

// lineWidth is the width of a terminal the text is laid out for.
const lineWidth = 80

// caution stands under every text report.
const caution = "These are figures, not a permission. Local codes, makers' manuals, the owners of roads and bridges, " +
	"and qualified engineers decide; a bridge is rated by an engineer, not by this program. " +
	"Keep people clear of ropes, bars and the downhill side; send a guide ahead on foot where the report says look."

// word is a verdict as a heading.
var heading = map[verdict.Verdict]string{
	verdict.Go: "GO", verdict.Caution: "GO WITH CARE", verdict.Unknown: "NOT KNOWN YET",
	verdict.SecondTow: "SECOND TOW", verdict.Detour: "DETOUR",
}

// Text writes the report for people, at most 80 columns wide.
func Text(w io.Writer, run *Run, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	t.train(run)
	t.shared = sharedStanding(run, u)
	for i := range run.Records {
		t.record(&run.Records[i])
	}
	t.everywhere(run)
	t.assumed(run.Assumed())
	t.line("")
	t.wrap("", "", caution)
	return t.w.Flush()
}

type text struct {
	w      *bufio.Writer
	u      Units
	shared map[string]bool // standing matters that hold for every route
}

func (t *text) line(format string, args ...any) {
	fmt.Fprintf(t.w, strings.TrimRight(format, " ")+"\n", args...)
}

// wrap writes words with a first and a hanging indent.
func (t *text) wrap(first, rest, words string) {
	line := first
	empty := true
	for _, word := range strings.Fields(words) {
		if !empty && len([]rune(line))+1+len([]rune(word)) > lineWidth {
			t.w.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	t.w.WriteString(strings.TrimRight(line, " ") + "\n")
}

func (t *text) train(run *Run) {
	c := run.Train
	helpers := "no helper at hand"
	if len(c.Helpers) > 0 {
		helpers = "helpers at hand: " + strings.Join(c.Helpers, ", ")
	}
	t.wrap("", "  ", fmt.Sprintf("%s: %s gross on %d axles, %s long, %s wide, %s high; %s", c.Name,
		t.u.Format(check.Quantity{Value: c.GrossKg, SE: c.GrossSEKg, Unit: check.Kg}), c.Axles,
		t.size(c.LengthM), t.size(c.WidthM), t.size(c.HeightM), helpers))
	for _, s := range run.Sources {
		t.wrap("", "  ", fmt.Sprintf("%s: kind of surface: %s; cell %s; heights in %s; vertical datum: %s; standard error %s",
			s.Name, s.Kind, t.size(s.CellM), s.Unit, s.Datum, t.size(s.SEM)))
	}
}

func (t *text) size(m float64) string { return t.u.Format(check.Quantity{Value: m, Unit: check.Metre}) }

func (t *text) record(rec *Record) {
	t.line("")
	if rec.Err != nil {
		t.wrap("", "  ", clean(rec.ID)+": NOT JUDGED: "+rec.Err.Error())
		return
	}
	r := rec.Result
	t.wrap("", "  ", clean(short(r.Way.Route.ID, 40))+backwards(r)+": "+t.headline(r))
	t.ends(r)
	t.segments(r)
	t.assists(r)
	t.standing(r)
}

func backwards(r *verdict.Result) string {
	if r.Way.Reversed {
		return " (end to start)"
	}
	return ""
}

// headline says the verdict, where, what is open and what is not covered.
func (t *text) headline(r *verdict.Result) string {
	s := heading[r.Verdict]
	if at := worstPlace(r); at != nil {
		s += " at " + t.u.Chainage(at.At.FromM)
	}
	open, standing := r.Open()
	s += "; " + t.openOnes(r, open)
	var names []string
	for _, i := range standing {
		if n := r.Findings[i].Check; !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	if len(names) > 0 {
		s += "; not covered: " + strings.Join(names, ", ")
	}
	return s
}

// openOnes names the first open questions and counts the rest.
func (t *text) openOnes(r *verdict.Result, open []int) string {
	if len(open) == 0 {
		return "nothing open"
	}
	const most = 3
	var at []string
	for _, i := range open[:min(len(open), most)] {
		f := &r.Findings[i]
		at = append(at, f.Check+" at "+t.u.Chainage(f.At.FromM))
	}
	s := "open: " + strings.Join(at, ", ")
	if n := len(open) - most; n > 0 {
		s += fmt.Sprintf(" and %d more", n)
	}
	return s
}

// worstPlace is the first segment with the route's verdict, nil for go.
func worstPlace(r *verdict.Result) *verdict.Segment {
	if r.Verdict == verdict.Go {
		return nil
	}
	for i := range r.Segments {
		if r.Segments[i].Verdict == r.Verdict {
			return &r.Segments[i]
		}
	}
	return nil
}

// ends is the heading of a route: start, end, heights, direction.
func (t *text) ends(r *verdict.Result) {
	n := len(r.Way.Line) - 1
	z := r.Profile.ZM
	dir := "in the order of the file"
	if r.Way.Reversed {
		dir = "against the order of the file"
	}
	t.wrap("  ", "  ", fmt.Sprintf("%s from %s at %s to %s at %s, %s; %s of the length decided",
		t.u.Chainage(r.Way.LengthM()), place(r.Way.Line[0]), t.u.Height(z[0]),
		place(r.Way.Line[n]), t.u.Height(z[len(z)-1]), dir, percent(r.DecidedShare)))
}

// place prints a coordinate to about a metre.
func place(p [2]float64) string {
	ns, ew := "N", "E"
	lon, lat := math.Mod(p[0]+540, 360)-180, p[1]
	if lat < 0 {
		ns, lat = "S", -lat
	}
	if lon < 0 {
		ew, lon = "W", -lon
	}
	return fmt.Sprintf("%.5f %s %.5f %s", lat, ns, lon, ew)
}

// segments is the table: from, to, verdict, and under it what decides.
func (t *text) segments(r *verdict.Result) {
	said := map[int]bool{}
	for i := range r.Segments {
		s := &r.Segments[i]
		mark := ""
		if s.Unknown && s.Verdict != verdict.Unknown {
			mark = ", and a question"
		}
		t.line("  %s - %s  %s%s", t.u.Chainage(s.At.FromM), t.u.Chainage(s.At.ToM), s.Verdict, mark)
		for _, f := range s.Findings {
			if !said[f] {
				said[f] = true
				t.finding(&r.Findings[f])
			}
		}
	}
}

// finding is one sentence with its margin, what decides, what to do.
func (t *text) finding(f *check.Finding) {
	const first, rest = "      ", "        "
	t.wrap(first, rest, f.Check+": "+t.u.Sentence(f)+t.where(f))
	if !math.IsNaN(f.P) {
		t.wrap(rest, rest, t.margin(f))
	}
	if f.Do != "" && (f.Outcome == check.Fail || f.Outcome == check.Caution) {
		t.wrap(rest, rest, "do: "+t.u.Fill(f.Do, f.Q))
	}
	if f.Close != "" && (f.Outcome == check.Undecided || f.Outcome == check.NotLooked) {
		t.wrap(rest, rest, "to know: "+t.u.Fill(f.Close, f.Q))
	}
	if len(f.Rests) > 0 && f.Unverified {
		t.wrap(rest, rest, "rests on unverified values: "+strings.Join(f.Rests, ", "))
	}
}

func (t *text) where(f *check.Finding) string {
	if f.At.LengthM() < 1 {
		return ""
	}
	return ", worst at " + t.u.Chainage(f.WorstM)
}

// margin says how far capacity is from demand, how sure, and by what.
func (t *text) margin(f *check.Finding) string {
	s := "margin " + t.u.Format(check.Quantity{Value: f.Capacity - f.Demand, SE: f.SE, Unit: f.Unit}) +
		", chance to pass " + percent(f.P)
	if math.IsInf(f.Demand, 1) {
		s = "no margin: chance to pass " + percent(f.P)
	}
	if len(f.Decides) > 0 && f.Outcome != check.Caution {
		var parts []string
		for _, d := range f.Decides {
			parts = append(parts, d.Name+" "+percent(d.Value))
		}
		s += "; uncertain by " + strings.Join(parts, ", ")
	}
	return s
}

func (t *text) assists(r *verdict.Result) {
	for _, a := range r.Plan.Assists {
		t.wrap("  ", "    ", fmt.Sprintf("second tow by %s: hook on at %s (alone it starts there: %s), cast off at %s (%s)",
			a.Helper, t.u.Chainage(a.Over.FromM), percent(a.HookStartP), t.u.Chainage(a.Over.ToM), percent(a.CastStartP)))
		if len(a.Findings) == 0 {
			t.wrap("    ", "    ", "coupled, every check made again passes from hook-on to cast-off")
		}
		for i := range a.Findings {
			t.wrap("    ", "      ", "coupled: "+a.Findings[i].Check+": "+t.u.Sentence(&a.Findings[i]))
		}
	}
	for _, a := range r.Plan.Tried {
		if a.Helper == "" {
			t.wrap("  ", "    ", fmt.Sprintf("no helper at hand for %s - %s", t.u.Chainage(a.Over.FromM), t.u.Chainage(a.Over.ToM)))
			continue
		}
		t.wrap("  ", "    ", fmt.Sprintf("no helper at hand suffices for %s - %s; nearest is %s: %s", t.u.Chainage(a.Over.FromM),
			t.u.Chainage(a.Over.ToM), a.Helper, t.u.Sentence(&a.Why)))
	}
}

// standing are the matters this data cannot answer anywhere on the route.
func (t *text) standing(r *verdict.Result) {
	_, standing := r.Open()
	for _, i := range standing {
		if line := standingLine(&r.Findings[i], t.u); !t.shared[line] {
			t.wrap("  not covered: ", "    ", line)
		}
	}
}

// everywhere lists the matters that no route could answer, once.
func (t *text) everywhere(run *Run) {
	if len(t.shared) == 0 {
		return
	}
	t.line("")
	t.line("not covered on any route:")
	for _, rec := range run.Records {
		if rec.Result == nil {
			continue
		}
		_, standing := rec.Result.Open()
		for _, i := range standing {
			if line := standingLine(&rec.Result.Findings[i], t.u); t.shared[line] {
				t.wrap("  ", "    ", line)
			}
		}
		return
	}
}

func standingLine(f *check.Finding, u Units) string {
	return f.Check + ": " + u.Sentence(f) + "; " + u.Fill(f.Close, f.Q)
}

// sharedStanding are the standing lines that every judged route has.
func sharedStanding(run *Run, u Units) map[string]bool {
	count, judged := map[string]int{}, 0
	for _, rec := range run.Records {
		if rec.Result == nil {
			continue
		}
		judged++
		_, standing := rec.Result.Open()
		for _, i := range standing {
			count[standingLine(&rec.Result.Findings[i], u)]++
		}
	}
	out := map[string]bool{}
	for line, n := range count {
		if n == judged {
			out[line] = true
		}
	}
	return out
}

// assumed lists every value taken because no input gave it.
func (t *text) assumed(list []route.Assumption) {
	if len(list) == 0 {
		return
	}
	t.line("")
	t.line("taken because no input gave it (* from memory, unverified):")
	for _, a := range list {
		star := " "
		if a.Standing == "memory" {
			star = "*"
		}
		unit := a.Unit
		if unit != "" && unit != "1" {
			unit = " " + unit
		} else {
			unit = ""
		}
		value := fmt.Sprintf(" = %.4g%s", a.Value, unit)
		if math.IsInf(a.Value, 0) {
			value = ""
		}
		t.wrap("  "+star, "      ", fmt.Sprintf("%s%s: %s (%s)", a.Key, value, a.Source, a.Standing))
	}
}

// short cuts a name for a table.
func short(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "~"
	}
	return s
}

// clean takes control characters out of what came from a file.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0x7f || (r >= 0x80 && r < 0xa0) {
			return '?'
		}
		return r
	}, s)
}
