package check

import (
	"fmt"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// descentFinding words one descent.
func (s *Situation) descentFinding(at route.Stretch, w reading) Finding {
	m, unsaid := braking, s.brakesUnsaid() != ""
	if w.outcome == Caution || w.suspect || unsaid {
		m = retarding
	}
	sp := s.grounds[w.i].span[m]
	c := &sp.worst.capacity[m]
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.pBest, Unit: Grade,
		Outcome: w.outcome, Rests: slices.Clone(c.rests), Decides: decides(c, w),
		Say: "grade {grade} down under the train, the braked wheels hold {limit} on {surface} by their grip",
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: c.grade, SE: math.Sqrt(w.varSupply), Unit: Grade},
			{Name: "surface", Text: sp.label(), Unit: Literal},
			{Name: "from", Value: s.under(at.FromM).FromM, Unit: Chain},
			{Name: "needed", Value: max(c.passGrade(), 0), Unit: AtMost},
		}}
	if !sp.known() {
		f.Rests = append(f.Rests, sp.best.capacity[m].rests...)
	}
	switch {
	case w.suspect:
		s.wordSuspect(&f, w.s)
	case w.outcome == Caution:
		s.wordBrakes(&f, c, at, w)
	case unsaid:
		s.wordUnsaid(&f)
	case w.outcome == Fail && c.limit.Decides == traction.Effort:
		f.Say = weakBrakes
		f.Remedy, f.Do = HoldBack, "the service brakes are too weak here: "+s.heldBack(&f)+", a lighter load, or go round"
	case w.outcome == Fail:
		f.Remedy, f.Do = HoldBack, "even all braked wheels slide here: grit, wait for better ground, a lighter load, "+s.heldBack(&f)+", or go round"
	case sp.known() && c.limit.Decides == traction.Effort:
		f.Say, f.Remedy = weakBrakes, HoldBack
		f.Close = "have the brakes tested with this load: sure only where the grade is at most {needed}"
	case sp.known():
		f.Remedy = HoldBack
		f.Close = "try the grip on the spot or lay grit: sure only where the grade is at most {needed}"
	default:
		f.Remedy = HoldBack
		f.Close = "look at the surface: on {weak} sure only at up to {needed}"
		f.Q = append(f.Q, Quantity{Name: "weak", Text: label(sp.worst.surface), Unit: Literal})
	}
	f.Unverified = s.unverified(f.Rests)
	return f
}

// heldBack names a helper that holds back, and what the file must say first.
func (s *Setup) heldBack(f *Finding) string {
	field := s.lacksField(vehicle.SecondTow, ".hold_kn")
	if field == "" {
		return "a helper holding back from behind"
	}
	f.Q = append(f.Q, Quantity{Name: "hold", Text: field, Unit: Literal})
	return "a helper holding back from behind (once the file gives {hold})"
}

// BrakesSaid reports whether the file says of every axle whether it is braked:
// else a descent that engine and retarder do not hold is a question.
func (s *Setup) BrakesSaid() bool { return s.brakesUnsaid() == "" }

const weakBrakes = "grade {grade} down under the train, the service brakes hold {limit} on {surface} by their force"

// placeUnbraked says once that nobody knows how strong the service brakes are, on
// a way that falls.
func (s *Situation) placeUnbraked(k *Sink, steepest float64) {
	field := s.lacksField("descent", ".service_kn")
	if field == "" || steepest <= 0 || s.brakesUnsaid() != "" {
		return
	}
	f := standing(s, "brake force not in the file: braking and stopping judged by grip only", "give {field}", 1)
	f.Q = append(f.Q, Quantity{Name: "field", Text: field, Unit: Literal})
	k.Place(f)
}

// stop is the way in which the service brakes stop the train on a grade down
// (positive) from a speed, on the worst ground at a station with grip and rolling
// at their low ends.
func (s *Situation) stop(i int, speedMS, down float64) float64 {
	o := s.grounds[i].span[braking].worst
	return traction.StopOf(s.Train, speedMS, reactS, down, brakeUseLow*o.bare.Mu.Low.V, o.bare.Roll.Low.V)
}

// fadeC is where common drum brakes begin to fade, degrees Celsius. Memory,
// unverified: 250 to 300; it makes a question, never a failure.
const fadeC = 250.0

// wordBrakes says that the service brakes must help, how to go down, and how
// hot they get. Where grip is what lacks, retarding by the tractor alone lets
// the trailer push it round: all the push is the brakes' then.
func (s *Situation) wordBrakes(f *Finding, c *capacity, at route.Stretch, w reading) {
	i, varDemand := w.i, w.varDemand
	f.Say = "grade {grade} down under the train, engine and retarder hold {limit} on {surface} ({what} decides): the service brakes must hold the rest"
	f.Do = "take {gear} before {from}, at most {speed}, and stay in it"
	slides := c.limit.Decides == traction.Grip
	if slides {
		f.Do = "slow to {speed} in {gear} before {from}; hold back with the brakes of all axles, retarder off: on the tractor's wheels alone the trailer pushes it round"
	}
	h := s.heatOver(at, slides)
	gear := c.limit.Gear
	if !s.geared() {
		gear = "the lowest gear"
	}
	f.Q = append(f.Q, Quantity{Name: "what", Text: c.limit.Decides, Unit: Literal}, Quantity{Name: "gear", Text: gear, Unit: Literal},
		Quantity{Name: "speed", Value: c.limit.SpeedMS, Unit: Speed}, Quantity{Name: "power", Value: h.powerW, Unit: Watt},
		Quantity{Name: "hot", Value: h.hotC, Unit: Celsius}, Quantity{Name: "cool", Value: h.coolC, Unit: Celsius},
		Quantity{Name: "allowed", Value: h.limitC, Unit: Celsius}, Quantity{Name: "reach", Value: h.reachM, Unit: Metre},
		Quantity{Name: "unit", Text: h.unit, Unit: Literal})
	f.Rests = append(f.Rests, s.rests(heatKeys[:2]...)...)
	f.Do += "; the brakes take up to {power}"
	if m := s.stop(i, c.limit.SpeedMS, f.Demand+oneSided*math.Sqrt(varDemand)); !math.IsInf(m, 1) && s.brakesUnsaid() == "" {
		f.Do += ", and stop it in {stop}"
		f.Q = append(f.Q, Quantity{Name: "stop", Value: m, Unit: AtLeastM})
		f.Rests = append(f.Rests, s.rests(reactKey)...)
	}
	switch {
	case !math.IsNaN(h.reachM):
		f.Outcome, f.P, f.PBest = NotLooked, nan, nan
		f.Say += "; those of {unit} reach their {allowed} after {reach}"
		f.Close = f.Do + "; passes with level places to stop and cool, {reach} apart at most: find them on foot"
		f.Do = ""
	case !h.known && h.coolC > fadeC:
		f.Outcome, f.P, f.PBest = NotLooked, nan, nan
		f.Say += "; common drums would get to {cool}, and fade from {fade}"
		f.Close = f.Do + "; give the brakes of the file (mass_kg, cool_w_k, limit_c), or find level places to stop and cool on foot"
		f.Do = ""
		f.Q = append(f.Q, Quantity{Name: "fade", Value: fadeC, Unit: Celsius})
		f.Rests = append(f.Rests, s.rests(heatKeys[2:]...)...)
	case h.known:
		f.Do += "; those of {unit} get to {hot}, allowed {allowed}"
	default:
		f.Do += "; common drums would get to {cool}, without cooling {hot}: stop to cool before they smell or fade, and ask the maker what they stand"
		f.Rests = append(f.Rests, s.rests(heatKeys[2:]...)...)
	}
}

// geared reports whether every engine has a gear list.
func (s *Setup) geared() bool {
	for i := range s.Train.Units {
		if d := s.Train.Units[i].Power; d != nil && len(d.Gears) == 0 {
			return false
		}
	}
	return true
}

// wordUnsaid asks for what the file does not say of the brakes.
func (s *Situation) wordUnsaid(f *Finding) {
	f.P, f.PBest = nan, nan
	f.Say = "grade {grade} down under the train, engine and retarder hold {limit} on {surface}: the service brakes must hold the rest, and the file does not say which axles have them"
	f.Close = "give {field} for every axle: engine and retarder alone surely hold {needed}"
	f.Q = append(f.Q, Quantity{Name: "field", Text: s.brakesUnsaid(), Unit: Literal})
}

// placeHeld tells how the steepest descent that passes is driven: the speed is
// that for the grade at its steep end, rolling resistance low.
func (s *Situation) placeHeld(k *Sink, w reading) {
	if w.demand == 0 {
		return
	}
	c := &s.grounds[w.i].span[retarding].worst.capacity[retarding]
	steep, roll := w.demand+oneSided*math.Sqrt(w.varDemand), s.grounds[w.i].span[retarding].worst.surface.Roll.Low.V
	v, gear := traction.FastestDown(s.Train, steep, roll)
	if traction.PushN(s.Train.GrossKg, w.demand, c.roll) == 0 || v == 0 {
		return // it does not run off by itself, or the force is not what decides
	}
	if !s.geared() {
		gear = "a low gear"
	}
	f := Finding{At: s.Window, WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.pBest, Unit: Grade, Outcome: Pass,
		Rests: slices.Clone(c.rests),
		Say:   "the steepest, {grade} down, is held by engine and retarder up to {speed} in {gear}",
		Q: []Quantity{{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade}, {Name: "speed", Value: v, Unit: Speed},
			{Name: "gear", Text: gear, Unit: Literal}}}
	if m := s.stop(w.i, v, steep); !math.IsInf(m, 1) && s.brakesUnsaid() == "" {
		f.Say += "; the brakes stop it from that in {stop}"
		f.Q = append(f.Q, Quantity{Name: "stop", Value: m, Unit: AtLeastM})
		f.Rests = append(f.Rests, s.rests(reactKey)...)
	}
	f.Unverified = s.unverified(f.Rests)
	k.Place(f)
	k.Step("fastest that engine and retarder hold", v, Speed, fmt.Sprintf("gear %s", gear))
}
