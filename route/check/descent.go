package check

import (
	"math"

	"drawbar/route"
)

// descent asks whether engine and retarder hold the train on every grade down
// at crawl in the lowest gear, within the grip of the driven wheels. Where they
// do not, the service brakes must: that is a measure as long as the braked
// wheels surely have the grip, and the brakes the force where the file gives it. One
// descent, one finding.
func descent(s *Situation, k *Sink) {
	g := runs{gapM: math.Inf(1)} // a descent ends where the way rises, not where it eases
	g.emit = func(at route.Stretch, w reading) { k.Place(s.descentFinding(at, w)) }
	var held reading // the steepest that passes
	risen, steepest := 0.0, 0.0
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		if !(s.TrainGrade.Value[i] < 0) {
			if risen += s.spacing(i); risen > s.Train.LengthM {
				g.close()
			}
			continue
		}
		risen, steepest = 0, max(steepest, -s.TrainGrade.Value[i])
		r := s.downAt(i)
		s.explainGrade(k, r, retarding)
		switch {
		case r.suspect && s.shapeAt(i): // the suspect check asks about the place
		case r.outcome != Pass:
			g.add(r, s.spacing(i))
		case r.demand > held.demand:
			held = r
		}
	}
	g.close()
	s.placeHeld(k, held)
	s.placeUnbraked(k, steepest)
}

// downAt judges one station going down. A grade that only a structure nobody
// tagged would explain is asked about, whatever holds the train on it. Axles of
// which the file says nothing count as not braked, and then nothing fails.
func (s *Situation) downAt(i int) reading {
	r := s.gradeAt(i, retarding)
	if r.outcome == Pass || r.suspect {
		return r
	}
	b := s.gradeAt(i, braking)
	if b.outcome == Pass {
		r.outcome = Caution
		return r
	}
	if s.brakesUnsaid() != "" {
		r.outcome = NotLooked
		return r
	}
	return b
}

// brakesUnsaid is the first field in which the file does not say whether an axle
// is braked, "" when it says so of all.
func (s *Setup) brakesUnsaid() string { return s.lacksField("descent", ".braked") }
