package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/vehicle/stability"
)

// crossBaseM is the base of a crossfall's reading.
const crossBaseM = profile.CrossBaseM

// leastBendLean is the lean of a bend from which its words speak of it. Choice.
const leastBendLean = 0.01

func (s *Situation) tipFinding(at route.Stretch, w *leaning) Finding {
	p := w.part
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.pBest,
		Unit: Grade, Outcome: w.outcome, Rests: s.tipRests(), Close: "measure the crossfall with a level: sure up to {sure}",
		Q: []Quantity{
			{Name: "part", Text: p.name, Unit: Literal},
			{Name: "lean", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "tips", Value: p.limit, SE: math.Sqrt(p.varLimit), Unit: Grade},
			{Name: "fall", Value: math.Abs(w.fall), SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "way", Text: w.way(), Unit: Literal},
			{Name: "radius", Value: w.radiusM, Unit: Metre},
			{Name: "speed", Value: s.BendSpeedMS, Unit: Speed},
			{Name: "slow", Value: w.slowMS, Unit: Speed},
			{Name: "sure", Value: max(stability.LargestCrossfall(p.straightly, math.Abs(w.lateral)), 0), Unit: AtMost},
			{Name: "reserve", Value: reserveDeg, Unit: Degree},
			{Name: "practice", Value: sideSlopeDeg, Unit: Degree},
		}}
	f.Say = w.words()
	if !w.skids || w.outcome == Caution {
		s.tipOutcome(&f, w)
	}
	if w.skids {
		s.skidOutcome(&f, w)
	}
	f.Unverified = s.unverified(f.Rests)
	return f
}

func (s *Setup) tipRests() []string {
	return append(s.rests(stability.RollKeys...), s.rests(append(stability.FieldKeys, acrossKeys...)...)...)
}

// words say where the lean comes from.
func (w *leaning) words() string {
	switch bend := math.Abs(w.lateral) >= leastBendLean; {
	case bend && math.IsNaN(w.fall):
		return "a bend of {radius} radius at {speed} leans the {part} by {lean}, whatever the crossfall adds; it tips at {tips}"
	case bend:
		return "crossfall {fall} {way} and a bend of {radius} radius at {speed} lean the {part} by {lean}; it tips at {tips}"
	}
	return "crossfall {fall} {way} under the {part}, which tips at {tips}"
}

// way is to which side the ground falls.
func (w *leaning) way() string {
	switch bend := math.Abs(w.lateral) >= leastBendLean; {
	case bend && w.fall*w.lateral > 0:
		return "outward"
	case bend:
		return "inward"
	case w.fall > 0:
		return "to the right"
	}
	return "to the left"
}

// tipOutcome words what to do. Values from memory make cautions and questions; a
// failure is that of the rigid train, which rests on none.
func (s *Situation) tipOutcome(f *Finding, w *leaning) {
	switch {
	case w.outcome == Fail:
		f.P, f.Capacity, f.SE = w.pBest, w.part.rigid, math.Sqrt(w.varDemand+w.part.varRigid)
		f.Rests, f.Close = s.rests(append(stability.FieldKeys, acrossKeys...)...), ""
		f.Do = "do not drive it as loaded: go round, level the ground, or lower the load"
	case w.outcome == Caution && w.slowMS > 0:
		f.Do, f.Close = "take the bend at no more than {slow}", ""
	case w.outcome == Caution:
		f.Say += "; practice keeps a loaded low-bed under {practice}"
		f.Do, f.Close = "walking pace, level the load by the suspension, a guide on foot to watch the wheels uphill", ""
		f.Rests = append(f.Rests, s.rests(practiceKeys[1])...)
	case w.reserve:
		f.Say += "; practice keeps {reserve} in hand"
		f.Rests = append(f.Rests, s.rests(practiceKeys[0])...)
		f.P, f.PBest = nan, nan
	case w.outcome == NotLooked:
		f.Say += "; the road's own crossfall, or the hillside's?"
		f.P, f.PBest = nan, nan
	}
}

// skidOutcome words that the grip sideways decides, not the tipping.
func (s *Situation) skidOutcome(f *Finding, w *leaning) {
	f.Capacity, f.SE, f.P, f.PBest = w.grip(), math.Sqrt(w.varDemand), nan, nan
	f.Say += "; {ground} may hold no more than {grip} sideways"
	f.Rests = append(f.Rests, w.ground.capacity[braking].rests...)
	f.Q = append(f.Q, Quantity{Name: "ground", Text: label(w.ground.bare), Unit: Literal}, Quantity{Name: "grip", Value: w.grip(), Unit: AtMost})
	if f.Outcome != Caution {
		f.Close = "measure the crossfall with a level: it holds up to {grip}; or clear and grit the whole width, and give --weather as it is then"
	}
}

// tipPassed is the place that leans most of those that pass.
func (s *Situation) tipPassed(w *leaning) Finding {
	f := s.tipFinding(s.Window, w)
	f.Say, f.Close = "the {part} leans {lean}, tips at {tips}", ""
	return f
}

// tipUndecided is the one line for where this data does not tell the crossfall.
func (s *Situation) tipUndecided(k *Sink, decided float64, found bool, l *leaner) {
	if decided > 1-1e-9 {
		return
	}
	f := standing(s, "{leaning} is decided on {decided} of the length: elsewhere the raster does not tell the road's crossfall",
		"walk it with a level: sure up to {sure} where straight, by practice not above {practice}; or give a raster with cells up to {cell}, the width of the way and --line-error", 1-decided)
	switch {
	case l.gaps && !found && decided > 0:
		f.Say = "{leaning} is decided on {decided} of the length, bridges, tunnels and voids left out"
		f.Close = "lay a level across them: sure up to {sure} where straight, by practice not above {practice}"
	case found:
		f.Say = "{leaning} is decided on {decided} of the length: elsewhere there are questions, or the raster does not tell the road's crossfall"
	case decided == 0:
		f.Say = "{leaning} is decided nowhere: the raster does not tell the road's crossfall"
	}
	t, _ := s.Tipping()
	leaning, sure := "tipping", t.Sure
	f.Rests = s.tipRests()
	if l.slick != nil {
		leaning, sure = "tipping or sliding sideways on "+label(l.slick.bare), min(sure, l.slick.bare.Mu.Low.V)
		f.Rests = append(f.Rests, l.slick.capacity[braking].rests...)
	}
	f.Unverified = t.Unverified || s.unverified(f.Rests)
	f.Q = append(f.Q, Quantity{Name: "leaning", Text: leaning, Unit: Literal}, Quantity{Name: "decided", Value: decided, Unit: Share}, Quantity{Name: "sure", Value: sure, Unit: AtMost},
		Quantity{Name: "practice", Value: sideSlopeDeg, Unit: Degree}, Quantity{Name: "cell", Value: profile.CrossCellM, Unit: Metre})
	k.Place(f)
}

// topHeavy is a train that is not even sure on the level.
func (s *Situation) topHeavy(p *tipPart) Finding {
	f := Finding{At: s.Window, WorstM: s.Window.FromM, Demand: 0, Capacity: p.limit, SE: math.Sqrt(p.varLimit), P: nan, PBest: nan, Unit: Grade,
		Outcome: NotLooked, Rests: append(s.tipRests(), s.rests(practiceKeys...)...),
		Say:   "by its file the {part} tips at a crossfall of {tips}: too little to be sure of on any road",
		Close: "correct support, load.cg_y_m and load.cg_height_m in the transporter's file, or move the load to the middle or lower",
		Q: []Quantity{{Name: "part", Text: p.name, Unit: Literal},
			{Name: "tips", Value: p.limit, SE: math.Sqrt(p.varLimit), Unit: Grade}}}
	f.Unverified = s.unverified(f.Rests)
	return f
}

// explain hands the steps of one station to the sink.
func (w *leaning) explain(k *Sink, speedMS float64) {
	if !k.Explain {
		return
	}
	k.Step("chainage of the foremost axle", w.s, Chain, w.part.name+" leans worst")
	k.Step("crossfall", w.fall, Grade, "mean under its axles, to the right positive")
	k.Step("standard error of it", math.Sqrt(w.varDemand), Grade, "raster, place of the line, width of the way")
	k.Step("radius of the line", w.radiusM, Metre, "where its axles stand")
	k.Step("speed in bends", speedMS, Speed, "taken, or given")
	k.Step("centrifugal over vertical force", w.lateral, Grade, "v^2/(R g), to the right positive")
	k.Step("lean", w.demand, Grade, "both together, the worse side")
	k.Step("tips at", w.capacity, Grade, "arm over height of the centre of gravity, less roll")
	k.Step("standard error of that", math.Sqrt(w.varSupply), Grade, "where the load stands and what it weighs")
}
