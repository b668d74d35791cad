package profile

import "math"

// roadLaw is what is believed of roads before any height is seen.
//
//	grade    of a ramp: normal, mean 0, sd gradeSD, cut at +-capRatio;
//	         gradeSD = +Inf makes it uniform within the cap
//	ramp     from one point of vertical intersection to the next, metres:
//	         a renewal process whose length is log-uniform from rampLoM to
//	         rampHiM with power tails (l/lo)^tailLo below and (hi/l)^tailHi
//	         above; the window sees a stationary piece of it
//	curve    at each intersection a parabola of K log-uniform kLo..kHi metres a
//	         percent of change of grade, cut to half of either ramp beside it
//
// Curves are kept, not plain kinks: at 8 % change and K = 6 m/% the parabola
// leaves the kink by 0.08*48/8 = 0.5 m, five times the error of a good raster.
type roadLaw struct {
	gradeSD, capRatio float64
	rampLoM, rampHiM  float64
	tailLo, tailHi    float64
	kLo, kHi          float64

	cutTerm float64 // log of the normalisation of the grade law
	rampSum float64 // normalisation of the ramp law
}

// defaultLaw holds for roads of which nothing else is known. All values are
// choices: ramps and K from memory of low-speed design tables, widened on both
// sides; the tails let a 2 km tangent or a 30 m ramp be.
func defaultLaw(gradeSD, capRatio float64) roadLaw {
	return roadLaw{gradeSD: gradeSD, capRatio: capRatio, rampLoM: 60, rampHiM: 600, tailLo: 6, tailHi: 3, kLo: 2, kHi: 30}.ready()
}

// ready fills the normalisations.
func (l roadLaw) ready() roadLaw {
	l.rampSum = 1/l.tailLo + math.Log(l.rampHiM/l.rampLoM) + 1/l.tailHi
	if math.IsInf(l.gradeSD, 1) {
		l.cutTerm = -math.Log(2 * l.capRatio)
		return l
	}
	l.cutTerm = -math.Log(l.gradeSD*math.Sqrt(2*math.Pi)) - math.Log(math.Erf(l.capRatio/(l.gradeSD*math.Sqrt2)))
	return l
}

// grade is the log density of a ramp's grade.
func (l *roadLaw) grade(g float64) float64 {
	if math.Abs(g) > l.capRatio {
		return math.Inf(-1)
	}
	z := g / l.gradeSD
	return l.cutTerm - z*z/2
}

// ramp is the log density of a whole ramp's length.
func (l *roadLaw) ramp(lengthM float64) float64 { return l.tail(lengthM) - math.Log(lengthM*l.rampSum) }

// tail is what the tails add to the log density of a ramp.
func (l *roadLaw) tail(lengthM float64) float64 {
	switch {
	case lengthM < l.rampLoM:
		return l.tailLo * math.Log(lengthM/l.rampLoM)
	case lengthM > l.rampHiM:
		return l.tailHi * math.Log(l.rampHiM/lengthM)
	}
	return 0
}

// beyond is the chance that a ramp is longer.
func (l *roadLaw) beyond(lengthM float64) float64 {
	switch {
	case lengthM >= l.rampHiM:
		return math.Pow(l.rampHiM/lengthM, l.tailHi) / l.tailHi / l.rampSum
	case lengthM >= l.rampLoM:
		return (1/l.tailHi + math.Log(l.rampHiM/lengthM)) / l.rampSum
	}
	short := (1 - math.Pow(lengthM/l.rampLoM, l.tailLo)) / l.tailLo
	return (1/l.tailHi + math.Log(l.rampHiM/l.rampLoM) + short) / l.rampSum
}

// cutRamp is the log density of the part of a ramp that the window's end cuts
// off, up to the constant 1/mean that every road of the window shares.
func (l *roadLaw) cutRamp(lengthM float64) float64 { return math.Log(l.beyond(lengthM)) }

// noneIn is log of the integral of beyond from lengthM: a window without any
// intersection, up to the same constant.
func (l *roadLaw) noneIn(lengthM float64) float64 {
	hi, lo, q, p := l.rampHiM, l.rampLoM, l.tailHi, l.tailLo
	if lengthM >= hi {
		return math.Log(lengthM/(q*(q-1)*l.rampSum)) + q*math.Log(hi/lengthM)
	}
	from := max(lengthM, lo)
	sum := hi/(q*(q-1)) + (hi-from)/q + hi - from - from*math.Log(hi/from)
	if lengthM < lo {
		sum += (1/q+math.Log(hi/lo)+1/p)*(lo-lengthM) - (lo-lengthM*math.Pow(lengthM/lo, p))/(p*(p+1))
	}
	return math.Log(sum / l.rampSum)
}

// proposalSD is the spread of grade the redraw of heights assumes.
func (l *roadLaw) proposalSD() float64 { return min(l.gradeSD, l.capRatio/math.Sqrt(3)) }
