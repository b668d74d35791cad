// Package ground reckons with soft ground by the cone index method: what a
// vehicle needs of fine-grained soil, as a rating cone index (RCI), for one
// pass and for fifty. The forms and most constants are from memory (see the
// words beside each); results are ranges, and nobody may let them decide. What
// soil a place has comes from somebody who pushed a cone into it.
//
// The formulas are in pounds and inches; what goes in and out is SI, an index
// has no unit (it is the cone's pressure in lb/in2).
package ground

import "math"

// Conversions, exact.
const (
	poundKg = 0.45359237
	inchM   = 0.0254
)

// RCI is the rating cone index of a layer: its cone index times its remoulding
// index. Fine-grained soils and sands that remould only. Source: vehicle note
// 5.1, field manuals R6 and R8, read; worked there: 49 x 0.87 = 42.6, 56 x 0.85
// = 47.6.
func RCI(cone, remoulding float64) float64 { return cone * remoulding }

// Range is what a remembered or rough form leaves open.
type Range struct{ Low, High float64 }

// OfCBR turns a California bearing ratio in percent into a rating cone index:
// about 56 times it for CL, ML, CH and MH soils (field manual R9, read). "About"
// is taken as a quarter either way: choice.
func OfCBR(cbr float64) Range { return Range{0.75 * 56 * cbr, 1.25 * 56 * cbr} }

// Vehicle cone indices from a mobility index MI of a wheeled vehicle, for one
// pass and for fifty. Up to MI 115 the form with 3.74 is used; public copies
// differ (2.14), by 0.006 at MI 102; beyond, 4.1 MI^0.446. From memory, checked
// by the published pair 32 and 72.
func WheeledVCI(mi float64) (one, fifty float64) {
	one = 11.48 + 0.2*mi - 39.2/(mi+3.74)
	if mi > 115 {
		one = 4.1 * math.Pow(mi, 0.446)
	}
	return one, 28.23 + 0.43*mi - 92.67/(mi+3.67)
}

// TrackedVCI is the same for tracks. From memory, checked by the published pair
// 21 and 49.
func TrackedVCI(mi float64) (one, fifty float64) {
	return 7 + 0.2*mi - 39.2/(mi+5.6), 19.27 + 0.43*mi - 125.79/(mi+7.08)
}

// Wheels are a wheeled unit on soft ground.
type Wheels struct {
	Kg          float64 // on its axles
	AxleKg      float64 // on the heaviest of them
	Axles       int
	Tyres       int // on the ground
	TyreWidthM  float64
	TyreDiamM   float64
	ClearanceM  float64 // NaN when not given: none is counted
	Powered     bool
	KWPerTonne  float64 // of what it hauls
	Chains      bool
	Automatic   bool
	Deflections Range // tyre deflection over section height
}

// Deflections is what tyres of heavy haulage may be pressed in, over their
// section height. Choice: the ends of the published table.
var Deflections = Range{0.15, 0.35}

// weightFactor of a mean axle load in thousands of pounds. From memory; the
// joins agree to 1 % (TestWeightFactorJoins).
func weightFactor(x float64) float64 {
	switch {
	case x < 2:
		return 0.553 * x
	case x < 13.5:
		return 0.033*x + 1.050
	case x < 20:
		return 0.142*x - 0.420
	}
	return 0.278*x - 3.115
}

// MobilityIndex of a wheeled unit. From memory, in part read in excerpts; that
// of an unpowered one is the weakest of all.
func (w Wheels) MobilityIndex() float64 {
	lb := w.Kg / poundKg
	width, diameter := w.TyreWidthM/inchM, w.TyreDiamM/inchM
	pressure := lb / (width * diameter / 2 * float64(w.Tyres))
	factor := weightFactor(lb / float64(w.Axles) / 1000)
	tyre := (10 + width) / 100
	wheel := lb / 2000 / float64(w.Axles)
	clearance := 0.0
	if !math.IsNaN(w.ClearanceM) {
		clearance = w.ClearanceM / inchM / 10
	}
	if !w.Powered {
		return 0.64*(pressure*factor/tyre+wheel-clearance) + 10
	}
	mi := pressure*factor/tyre + wheel - clearance
	if w.Chains {
		mi = pressure*factor/(tyre*1.05) + wheel - clearance
	}
	const horsesPerTonne = 10 / 0.90718474 * 0.745699872 // 10 hp a short ton in kW a tonne
	if w.KWPerTonne < horsesPerTonne {
		mi *= 1.05
	}
	if !w.Automatic {
		mi *= 1.05
	}
	return mi
}

// deflectionFactor eases what a soft tyre needs. Source R7, read.
func deflectionFactor(d float64) float64 { return math.Pow(0.15/d, 0.25) }

// Needs is the rating cone index a wheeled unit needs for one pass and for
// fifty, as ranges over what its tyres may be pressed in.
func (w Wheels) Needs() (one, fifty Range) {
	a, b := WheeledVCI(w.MobilityIndex())
	low, high := deflectionFactor(w.Deflections.High), deflectionFactor(w.Deflections.Low)
	return Range{a * low, a * high}, Range{b * low, b * high}
}
