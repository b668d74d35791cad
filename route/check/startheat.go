package check

import (
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// defaultStarts is how many starts one right after the other a clutch is asked
// for. Choice: a missed start or two, and one that counts.
const defaultStarts = 3

const startsKey = "start.times"

// StartHeat is what starting from rest at one place puts into the clutch or the
// converter of the engine that comes nearest to its limit, else takes most.
type StartHeat struct {
	Unit, What  string  // "tractor", "clutch"
	LowJ, HighJ float64 // one start, 5 and 95 % ends; HighJ is +Inf where it may slip without end
	Starts      int
	KeptJ       float64 // of that many starts without a pause, at the high end
	LimitJ      float64 // what it takes before it must cool; NaN where the file does not say
	Fit         int     // starts without a pause that it surely takes, Starts at most
	StallW      float64 // heat of a converter held at stall; 0 for a clutch
	Rests       []string
}

// startHeat is that on a surface; false for trains without gears, and where it
// does not start at the design values.
func (s *Setup) startHeat(su traction.Surface, grade, gradeSE float64) (StartHeat, bool) {
	low, design, high := s.slips(su, grade, gradeSE, -oneSided), s.slips(su, grade, gradeSE, 0), s.slips(su, grade, gradeSE, oneSided)
	if len(design) == 0 || len(low) != len(design) {
		return StartHeat{}, false
	}
	var out StartHeat
	worst := math.Inf(-1)
	for k := range design {
		d := s.Train.Units[design[k].Unit].Power
		h := StartHeat{Unit: s.Train.Units[design[k].Unit].Name, What: slipper(d), LowJ: low[k].HeatJ, HighJ: math.Inf(1), KeptJ: math.Inf(1),
			Starts: s.Starts, LimitJ: d.SlipLimitJ}
		if d.Converter {
			h.StallW = d.StartTorqueNm * 2 * math.Pi * d.PeakTorqueRPM / 60
		}
		if len(high) == len(design) {
			h.HighJ, h.KeptJ = high[k].HeatJ, high[k].Kept(s.Starts, d.SlipCoolW)
			for h.Fit < s.Starts && high[k].Kept(h.Fit+1, d.SlipCoolW) <= d.SlipLimitJ {
				h.Fit++
			}
		}
		rank := h.LowJ
		if !math.IsNaN(h.LimitJ) {
			rank = 1e12 * (1 + h.LowJ/h.LimitJ) // before those without a limit
		}
		if rank > worst {
			worst, out = rank, h
		}
	}
	for _, a := range su.Assumed() {
		out.Rests = append(out.Rests, a.Key)
	}
	out.Rests = append(out.Rests, s.rests(append(slices.Clone(traction.SlipKeys), startsKey)...)...)
	return out, true
}

func slipper(d *vehicle.Driveline) string {
	if d.Converter {
		return "converter"
	}
	return "clutch"
}

// slips asks the physics at a number of standard deviations of what resists and
// what pulls: grade, rolling, mass, and effort or grip in squares. nil where it
// does not start.
func (s *Setup) slips(su traction.Surface, grade, gradeSE, z float64) []traction.Slip {
	o := traction.DefaultSlip()
	weight := s.Train.GrossKg * vehicle.G
	mu, f := su.Mu.Design.V, su.Roll.Design.V
	pull := traction.StartN(s.Train, o.Start)
	driven := s.Train.Statics(grade, f*o.Start.BreakAway, 0).DrivenN
	off := pull * effortError
	if grip := mu * driven; grip < pull {
		pull, off = grip, (mu-su.Mu.Low.V)/oneSided*driven
	}
	rolling := weight * o.Start.BreakAway * (su.Roll.High.V - f) / oneSided
	resist := weight * (grade + f*o.Start.BreakAway)
	se := math.Sqrt(square(off) + square(rolling) + square(weight*gradeSE) + square(resist*s.relMass()))
	out, err := traction.SlipsOf(s.Train, grade, mu, f, z*se, o)
	if err != nil {
		return nil
	}
	return out
}

// slipLimited reports whether the file limits the heat of any start.
func (s *Setup) slipLimited() bool {
	return slices.ContainsFunc(s.Train.Units, func(u vehicle.Unit) bool { return u.Power != nil && u.Power.SlipLimitJ > 0 })
}

// slipBounds are the grades up to which a clutch on one surface surely takes all
// starts, and one.
type slipBounds struct{ all, one float64 }

func (s *Setup) slipOn(o *option) slipBounds {
	upTo := func(n int) float64 {
		low, high := -0.3, traction.MaxGrade
		for range 30 {
			mid := (low + high) / 2
			if h, ok := s.startHeat(o.surface, mid, 0); ok && h.Fit >= n {
				low = mid
			} else {
				high = mid
			}
		}
		return low
	}
	return slipBounds{upTo(s.Starts), upTo(1)}
}

// heatOfStarts tells what the hardest start that is sure puts into the clutch,
// and, where the file says what that takes, where starts must be counted.
func (s *Situation) heatOfStarts(k *Sink) {
	limited := s.slipLimited()
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) { k.Place(s.slipFinding(at, w)) }
	hardest := reading{demand: math.Inf(-1)}
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		d, se := s.TrainGrade.Value[i], s.TrainGrade.SE[i]
		steep := d + oneSided*se
		o := s.grounds[i].span[fromRest].worst
		if math.IsNaN(d) || steep > o.capacity[fromRest].pass {
			continue // the climb or the start is in question already
		}
		r := reading{i: i, s: s.Profile.ChainageM[i], demand: d, varDemand: se * se, p: -steep, pBest: nan, capacity: nan} // steeper is worse
		if d > hardest.demand {
			hardest = r
		}
		if !limited || steep <= o.slip.all {
			continue
		}
		if r.outcome = Caution; steep > o.slip.one {
			r.outcome = NotLooked
		}
		g.add(r, s.spacing(i))
	}
	g.close()
	if hardest.demand > 0 {
		s.placeHardest(k, hardest)
	}
}

// slipQ are the figures of a start's heat.
func slipQ(h *StartHeat) []Quantity {
	return []Quantity{
		{Name: "low", Value: h.LowJ, Unit: Joule}, {Name: "high", Value: h.HighJ, Unit: Joule}, {Name: "kept", Value: h.KeptJ, Unit: Joule},
		{Name: "times", Value: float64(h.Starts), Unit: Count}, {Name: "fit", Value: float64(h.Fit), Unit: Count},
		{Name: "allowed", Value: h.LimitJ, Unit: Joule}, {Name: "slips", Text: h.What, Unit: Literal}, {Name: "unit", Text: h.Unit, Unit: Literal},
	}
}

func (s *Situation) slipFinding(at route.Stretch, w reading) Finding {
	sp := s.grounds[w.i].span[fromRest]
	h, _ := s.startHeat(sp.worst.surface, w.demand, math.Sqrt(w.varDemand))
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: sp.worst.slip.all, SE: math.Sqrt(w.varDemand), P: nan, PBest: nan, Unit: Grade,
		Outcome: w.outcome, Rests: h.Rests, Unverified: s.unverified(h.Rests),
		Say: "a start on {grade} puts {low} to {high} of heat into the {slips} of {unit}, {times} in succession up to {kept}: it takes {allowed}"}
	f.Q = append(slipQ(&h), Quantity{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
		Quantity{Name: "from", Value: f.At.FromM, Unit: Chain}, Quantity{Name: "to", Value: f.At.ToM, Unit: Chain},
		Quantity{Name: "needed", Value: sp.worst.slip.one, Unit: AtMost})
	switch {
	case w.outcome == Caution:
		f.Do = "between {from} and {to} start no more than {fit} times in succession, then let it cool; never hold the load on the {slips}"
	case f.At.LengthM() <= s.ShortStopM && !s.mayStop(f.At):
		f.Outcome = Caution
		f.Do = "do not stop between {from} and {to}; keep the road ahead clear before entering; never hold the load on the {slips}"
		f.Rests = append(f.Rests, s.rests("start.short_stop_m")...)
	default:
		f.Close = "have a helper or level ground for every start between {from} and {to}: alone one start is sure only where the grade under the train is at most {needed}"
	}
	return f
}

// placeHardest tells of the steepest place where the train surely starts.
func (s *Situation) placeHardest(k *Sink, w reading) {
	o := s.grounds[w.i].span[fromRest].worst
	h, ok := s.startHeat(o.surface, w.demand, math.Sqrt(w.varDemand))
	if !ok {
		return
	}
	c := &o.capacity[fromRest]
	p := c.chance(w.demand, w.varDemand)
	f := Finding{At: s.Window, WorstM: w.s, Demand: w.demand, Capacity: c.grade, SE: math.Sqrt(w.varDemand + c.variance(w.demand).sum()), P: p, PBest: p, Unit: Grade, Outcome: Pass,
		Rests: h.Rests, Unverified: s.unverified(h.Rests), Q: append(slipQ(&h), Quantity{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade}),
		Say: "a start on the steepest, {grade}, puts {low} to {high} of heat into the {slips} of {unit}, {times} in succession up to {kept}"}
	if math.IsNaN(h.LimitJ) {
		f.Say += "; what it takes the file does not say: never hold the load on it, let it cool between starts"
	} else {
		f.Say += "; it takes {allowed}"
	}
	k.Place(f)
	k.Step("heat of one start, low end", h.LowJ, Joule, "clutch torque times engine speed times slipping time over 2, or the converter's losses")
	k.Step("heat of one start, high end", h.HighJ, Joule, "grade, rolling, mass and effort or grip at their bad ends in squares")
}

// StartHeat is that of starts with the foremost axle at station i on the worst
// ground it may be; false where it does not start at the design values or the
// file gives no gears.
func (s *Situation) StartHeat(i int) (StartHeat, bool) {
	d, se := s.TrainGrade.Value[i], s.TrainGrade.SE[i]
	if math.IsNaN(d) {
		return StartHeat{}, false
	}
	return s.startHeat(s.grounds[i].span[fromRest].worst.surface, d, se)
}
