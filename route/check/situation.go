package check

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/route/known"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle"
)

// gradeBaseM is the base over which the grade under one axle is taken, metres.
// Choice: about the length of road that an axle group stands on.
const gradeBaseM = 10

// Situation is a Setup on a way in one direction. It is read only once made.
// The chainage of a train is that of its foremost axle.
type Situation struct {
	*Setup
	Way        *route.Alignment
	Profile    *profile.Profile
	Structures []structure.Placed
	Looked     structure.Looked
	Window     route.Stretch // judged; outside it is lead-in

	// Answers are what people answered on this way, and Today the day of the run,
	// 2024-03-02; set with Knowing.
	Answers []known.Placed
	Today   string

	// TrainGrade is the grade under the train at every station: the grades
	// under its axles weighted by their static loads, so that gross weight
	// times it is the force along the road.
	TrainGrade profile.Series

	grounds  []*underTrain     // neighbours on the same legs share one
	scrubs   []bool            // stations where the train stands in a tight bend, nil where there are none
	suspects []profile.Suspect // in order of chainage
	bends    func() []place    // found when first asked for
}

// NewSituation puts a train on a way.
func NewSituation(set *Setup, way *route.Alignment, p *profile.Profile, placed []structure.Placed, looked structure.Looked) *Situation {
	s := &Situation{Setup: set, Way: way, Profile: p, Structures: placed, Looked: looked,
		Window: route.Stretch{FromM: 0, ToM: way.LengthM()}}
	off, w := trainWeights(set.Train)
	p.Linear(off, w, &s.TrainGrade)
	s.suspects = p.Suspects()
	s.layGrounds()
	s.layScrub()
	s.layBends()
	return s
}

// Knowing gives the situation what people answered, and returns it.
func (s *Situation) Knowing(answers []known.Placed, today string) *Situation {
	s.Answers, s.Today = answers, today
	return s
}

// trainWeights are the offsets and weights of the grade under a train.
func trainWeights(c *vehicle.Combination) (off, w []float64) {
	sum := 0.0
	for _, a := range c.Axles {
		sum += a.Kg
	}
	for _, a := range c.Axles {
		share := a.Kg / sum / gradeBaseM
		off = append(off, a.AtM-gradeBaseM/2, a.AtM+gradeBaseM/2)
		w = append(w, share, -share)
	}
	return off, w
}

// inWindow gives the first and last station (exclusive) of the window.
func (s *Situation) inWindow() (from, to int) {
	c := s.Profile.ChainageM
	from = sort.SearchFloat64s(c, s.Window.FromM-1e-6)
	to = sort.Search(len(c), func(i int) bool { return c[i] > s.Window.ToM+1e-6 })
	return from, to
}

// spacing is the length of way a station stands for.
func (s *Situation) spacing(i int) float64 {
	c := s.Profile.ChainageM
	lo, hi := max(i-1, 0), min(i+1, len(c)-1)
	return (c[hi] - c[lo]) / 2
}

// under is the part of the way below a train whose foremost axle is at s.
func (s *Situation) under(at float64) route.Stretch {
	axles := s.Train.Axles
	return route.Stretch{FromM: max(at-axles[len(axles)-1].AtM, 0), ToM: max(at, 0)}
}

// reach is the part of the way that any of the train stands on while its
// foremost axle is in the window: what structures are judged over.
func (s *Situation) reach() route.Stretch {
	return route.Stretch{FromM: s.under(s.Window.FromM).FromM, ToM: s.Window.ToM}
}

// Run makes every check of the list over the window and gives its findings in
// the order of the list, then of chainage.
func Run(s *Situation, k *Sink) {
	for i := range List {
		k.check = List[i].Name
		List[i].Run(s, k)
	}
	NotCovered(s, k)
	s.answer(k)
	k.check = ""
}

// nan is the value of what is not known.
var nan = math.NaN()
