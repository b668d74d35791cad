package report

import (
	"drawbar/route/verdict"
)

// overview is a line for each route of a run of several.
func (t *text) overview(run *Run) {
	if len(run.Records) < 2 {
		return
	}
	t.line("")
	t.line("what was checked says (under each route stands what was not):")
	t.line("%-36s %-11s %10s %5s %12s", "route", "verdict", "first at", "asked", "decided on")
	for i := range run.Records {
		rec := &run.Records[i]
		if rec.Err != nil {
			t.line("%-36s %s", clean(short(rec.ID, 36)), "not judged")
			continue
		}
		r := rec.Result
		first := "-"
		for k := range r.Segments {
			if s := &r.Segments[k]; s.Verdict == r.Verdict && r.Verdict != verdict.Go {
				first = t.u.Chainage(s.At.FromM)
				break
			}
		}
		t.line("%-36s %-11s %10s %5d %12s", clean(short(r.Way.Route.ID+backwards(r), 36)), r.Verdict, first, openCount(r), percent(r.DecidedShare))
	}
}
