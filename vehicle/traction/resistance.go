// Package traction says what a train must pull and what it can: grade, rolling
// and air resistance; adhesion by surface; effort by gear; the largest grade
// it masters at crawl ([Climb]) and from rest ([Start]); what a helper must
// give at the bar ([Shortfall]).
//
// SI throughout; a grade is rise over plan distance. Forces along the road are
// newtons. Every answer carries the steps it was made of.
package traction

import (
	"math"

	"drawbar/vehicle"
)

// Step is one line of a calculation, in the order it was made.
type Step struct {
	Name  string
	Value float64
	Unit  string
	How   string // formula in words, or where the value is from
}

// AirDensity is that of the standard atmosphere at sea level, kg/m3.
// Source: ISO 2533, memory, unverified.
const AirDensity = 1.225

// Resistance is what a train must overcome, by cause.
type Resistance struct {
	GradeN   float64 // m g sin
	RollingN float64 // f m g cos
	AirN     float64 // half rho CdA v2
	SumN     float64
	Steps    []Step
}

// GradeResistance is massKg*G*sin(atan grade), newtons, negative downhill. The
// sine is exact at any grade; the rule of 1 % of the weight for each 1 % of
// grade is within 2 % up to 20 %.
func GradeResistance(massKg, gradeRatio float64) float64 {
	return massKg * vehicle.G * gradeRatio / math.Sqrt(1+gradeRatio*gradeRatio)
}

// RollingResistance is f*massKg*G*cos(atan grade), newtons.
func RollingResistance(massKg, gradeRatio, f float64) float64 {
	return f * massKg * vehicle.G / math.Sqrt(1+gradeRatio*gradeRatio)
}

// AirResistance is half rho CdA v2, newtons: CdA in m2, speed in m/s.
func AirResistance(dragAreaM2, speedMS float64) float64 {
	return AirDensity / 2 * dragAreaM2 * speedMS * speedMS
}

// PullNeeded is the tractive force that holds the train at steady crawl on a
// grade: m g sin + f m g cos, air left out. f is the rolling coefficient.
func PullNeeded(c *vehicle.Combination, gradeRatio, f float64) Resistance {
	r := Resistance{
		GradeN:   GradeResistance(c.GrossKg, gradeRatio),
		RollingN: RollingResistance(c.GrossKg, gradeRatio, f),
	}
	r.SumN = r.GradeN + r.RollingN
	r.Steps = []Step{
		{"gross combination mass", c.GrossKg, "kg", "units and loads"},
		{"grade", gradeRatio, "1", "rise over plan distance"},
		{"rolling coefficient", f, "1", "surface"},
		{"grade resistance", r.GradeN, "N", "m g sin(atan grade)"},
		{"rolling resistance", r.RollingN, "N", "f m g cos(atan grade)"},
		{"pull needed", r.SumN, "N", "sum"},
	}
	return r
}

// Gradeability is the grade on which a pull, newtons, balances grade and
// rolling resistance of a mass:
//
//	tan(asin((F/mg)/sqrt(1+f2)) - atan f)
//
// exact, derived from F = mg (sin + f cos). +Inf for a pull that lifts the mass
// up a wall, negative when it does not even overcome rolling on the level.
func Gradeability(pullN, massKg, f float64) float64 {
	x := pullN / (massKg * vehicle.G) / math.Sqrt(1+f*f)
	if x >= 1 {
		return math.Inf(1)
	}
	theta := math.Asin(math.Max(x, -1)) - math.Atan(f)
	if theta <= -math.Pi/2 {
		return math.Inf(-1)
	}
	return math.Tan(theta)
}

// BarTension is the force in the bar between two units that both pull on the
// same grade with the same rolling coefficient, newtons, positive in tension:
// (Fa mc - Fc ma)/(ma+mc), whatever grade, rolling and acceleration are.
// Negative: the leading unit is being pushed. Derived.
func BarTension(leadPullN, leadKg, rearPullN, rearKg float64) float64 {
	return (leadPullN*rearKg - rearPullN*leadKg) / (leadKg + rearKg)
}
