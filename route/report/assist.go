package report

import (
	"fmt"
	"math"
	"strings"

	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
)

// assists are the stretches done with a helper, and those no helper is sure of.
func (t *text) assists(r *verdict.Result) {
	for i := range r.Plan.Assists {
		t.assist(r, &r.Plan.Assists[i])
	}
	for i := range r.Plan.Tried {
		t.tried(&r.Plan.Tried[i])
	}
}

func (t *text) assist(r *verdict.Result, a *secondtow.Assist) {
	name := short(a.Helper, 2*nameWidth)
	starts := fmt.Sprintf("(the train starts alone there: %s)", percent(a.CastStartP))
	switch {
	case a.Winched:
		t.wrap("  ", "    ", fmt.Sprintf("second tow by %s from the crest: rope on at %s, off at %s %s%s",
			name, t.u.Chainage(a.Over.FromM), t.u.Chainage(a.Over.ToM), starts, about(a.TimeS)))
	case a.Holding:
		t.wrap("  ", "    ", fmt.Sprintf("held back by %s: hook on at %s, cast off at %s %s%s",
			name, t.u.Chainage(a.Over.FromM), t.u.Chainage(a.Over.ToM), starts, about(a.TimeS)))
	default:
		t.wrap("  ", "    ", fmt.Sprintf("second tow by %s: hook on at %s (the pair starts there: %s), cast off at %s %s%s",
			name, t.u.Chainage(a.Over.FromM), percent(a.PairStartP), t.u.Chainage(a.Over.ToM), starts, about(a.TimeS)))
	}
	t.moves(a)
	t.bars(a)
	if !a.Winched {
		for _, s := range r.Segments {
			if s.Verdict == verdict.Detour && s.At.Overlaps(a.Over) {
				t.wrap("    ", "      ", fmt.Sprintf("but on it, from %s to %s, stands a detour: the helper alone does not get the train through",
					t.u.Chainage(s.At.FromM), t.u.Chainage(s.At.ToM)))
			}
		}
		if len(a.Findings) == 0 {
			t.wrap("    ", "    ", "coupled, every check made again passes from hook-on to cast-off")
		}
	}
	for i := range a.Findings {
		t.coupled(&a.Findings[i])
	}
	if len(a.Others) > 0 {
		t.wrap("    ", "      ", "would do as well: "+t.options(a.Others))
	}
}

// moves are helpers that did an earlier stretch.
func (t *text) moves(a *secondtow.Assist) {
	for _, m := range a.Moves {
		line := fmt.Sprintf("%s comes from the stretch before, from %s", short(m.Helper, nameWidth), t.u.Chainage(m.FromM))
		if m.Passes {
			line += " and past the halted train"
		}
		if m.AloneP < check.PassAt {
			line += fmt.Sprintf("; that it gets there by itself has a chance of %s", percent(m.AloneP))
		}
		t.wrap("    ", "      ", line)
	}
}

// leastShownN is the least force on a bar that is printed: less is noise of the
// heights.
const leastShownN = 1000

// bars are the forces on the bars along the stretch.
func (t *text) bars(a *secondtow.Assist) {
	for i := range a.Bars {
		b := &a.Bars[i]
		line := "bar"
		if len(a.Bars) > 1 {
			line += " to " + short(b.Helper, nameWidth)
		}
		n := func(v float64) string { return t.u.Format(check.Quantity{Value: v, Unit: check.Newton}) }
		var parts []string
		if b.MostN >= leastShownN {
			parts = append(parts, fmt.Sprintf("pulled with up to %s at %s", n(b.MostN), t.u.Chainage(b.MostAtM)))
		}
		if b.PushN >= leastShownN {
			parts = append(parts, fmt.Sprintf("pushed with up to %s at %s", n(b.PushN), t.u.Chainage(b.PushAtM)))
		}
		if len(parts) > 0 {
			t.wrap("    ", "      ", line+" "+strings.Join(parts, ", "))
		}
	}
}

func (t *text) tried(a *secondtow.Attempt) {
	over := t.u.Chainage(a.Over.FromM) + " - " + t.u.Chainage(a.Over.ToM)
	switch {
	case a.Helper == "" && a.Fails && a.Down:
		t.wrap("  ", "    ", "nobody at hand holds the train back over "+over)
	case a.Helper == "" && a.Fails:
		t.wrap("  ", "    ", "no helper at hand for "+over)
	case a.Helper == "":
		return
	case a.Fails:
		t.wrap("  ", "    ", "no helper at hand suffices for "+over+"; nearest is "+short(a.Helper, 2*nameWidth)+": "+t.sentence(&a.Why))
	default:
		t.wrap("  ", "    ", "with a helper "+over+" is still not sure; nearest is "+short(a.Helper, 2*nameWidth)+": "+t.sentence(&a.Why))
	}
	if len(a.Unlocks) > 0 {
		how := "push"
		if a.Down {
			how = "hold back"
		}
		t.wrap("    ", "      ", "a helper may "+how+" from behind only once the file gives "+strings.Join(shortened(a.Unlocks), " and "))
	}
	if len(a.Would) > 0 {
		t.wrap("    ", "      ", "would do: "+t.options(a.Would))
	}
}

// options are what would do, with the time it takes.
func (t *text) options(os []secondtow.Option) string {
	const most = 4
	var out []string
	for _, o := range os[:min(len(os), most)] {
		s := t.fill(o.Say, o.Q)
		if !math.IsNaN(o.TimeS) {
			s += " (" + duration(o.TimeS) + ")"
		}
		out = append(out, s)
	}
	if n := len(os) - most; n > 0 {
		out = append(out, fmt.Sprintf("%d more", n))
	}
	return strings.Join(out, "; ")
}

// about says how long help takes.
func about(s float64) string {
	if !(s > 0) {
		return ""
	}
	return "; about " + duration(s)
}

// duration rounds up to five minutes, above two hours to the next half hour: the
// times are estimates.
func duration(s float64) string {
	if s <= 2*3600 {
		return fmt.Sprintf("%.0f min", 5*math.Ceil(s/300-1e-9))
	}
	h := math.Ceil(s/1800-1e-9) / 2
	return plain(h, map[bool]int{true: 0, false: 1}[h == math.Floor(h)]) + " h"
}

// coupled is what the pair does not simply pass.
func (t *text) coupled(f *check.Finding) {
	line := "coupled: " + where(t, f) + t.sentence(f)
	switch {
	case f.Do != "" && asksToDo(f):
		line += "; do: " + t.fill(f.Do, f.Q)
	case f.Close != "" && asksToKnow(f):
		line += "; to know: " + t.fill(f.Close, f.Q)
	}
	t.wrap("    ", "      ", line)
}
