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
	lift, steer float64 // variance of LiftDown and of the steering bounds
}

func (s *Setup) tiltOn(f float64) tilt {
	t := tilt{Tilt: traction.TiltOf(s.Train, f)}
	others := s.moved
	if s.heavier != nil {
		others = append(others[:len(others):len(others)], s.heavier)
	}
	for _, o := range others {
		m := traction.TiltOf(o, f)
		t.lift += square(m.LiftDown - t.LiftDown)
		t.steer += max(square(m.SteerUp-t.SteerUp), square(m.SteerDown-t.SteerDown))
	}
	return t
}

// uplift asks where the front axle group gets too light to steer, and fails
// where a support lifts going down. Going up a lifting support is one of the
// limits of the climb.
func uplift(s *Situation, k *Sink) {
	for _, c := range []struct {
		bound func(*tilt) (grade, variance float64) // leaning this far is still right
		sign  float64                               // +1 bounds from above, -1 from below
		word  func(*Situation, *Finding, *tilt)
	}{
		{func(t *tilt) (float64, float64) { return t.LiftDown, t.lift }, -1, wordLiftDown},
		{func(t *tilt) (float64, float64) { return t.SteerUp, t.steer }, +1, wordSteer},
		{func(t *tilt) (float64, float64) { return t.SteerDown, t.steer }, -1, wordSteer},
	} {
		g := runs{gapM: s.Train.LengthM}
		g.emit = func(at route.Stretch, w reading) { k.Place(s.tiltFinding(at, w, c.word)) }
		from, to := s.inWindow()
		for i := from; i < to; i++ {
			if d := s.TrainGrade.Value[i]; !math.IsNaN(d) {
				bound, variance := s.tightest(i, c.bound, c.sign)
				r := reading{i: i, s: s.Profile.ChainageM[i], demand: d, capacity: bound, varDemand: square(s.TrainGrade.SE[i]), varSupply: variance}
				r.p = chance(c.sign*d, c.sign*bound, r.se())
				r.outcome = judge(r.p)
				g.add(r, s.spacing(i))
			}
		}
		g.close()
	}
}

// tightest is the bound that leaves least, of those of the worst and the best
// ground that lies under the train at a station.
func (s *Situation) tightest(i int, bound func(*tilt) (float64, float64), sign float64) (grade, variance float64) {
	sp := s.grounds[i].span[crawling]
	grade, variance = bound(&sp.worst.tilt)
	if g, v := bound(&sp.best.tilt); sign*g < sign*grade {
		return g, v
	}
	return grade, variance
}

func (s *Situation) tiltFinding(at route.Stretch, w reading, word func(*Situation, *Finding, *tilt)) Finding {
	f := Finding{At: clip(at, s.Window), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, SE: w.se(), P: w.p, PBest: w.p,
		Unit: Grade, Outcome: w.outcome, Rests: s.rests(placeKeys...),
		Q: []Quantity{
			{Name: "grade", Value: w.demand, SE: math.Sqrt(w.varDemand), Unit: Grade},
			{Name: "limit", Value: w.capacity, SE: math.Sqrt(w.varSupply), Unit: Grade},
		}}
	word(s, &f, &s.grounds[w.i].span[crawling].worst.tilt)
	return f
}

func wordLiftDown(s *Situation, f *Finding, t *tilt) {
	f.Say = "grade {grade} under the train, and the {lifts} carries nothing from {limit} down"
	f.Q = append(f.Q, Quantity{Name: "lifts", Text: s.Train.SupportName(t.DownAt), Unit: Literal})
	f.Do = "move or lower the load; do not drive this grade as loaded"
	if f.Outcome != Fail {
		f.Close, f.Do = "weigh that axle group on the level and measure the grade, or move the load", ""
	}
}

// wordSteer makes a question of it: the floor is from memory.
func wordSteer(s *Situation, f *Finding, t *tilt) {
	unit := t.SteerUpAt
	if f.Capacity < 0 && f.Demand < 0 {
		unit = t.SteerDownAt
	}
	f.Outcome, f.P, f.PBest, f.Unverified = NotLooked, nan, nan, true
	f.Say = "grade {grade} under the train: from {limit} on the front axle group of {unit} carries less than {floor} of its weight and may not steer"
	f.Close = "weigh the front axle group, and ask the maker what it must carry to steer; or move the load forward"
	f.Rests = append(f.Rests, s.rests(steerKey)...)
	f.Q = append(f.Q, Quantity{Name: "unit", Text: s.Train.Units[unit].Name, Unit: Literal},
		Quantity{Name: "floor", Value: traction.SteerFloor, Unit: Share})
}

const steerKey = "steer.floor"
