package secondtow

import (
	"math"
	"strconv"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/pull"
)

// hoist is a helper that stands anchored above and winches the train up.
type hoist struct {
	winch pull.Winch
	solo  *check.Setup // the helper by itself: it must get up first
}

// straightRad is how much the way may turn, radians, between crest and foot for
// a rope to be laid along it. Choice, 20 degrees.
const straightRad = 20 * math.Pi / 180

// mostPulls is how often a train is winched on from one anchorage to the next.
// Choice.
const mostPulls = 4

// hoistOf takes the winch of a helper, nil when it has none.
func hoistOf(helper *vehicle.Combination, solo *check.Setup) *hoist {
	for i := range helper.Units {
		if w := helper.Units[i].Winch; w != nil {
			return &hoist{winch: pull.Winch(*w), solo: solo}
		}
	}
	return nil
}

// winching is what winching a stretch asks for: the train hangs on the rope alone,
// its engine not counted.
type winching struct {
	at      route.Stretch
	loadN   float64 // of the train, with everything uncertain at its bad end
	rig     pull.Rig
	rigged  bool      // some number of parts pulls it
	anchorN float64   // what the anchor must hold: line and blocks together
	ropeN   float64   // least breaking force asked for
	stops   []float64 // where the train waits parked while the helper anchors anew
	short   bool      // the rope does not cover the stretch, with such stops
	reaches bool      // the helper surely gets to the crest by itself
	bends   bool
}

// timeS is what it takes.
func (w *winching) timeS() float64 {
	return RigS*float64(len(w.stops)+1) + StowS + w.at.LengthM()*(WalkS+float64(w.rig.Parts)/RopeMS)
}

// Answers to whether it does.
const (
	winchNo = iota
	winchAsk
	winchYes
)

// over reckons the winching of a stretch; own is the helper by itself on the way.
func (h *hoist) over(s, own *check.Situation, at route.Stretch) winching {
	w := winching{at: at, reaches: true}
	for i, c := range s.Profile.ChainageM {
		if c < at.FromM || c > at.ToM {
			continue
		}
		if g := s.TrainGrade.Value[i]; !math.IsNaN(g) {
			w.loadN = max(w.loadN, s.HangingN(i))
		} else {
			w.reaches = false
		}
		w.reaches = w.reaches && own.ClimbOutcome(i) == check.Pass
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
		w.stops, w.short = stops(s, own, at, w.rig.ReachM)
	}
	return w
}

// stops are the places at which a train is parked while the helper drives on and
// anchors anew: as far as the rope reaches, the train and the anchored helper
// surely staying where they stand. short where there are none, or too many.
func stops(s, own *check.Situation, at route.Stretch, reachM float64) (out []float64, short bool) {
	for from := at.FromM; at.ToM-from > reachM; {
		next := math.NaN()
		for i, c := range s.Profile.ChainageM {
			if c > from && c <= from+reachM && s.ParkChance(i) >= check.HoldAt && own.ParkChance(i) >= check.HoldAt {
				next = c
			}
		}
		if math.IsNaN(next) || len(out)+1 >= mostPulls {
			return out, true
		}
		out, from = append(out, next), next
	}
	return out, false
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
	if len(w.stops) > 0 {
		f.Say += "; the rope reaches {reach}, so it is anchored anew {times}, first with the train parked at {stop}"
		f.Q = append(f.Q, check.Quantity{Name: "reach", Value: w.rig.ReachM, Unit: check.Metre}, check.Quantity{Name: "times", Text: times(len(w.stops)), Unit: check.Literal},
			check.Quantity{Name: "stop", Value: w.stops[0], Unit: check.Chain})
	}
	if h.answer(w) == winchAsk {
		f.Outcome = check.NotLooked
		f.Close = "look up rope and anchor, give break_kn and anchor_kn of the winch: passes if the rope breaks at {rope} or more and the anchor holds {anchor}; the train's towing eyes must be rated for {load}"
		return f
	}
	f.Outcome = check.Caution
	f.Do = "everybody further away than the rope is long and out of its bight; the train's towing eyes rated for {load}; its brakes manned and a wheel chock following it"
	return f
}

// winch is the quickest helper that surely winches the train over a need, and the
// first that would if rope and anchor hold.
func (p *planner) winch(n need, hooks, casts []Place) (sure, asked *Assist) {
	hook, cast := &hooks[0], &casts[0]
	for i := range p.y.Helpers {
		h := &p.y.Helpers[i]
		if h.hoist == nil {
			continue
		}
		w := h.hoist.over(p.s, p.solo(h), route.Stretch{FromM: hook.AtM, ToM: cast.AtM})
		answer := h.hoist.answer(w)
		if answer == winchNo {
			continue
		}
		a := &Assist{Helper: h.Name, Members: []Member{{Helper: h.Name, helper: h}}, Winched: true, Over: w.at, Findings: []check.Finding{h.hoist.finding(w)},
			HookStartP: hook.StartP, CastStartP: cast.StartP, PairStartP: 1, TimeS: w.timeS() + hook.MoreS + cast.MoreS, Hooks: best(hooks, 0), Casts: best(casts, 0)}
		if answer == winchYes {
			if sure == nil || a.TimeS < sure.TimeS {
				sure = a
			}
		} else if asked == nil {
			asked = a
		}
	}
	return sure, asked
}

// measure is the winch as one of the things that could help at a station.
func (h *hoist) measure(s *check.Situation, i int, name string) Measure {
	w := h.over(s, check.NewSituation(h.solo, s.Way, s.Profile, s.Structures, s.Looked), around(s, i))
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

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return strconv.Itoa(n) + " times"
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
