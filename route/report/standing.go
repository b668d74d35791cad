package report

import (
	"fmt"
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/verdict"
)

// standing are the matters this data cannot answer anywhere on the route.
func (t *text) standing(r *verdict.Result) {
	_, standing := r.Open()
	for _, i := range standing {
		if line := t.standingLine(&r.Findings[i]); !t.shared[line] {
			t.wrap("  for you to check: ", "    ", line)
		}
	}
}

// everywhere lists the matters that no route could answer, once.
func (t *text) everywhere(run *Run) {
	if len(t.shared) == 0 {
		return
	}
	t.line("")
	t.line("for you to check, on every route:")
	for _, rec := range run.Records {
		if rec.Result == nil {
			continue
		}
		_, standing := rec.Result.Open()
		for _, i := range standing {
			if line := t.standingLine(&rec.Result.Findings[i]); t.shared[line] {
				t.wrap("  ", "    ", line)
			}
		}
		return
	}
}

func (t *text) standingLine(f *check.Finding) string {
	return f.Check + ": " + t.sentence(f) + "; " + t.fill(f.Close, f.Q)
}

// sharedStanding are the standing lines that every judged route has.
func (t *text) sharedStanding(run *Run) map[string]bool {
	count, judged := map[string]int{}, 0
	for _, rec := range run.Records {
		if rec.Result == nil {
			continue
		}
		judged++
		_, standing := rec.Result.Open()
		for _, i := range standing {
			count[t.standingLine(&rec.Result.Findings[i])]++
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

// assumed lists every value taken because no input gave it, and before them
// those that were given in the place of such.
func (t *text) assumed(list []route.Assumption) {
	var given, taken []route.Assumption
	for _, a := range list {
		if a.Standing == "given" {
			given = append(given, a)
			continue
		}
		taken = append(taken, a)
	}
	t.values("given in place of a value of the program:", given)
	t.values("taken because no input gave it (* from memory, unverified):", taken)
}

func (t *text) values(heading string, list []route.Assumption) {
	if len(list) == 0 {
		return
	}
	t.line("")
	t.line("%s", heading)
	for _, a := range list {
		star := " "
		if a.Standing == "memory" {
			star = "*"
		}
		unit := ""
		if a.Unit != "" && a.Unit != "1" && a.Unit != "ratio" {
			unit = " " + short(a.Unit, nameWidth)
		}
		value := fmt.Sprintf(" = %.4g%s", a.Value, unit)
		if math.IsInf(a.Value, 0) || math.IsNaN(a.Value) {
			value = ""
		}
		t.wrap("  "+star, "      ", fmt.Sprintf("%s%s: %s (%s)", short(a.Key, nameWidth), value, short(a.Source, sayingWidth), a.Standing))
	}
}

// fromMemory are the keys of those that nobody verified.
func fromMemory(list []route.Assumption) map[string]bool {
	out := map[string]bool{}
	for _, a := range list {
		if a.Standing == "memory" {
			out[a.Key] = true
		}
	}
	return out
}
