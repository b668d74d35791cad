package report

import (
	"fmt"
	"strings"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// headline says the verdict, where, what is open and what is not covered.
func (t *text) headline(r *verdict.Result) string {
	s := heading(r.Verdict)
	if at := t.places(r, r.Verdict); at != "" {
		s += " at " + at
	}
	if at := t.places(r, verdict.SecondTow); at != "" && r.Verdict > verdict.SecondTow {
		s += "; second tow at " + at
	}
	open, _ := r.Open()
	s += "; " + t.openOnes(r, open)
	if names := NotCovered(r); len(names) > 0 {
		s += "; for you to check: " + strings.Join(names, ", ")
	}
	return s
}

// openOnes names the first open questions, those of the coupled train last, and
// counts the rest.
func (t *text) openOnes(r *verdict.Result, open []int) string {
	var at []string
	for _, i := range open {
		f := &r.Findings[i]
		at = append(at, f.Check+" at "+t.u.Chainage(f.At.FromM)+unlikely(f))
	}
	for i := range r.Plan.Assists {
		a := &r.Plan.Assists[i]
		for _, k := range a.Asked() {
			f := &a.Findings[k]
			at = append(at, f.Check+" at "+t.u.Chainage(f.At.FromM)+" when coupled")
		}
	}
	if len(at) == 0 {
		return "no place in question"
	}
	const most = 3
	s := "open: " + strings.Join(at[:min(len(at), most)], ", ")
	if n := len(at) - most; n > 0 {
		s += fmt.Sprintf(" and %d more", n)
	}
	return s
}

// places names where segments of a verdict begin, the first five, "" for none
// and for go.
func (t *text) places(r *verdict.Result, v verdict.Verdict) string {
	var at []string
	for i := range r.Segments {
		if r.Segments[i].Verdict == v && v != verdict.Go {
			at = append(at, t.u.Chainage(r.Segments[i].At.FromM))
		}
	}
	const most = 5
	if n := len(at) - most; n > 0 {
		return strings.Join(at[:most], ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(at, ", ")
}

// unlikely adds the chance to a question that is rather answered with no.
func unlikely(f *check.Finding) string {
	if f.Outcome == check.Undecided && f.P < 0.5 {
		return " (chance " + percent(f.P) + ")"
	}
	return ""
}
