package check

import (
	"math"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// Where a load really stands against what its file says, one standard error.
// Choices: a load is set on the deck by eye to 0.2 m nineteen times in twenty,
// its centre of gravity known to 0.3 m in height.
const (
	loadAlongSE = 0.10
	loadUpSE    = 0.15
)

var placeKeys = []string{"load.along_se_m", "load.up_se_m"}

// moved are the train with its loads one standard error back, and one higher;
// none without a load.
func moved(c *vehicle.Combination) (out []*vehicle.Combination) {
	loaded := false
	for i := range c.Units {
		loaded = loaded || c.Units[i].LoadKg > 0
	}
	if !loaded {
		return nil
	}
	for _, by := range [][2]float64{{loadAlongSE, 0}, {0, loadUpSE}} {
		m := *c
		m.Units = append([]vehicle.Unit(nil), c.Units...)
		for i := range m.Units {
			share := m.Units[i].LoadKg / m.Units[i].MassKg
			m.Units[i].CGXM += share * by[0]
			m.Units[i].CGHM += share * by[1]
		}
		out = append(out, &m)
	}
	return out
}

// tilt is how far the train may lean on one surface, with the variances of its
// bounds from where the load stands and what it weighs.
type tilt struct {
	traction.Tilt
	up, down, steerUp, steerDown float64
}

func (s *Setup) tiltOn(f float64) tilt {
	t := tilt{Tilt: traction.TiltOf(s.Train, f)}
	others := s.moved
	if s.heavier != nil {
		others = append(others[:len(others):len(others)], s.heavier)
	}
	off := func(a, b traction.Bound) float64 {
		if d := a.GradeRatio - b.GradeRatio; !math.IsInf(d, 0) && !math.IsNaN(d) {
			return d * d
		}
		return 0 // both, or one of them, hold on every grade looked at
	}
	for _, o := range others {
		m := traction.TiltOf(o, f)
		t.up += off(m.LiftUp, t.LiftUp)
		t.down += off(m.LiftDown, t.LiftDown)
		t.steerUp += off(m.SteerUp, t.SteerUp)
		t.steerDown += off(m.SteerDown, t.SteerDown)
	}
	return t
}

// leanCheck is one of the ways a train may lean too far.
type leanCheck struct {
	bound  func(*tilt) (traction.Bound, float64) // with its variance
	sign   float64                               // +1 bounds from above, -1 from below
	passAt float64
	word   func(*Situation, *Finding, traction.Bound)
}

// leans are they. Going up, a lifting support is one of the limits of the climb
// where nothing gives out before; here its own error counts too.
var leans = []leanCheck{
	{func(t *tilt) (traction.Bound, float64) { return t.LiftUp, t.up }, +1, safePassAt, wordLiftUp},
	{func(t *tilt) (traction.Bound, float64) { return t.LiftDown, t.down }, -1, safePassAt, wordLiftDown},
	{func(t *tilt) (traction.Bound, float64) { return t.SteerUp, t.steerUp }, +1, PassAt, wordSteer},
	{func(t *tilt) (traction.Bound, float64) { return t.SteerDown, t.steerDown }, -1, PassAt, wordSteer},
}

// uplift asks where the front axle group gets too light to steer, and fails
// where a support lifts going down. Going up it speaks only where the climb
// passes: elsewhere that is in question already.
func uplift(s *Situation, k *Sink) {
	for _, c := range leans {
		g := runs{gapM: s.Train.LengthM}
		g.emit = func(at route.Stretch, w reading) { k.Place(s.leanFinding(at, w, &c)) }
		from, to := s.inWindow()
		for i := from; i < to; i++ {
			r, ok := s.lean(i, &c)
			if !ok || (c.sign > 0 && r.outcome != Pass && s.gradeAt(i, crawling).outcome != Pass) {
				continue // nothing, or the climb asks or fails there already
			}
			g.add(r, s.spacing(i))
		}
		g.close()
	}
}

// lean is the reading of one way at a station; false where nothing gives way on
// any grade, or no grade is known.
func (s *Situation) lean(i int, c *leanCheck) (reading, bool) {
	d := s.TrainGrade.Value[i]
	b, variance := s.tightest(i, c)
	if math.IsNaN(d) || math.IsInf(b.GradeRatio, 0) {
		return reading{}, false
	}
	// Nine standard errors off: no need to ask the normal law.
	gap, v := c.sign*(b.GradeRatio-d), square(s.TrainGrade.SE[i])+variance
	if gap > 0 && gap*gap > 81*v {
		return reading{}, false
	}
	r := reading{i: i, s: s.Profile.ChainageM[i], demand: d, capacity: b.GradeRatio, varDemand: square(s.TrainGrade.SE[i]), varSupply: variance}
	r.p = chance(c.sign*d, c.sign*b.GradeRatio, r.se())
	if r.outcome = judgeAt(r.p, c.passAt); r.outcome == Fail && s.suspectAt(i) {
		r.suspect, r.outcome = true, NotLooked
	}
	return r, true
}

// tightest is the bound that leaves least, of those of the worst and the best
// ground that lies under the train at a station.
func (s *Situation) tightest(i int, c *leanCheck) (traction.Bound, float64) {
	sp := s.grounds[i].span[crawling]
	b, variance := c.bound(&sp.worst.tilt)
	if other, v := c.bound(&sp.best.tilt); c.sign*other.GradeRatio < c.sign*b.GradeRatio {
		return other, v
	}
	return b, variance
}

func (s *Situation) leanFinding(at route.Stretch, w reading, c *leanCheck) Finding {
	b, _ := s.tightest(w.i, c)
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.p,
		Unit: Grade, Outcome: w.outcome, Rests: s.rests(placeKeys...),
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: w.capacity, SE: math.Sqrt(w.varSupply), Unit: Grade},
		}}
	if w.suspect {
		s.wordSuspect(&f, w.s)
		return f
	}
	c.word(s, &f, b)
	return f
}

// wordLiftUp makes a question of it: what surely lifts has failed the climb.
func wordLiftUp(s *Situation, f *Finding, b traction.Bound) {
	f.Outcome = Undecided
	f.Say = "grade {grade} under the train: the {lifts} carries nothing from {limit} on, and may lift sooner"
	f.Q = append(f.Q, Quantity{Name: "lifts", Text: s.Train.SupportName(b.At), Unit: Literal})
	f.Close = "weigh that support on the level with the load as it stands, or move the load"
}

func wordLiftDown(s *Situation, f *Finding, b traction.Bound) {
	f.Say = "grade {grade} under the train: going down steeper than {limit} the {lifts} carries nothing"
	f.Q = append(f.Q, Quantity{Name: "lifts", Text: s.Train.SupportName(b.At), Unit: Literal})
	f.Do = "move or lower the load; do not drive this grade as loaded"
	if f.Outcome != Fail {
		f.Close, f.Do = "weigh that axle group on the level and measure the grade, or move the load", ""
	}
}

// wordSteer makes a question of it: the floor is from memory.
func wordSteer(s *Situation, f *Finding, b traction.Bound) {
	f.Outcome, f.P, f.PBest, f.Unverified = NotLooked, nan, nan, true
	f.Say = "grade {grade} under the train: steeper than {limit} the front axle group of {unit} carries less than {floor} of that unit's weight and may not steer"
	f.Close = "weigh the front axle group, and ask the maker what it must carry to steer; or move the load"
	f.Rests = append(f.Rests, s.rests(steerKey)...)
	f.Q = append(f.Q, Quantity{Name: "unit", Text: s.Train.Units[b.At.Unit].Name, Unit: Literal},
		Quantity{Name: "floor", Value: traction.SteerFloor, Unit: Share})
}

const steerKey = "steer.floor"
