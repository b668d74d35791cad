package check

import (
	"drawbar/route"
	"drawbar/route/structure"
)

// start compares the grade under the train with what it can start on, where
// it climbs. A short stretch with no cause to stop is passed without stopping.
func start(s *Situation, k *Sink) {
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) { k.Place(s.startFinding(at, w)) }
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		if s.gradeAt(i, crawling).outcome != Pass {
			continue
		}
		r := s.gradeAt(i, fromRest)
		if r.demand <= 0 && !s.grounds[i].span[fromRest].known() {
			continue // downhill on ground nobody described: the climb has said so
		}
		s.explainGrade(k, r, fromRest)
		g.add(r, s.spacing(i))
	}
	g.close()
	s.heatOfStarts(k)
}

// startFinding makes a short stretch a caution and words the rest as a climb
// from rest.
func (s *Situation) startFinding(at route.Stretch, w reading) Finding {
	f := s.gradeFinding(at, w, fromRest)
	if f.Outcome != NotLooked && f.At.LengthM() <= s.ShortStopM && !s.mayStop(f.At) {
		f.Outcome, f.Remedy = Caution, NoRemedy
		f.Say = "climbs but may not start again: {grade} under the train, starts on {limit} on {surface}"
		f.Do = "do not stop between {from} and {to}; keep the road ahead clear before entering"
		f.Close = ""
		f.Q = append(f.Q, Quantity{Name: "from", Value: f.At.FromM, Unit: Chain}, Quantity{Name: "to", Value: f.At.ToM, Unit: Chain})
		f.Rests = append(f.Rests, s.rests("start.short_stop_m")...)
	}
	return f
}

// mayStop reports whether a stretch has a place where a train may have to
// stop. Fords and tunnels are; junctions are not known from a single line.
func (s *Situation) mayStop(at route.Stretch) bool {
	for _, p := range s.Structures {
		if k := p.Feature.Kind; (k == structure.Tunnel || k == structure.Ford) && p.At.Overlaps(at) {
			return true
		}
	}
	return false
}
