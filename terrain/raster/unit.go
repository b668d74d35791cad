package raster

import (
	"math"
	"strings"
)

// unit is a unit of height.
type unit struct {
	name   string  // as terrain.Source.Unit shows it
	metres float64 // one of it
}

// Source: international yard and pound agreement 1959 (0.3048 m exact) and
// Mendenhall order 1893 (1200/3937 m exact).
var (
	metre  = unit{"m", 1}
	foot   = unit{"ft", 0.3048}
	usFoot = unit{"US survey ft", 1200.0 / 3937}
)

// unitSpellings are what drivers write as the unit type of a band, in lower
// case with brackets off and runs of blanks, dashes and underscores as one
// blank.
var unitSpellings = map[string]unit{
	"m": metre, "metre": metre, "metres": metre, "meter": metre, "meters": metre, "mtr": metre,
	"ft": foot, "foot": foot, "feet": foot, "international foot": foot, "international feet": foot,
	"foot (international)": foot, "ft (international)": foot, "intl foot": foot,
	"us ft": usFoot, "ftus": usFoot, "us foot": usFoot, "us feet": usFoot, "foot us": usFoot, "sft": usFoot,
	"us survey foot": usFoot, "us survey feet": usFoot, "u.s. survey foot": usFoot, "us survey ft": usFoot,
	"foot (us survey)": usFoot, "survey foot": usFoot,
	"dm": {"dm", 0.1}, "decimetre": {"dm", 0.1}, "decimeter": {"dm", 0.1},
	"cm": {"cm", 0.01}, "centimetre": {"cm", 0.01}, "centimeter": {"cm", 0.01},
	"mm": {"mm", 0.001}, "millimetre": {"mm", 0.001}, "millimeter": {"mm", 0.001},
}

func spelled(s string) (unit, bool) {
	s = strings.ToLower(strings.Trim(strings.TrimSpace(s), "[]"))
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " ")
	u, ok := unitSpellings[s]
	return u, ok
}

const unitHint = "say what it is with --dem-unit m, ft or us-ft"

// heightUnit settles the unit of the heights: the user's word, else the unit
// type of the band, else the axis of a vertical CRS. assumed is true when none
// of them says anything and metres are taken.
func heightUnit(user, band string, axis *wktUnit) (u unit, assumed bool, err error) {
	if user != "" {
		u, ok := spelled(user)
		if !ok {
			return unit{}, false, refuse(ErrUnit, "give m, ft or us-ft", "unknown unit %q asked for", user)
		}
		return u, false, nil
	}
	byAxis, axisKnown := unit{}, axis != nil
	if axisKnown {
		if byAxis, err = axis.asUnit(); err != nil {
			return unit{}, false, err
		}
	}
	if strings.TrimSpace(band) == "" {
		if axisKnown {
			return byAxis, false, nil
		}
		return unit{"unknown (taken as m)", 1}, true, nil
	}
	byBand, ok := spelled(band)
	if !ok {
		return unit{}, false, refuse(ErrUnit, unitHint, "the band's unit is %q", band)
	}
	if axisKnown && math.Abs(byBand.metres/byAxis.metres-1) > 1e-9 {
		return unit{}, false, refuse(ErrUnit, unitHint, "the band's unit is %q but the vertical axis is in %s", band, byAxis.name)
	}
	return byBand, false, nil
}

// asUnit goes by the factor, which WKT always holds, not by the name.
func (w *wktUnit) asUnit() (unit, error) {
	for _, u := range []unit{metre, foot, usFoot} {
		if math.Abs(w.metres/u.metres-1) < 1e-9 {
			return u, nil
		}
	}
	if !(w.metres > 1e-6 && w.metres < 1e6) {
		return unit{}, refuse(ErrUnit, unitHint, "the vertical axis is in %q of %v m", w.name, w.metres)
	}
	return unit{w.name, w.metres}, nil
}
