// Package known holds what people answer to the open questions of a report:
// measured, looked at, granted by an owner, accepted by somebody who answers
// for it, or a precedent: a load that passed there. An answer stands at a place
// of a route; what it must reach is a [Need] of the question. The room knows no
// clock: the day of the run is handed in.
package known

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// How somebody came to an answer.
type How string

// The ways of knowing.
const (
	Measured  How = "measured"  // with an instrument, and its error
	Looked    How = "looked"    // seen on the spot
	Granted   How = "granted"   // by the owner, an authority or an engineer, in writing
	Accepted  How = "accepted"  // by the person who answers for it
	Precedent How = "precedent" // a load of given size passed
)

var hows = []How{Measured, Looked, Granted, Accepted, Precedent}

// ErrAnswer is wrapped by every error about an answer.
var ErrAnswer = errors.New("answer")

// Value is one figure or word of an answer. Key is empty where only one thing
// was asked for.
type Value struct {
	Key    string
	Number float64 // NaN for a word
	Text   string
}

// Load is the size of a train: what a precedent was, and what ours is. NaN where
// not given.
type Load struct{ GrossKg, AxleKg, WidthM, LengthM, HeightM float64 }

// Answer is one row of a file of answers.
type Answer struct {
	Row       string // file and line, for messages
	Route     string // id; empty where only a coordinate places it
	Direction string // forward, reverse; empty for both
	Check     string // what it answers

	// At is the stretch in metres along the file's line; Point the coordinate,
	// degrees. One of the two is there.
	At       route.Stretch
	Placed   bool // At is there
	Point    orb.Point
	Pointed  bool // Point is there
	WithinM  float64
	How      How
	By       string
	When     string // day, 2024-03-02
	Until    string // last day it holds; empty for no end
	Values   []Value
	ErrorAbs float64 // 95 % half-width of a measured figure, in its unit
	Terms    string  // conditions
	Passed   Load    // of a precedent
}

// WithinM is how far off its place an answer may stand, metres, unless its row
// says otherwise. Choice: about the error of a handheld receiver in a valley.
const WithinM = 25.0

// Who names who answers, how and when.
func (a *Answer) Who() string {
	s := fmt.Sprintf("%s by %s, %s", a.How, a.By, a.When)
	if a.Until != "" {
		s += ", valid until " + a.Until
	}
	return s
}

// Says is the answer in words.
func (a *Answer) Says() string {
	if a.How == Precedent {
		var out []string
		for _, p := range []struct {
			v    float64
			unit string
		}{{a.Passed.GrossKg, "kg gross"}, {a.Passed.AxleKg, "kg on an axle"}, {a.Passed.WidthM, "m wide"}, {a.Passed.LengthM, "m long"}} {
			if !math.IsNaN(p.v) {
				out = append(out, figure(p.v)+" "+p.unit)
			}
		}
		return "passed by " + strings.Join(out, ", ")
	}
	var out []string
	for _, v := range a.Values {
		s := v.Text
		if v.Key != "" {
			s = v.Key + "=" + v.Text
		}
		out = append(out, s)
	}
	return strings.Join(out, " ")
}

func figure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Expired reports whether the answer no longer holds on a day. A precedent
// without an end holds a year from the day it passed: roads and bridges age.
// Choice.
func (a *Answer) Expired(today string) bool {
	until := a.Until
	if until == "" && a.How == Precedent {
		until = nextYear(a.When)
	}
	return until != "" && today != "" && until < today
}

func nextYear(day string) string {
	y, err := strconv.Atoi(day[:4])
	if err != nil {
		return ""
	}
	return fmt.Sprintf("%04d%s", y+1, day[4:])
}

// validDay reports whether a text is a day of the calendar, 2024-03-02.
func validDay(s string) bool {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' || strings.Trim(s, "0123456789-") != "" {
		return false
	}
	y, err1 := strconv.Atoi(s[:4])
	m, err2 := strconv.Atoi(s[5:7])
	d, err3 := strconv.Atoi(s[8:])
	if err1 != nil || err2 != nil || err3 != nil || m < 1 || m > 12 || d < 1 || y < 1900 {
		return false
	}
	days := []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[m-1]
	if m == 2 && y%4 == 0 && (y%100 != 0 || y%400 == 0) {
		days = 29
	}
	return d <= days
}

// parseValues reads "mass_kg=120000 axle_kg=12000", a bare figure or a bare
// word.
func parseValues(text string) (out []Value, err error) {
	for _, w := range strings.Fields(text) {
		key, val, ok := strings.Cut(w, "=")
		if !ok {
			key, val = "", w
		}
		if ok && (key == "" || val == "") {
			return nil, fmt.Errorf("answer %q: write a figure, yes or no, or key=figure", text)
		}
		v := Value{Key: key, Number: math.NaN(), Text: val}
		if n, err := parseNumber(val); err == nil {
			v.Number = n
		} else if strings.ContainsAny(val[:1], "0123456789+-.") {
			return nil, fmt.Errorf("answer %q: %q is no plain number: write it with a decimal point, without unit", text, val)
		}
		if slices.ContainsFunc(out, func(o Value) bool { return o.Key == v.Key && math.IsNaN(o.Number) == math.IsNaN(v.Number) }) {
			return nil, fmt.Errorf("answer %q gives %q twice", text, cmpKey(v.Key))
		}
		out = append(out, v)
	}
	return out, nil
}

func cmpKey(k string) string {
	if k == "" {
		return "a bare value"
	}
	return k
}

// parseNumber reads a plain decimal number: no exponent, no words.
func parseNumber(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || strings.Trim(s, "+-.0123456789") != "" || !(v > -1e9 && v < 1e9) {
		return math.NaN(), fmt.Errorf("must be a plain number, is %q", s)
	}
	return v, nil
}
