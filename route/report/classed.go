package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// classed is the line of route reconnaissance, with each obstruction placed.
func (t *text) classed(r *verdict.Result) {
	c := r.Classed
	if c == nil {
		return
	}
	t.wrap("  ", "    ", "classed as "+c.Line())
	places := slices.Clone(c.Places)
	slices.SortStableFunc(places, func(a, b check.Obstruction) int { return cmp.Compare(a.At.FromM, b.At.FromM) })
	const most = 12
	var said []string
	for i := range places[:min(len(places), most)] {
		said = append(said, t.obstruction(&places[i]))
	}
	if n := len(places) - most; n > 0 {
		said = append(said, fmt.Sprintf("and %d more", n))
	}
	if len(said) > 0 {
		t.wrap("    ", "      ", "obstructions: "+strings.Join(said, "; "))
	}
	t.wrap("    ", "      ", "not in the line: "+strings.Join(c.Why, "; "))
}

func (t *text) obstruction(o *check.Obstruction) string {
	s := o.What
	if !math.IsNaN(o.Value) {
		if s += " " + t.u.Format(check.Quantity{Value: o.Rounded(), Unit: o.Unit}); o.Unit == check.Grade {
			s = o.What + " " + plain(100*o.Rounded(), 0) + " %"
		}
	}
	s += " at " + t.u.Chainage(o.At.FromM)
	if o.At.LengthM() >= 10 {
		s += " - " + t.u.Chainage(o.At.ToM)
	}
	switch {
	case math.IsNaN(o.P):
		s += " (by the line as drawn)"
	case o.P < 1:
		s += " (chance " + percent(o.P) + ")"
	}
	return s
}

type jClassed struct {
	Line         string         `json:"line"`
	WidthM       num            `json:"width_m"`
	Type         string         `json:"type"`
	Class        num            `json:"load_class"`
	HeightM      num            `json:"clear_height_m"`
	Unlimited    bool           `json:"clear_height_unlimited"`
	Unknown      []string       `json:"unknown"`
	Obstructions []jObstruction `json:"obstructions"`
}

type jObstruction struct {
	What   string `json:"what"`
	FromM  num    `json:"from_m"`
	ToM    num    `json:"to_m"`
	Value  num    `json:"value"`
	Unit   string `json:"unit"`
	Chance num    `json:"chance"`
}

func jsonClassed(r *verdict.Result) *jClassed {
	c := r.Classed
	if c == nil {
		return nil
	}
	out := &jClassed{Line: c.Line(), WidthM: metres(c.WidthM), Type: "", Class: num{c.Class, 1}, HeightM: metres(c.HeightM), Unlimited: math.IsInf(c.HeightM, 1),
		Unknown: list(c.Why), Obstructions: []jObstruction{}}
	if c.Type != 0 {
		out.Type = string(c.Type)
	}
	for _, o := range c.Places {
		out.Obstructions = append(out.Obstructions, jObstruction{o.What, metres(o.At.FromM), metres(o.At.ToM), ratio(o.Value), string(o.Unit), num{o.P, 3}})
	}
	return out
}
