package report

import (
	"fmt"
	"math"
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
	var said []string
	for _, kind := range []string{"clear height", "ford", "width", "grade", "radius"} {
		said = append(said, t.obstructions(c.Places, kind)...)
	}
	if len(said) > 0 {
		t.wrap("    ", "      ", "obstructions: "+strings.Join(said, "; "))
	}
	t.wrap("    ", "      ", "not in the line: "+strings.Join(c.Why, "; "))
}

// mostPlaces is how many obstructions of one kind are told one by one.
const mostPlaces = 3

// obstructions are those of one kind: each with its place, of many the worst.
func (t *text) obstructions(all []check.Obstruction, kind string) (said []string) {
	var worst *check.Obstruction
	n := 0
	for i := range all {
		o := &all[i]
		if o.What != kind {
			continue
		}
		n++
		if steeper := kind == "grade" && worst != nil && o.Value > worst.Value; worst == nil || steeper || kind != "grade" && o.Value < worst.Value {
			worst = o
		}
		said = append(said, t.obstruction(o))
	}
	if n > mostPlaces {
		return []string{fmt.Sprintf("%s at %d places, the worst: %s", kind, n, t.obstruction(worst))}
	}
	return said
}

func (t *text) obstruction(o *check.Obstruction) string {
	s := o.What
	if !math.IsNaN(o.Value) {
		if s += " " + t.u.Format(check.Quantity{Value: o.Rounded(), Unit: o.Unit}); o.Unit == check.Grade {
			s = o.What + " " + plain(100*o.Rounded(), 0) + " %"
		} else if o.What == "radius" && t.u == SI {
			s = o.What + " " + plain(o.Rounded(), 0) + " m"
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
