package secondtow

import (
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/pull"
)

// hoist is a helper that stands anchored at the crest and winches the train up.
type hoist struct {
	winch pull.Winch
	solo  *check.Setup // the helper by itself: it must get to the crest first
}

// straightRad is how much the way may turn, radians, between crest and foot for
// a rope to be laid along it. Choice, 20 degrees.
const straightRad = 20 * math.Pi / 180

// hoistOf takes the winch of a helper, nil when it has none.
func hoistOf(helper *vehicle.Combination, set check.Settings) (*hoist, error) {
	for i := range helper.Units {
		w := helper.Units[i].Winch
		if w == nil {
			continue
		}
		solo, err := check.NewSetup(helper, set)
		if err != nil {
			return nil, err
		}
		return &hoist{winch: pull.Winch(*w), solo: solo}, nil
	}
	return nil, nil
}

// winching is what winching a stretch asks for: the train hangs on the rope alone,
// its engine not counted.
type winching struct {
	at      route.Stretch
	loadN   float64 // of the train, with everything uncertain at its bad end
	rig     pull.Rig
	rigged  bool    // some number of parts pulls it
	anchorN float64 // what the anchor must hold: line and blocks together
	ropeN   float64 // least breaking force asked for
	short   bool    // one reach of the rope does not cover the stretch
	reaches bool    // the helper surely gets to the crest by itself
	bends   bool
}

// Answers to whether it does.
const (
	winchNo = iota
	winchAsk
	winchYes
)

// over reckons the winching of a stretch.
func (h *hoist) over(s *check.Situation, at route.Stretch) winching {
	w := winching{at: at, reaches: true}
	own := check.NewSituation(h.solo, s.Way, s.Profile, s.Structures, s.Looked)
	for i, c := range s.Profile.ChainageM {
		if c < at.FromM || c > at.ToM {
			continue
		}
		if g := s.TrainGrade.Value[i]; !math.IsNaN(g) {
			w.loadN = max(w.loadN, s.HangingN(i))
		} else {
			w.reaches = false
		}
		w.reaches = w.reaches && own.Climb(i).Outcome == check.Pass
	}
	turn := 0.0
	for i, c := range s.Way.ChainageM {
		if c > at.FromM && c < at.ToM {
			turn += math.Abs(s.Way.TurnRad[i])
		}
	}
	w.bends = turn > straightRad
	if w.rig, w.rigged = h.winch.RigFor(w.loadN); w.rigged {
		w.anchorN, w.ropeN = w.rig.TotalN, w.rig.FallN*pull.DesignFactor
		w.short = at.LengthM() > w.rig.ReachM
	}
	return w
}

// answer says whether the winching surely does.
func (h *hoist) answer(w winching) int {
	switch {
	case !w.rigged || !w.reaches || w.bends || w.short || h.winch.BreakN < w.ropeN || h.winch.AnchorN < w.anchorN:
		return winchNo
	case math.IsNaN(h.winch.BreakN) || math.IsNaN(h.winch.AnchorN):
		return winchAsk
	}
	return winchYes
}

// finding says what the winching asks for: a caution where it does, a question
// where rope or anchor are not known.
func (h *hoist) finding(w winching) check.Finding {
	f := check.Finding{Check: "winch", At: w.at, WorstM: w.at.FromM, Demand: w.rig.FallN, Capacity: h.winch.LayerPull(h.winch.Layer(0)), P: math.NaN(), Unit: check.Newton,
		Rests: []string{"winch.keep_turns", "winch.design_factor"}, Unverified: true,
		Q: []check.Quantity{
			{Name: "load", Value: w.loadN, Unit: check.Newton}, {Name: "parts", Value: float64(w.rig.Parts), Unit: check.Count},
			{Name: "fall", Value: w.rig.FallN, Unit: check.Newton}, {Name: "anchor", Value: w.anchorN, Unit: check.Newton},
			{Name: "rope", Value: w.ropeN, Unit: check.Newton},
		}}
	f.Say = "winched up on {parts} parts of line, {fall} on each, the train's {load} and its blocks on the anchor"
	if h.answer(w) == winchAsk {
		f.Outcome = check.NotLooked
		f.Close = "look up rope and anchor, give break_kn and anchor_kn of the winch: passes if the rope breaks at {rope} or more and the anchor holds {anchor}; the train's towing eyes must be rated for {load}"
		return f
	}
	f.Outcome = check.Caution
	f.Do = "everybody further away than the rope is long and out of its bight; the train's towing eyes rated for {load}; its brakes manned and a wheel chock following it"
	return f
}

// tryWinch is the first helper that surely winches the train over a stretch, or
// would if rope and anchor hold; nil when none does.
func (y *Yard) tryWinch(s *check.Situation, over route.Stretch, hook, cast int) *Assist {
	var asked *Assist
	for i := range y.Helpers {
		h := &y.Helpers[i]
		if h.hoist == nil {
			continue
		}
		w := h.hoist.over(s, over)
		answer := h.hoist.answer(w)
		if answer == winchNo {
			continue
		}
		a := &Assist{Helper: h.Name, Winched: true, Over: over, Findings: []check.Finding{h.hoist.finding(w)},
			HookStartP: s.StartChance(hook), CastStartP: s.StartChance(cast), PairStartP: 1}
		if answer == winchYes {
			return a
		}
		if asked == nil {
			asked = a
		}
	}
	return asked
}

// measure is the winch as one of the things that could help at a station.
func (h *hoist) measure(s *check.Situation, i int, name string) Measure {
	w := h.over(s, around(s, i))
	m := Measure{ClimbP: 0, StartP: 0, Sure: math.NaN(), Q: []check.Quantity{{Name: "helper", Text: name, Unit: check.Literal},
		{Name: "parts", Value: float64(w.rig.Parts), Unit: check.Count}, {Name: "fall", Value: w.rig.FallN, Unit: check.Newton},
		{Name: "anchor", Value: w.anchorN, Unit: check.Newton}, {Name: "rope", Value: w.ropeN, Unit: check.Newton}}}
	m.Say = "{helper} winching from the crest: {parts} parts, {fall} on each; anchor {anchor}, rope breaking at {rope} or more"
	switch answer := h.answer(w); {
	case answer == winchYes:
		m.ClimbP, m.StartP = 1, 1
	case answer == winchAsk:
		m.ClimbP, m.StartP = math.NaN(), math.NaN()
	case !w.rigged:
		m.Say = "{helper} winching from the crest: no number of parts pulls it"
	case w.short:
		m.Say = "{helper} winching from the crest: with {parts} parts the rope reaches {reach} of the climb's {length}"
		m.Q = append(m.Q, check.Quantity{Name: "reach", Value: w.rig.ReachM, Unit: check.Metre}, check.Quantity{Name: "length", Value: w.at.LengthM(), Unit: check.Metre})
	case w.bends:
		m.Say = "{helper} winching from the crest: the way bends, no rope lies along it"
	case !w.reaches:
		m.Say = "{helper} winching from the crest: it does not surely get there itself"
	}
	return m
}

// around is the climb about a station: on to where the train surely climbs.
func around(s *check.Situation, i int) route.Stretch {
	c := s.Profile.ChainageM
	lo, hi := i, i
	for lo > 0 && s.ClimbOutcome(lo-1) != check.Pass {
		lo--
	}
	for hi < len(c)-1 && s.ClimbOutcome(hi+1) != check.Pass {
		hi++
	}
	return route.Stretch{FromM: c[lo], ToM: c[hi]}
}
