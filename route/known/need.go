package known

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Need is one thing an answer must reach. A figure passes at Pass and beyond,
// fails at Fail and before; NaN in Fail: no figure fails it. A word passes when
// it is Want and fails when it is another.
type Need struct {
	Key        string // "height_m": the unit stands in it
	Pass, Fail float64
	AtMost     bool // smaller is better
	Sure       bool // 99 %: cannot be undone
	Want       string
}

// Needs are alternatives; all needs of one alternative must be met.
type Needs [][]Need

// String writes needs as a row of questions has them:
// "class>=106 | mass_kg>=113700 axle_kg>=10600".
func (n Needs) String() string {
	var alts []string
	for _, alt := range n {
		var all []string
		for _, x := range alt {
			all = append(all, x.String())
		}
		alts = append(alts, strings.Join(all, " "))
	}
	return strings.Join(alts, " | ")
}

// String writes one need with a figure that passes, rounded to the safe side.
func (x Need) String() string {
	if x.Want != "" {
		return x.Key + "=" + x.Want
	}
	if x.AtMost {
		return x.Key + "<=" + x.Figure()
	}
	return x.Key + ">=" + x.Figure()
}

// Figure is the figure that passes, rounded to the safe side.
func (x Need) Figure() string {
	k := x.scale()
	v := math.Ceil(x.Pass*k-1e-9) / k
	if x.AtMost {
		v = math.Floor(x.Pass*k+1e-9) / k
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// scale is one over the step a figure of the key is written in.
func (x Need) scale() float64 {
	switch {
	case strings.HasSuffix(x.Key, "_kg"):
		return 0.01 // 100 kg
	case strings.HasSuffix(x.Key, "_m"):
		return 100
	case strings.HasSuffix(x.Key, "_pct"):
		return 10
	}
	return 1
}

// Reach says what came of comparing an answer with needs.
type Reach uint8

// What an answer does to a question.
const (
	Open   Reach = iota // does not close it
	Passes              // closes it: may pass
	Fails               // closes it: may not pass
)

// Compare holds an answer's values to the needs of a question. One alternative
// that is met passes; else one that is failed fails, unless another is too close
// to say. why says what is lacking where the question stays open.
func (n Needs) Compare(a *Answer) (r Reach, why string) {
	values := a.keyed(n)
	fails, lacking := false, ""
	for _, alt := range n {
		state, lack, whole := compareAll(alt, values, a.ErrorAbs)
		switch {
		case state == Passes:
			return Passes, ""
		case state == Fails:
			fails = true
		case whole:
			return Open, lack
		case lacking == "" || slices.ContainsFunc(alt, func(x Need) bool { _, ok := find(values, x.Key); return ok }):
			lacking = lack // of what was given in part, before what was not
		}
	}
	if fails {
		return Fails, ""
	}
	return Open, lacking
}

// Touches reports whether an answer gives any of what is asked: one that does
// not is of another question at the same place.
func (n Needs) Touches(a *Answer) bool {
	values := a.keyed(n)
	for _, alt := range n {
		for _, x := range alt {
			if _, ok := find(values, x.Key); ok && x.Key != "surface" { // that speaks before
				return true
			}
		}
	}
	return false
}

// compareAll holds values to all needs of one alternative; whole says that none
// is lacking.
func compareAll(alt []Need, values []Value, half float64) (r Reach, lack string, whole bool) {
	r, whole = Passes, true
	for _, x := range alt {
		v, ok := find(values, x.Key)
		if !ok {
			r, whole = Open, false
			lack = "it does not give " + x.Key
			continue
		}
		switch x.judge(v, half) {
		case Fails:
			return Fails, "", true
		case Open:
			r, lack = Open, fmt.Sprintf("%s is too close to %s for its error", v.Text, x)
		}
	}
	return r, lack, whole
}

// sureOver is the 99 % bound over the 95 % half-width of a normal error.
const sureOver = 2.3264 / 1.96

// judge adds the answer's own error to the error that Pass and Fail already
// hold: on the edge it asks once more.
func (x Need) judge(v Value, half float64) Reach {
	if x.Want != "" { // what another surface does is judged anew
		switch {
		case strings.EqualFold(v.Text, x.Want):
			return Passes
		case x.Key != "driven" && x.Key != "surface" && (strings.EqualFold(v.Text, "no") || x.Want != "yes"):
			return Fails
		}
		return Open
	}
	if math.IsNaN(v.Number) {
		return Open
	}
	safe := half
	if x.Sure {
		safe *= sureOver
	}
	value, pass, fail := v.Number, x.Pass, x.Fail
	if x.AtMost {
		value, pass, fail = -value, -pass, -fail
	}
	switch {
	case value-safe >= pass-1e-9:
		return Passes
	case value+half <= fail:
		return Fails
	}
	return Open
}

func find(values []Value, key string) (Value, bool) {
	for _, v := range values {
		if v.Key == key {
			return v, true
		}
	}
	return Value{}, false
}

// keyed gives bare values the only key they can mean: the only one of a figure,
// or of a word, among the needs.
func (a *Answer) keyed(n Needs) []Value {
	out := append([]Value(nil), a.Values...)
	for i, v := range out {
		if v.Key != "" {
			continue
		}
		only, several := "", false
		for _, alt := range n {
			for _, x := range alt {
				if (x.Want == "") == math.IsNaN(v.Number) {
					continue
				}
				several = several || (only != "" && only != x.Key)
				only = x.Key
			}
		}
		if !several {
			out[i].Key = only
		}
	}
	return out
}

// Covers reports whether what passed was at least what we are: as heavy in
// all, on an axle and on a metre of its length, as wide, as long, and where
// height matters as high. The mean load on a metre keeps a longer and easier
// train from vouching for a shorter one. Choice.
func (p Load) Covers(ours Load, height bool) (ok bool, why string) {
	for _, c := range []struct {
		what     string
		was, are float64
	}{
		{"gross mass", p.GrossKg, ours.GrossKg}, {"axle load", p.AxleKg, ours.AxleKg},
		{"width", p.WidthM, ours.WidthM}, {"length", p.LengthM, ours.LengthM},
		{"mass on a metre", p.GrossKg / p.LengthM, ours.GrossKg / ours.LengthM},
		{"height", p.HeightM, ours.HeightM},
	} {
		switch {
		case c.what == "height" && !height:
		case math.IsNaN(c.was):
			return false, "its " + c.what + " is not given"
		case math.IsNaN(c.are):
			return false, "our " + c.what + " is not known"
		case c.was < c.are:
			return false, "its " + c.what + " was less than ours"
		}
	}
	return true, ""
}
