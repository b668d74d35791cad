package report

import (
	"fmt"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// assists are the stretches done with a helper, and those no helper is sure of.
func (t *text) assists(r *verdict.Result) {
	for _, a := range r.Plan.Assists {
		if a.Winched {
			t.wrap("  ", "    ", fmt.Sprintf("second tow by %s from the crest: rope on at %s, off at %s (the train starts alone there: %s)",
				short(a.Helper, nameWidth), t.u.Chainage(a.Over.FromM), t.u.Chainage(a.Over.ToM), percent(a.CastStartP)))
			for i := range a.Findings {
				t.coupled(&a.Findings[i])
			}
			continue
		}
		t.wrap("  ", "    ", fmt.Sprintf("second tow by %s: hook on at %s (the pair starts there: %s), cast off at %s (the train starts alone there: %s)",
			short(a.Helper, nameWidth), t.u.Chainage(a.Over.FromM), percent(a.PairStartP), t.u.Chainage(a.Over.ToM), percent(a.CastStartP)))
		for _, s := range r.Segments {
			if s.Verdict == verdict.Detour && s.At.Overlaps(a.Over) {
				t.wrap("    ", "      ", fmt.Sprintf("but on it, from %s to %s, stands a detour: the helper alone does not get the train through",
					t.u.Chainage(s.At.FromM), t.u.Chainage(s.At.ToM)))
			}
		}
		if len(a.Findings) == 0 {
			t.wrap("    ", "    ", "coupled, every check made again passes from hook-on to cast-off")
		}
		for i := range a.Findings {
			t.coupled(&a.Findings[i])
		}
	}
	for _, a := range r.Plan.Tried {
		over := t.u.Chainage(a.Over.FromM) + " - " + t.u.Chainage(a.Over.ToM)
		switch {
		case a.Helper == "" && a.Fails:
			t.wrap("  ", "    ", "no helper at hand for "+over)
		case a.Helper == "":
		case a.Fails:
			t.wrap("  ", "    ", "no helper at hand suffices for "+over+"; nearest is "+short(a.Helper, nameWidth)+": "+t.sentence(&a.Why))
		default:
			t.wrap("  ", "    ", "with a helper "+over+" is still not sure; nearest is "+short(a.Helper, nameWidth)+": "+t.sentence(&a.Why))
		}
	}
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
