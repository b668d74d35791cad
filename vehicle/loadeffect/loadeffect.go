// Package loadeffect says what a train does to a beam: the largest bending
// moment and shear of axles rolling over simple and continuous spans, the same
// of published reference trains ([References]), axle-group formulas
// ([TableB], [Permit]) and load classes ([Expedient], [Coupled]).
//
// It compares loads. It does not rate a bridge: strength, condition, sharing
// between girders and dynamics are an engineer's. Loads are newtons, lengths
// metres, moments newton metres; all effects are static and of one lane unless
// a name says otherwise.
package loadeffect

import (
	"drawbar/vehicle"
)

// Train is a row of axles, front to rear: places in metres behind the foremost
// one, rising, and loads in newtons. Both slices have the same length.
type Train struct {
	AtM   []float64
	LoadN []float64
}

// Of is the train of a combination standing on the level.
func Of(c *vehicle.Combination) Train { return ofAxles(c.Axles) }

// OfUnits is the train of some units of a combination, from the first to the
// last of them.
func OfUnits(c *vehicle.Combination, first, last int) Train {
	return ofAxles(c.Axles[c.Units[first].First : c.Units[last].Last+1])
}

func ofAxles(axles []vehicle.Axle) Train {
	t := Train{AtM: make([]float64, len(axles)), LoadN: make([]float64, len(axles))}
	for i, a := range axles {
		t.AtM[i], t.LoadN[i] = a.AtM-axles[0].AtM, a.Kg*vehicle.G
	}
	return t
}

// MassKg is the mass that its loads are the weight of.
func (t Train) MassKg() (kg float64) {
	for _, n := range t.LoadN {
		kg += n / vehicle.G
	}
	return kg
}

// Effect is the largest moment and the largest end shear on a span.
type Effect struct {
	MomentNm, ShearN float64
}

// Most is the larger of each.
func (e Effect) Most(o Effect) Effect {
	return Effect{max(e.MomentNm, o.MomentNm), max(e.ShearN, o.ShearN)}
}

// Plus adds maxima that need not fall on the same section, as the published
// tables of a truck together with a lane load do; a little above the true sum.
func (e Effect) Plus(o Effect) Effect {
	return Effect{e.MomentNm + o.MomentNm, e.ShearN + o.ShearN}
}

// Simple is the largest moment and end shear of a train on a simple span, m,
// exact over all positions and sections and for both directions. A span that is
// not above 0 has none.
//
// Moment: the largest stands under an axle. Let the influence line run on below
// zero outside the span: axles that are not on it then only take away, so the
// largest over all runs of neighbouring axles is that of those on the span, and
// each run is largest where axle and resultant stand as far from the middle
// (bridges.md 2.2, derived). Shear: with an axle at a support.
func Simple(t Train, spanM float64) Effect {
	if !(spanM > 0) {
		return Effect{}
	}
	e := Effect{}
	for k := range t.AtM {
		e.MomentNm = max(e.MomentNm, t.momentUnder(k, spanM))
		e.ShearN = max(e.ShearN, t.shearBehind(k, spanM), t.shearAhead(k, spanM))
	}
	return e
}

// momentUnder is the largest moment under axle k. For the run i..j of sum W and
// resultant d behind k, at s from the support behind, it is
// W/L s (L - s + d) - C, C being the moment about k of the axles behind it.
func (t Train) momentUnder(k int, spanM float64) (best float64) {
	w0, m0 := 0.0, 0.0 // of axles k..j about k
	for j := k; j < len(t.AtM) && t.AtM[j]-t.AtM[k] < spanM; j++ {
		w0 += t.LoadN[j]
		m0 += t.LoadN[j] * (t.AtM[j] - t.AtM[k])
		w, m := w0, m0
		for i := k; ; i-- {
			if i < k {
				w += t.LoadN[i]
				m += t.LoadN[i] * (t.AtM[i] - t.AtM[k])
			}
			if d := m / w; d > -spanM && d < spanM {
				best = max(best, w*(spanM+d)*(spanM+d)/(4*spanM)-m0)
			}
			if i == 0 || t.AtM[k]-t.AtM[i-1] >= spanM {
				break
			}
		}
	}
	return best
}

// shearBehind is the reaction with axle k at the front support.
func (t Train) shearBehind(k int, spanM float64) (r float64) {
	for j := k; j < len(t.AtM) && t.AtM[j]-t.AtM[k] < spanM; j++ {
		r += t.LoadN[j] * (1 - (t.AtM[j]-t.AtM[k])/spanM)
	}
	return r
}

// shearAhead is the reaction with axle k at the rear support.
func (t Train) shearAhead(k int, spanM float64) (r float64) {
	for j := k; j >= 0 && t.AtM[k]-t.AtM[j] < spanM; j-- {
		r += t.LoadN[j] * (1 - (t.AtM[k]-t.AtM[j])/spanM)
	}
	return r
}

// Patch is a load spread evenly over a length: a tracked machine.
type Patch struct {
	LoadN, LengthM float64 // LengthM above 0
}

// Simple is the largest moment and end shear of a patch on a simple span, m.
// Closed form (bridges.md 2.2, derived).
func (p Patch) Simple(spanM float64) Effect {
	switch w, a := p.LoadN, p.LengthM; {
	case !(spanM > 0):
		return Effect{}
	case spanM < a:
		return uniform(w/a, spanM)
	default:
		return Effect{w*spanM/4 - w*a/8, w * (1 - a/(2*spanM))}
	}
}

// Axles are n equal loads in the middles of n equal parts of the patch: for
// beams that have no closed form. n is at least 1.
func (p Patch) Axles(n int) Train {
	t := Train{AtM: make([]float64, n), LoadN: make([]float64, n)}
	for i := range n {
		t.AtM[i], t.LoadN[i] = float64(i)*p.LengthM/float64(n), p.LoadN/float64(n)
	}
	return t
}

// uniform is a load of q N/m over the whole span.
func uniform(q, spanM float64) Effect {
	return Effect{q * spanM * spanM / 8, q * spanM / 2}
}
