package report

import (
	"cmp"
	"fmt"
	"slices"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// rowsMost of a list of bridges are printed; the rest is a count.
const rowsMost = 10

// bridgeWords stand once where bridges are judged.
const bridgeWords = "compares loads, does not rate the bridge; a qualified engineer and the road authority decide. " +
	"On any bridge: one vehicle at a time, the next waits off it; keep to the middle, no braking, stopping or shifting"

// ranked are the questions of a route that are one list, hardest first.
func ranked(r *verdict.Result) (out []*check.Finding) {
	for i := range r.Findings {
		if r.Findings[i].Rank > 0 {
			out = append(out, &r.Findings[i])
		}
	}
	slices.SortStableFunc(out, func(a, b *check.Finding) int {
		return cmp.Or(cmp.Compare(b.Rank, a.Rank), cmp.Compare(b.Order, a.Order))
	})
	return out
}

// bridges is that list, where there is more than one, and what all of it is worth.
func (t *text) bridges(r *verdict.Result) {
	if rows := ranked(r); len(rows) > 1 {
		t.line("  %d bridges are not rated, hardest first:", len(rows))
		for _, f := range rows[:min(len(rows), rowsMost)] {
			t.wrap("    ", "      ", t.u.Chainage(f.At.FromM)+": "+t.sentence(f)+"; to know: "+t.fill(f.Close, f.Q))
		}
		if n := len(rows) - rowsMost; n > 0 {
			t.line("    and %d more", n)
		}
	}
	is := func(f check.Finding) bool { return f.Check == "bridge" }
	if slices.ContainsFunc(r.Findings, is) || slices.ContainsFunc(r.Passed, is) {
		t.wrap("  bridges: ", "    ", bridgeWords)
	}
}

// listed reports whether a finding stands in the list of bridges.
func (t *text) listed(f *check.Finding) bool { return t.many && f.Rank > 0 }

// LoadRow is what a train does to a simple span.
type LoadRow struct {
	SpanM, MomentNm, ShearN float64
	Ratios                  []LoadRatio
}

// LoadRatio is the same over a reference's; NaN where one of the two contains
// dynamics and the other does not, its own figures beside.
type LoadRatio struct {
	Name                    string
	Moment, Shear           float64
	TheirMomentNm, TheirShN float64
	Dynamics, Unverified    bool
}

// LoadClass is a class with what it rests on.
type LoadClass struct {
	Name       string
	Value      float64
	Source     string
	Unverified bool
}

// GroupRow is an axle group against the bridge formula table; axles count from 1.
type GroupRow struct {
	First, Last       int
	LengthM           float64
	MassKg, AllowedKg float64
}

// Loads is the part of a sheet that bridges ask for.
type Loads struct {
	Classes []LoadClass
	Rows    []LoadRow
	// Groups are the worst of their number of axles; Over of All exceed the table.
	Groups    []GroupRow
	Over, All int
}

func (t *text) loads(l *Loads) {
	if l == nil || len(l.Rows) == 0 {
		return
	}
	t.line("")
	for _, c := range l.Classes {
		star := " "
		if c.Unverified {
			star = "*"
		}
		t.wrap(star+" ", "    ", fmt.Sprintf("load class %s, %s: %s", t.u.Format(check.Quantity{Value: c.Value, Unit: check.Class}), c.Name, c.Source))
	}
	t.line("")
	t.line("on a simple span, static, one lane    moment and shear as a ratio to")
	head := "  span       moment      shear"
	for _, r := range l.Rows[0].Ratios {
		head += fmt.Sprintf("%15s", clean(short(r.Name, 14)))
	}
	t.line("%s", head)
	for _, r := range l.Rows {
		row := fmt.Sprintf("%8s %12s %9s", t.size(r.SpanM), t.u.Format(check.Quantity{Value: r.MomentNm, Unit: check.Moment}),
			t.u.Format(check.Quantity{Value: r.ShearN, Unit: check.Newton}))
		for _, q := range r.Ratios {
			cell := plain(q.Moment, 2) + " " + plain(q.Shear, 2)
			if q.Dynamics {
				cell = plain(q.TheirMomentNm/t.momentUnit(), 0) + "," + plain(q.TheirShN/t.forceUnit(), 0)
			}
			if q.Unverified {
				cell = "*" + cell
			}
			row += fmt.Sprintf("%15s", cell)
		}
		t.line("%s", row)
	}
	t.wrap("", "", t.ratioWords(l))
	t.groups(l)
	t.wrap("", "", "This compares loads, does not rate the bridge; a qualified engineer and the road authority decide.")
}

// ratioWords say what the columns are.
func (t *text) ratioWords(l *Loads) string {
	s := "* from memory, unverified"
	for _, q := range l.Rows[0].Ratios {
		if q.Dynamics {
			s += "; " + short(q.Name, 14) + " contains dynamics and this train's figures do not: its own moment and shear are printed, no ratio"
		}
	}
	return s
}

func (t *text) momentUnit() float64 {
	if t.u == US {
		return kipFtNm
	}
	return 1000
}

func (t *text) forceUnit() float64 {
	if t.u == US {
		return 1000 * poundN
	}
	return 1000
}

func (t *text) groups(l *Loads) {
	t.line("")
	t.wrap("", "  ", fmt.Sprintf("United States bridge formula: %d of %d axle groups are over it: %s; the worst of each number of axles, masses in %s:", l.Over, l.All, permitWord(l.Over), t.massUnit()))
	for _, g := range l.Groups {
		t.line("  axles %2d - %2d  over %8s %9s of %8s  %s times", g.First, g.Last, t.size(g.LengthM), t.mass(g.MassKg), t.mass(g.AllowedKg), plain(g.MassKg/g.AllowedKg, 2))
	}
}

func permitWord(over int) string {
	if over > 0 {
		return "a permit is needed"
	}
	return "no permit for it"
}
