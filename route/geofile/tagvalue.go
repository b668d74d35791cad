package geofile

import (
	"math"
	"strconv"
	"strings"

	"drawbar/route"
)

// Units of OpenStreetMap values. The pound, the foot and the mile are exact by
// definition (international yard and pound, 1959; standing: read), st, lt and
// cwt follow from the pound. cwt is taken as the long hundredweight of 112 lb,
// the one of British signs (standing: memory).
const (
	poundKg = 0.45359237
	footM   = 0.3048
	inchM   = footM / 12
)

var massUnits = map[string]float64{ // kilograms
	"":    1000, // the default unit is the tonne
	"t":   1000,
	"kg":  1,
	"st":  2000 * poundKg,
	"lt":  2240 * poundKg,
	"lbs": poundKg,
	"cwt": 112 * poundKg,
}

var lengthUnits = map[string]float64{ // metres
	"":   1, // the default unit is the metre
	"m":  1,
	"cm": 0.01,
	"km": 1000,
	"ft": footM,
	"mi": 5280 * footM,
}

// Figures beyond these are taken for faults, not for limits (choices): no
// road vehicle has 10,000 t, no road structure measures 10 km, no road
// climbs at more than 45 degrees, and 150 is the highest class of the
// standard series (read).
const (
	maxMassKg  = 1e7
	maxLengthM = 1e4
	maxIncline = 1.0
	maxClass   = 150
)

// ParseMassKg reads an OpenStreetMap mass, as of maxweight: a positive number
// with a decimal point, then nothing (tonnes) or a space and t, kg, st (short
// ton), lt (long ton), lbs or cwt. The space may be missing before t and kg.
// The limit is in kilograms; see [route.Limit] for what words and malformed
// text become. A mass over 10,000 t is Unreadable.
func ParseMassKg(s string) route.Limit { return figure(s, massUnits, maxMassKg, false) }

// ParseLengthM reads an OpenStreetMap length, as of maxheight or width: a
// positive number, then nothing (metres) or a space and m, cm, km, ft or mi;
// or feet and inches as 16'8" and 8'. The space may be missing before m and
// cm. The limit is in metres; over 10 km it is Unreadable.
func ParseLengthM(s string) route.Limit {
	if l, ok := words(s); ok {
		return l
	}
	if v, ok := feetInches(strings.TrimSpace(s)); ok {
		return known(s, v, maxLengthM, false)
	}
	return figure(s, lengthUnits, maxLengthM, false)
}

// ParseDepthM is ParseLengthM for the depth of water, where 0 is a figure.
func ParseDepthM(s string) route.Limit {
	if strings.TrimSpace(s) == "0" {
		return route.Limit{State: route.Known, Raw: rawText(s)}
	}
	return ParseLengthM(s)
}

// ParseClass reads a load class number (0 < class <= 150, no unit).
func ParseClass(s string) route.Limit { return figure(s, map[string]float64{"": 1}, maxClass, false) }

// ParseIncline reads an OpenStreetMap incline: percent ("10%", "-8 %") or
// degrees ("5°"), positive uphill along the line. The value is rise over run.
// "up" and "down" carry no figure, a bare number no unit: both are Unreadable,
// as is anything steeper than 100 %.
func ParseIncline(s string) route.Limit {
	t := strings.TrimSpace(s)
	if t == "" || unsaid[t] {
		return route.Limit{Raw: rawText(s)}
	}
	t = strings.TrimPrefix(t, "+")
	body, minus := strings.CutPrefix(t, "-")
	sign := 1.0
	if minus {
		sign = -1
	}
	if n, ok := strings.CutSuffix(body, "%"); ok {
		if v, ok := plainNumber(strings.TrimSuffix(n, " ")); ok {
			return known(s, sign*v/100, maxIncline, true)
		}
	}
	if n, ok := strings.CutSuffix(body, "°"); ok {
		if v, ok := plainNumber(strings.TrimSuffix(n, " ")); ok && v < 90 {
			return known(s, sign*math.Tan(v*math.Pi/180), maxIncline, true)
		}
	}
	return unreadable(s)
}

// Words that stand for a figure. Source: OpenStreetMap wiki, "Key:maxheight"
// and "Key:maxweight" (read). Only noLimit says that there is no limit; unsaid
// says that nothing is posted or known, so an ordinary legal limit may hold.
var (
	noLimit = map[string]bool{"none": true, "no": true, "unlimited": true}
	unsaid  = map[string]bool{"default": true, "no_sign": true, "unsigned": true, "no_indications": true, "unknown": true}
)

// words reads the words of a limit; ok tells that s is one, or empty.
func words(s string) (l route.Limit, ok bool) {
	switch t := strings.TrimSpace(s); {
	case t == "":
		return route.Limit{}, true
	case noLimit[t]:
		return route.Limit{State: route.None, Raw: rawText(s)}, true
	case unsaid[t]:
		return route.Limit{State: route.Absent, Raw: rawText(s)}, true
	}
	return route.Limit{}, false
}

// figure reads words, or a number and a unit of the table.
func figure(s string, units map[string]float64, most float64, zero bool) route.Limit {
	if l, ok := words(s); ok {
		return l
	}
	t := strings.TrimSpace(s)
	n := len(t) - len(strings.TrimLeft(t, "0123456789."))
	number, unit := t[:n], t[n:]
	if u, spaced := strings.CutPrefix(unit, " "); spaced && u != "" {
		unit = u
	} else if !bareUnits[unit] {
		return unreadable(s)
	}
	factor, ok := units[unit]
	v, fine := plainNumber(number)
	if !ok || !fine {
		return unreadable(s)
	}
	return known(s, v*factor, most, zero)
}

// bareUnits may follow a number without a space: a common slip that cannot be
// misread.
var bareUnits = map[string]bool{"": true, "t": true, "kg": true, "m": true, "cm": true}

// feetInches reads 16'8" and 8'.
func feetInches(s string) (m float64, ok bool) {
	ft, rest, ok := strings.Cut(s, "'")
	if !ok {
		return 0, false
	}
	f, ok := plainNumber(ft)
	if !ok || rest == "" {
		return f * footM, ok
	}
	in, quoted := strings.CutSuffix(rest, `"`)
	i, fine := plainNumber(in)
	if !quoted || !fine || i >= 12 || f != math.Trunc(f) {
		return 0, false
	}
	return f*footM + i*inchM, true
}

// plainNumber reads digits with at most one point between them: no sign, no
// exponent, no comma, no words.
func plainNumber(s string) (float64, bool) {
	whole, frac, point := strings.Cut(s, ".")
	if !digits(whole) || (point && !digits(frac)) {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

func digits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// known is the limit v, Unreadable where it is beyond the most that can be
// meant, or 0 where that is no figure.
func known(raw string, v, most float64, zero bool) route.Limit {
	if math.Abs(v) > most || (v == 0 && !zero) {
		return unreadable(raw)
	}
	return route.Limit{Value: v, State: route.Known, Raw: rawText(raw)}
}

func unreadable(raw string) route.Limit {
	return route.Limit{State: route.Unreadable, Raw: rawText(raw)}
}

// rawText is a value of a file as it is kept, clean and of bounded length.
func rawText(s string) string { return cleanText(cutRunes(s, 200)) }
