package check

import (
	"math"
	"sort"

	"drawbar/route"
)

// void reports where the grade under the train cannot be told: where the way
// has no height, on until the whole train has passed that, and on a way shorter
// than the train. No climb can be judged there.
func void(s *Situation, k *Sink) {
	c := s.Profile.ChainageM
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		if !math.IsNaN(s.TrainGrade.Value[i]) {
			continue
		}
		j := i
		for j+1 < to && math.IsNaN(s.TrainGrade.Value[j+1]) {
			j++
		}
		at := route.Stretch{FromM: c[max(i-1, 0)], ToM: c[min(j+1, len(c)-1)]}
		k.Place(s.voidFinding(clip(at, s.Window)))
		i = j
	}
	carriedVoids(s, k)
}

// carriedVoids says how much of the way is carried straight over short voids:
// nothing is known of the ground there.
func carriedVoids(s *Situation, k *Sink) {
	voids := s.Profile.CarriedVoids()
	if len(voids) == 0 {
		return
	}
	longest := voids[0]
	for _, v := range voids {
		if v.LengthM() > s.longVoid(v) && v.Overlaps(s.Window) && s.told(v) < v.LengthM()-10 {
			k.Place(s.carriedFinding(clip(v, s.Window)))
		}
		if v.LengthM() > longest.LengthM() {
			longest = v
		}
	}
	f := standing(s, "{count} voids in the raster are carried straight, the longest {longest} at {at}", "look at them on foot; or give a raster that covers them, or --carry -1", 1)
	f.Q = append(f.Q, Quantity{Name: "count", Value: float64(len(voids)), Unit: Count},
		Quantity{Name: "longest", Value: longest.LengthM(), Unit: Metre}, Quantity{Name: "at", Value: longest.FromM, Unit: Chain})
	k.Place(f)
}

// mostCarriedM is the longest void that is carried without a question where
// three cells are shorter, metres. Choice.
const mostCarriedM = 100.0

// longVoid is the length from which a carried void is a question, however far
// the user lets them be carried: nothing is known of the ground in it.
// The cells are those of the heights beside it.
func (s *Situation) longVoid(at route.Stretch) float64 {
	p := s.Profile
	before := max(sort.SearchFloat64s(p.ChainageM, at.FromM+1e-6)-1, 0)
	after := min(sort.SearchFloat64s(p.ChainageM, at.ToM-1e-6), len(p.ChainageM)-1)
	cell := max(p.Sources[p.Source[before]].CellM, p.Sources[p.Source[after]].CellM)
	return max(mostCarriedM, 3*cell)
}

// carriedFinding words a long one.
func (s *Situation) carriedFinding(at route.Stretch) Finding {
	return Finding{At: at, WorstM: at.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Grade, Outcome: NotLooked,
		Say:   "no height for {length}, carried straight over it: a rise or a cut in it does not show",
		Close: "walk it: passes where the grade under the train is at most {limit}; or give a raster that covers it",
		Q:     []Quantity{{Name: "length", Value: at.LengthM(), Unit: Metre}, {Name: "limit", Value: s.weakestIn(at).capacity[crawling].passGrade(), Unit: AtMost}}}
}

// voidFinding words one stretch.
func (s *Situation) voidFinding(at route.Stretch) Finding {
	least := s.weakestIn(at)
	f := Finding{At: at, WorstM: at.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Grade, Outcome: NotLooked,
		Say:   "no height for {length} ({why}): climbs are not judged until the whole train is past it",
		Close: "walk it: passes where the grade under the train is at most {limit} on {surface}; or give a raster that covers it",
		Q: []Quantity{
			{Name: "limit", Value: least.capacity[crawling].passGrade(), Unit: AtMost},
			{Name: "surface", Text: label(least.surface), Unit: Literal},
		}}
	length, why := s.missingIn(at)
	switch {
	case length > 0 && why == "":
		why = "too few heights beside it"
	case length == 0:
		f.Say = "no grade under the train: with {train} it is longer than the piece of way that has heights"
		f.Close = "give the way before and after it too; or walk it: passes where the grade is at most {limit} on {surface}"
		f.Q = append(f.Q, Quantity{Name: "train", Value: s.Train.Axles[len(s.Train.Axles)-1].AtM + gradeBaseM, Unit: Metre})
		return f
	}
	f.Q = append(f.Q, Quantity{Name: "length", Value: length, Unit: Metre}, Quantity{Name: "why", Text: why, Unit: Literal})
	return f
}

// missingIn is the length without height on a stretch and why.
func (s *Situation) missingIn(at route.Stretch) (lengthM float64, why string) {
	missing, reasons := s.Profile.MissingStretches()
	for i, m := range missing {
		if !m.Overlaps(at) {
			continue
		}
		lengthM += clip(m, at).LengthM()
		if why == "" {
			why = reasons[i].String()
		}
	}
	return lengthM, why
}

// clip cuts a stretch to a window.
func clip(s, window route.Stretch) route.Stretch {
	return route.Stretch{FromM: max(s.FromM, window.FromM), ToM: min(s.ToM, window.ToM)}
}
