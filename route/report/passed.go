package report

import (
	"fmt"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// mostPassed is how many comparisons of one check are told one by one.
const mostPassed = 3

// passed are the limits that the train keeps: what was looked at is seen. Of a
// check that passed at many places the tightest is told.
func (t *text) passed(r *verdict.Result) {
	count, told := map[string]int{}, map[string]bool{}
	for i := range r.Passed {
		count[r.Passed[i].Check]++
	}
	for i := range r.Passed {
		f := &r.Passed[i]
		switch n := count[f.Check]; {
		case n <= mostPassed:
			t.wrap("  passed: ", "    ", f.Check+" at "+t.u.Chainage(f.WorstM)+": "+t.sentence(f))
		case !told[f.Check]:
			told[f.Check] = true
			f = tightest(r, f.Check)
			t.wrap("  passed: ", "    ", fmt.Sprintf("%s: %d comparisons, the tightest at %s: %s", f.Check, n, t.u.Chainage(f.WorstM), t.sentence(f)))
		}
	}
}

// tightest is the passed comparison of a check with least to spare.
func tightest(r *verdict.Result, name string) (least *check.Finding) {
	for i := range r.Passed {
		f := &r.Passed[i]
		if f.Check == name && (least == nil || f.Capacity/f.Demand < least.Capacity/least.Demand) {
			least = f
		}
	}
	return least
}
