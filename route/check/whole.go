package check

import (
	"context"
	"math"
	"sort"

	"drawbar/route/profile"
)

// dearShare is the share of the variance from which the grade is worth the
// dearer estimate. Choice.
const dearShare = 0.3

// wholeChance adds to an undecided grade the chance that the train passes the
// whole stretch: roads are sampled, and on each the least margin is compared
// with what is uncertain of the capacity, which is the same all along. The
// estimate at single stations cannot say that. It informs; the outcome stays
// that of the worst station. On ground that is not known the worst it may be is
// taken.
func (s *Situation) wholeChance(f *Finding, w reading, m motion) {
	dear := s.SampleRoads || s.grounds[w.i].span[m].known() && gradeShare(f.Decides) >= dearShare
	if f.Outcome != Undecided || !dear {
		return
	}
	limit := make([]float64, len(s.Profile.ChainageM))
	c := s.Profile.ChainageM
	for i := range limit {
		limit[i] = math.Inf(1)
	}
	for i := sort.SearchFloat64s(c, f.At.FromM); i < len(c) && c[i] <= f.At.ToM; i++ {
		limit[i] = s.capacityAt(i, s.grounds[i].span[m].worst, m).grade
	}
	off, weight := trainWeights(s.Train)
	got, err := s.Profile.Worst(context.Background(), f.At, off, weight, limit, profile.WorstOptions{})
	if err != nil {
		return // too few heights to sample roads: the station's chance stands alone
	}
	worst, sum := s.capacityAt(w.i, s.grounds[w.i].span[m].worst, m), 0.0
	for _, margin := range got.Margin {
		sum += worst.chance(worst.grade-margin, 0)
	}
	f.Q = append(f.Q, Quantity{Name: "whole", Value: sum / float64(len(got.Margin)), Unit: Share},
		Quantity{Name: "steepest", Value: got.Median(), SE: (got.Upper(0.95) - got.Median()) / oneSided, Unit: Grade},
		Quantity{Name: "cap", Value: got.CapRatio, Unit: Grade})
}

func gradeShare(parts []Quantity) float64 {
	for _, p := range parts {
		if p.Name == "grade" {
			return p.Value
		}
	}
	return 0
}
