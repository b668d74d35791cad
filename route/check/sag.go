package check

import (
	"math"

	"drawbar/route"
)

// Choices of the sag under a structure, metres.
const (
	// sagStepM is the step along the load that its top is followed at.
	sagStepM = 1.0
	// sagBeyondM: curvature is read over the structure and this on either side.
	sagBeyondM = 25.0
	// sagSureSE is the most standard error with which heights tell a sag that a
	// height is compared with: worse, they do not resolve it.
	sagSureSE = 0.05
	// nearTopM: units whose top is lower by more cannot be the first to touch.
	nearTopM = 0.5
)

// sagLoss is how much nearer to a structure the top of a load comes because the
// road under it is no plane: x(L-x)/2R between supports L apart over a sag of
// radius R, o(L+o)/2R on an overhang o over a crest; the largest at any point of
// the load. Never below 0: what curves the other way gives nothing back. ok is
// false where the heights do not tell it. Source: geometry note 5.4, derived.
func (s *Situation) sagLoss(at route.Stretch) (lossM, se float64, ok bool) {
	curve, curveSE := s.curvature(at)
	if math.IsNaN(curve) {
		return 0, 0, false
	}
	most := 0.0
	for i := range s.Train.Units {
		u := &s.Train.Units[i]
		if !(u.TopM > s.Train.HeightM-nearTopM) || math.IsNaN(u.FrontOverhangM+u.RearOverhangM) {
			continue
		}
		front, rear := s.supportsOf(i)
		from, to := u.AtM-u.FrontOverhangM, s.Train.Axles[u.Last].AtM+u.RearOverhangM
		n := max(int(math.Ceil((to-from)/sagStepM)), 1)
		for k := 0; k <= n; k++ {
			x := from + (to-from)*float64(k)/float64(n)
			lever := (x - front) * (rear - x) / 2
			lossM, most = max(lossM, curve*lever), max(most, math.Abs(lever))
		}
	}
	se = most * curveSE
	return lossM, se, se <= sagSureSE
}

// curvature of the road under a structure, 1/m, a sag positive. The heights on
// it are carried straight from end to end, so that the middle lies too high by
// what the curve falls below that line: with half the base b and half the
// structure h it is (z(-b) + z(b) - 2 z(0)) / (b2 - h2). One curve over the whole
// base is taken.
func (s *Situation) curvature(at route.Stretch) (perM, se float64) {
	half := at.LengthM() / 2
	base := half + sagBeyondM
	mid := at.FromM + half
	if mid < base || mid+base > s.Way.LengthM() {
		return nan, nan
	}
	v, e := s.Profile.At(mid, []float64{-base, 0, base}, []float64{1, -2, 1})
	k := square(base) - square(half)
	return v / k, e / k
}

// supportsOf are the places that carry a unit's body, metres behind the train's
// foremost axle: the centres of its axle groups, for a semi-trailer its kingpin
// and its group.
func (s *Situation) supportsOf(i int) (front, rear float64) {
	u := &s.Train.Units[i]
	if len(u.GroupXM) == 1 {
		return u.AtM, u.AtM + u.GroupXM[0]
	}
	return u.AtM + u.GroupXM[0], u.AtM + u.GroupXM[1]
}
