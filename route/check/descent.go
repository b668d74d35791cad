package check

import (
	"math"

	"drawbar/route"
)

// descent asks whether engine and retarder hold the train on every grade down
// at crawl in the lowest gear, within the grip of the driven wheels. Where they
// do not, the service brakes must: that is a measure as long as the braked
// wheels surely have the grip. One descent, one finding.
func descent(s *Situation, k *Sink) {
	g := runs{gapM: math.Inf(1)} // a descent ends where the way rises, not where it eases
	g.emit = func(at route.Stretch, w reading) { k.Place(s.descentFinding(at, w)) }
	field := s.lacksField("descent", ".braked")
	worst := reading{p: math.Inf(1)} // what nobody can say without knowing the brakes
	var held reading                 // the steepest that passes
	length, risen := 0.0, 0.0
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		if !(s.TrainGrade.Value[i] < 0) {
			if risen += s.spacing(i); risen > s.Train.LengthM {
				g.close()
			}
			continue
		}
		risen = 0
		r := s.downAt(i, field != "")
		s.explainGrade(k, r, retarding)
		switch {
		case r.suspect && s.shapeAt(i): // the suspect check asks about the place
		case r.outcome == Pass:
			if r.demand > held.demand {
				held = r
			}
		case field != "":
			length += s.spacing(i)
			if r.p < worst.p {
				worst = r
			}
		default:
			g.add(r, s.spacing(i))
		}
	}
	g.close()
	if length > 0 {
		k.Place(s.unbraked(worst, field, length))
	}
	s.placeHeld(k, held)
}

// downAt judges one station going down. A grade that only a structure nobody
// tagged would explain is asked about, whatever holds the train on it.
func (s *Situation) downAt(i int, brakesUnknown bool) reading {
	r := s.gradeAt(i, retarding)
	if r.outcome == Pass || r.suspect || brakesUnknown {
		return r
	}
	if b := s.gradeAt(i, braking); b.outcome != Pass {
		return b
	}
	r.outcome = Caution
	return r
}
