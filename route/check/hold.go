package check

import (
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// HoldAt is the bound of a pass for a parked train: it cannot be undone.
const HoldAt = 0.99

// hold says once for the route whether the train may be parked on its steepest
// place: the grip of the parked axles, and the parking brake's own force where
// the file gives it.
func hold(s *Situation, k *Sink) {
	if field := s.lacksField("hold", ".parked"); field != "" {
		f := standing(s, "whether it holds when parked is not known: the file does not say which axles the parking brake acts on", "give {field} for every axle", 1)
		f.Q = append(f.Q, Quantity{Name: "field", Text: field, Unit: Literal})
		k.Place(f)
		return
	}
	worst := reading{p: math.Inf(1)}
	var m motion
	var over route.Stretch
	length := 0.0
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		r, nose := s.parkedAt(i)
		if math.IsNaN(r.demand) {
			continue
		}
		if r.p < worst.p || (r.p == worst.p && r.demand > worst.demand) {
			worst, m = r, nose
		}
		if r.p < HoldAt {
			half := s.spacing(i) / 2
			if length == 0 {
				over.FromM = r.s - half
			}
			over.ToM = r.s + half
			length += 2 * half
		}
	}
	if !math.IsInf(worst.p, 1) {
		k.Place(s.holdFinding(worst, m, clip(over, s.Window), length))
	}
}

// parkedAt judges one station with the train parked on it, whichever way its
// nose points.
func (s *Situation) parkedAt(i int) (reading, motion) {
	m := parkedUp
	if s.TrainGrade.Value[i] < 0 {
		m = parkedDown
	}
	return s.gradeAt(i, m), m
}

func (s *Situation) holdFinding(w reading, m motion, over route.Stretch, lengthM float64) Finding {
	sp := s.grounds[w.i].span[m]
	c := &sp.worst.capacity[m]
	f := Finding{At: s.Window, WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.pBest, Unit: Grade,
		Rests: slices.Clone(c.rests), Unverified: s.unverified(c.rests),
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: c.grade, SE: math.Sqrt(w.varSupply), Unit: Grade},
			{Name: "surely", Value: max(c.surelyHeld(), 0), Unit: AtMost},
			{Name: "surface", Text: label(sp.worst.surface), Unit: Literal},
			{Name: "nose", Text: map[motion]string{parkedUp: "nose up", parkedDown: "nose down"}[m], Unit: Literal},
			{Name: "at", Value: w.s, Unit: Chain},
		}}
	known := traction.ParkForceKnown(s.Train)
	by := "the parking brake"
	if !known {
		by = "by grip alone the parking brake"
	}
	switch {
	case lengthM > 0:
		f.At, f.Outcome = over, Caution
		f.Say = by + " holds {limit} on {surface} {nose}, surely {surely}; {length} in all is steeper than that, {grade} at {at}"
		f.Do = "do not park there: stand only with the driver on the service brake, wheels chocked on the downhill side"
		f.Q = append(f.Q, Quantity{Name: "length", Value: lengthM, Unit: Metre})
	case known:
		f.Outcome = Pass
		f.Say = by + " holds {limit} on {surface} {nose}, surely {surely}; here {grade}"
	default:
		f.Outcome, f.Standing, f.P, f.PBest = NotLooked, true, nan, nan
		f.Say = by + " holds every grade here, {grade} at {at}; how strong it is the file does not say"
		f.Close = "give {field}, or try it on such a grade"
		f.Q = append(f.Q, Quantity{Name: "field", Text: s.lacksField("hold", ".park_kn"), Unit: Literal})
	}
	return f
}
