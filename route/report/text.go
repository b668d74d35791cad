package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// lineWidth is the width of a terminal the text is laid out for.
const lineWidth = 80

// caution stands under every text report.
const caution = "These are figures, not a permission. Local codes, makers' manuals, the owners of roads and bridges, " +
	"and qualified engineers decide; a bridge is rated by an engineer, not by this program. " +
	"Keep people clear of ropes, bars and the downhill side; send a guide ahead on foot where the report says look."

// heading is a verdict as the first word of a route.
func heading(v verdict.Verdict) string {
	if v == verdict.Go {
		return "GO on what was checked"
	}
	return strings.ToUpper(v.String())
}

// Text writes the report for people, at most 80 columns wide.
func Text(w io.Writer, run *Run, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	t.train(run)
	t.shared = t.sharedStanding(run)
	t.overview(run)
	assumed := run.Assumed()
	t.memory = fromMemory(assumed)
	for i := range run.Records {
		t.record(&run.Records[i])
	}
	t.everywhere(run)
	t.idle(run)
	t.assumed(assumed)
	t.line("")
	t.wrap("", "", caution)
	return t.w.Flush()
}

type text struct {
	w      *bufio.Writer
	u      Units
	shared map[string]bool // standing matters that hold for every route
	// toldTurns: that no ways are known to turn round in has been said.
	toldTurns bool
	memory    map[string]bool // keys of assumptions from memory
	many      bool            // bridges not rated are one list
}

func (t *text) line(format string, args ...any) {
	fmt.Fprintf(t.w, strings.TrimRight(format, " ")+"\n", args...)
}

// wrap writes words with a first and a hanging indent. What came from a file is
// cleaned, and a word longer than a line is cut into lines.
func (t *text) wrap(first, rest, words string) {
	line, width := first, columnsOf([]rune(first))
	empty := true
	next := func() {
		t.w.WriteString(strings.TrimRight(line, " ") + "\n")
		line, width, empty = rest, columnsOf([]rune(rest)), true
	}
	for _, word := range glued(strings.Fields(words)) {
		runes := []rune(clean(word))
		if !empty && width+1+columnsOf(runes) > lineWidth {
			next()
		}
		if !empty {
			line, width = line+" ", width+1
		}
		for columnsOf(runes) > lineWidth-width {
			n := fitting(runes, lineWidth-width)
			line += string(runes[:n])
			runes = runes[n:]
			next()
		}
		line, width, empty = line+string(runes), width+columnsOf(runes), false
	}
	t.w.WriteString(strings.TrimRight(line, " ") + "\n")
}

func (t *text) train(run *Run) {
	c := run.Train
	helpers := "no helper at hand"
	if len(c.Helpers) > 0 {
		helpers = "helpers at hand: " + strings.Join(shortened(c.Helpers), ", ")
	}
	t.wrap("", "  ", fmt.Sprintf("%s: %s gross on %d axles, %s; ground taken as %s; %s", short(c.Name, nameWidth),
		t.u.Format(check.Quantity{Value: c.GrossKg, SE: c.GrossSEKg, Unit: check.Kg}), c.Axles,
		t.sizes(&c), c.Weather, helpers))
	for _, s := range run.Sources {
		t.wrap("", "  ", fmt.Sprintf("%s: kind of surface: %s; cell %s; heights in %s; vertical datum: %s; standard error %s",
			short(s.Name, nameWidth), s.Kind, t.size(s.CellM), s.Unit, short(s.Datum, nameWidth), t.size(s.SEM)))
	}
}

func (t *text) size(m float64) string { return t.u.Format(check.Quantity{Value: m, Unit: check.Metre}) }

func (t *text) record(rec *Record) {
	t.line("")
	if rec.Err != nil {
		t.wrap("", "  ", short(rec.ID, nameWidth)+": NOT JUDGED: "+short(rec.Err.Error(), sayingWidth))
		return
	}
	r := rec.Result
	t.wrap("", "  ", short(r.Way.Route.ID, nameWidth)+backwards(r)+": "+t.headline(r))
	t.ends(r)
	t.looked(r)
	t.classed(r)
	t.joint(r)
	t.totals(r)
	t.assists(r)
	t.many = len(ranked(r)) > 1
	t.bridges(r)
	t.segments(r)
	t.passed(r)
	t.measured(r)
	t.answers(r)
	t.standing(r)
}

func backwards(r *verdict.Result) string {
	if r.Way.Reversed {
		return " (end to start)"
	}
	return ""
}

// ends is the heading of a route: start, end, heights, direction.
func (t *text) ends(r *verdict.Result) {
	n := len(r.Way.Line) - 1
	z := r.Profile.ZM
	dir := "in the order of the file"
	if r.Way.Reversed {
		dir = "against the order of the file"
	}
	t.wrap("  ", "  ", fmt.Sprintf("%s from %s at %s to %s at %s, %s; no open question on %s of the length",
		t.u.Chainage(r.Way.LengthM()), place(r.Way.Line[0]), t.u.Height(z[0]),
		place(r.Way.Line[n]), t.u.Height(z[len(z)-1]), dir, percent(r.DecidedShare)))
}

// joint is the chance to climb the whole way alone, where that is in doubt.
func (t *text) joint(r *verdict.Result) {
	if len(r.Joint.Places) == 0 {
		return
	}
	var at []string
	for _, p := range r.Joint.Places {
		at = append(at, fmt.Sprintf("%s (%s there)", t.u.Chainage(p.AtM), percent(p.P)))
	}
	t.wrap("  ", "    ", fmt.Sprintf("climbs the whole way alone with a chance of %s, least sure at %s", percent(r.Joint.P), strings.Join(at, " and ")))
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
		t.halt(r, s)
		t.line("  %s - %s  %s%s", t.u.Chainage(s.At.FromM), t.u.Chainage(s.At.ToM), s.Verdict, mark)
		var again []string
		for _, f := range s.Findings {
			if g := &r.Findings[f]; s.Assist >= 0 && g.Check == "start" && g.Outcome == check.Caution {
				continue // of the train alone: here it is towed
			}
			if said[f] {
				again = append(again, r.Findings[f].Check)
				continue
			}
			said[f] = true
			t.finding(&r.Findings[f])
		}
		if len(again) == len(s.Findings) && len(again) > 0 {
			t.wrap("      ", "        ", "as said above: "+strings.Join(slices.Compact(again), ", "))
		}
	}
}

// halt says where to stop before a stretch.
func (t *text) halt(r *verdict.Result, s *verdict.Segment) {
	for _, h := range r.Halts {
		switch {
		case h.Before != s.At.FromM:
		case math.IsNaN(h.AtM):
			t.wrap("  ", "    ", fmt.Sprintf("no sure place to stop and start again before %s: look at it before setting out", t.u.Chainage(h.Before)))
		default:
			t.wrap("  ", "    ", fmt.Sprintf("last place to stop before it: %s (starts again: %s); beyond, %s without one", t.u.Chainage(h.AtM), percent(h.StartP), t.size(h.NoReturnM())))
		}
		if h.Before == s.At.FromM {
			t.turns(&h)
			if !r.WaysKnown && !t.toldTurns {
				t.toldTurns = true
				t.wrap("  ", "    ", "where to turn round is not known: give the ways of the area with --ways")
			}
		}
	}
}

// turns says where to turn round and where another vehicle gets by, as far as
// ways and widths tell.
func (t *text) turns(h *verdict.Halt) {
	if h.Turn.LengthM > 0 {
		width := "width not tagged, look at it"
		if !math.IsNaN(h.Turn.WidthM) {
			width = t.size(h.Turn.WidthM) + " wide"
		}
		t.wrap("  ", "    ", fmt.Sprintf("last side way to turn round in: %s (%s long, %s); beyond, %s without one", t.u.Chainage(h.Turn.AtM), t.size(h.Turn.LengthM), width, t.size(h.Before-h.Turn.AtM)))
	}
	if h.PassAtM > 0 && h.Before-h.PassAtM > 1 {
		t.wrap("  ", "    ", fmt.Sprintf("last place tagged wide enough to let another by: %s; beyond, %s without one", t.u.Chainage(h.PassAtM), t.size(h.Before-h.PassAtM)))
	}
}

// finding is one sentence with its margin, what decides, what to do.
func (t *text) finding(f *check.Finding) {
	const first, rest = "      ", "        "
	if t.listed(f) {
		t.wrap(first, rest, where(t, f)+"not rated, in the list above")
		return
	}
	t.wrap(first, rest, where(t, f)+t.sentence(f)+worstAt(t, f))
	if !math.IsNaN(f.P) {
		t.wrap(rest, rest, t.margin(f))
	}
	if f.Do != "" && asksToDo(f) {
		t.wrap(rest, rest, "do: "+t.fill(f.Do, f.Q))
	}
	if f.Close != "" && asksToKnow(f) {
		t.wrap(rest, rest, "to know: "+t.fill(f.Close, f.Q))
	}
	if keys := t.unverified(f); len(keys) > 0 {
		t.wrap(rest, rest, "rests on unverified values: "+strings.Join(keys, ", "))
	}
}

// asksToDo and asksToKnow say which of its advices a finding calls for.
func asksToDo(f *check.Finding) bool { return f.Outcome == check.Fail || f.Outcome == check.Caution }

func asksToKnow(f *check.Finding) bool {
	return f.Outcome == check.Undecided || f.Outcome == check.NotLooked
}

// where names the check, and its place where that is its beginning: a stretch
// may hold several bridges.
func where(t *text, f *check.Finding) string {
	if f.WorstM > f.At.FromM {
		return f.Check + ": "
	}
	return f.Check + " at " + t.u.Chainage(f.At.FromM) + ": "
}

func worstAt(t *text, f *check.Finding) string {
	if f.WorstM > f.At.FromM {
		return ", worst at " + t.u.Chainage(f.WorstM)
	}
	return ""
}

// unverified are those values from memory that a finding rests on.
func (t *text) unverified(f *check.Finding) (out []string) {
	for _, k := range f.Rests {
		if t.memory[k] && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

// measured are the grades somebody answers for.
func (t *text) measured(r *verdict.Result) {
	for _, m := range r.Profile.Readings {
		t.wrap("  measured: ", "    ", fmt.Sprintf("grade %s from %s to %s, by %s",
			t.u.Format(check.Quantity{Value: m.GradeRatio, SE: m.SE, Unit: check.Grade}), t.u.Chainage(m.At.FromM), t.u.Chainage(m.At.ToM), m.By))
	}
}

// cautionChance is what the chance of a caution is one of, by check.
var cautionChance = map[string]string{
	"start":   "chance to start there ",
	"descent": "chance to do without the service brakes ",
	"hold":    "chance to stay there parked ",
}

// margin says how far capacity is from demand, how sure, and by what. A limit
// of mass, class or size is no game of chance: over, or too close to say.
func (t *text) margin(f *check.Finding) string {
	if f.Unit == check.Kg || f.Unit == check.Class || (f.Unit == check.Metre && f.Check != "bend") {
		word := "too close to the limit to say"
		switch f.Outcome {
		case check.Fail:
			word = "over the limit"
		case check.Caution:
			word = "within the limit"
		}
		return word + ", margin " + t.spare(f)
	}
	chance := "chance to pass "
	if word, ok := cautionChance[f.Check]; ok && f.Outcome == check.Caution {
		chance = word
	}
	s := "margin " + t.spare(f) + ", " + chance + percent(f.P)
	if math.IsInf(f.Demand, 1) {
		s = "no margin: " + chance + percent(f.P)
	}
	for _, q := range f.Q {
		if q.Name == "whole" {
			s += ", for the whole stretch by sampled roads " + t.u.Format(q)
		}
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

// spare is capacity less demand.
func (t *text) spare(f *check.Finding) string {
	v := f.Capacity - f.Demand
	if f.Unit == check.Class {
		return number(math.Floor(10*v)/10, 1.96*f.SE, 1)
	}
	return t.u.Format(check.Quantity{Value: v, SE: f.SE, Unit: f.Unit})
}
