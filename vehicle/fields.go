package vehicle

import (
	"errors"
	"fmt"
	"math"
)

// FieldError is a complaint about one field of a file: where it is, what is
// wrong, what to do. Reached with errors.As.
type FieldError struct {
	Path    string // "units[1].load.mass_kg"
	Problem string // "must be above 0"
}

func (e *FieldError) Error() string { return e.Path + ": " + e.Problem }

// span is what a field may hold, both ends allowed. The limits only catch
// slips of unit and sign; they are choices, far outside anything that drives.
type span struct {
	low, high float64
	unit      string
}

var (
	spanMass     = span{100, 1e6, "kg"}
	spanUnit     = span{1000, 5e5, "kg"} // a vehicle by itself
	spanAxle     = span{500, 1e5, "kg"}
	spanError    = span{0, 1e6, "kg"}
	spanX        = span{-30, 100, "m"}
	spanAcross   = span{-5, 5, "m"}
	spanAt       = span{0, 100, "m"}
	spanOverhang = span{0, 50, "m"}
	spanHeight   = span{0.05, 8, "m"}
	spanLow      = span{0.05, 3, "m"} // couplings, undersides, water
	spanTop      = span{0.3, 10, "m"}
	spanSize     = span{0.3, 60, "m"}
	spanTurn     = span{1, 200, "m"}
	spanPower    = span{20, 3000, "kW"}
	spanTorque   = span{100, 3e4, "N m"}
	spanRPM      = span{100, 1e4, "rpm"}
	spanRatio    = span{0.05, 100, ""}
	spanShare    = span{0.01, 100, ""}
	spanEta      = span{0.3, 1, ""}
	spanInertia  = span{0.01, 100, "kg m2"}
	spanForce    = span{1, 1e5, "kN"}
	spanSmall    = span{0, 2, "m"}
	spanStall    = span{1, 4, ""}
	spanSlip     = span{10, 1e6, "kJ"}
	spanCool     = span{0.1, 1000, "kW"}
	spanDeg      = span{0, 90, "degrees"}
)

// fields gathers what reading a Spec yields: complaints, assumptions, lacks.
type fields struct {
	errs    []error
	assumed []Assumption
	lacks   []Lack
}

func (f *fields) fail(path, format string, args ...any) {
	f.errs = append(f.errs, &FieldError{path, fmt.Sprintf(format, args...)})
}

func (f *fields) err() error { return errors.Join(f.errs...) }

func (f *fields) lack(check, field string) {
	f.lacks = append(f.lacks, Lack{Check: check, Field: field})
}

// optional returns the value, NaN when absent or refused.
func (f *fields) optional(path string, p *float64, s span) float64 {
	if p == nil {
		return math.NaN()
	}
	switch v := *p; {
	case math.IsNaN(v) || math.IsInf(v, 0):
		f.fail(path, "must be a finite number")
	case v <= 0 && s.low > 0:
		f.fail(path, "must be above 0")
	case v < 0 && s.low == 0:
		f.fail(path, "must not be negative")
	case v < s.low || v > s.high:
		f.fail(path, "must be between %g and %g %s, is %g: check the unit", s.low, s.high, s.unit, v)
	default:
		return v
	}
	return math.NaN()
}

// required is optional with a complaint when absent.
func (f *fields) required(path string, p *float64, s span) float64 {
	if p == nil {
		f.fail(path, "is missing: every level needs it")
	}
	return f.optional(path, p, s)
}

// assume is optional with a default that is listed when it is taken.
func (f *fields) assume(path string, p *float64, s span, d Assumption) float64 {
	if p != nil {
		return f.optional(path, p, s)
	}
	return f.take(path, d)
}

// take lists a default under the path of the field that it stands for.
func (f *fields) take(path string, d Assumption) float64 {
	d.Key = path
	if d.Unit == "" {
		d.Unit = "1"
	}
	f.assumed = append(f.assumed, d)
	return d.Value
}

// given says whether the value was in the file and good.
func given(v float64) bool { return !math.IsNaN(v) }
