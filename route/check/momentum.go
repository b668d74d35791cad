package check

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// Terms of a run at a climb. Choices.
const (
	runStepMS = 0.25 // entry speeds are tried in steps of this
	runLookM  = 1500 // how far before a climb the train gathers speed, at most
	slickRun  = 1.5  // on snow and ice the train must reach so many times the speed needed
	runKey    = "momentum.step_ms"
)

// run is what a train needs to carry itself over a stretch, and what it has.
type run struct {
	needMS  float64 // entry speed; +Inf where none up to the cap suffices
	reachMS float64 // that it surely has there
	capMS   float64 // fastest that was tried
	slick   bool
}

func (r *run) enough() bool {
	if r.slick {
		return r.reachMS >= slickRun*r.needMS
	}
	return r.reachMS >= r.needMS
}

// sureTrain is the train with its most uncertain load at its heavy end.
func (s *Setup) sureTrain() *vehicle.Combination {
	if s.heavier == nil {
		return s.Train
	}
	h := *s.heavier
	h.Units = append([]vehicle.Unit(nil), h.Units...)
	for i := range h.Units {
		if more := h.Units[i].MassKg - s.Train.Units[i].MassKg; more > 0 {
			h.Units[i].MassKg += (oneSided - 1) * more
			h.GrossKg += (oneSided - 1) * more
		}
	}
	return &h
}

// sureStations are those of a march with everything uncertain at its bad end: the
// grade, grip low, rolling high on the worst ground it may be; no faster than the
// cap, than bends are rounded, than a grade down is held. ok is false where a
// height lacks.
func (s *Situation) sureStations(over route.Stretch, capMS float64) (out []traction.Station, ok bool) {
	c, g, caps := s.Profile.ChainageM, s.TrainGrade, downCaps{}
	bends := tight(s.Way, 0)
	for i := max(sort.SearchFloat64s(c, over.FromM)-1, 0); i+1 < len(c) && c[i] < over.ToM; i++ {
		from, to := max(c[i], over.FromM), min(c[i+1], over.ToM)
		if !(to > from) {
			continue
		}
		grade := max(g.Value[i]+oneSided*g.SE[i], g.Value[i+1]+oneSided*g.SE[i+1])
		if math.IsNaN(grade) {
			return nil, false
		}
		su := s.grounds[i].span[crawling].worst.surface
		fastest := min(capMS, caps.of(s.Train, (g.Value[i]+g.Value[i+1])/2-oneSided*g.SE[i], su))
		for _, b := range bends {
			if b.Overlaps(route.Stretch{FromM: s.under(from).FromM, ToM: to}) {
				fastest = min(fastest, s.BendSpeedMS)
			}
		}
		out = append(out, traction.Station{AtM: from, CapMS: fastest, Roll: su.Roll.High.V, Mu: max(su.Mu.Low.V, leastMu),
			GradeRatio: max(-traction.MaxGrade, min(traction.MaxGrade, grade))})
	}
	if len(out) == 0 {
		return nil, false
	}
	end := out[len(out)-1]
	end.AtM, end.CapMS = min(c[len(c)-1], over.ToM), math.Inf(1)
	return append(out, end), true
}

// runAt finds what entry speed carries the train over a stretch it does not climb
// steadily, and what it surely reaches there from rest. false where it cannot be
// reckoned. Altitude is not: a train that thin air weakens is not run.
func (s *Situation) runAt(at route.Stretch, slick bool) (run, bool) {
	r := run{needMS: math.Inf(1), capMS: s.MomentumMS, slick: slick}
	train, o := s.sureTrain(), traction.DefaultMarch()
	over, ok := s.sureStations(at, s.MomentumMS)
	if s.breathes || !ok {
		return r, false
	}
	for v := runStepMS; v <= s.MomentumMS+1e-9; v += runStepMS {
		holds, err := traction.HoldsRun(train, o, v, over)
		if err != nil {
			return r, false
		}
		if holds {
			r.needMS = v
			break
		}
	}
	before := route.Stretch{FromM: max(at.FromM-runLookM, 0), ToM: at.FromM}
	if before.LengthM() < 1 {
		return r, true
	}
	way, ok := s.sureStations(before, s.MomentumMS)
	m, err := traction.NewMarcher(train, o)
	if !ok || err != nil {
		return r, true
	}
	if trip, err := m.Run(way, make([]traction.State, len(way))); err == nil && trip.Stall == "" {
		r.reachMS = min(trip.EndMS, over[0].CapMS) // a bend or a descent at the foot holds it back
	}
	return r, true
}

// momentum adds to a climb that does not pass what a run at it does: with enough
// speed in hand it is a caution. A support that lifts, and a grade that is rather
// a structure's, no run puts right. Not counted unless somebody asked.
func (s *Situation) momentum(f *Finding, w reading) {
	if s.MomentumMS == 0 || f.Outcome != Fail && f.Outcome != Undecided || w.suspect {
		return
	}
	sp := s.grounds[w.i].span[crawling]
	if c := s.capacityAt(w.i, sp.worst, crawling); c.limit.Decides == traction.Lift {
		return
	}
	weather := sp.worst.surface.Name
	r, ok := s.runAt(f.At, weather == string(traction.Snow) || weather == string(traction.Ice))
	if !ok {
		return
	}
	f.Q = append(f.Q, Quantity{Name: "entry", Value: r.needMS, Unit: SpeedAtLeast}, Quantity{Name: "reach", Value: r.reachMS, Unit: Speed},
		Quantity{Name: "fastest", Value: r.capMS, Unit: Speed}, Quantity{Name: "foot", Value: f.At.FromM, Unit: Chain}, Quantity{Name: "top", Value: f.At.ToM, Unit: Chain})
	f.Rests = append(f.Rests, s.rests(runKey)...)
	switch {
	case math.IsInf(r.needMS, 1):
		f.Say += "; no run at up to {fastest} carries it over"
		return
	case !r.enough() && r.slick:
		f.Say += "; a run would need {entry} at {foot}, it surely reaches {reach}: too little in hand on such ground"
		return
	case !r.enough():
		f.Say += "; a run would need {entry} at {foot}, it surely reaches {reach}"
		return
	}
	f.Say += "; a run carries it over"
	f.Do = "enter at {foot} at {entry} at least, in the gear for that speed; do not change down and do not stop before {top}; keep the road ahead clear: " + s.stuck(f.At)
	f.Close, f.Outcome, f.Remedy = "", Caution, NoRemedy
}

// stuck says what a stop on a stretch means.
func (s *Situation) stuck(at route.Stretch) string {
	from, to := s.inWindow()
	worst := Pass
	for i := from; i < to; i++ {
		if c := s.Profile.ChainageM[i]; c >= at.FromM && c <= at.ToM {
			worst = max(worst, s.gradeAt(i, fromRest).outcome)
		}
	}
	if worst == Fail {
		return "a stop there means being stuck, it does not start again and must be pulled out or backed down"
	}
	return "whether it starts again after a stop there is not sure"
}
