package profile

import (
	"math"
	"slices"
)

// Shown is the length, metres, from which on a climb of a grade stands out of
// the stated errors of the heights, nineteen times in twenty and with as much
// power: where grade times length exceeds twice 1.645 standard errors of the
// rise. It is that of the median station; 0 for a way of given grades, and +Inf
// for a grade that is none. Shorter climbs may hide, whatever the estimate says.
func (p *Profile) Shown(grade float64) float64 {
	var sd []float64
	corr := 1.0
	for i, m := range p.Mark {
		if m == Measured && len(p.Sources) > 0 {
			sd = append(sd, p.errorAt(i, false))
			corr = max(corr, p.Sources[p.Source[i]].CorrM)
		}
	}
	switch {
	case len(sd) == 0:
		return 0
	case !(grade > 0):
		return math.Inf(1)
	}
	slices.Sort(sd)
	need := 2 * oneSided * math.Sqrt2 * sd[len(sd)/2]
	low, high := 0.0, need/grade // there the rise exceeds even errors without correlation
	for range 40 {
		if mid := (low + high) / 2; grade*mid < need*math.Sqrt(-math.Expm1(-mid/corr)) {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
