package secondtow

import (
	"math"
	"strings"

	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// Measure is one thing that may get the train up a climb, tried on it.
type Measure struct {
	Say    string // template
	Q      []check.Quantity
	ClimbP float64 // P(climbs) with it at the worst place
	StartP float64 // P(starts there again)
	Sure   float64 // largest grade still sure with it, rise over run
}

// Passes reports whether the climb is sure with it.
func (m *Measure) Passes() bool { return m.ClimbP >= check.PassAt }

// Choices of the measures tried.
const (
	moveM        = 0.5  // how far a load is moved on its deck
	ballastMost  = 0.4  // most ballast over the unit's own mass
	ballastHighM = 1.5  // height of its centre of gravity
	roundKg      = 1000 // masses are found to this
)

// moves are the ways a load may be moved.
var moves = []struct {
	m    float64
	word string
}{{-moveM, "forward"}, {moveM, "back"}}

// Measures tries at station i, the worst of a climb, what could help there,
// quickest first: the helpers at hand, chains and grit on snow and ice, dry ground, the load moved, ballast on
// the driving unit, a lighter load. What cannot be tried (no load to move) is
// left out. Each is judged by the check of the climb itself with the train as it
// would be.
func (y *Yard) Measures(s *check.Situation, i int) (out []Measure, err error) {
	if y != nil {
		for _, h := range y.hitches() {
			if h.pushes() && h.Setup() != nil {
				out = append(out, h.measure(s, i))
			}
		}
		for k := range y.Helpers {
			if h := &y.Helpers[k]; h.hoist != nil {
				out = append(out, h.hoist.measure(s, i, h.Name))
			}
		}
	}
	snow, err := onSnow(s, i)
	if err != nil {
		return nil, err
	}
	out = append(out, snow...)
	if s.Weather != "dry" {
		m, err := tried(s, i, s.Train, "dry", "wait until the ground is dry")
		if err != nil {
			return nil, err
		}
		out = append(out, m)
	}
	for _, f := range []func(*check.Situation, int) (*Measure, error){moved, ballasted, lighter} {
		m, err := f(s, i)
		if err != nil {
			return nil, err
		}
		if m != nil {
			out = append(out, *m)
		}
	}
	return out, nil
}

// measure is the helpers coupled on: the train with them where it is least sure
// while the train alone is on the climb.
func (h *Hitch) measure(s *check.Situation, i int) Measure {
	c := h.Situation(s)
	least := Measure{Say: "{helper} on the bar ahead", Q: []check.Quantity{{Name: "helper", Text: h.Name(), Unit: check.Literal}}, ClimbP: math.Inf(1)}
	if h.behind() || len(h.Members) > 1 {
		least.Say = "{helper}, coupled"
	}
	at := s.Profile.ChainageM[i]
	for k, x := range s.Profile.ChainageM {
		if x < at || x > at+h.AheadM || math.IsNaN(c.TrainGrade.Value[k]) {
			continue
		}
		if p := c.Climb(k); p.P < least.ClimbP {
			least.ClimbP, least.StartP, least.Sure = p.P, c.Start(k).P, p.Pass
		}
	}
	if math.IsInf(least.ClimbP, 1) {
		least.ClimbP, least.StartP, least.Sure = math.NaN(), math.NaN(), math.NaN()
	}
	return least
}

// tried judges the climb for another train or ground.
func tried(s *check.Situation, i int, c *vehicle.Combination, weather, say string, q ...check.Quantity) (Measure, error) {
	set, err := s.With(c, weather)
	if err != nil {
		return Measure{}, err
	}
	return on(s, i, set, say, q...), nil
}

// on judges the climb with another setup.
func on(s *check.Situation, i int, set *check.Setup, say string, q ...check.Quantity) Measure {
	n := check.NewSituation(set, s.Way, s.Profile, s.Structures, s.Looked)
	climb := n.Climb(i)
	return Measure{Say: say, Q: q, ClimbP: climb.P, StartP: n.Start(i).P, Sure: climb.Pass}
}

// onSnow are the measures against snow and ice, where either lies.
func onSnow(s *check.Situation, i int) (out []Measure, err error) {
	if ground := s.Climb(i).Surface; !strings.Contains(ground, "snow") && !strings.Contains(ground, "ice") {
		return nil, nil
	}
	for _, m := range traction.Measures() {
		set, err := s.WithMeasure(m)
		if err != nil {
			return nil, err
		}
		out = append(out, on(s, i, set, string(m)+" against snow and ice"))
	}
	return out, nil
}

// heaviest is the unit with the heaviest load, -1 when nothing is loaded.
func heaviest(c *vehicle.Combination) int {
	best := -1
	for i := range c.Units {
		if kg := c.Units[i].LoadKg; kg > 0 && (best < 0 || kg > c.Units[best].LoadKg) {
			best = i
		}
	}
	return best
}

// moved is the load half a metre along its deck, the way that helps more.
func moved(s *check.Situation, i int) (*Measure, error) {
	u := heaviest(s.Train)
	if u < 0 {
		return nil, nil
	}
	var best *Measure
	for _, by := range moves {
		c, err := s.Train.Reload(u, s.Train.Units[u].LoadKg, by.m)
		if err != nil {
			continue // a support would lift
		}
		m, err := tried(s, i, c, s.Weather, "the load {by} further "+by.word+", as far as axle ratings allow", check.Quantity{Name: "by", Value: moveM, Unit: check.Metre})
		if err != nil {
			return nil, err
		}
		if best == nil || m.ClimbP > best.ClimbP {
			best = &m
		}
	}
	return best, nil
}

// ballasted is the least mass over the driven axles of the foremost driving unit
// that makes the climb sure, or the most that is tried.
func ballasted(s *check.Situation, i int) (*Measure, error) {
	unit, x := -1, 0.0
	for k := range s.Train.Units {
		if u := &s.Train.Units[k]; u.Power != nil && u.Kind != vehicle.SemiTrailer {
			unit, x = k, u.GroupXM[len(u.GroupXM)-1]
			break
		}
	}
	if unit < 0 {
		return nil, nil
	}
	u := &s.Train.Units[unit]
	try := func(kg float64) (Measure, error) {
		c, err := s.Train.Ballast(unit, kg, x, ballastHighM)
		if err != nil {
			return Measure{}, err
		}
		return tried(s, i, c, s.Weather, "{mass} of ballast over the rear axle group of {unit}, as far as its axle ratings allow",
			check.Quantity{Name: "mass", Value: kg, Unit: check.Kg}, check.Quantity{Name: "unit", Text: u.Name, Unit: check.Literal})
	}
	return leastThatPasses(try, ballastMost*u.MassKg)
}

// lighter is the least mass to take off the heaviest load that makes the climb
// sure, or all of it.
func lighter(s *check.Situation, i int) (*Measure, error) {
	u := heaviest(s.Train)
	if u < 0 {
		return nil, nil
	}
	load := s.Train.Units[u].LoadKg
	return leastThatPasses(func(kg float64) (Measure, error) {
		c, err := s.Train.Reload(u, load-kg, 0)
		if err != nil {
			return Measure{}, err
		}
		return tried(s, i, c, s.Weather, "a load lighter by {mass}", check.Quantity{Name: "mass", Value: kg, Unit: check.Kg})
	}, load)
}

// leastThatPasses halves between nothing and most for the least mass, to the
// tonne and rounded up, with which the climb is sure; where most is not enough
// it is that of most.
func leastThatPasses(try func(kg float64) (Measure, error), most float64) (*Measure, error) {
	m, err := try(most)
	if err != nil {
		return nil, nil //nolint:nilerr // such a train cannot stand: nothing to offer
	}
	low, high := 0.0, math.Ceil(most/roundKg)
	for m.Passes() && high-low > 1 {
		mid := math.Floor((low + high) / 2)
		n, err := try(math.Min(mid*roundKg, most))
		if err != nil {
			break
		}
		if n.Passes() {
			m, high = n, mid
		} else {
			low = mid
		}
	}
	return &m, nil
}
