package check

import (
	"math"
	"sync"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// Normal quantiles of the two bounds of a pass.
const (
	oneSided = 1.645  // 95 %: the low and high values of a surface are taken as its 5 % and 95 % points
	safeSide = 2.3264 // 99 %
)

// effortError is the relative standard error of pull at the wheels where
// effort, not grip, decides. Choice.
const effortError = 0.05

// motion is how the train meets a grade.
type motion uint8

const (
	crawling motion = iota
	fromRest
	retarding // going down on engine and retarder
	braking   // going down on the service brakes of all braked axles
	parkedUp  // parked, nose up
	parkedDown
	motions
)

// down reports a motion that meets grades the train points down; its demand is
// how steep they are.
func (m motion) down() bool { return m == retarding || m == braking || m == parkedDown }

// option is one surface the ground may be, and what the train masters on it,
// computed when first asked for.
type option struct {
	surface  traction.Surface
	bare     traction.Surface // as wheels without chains find it
	once     sync.Once
	capacity [motions]capacity
	tilt     tilt
}

// capacity is a largest grade with the variances of what it rests on.
type capacity struct {
	grade            float64
	gripDown, gripUp float64 // variance from grip and rolling, below and above the design value
	mass, effort     float64 // variances
	place            float64 // variance from where the load stands, where a support lifts
	scrub            float64 // variance of what tyres scrub in a bend
	roll             float64 // rolling coefficient it was solved with
	limit            traction.Limit
	rests            []string
}

// parts are the variances of a capacity by cause.
type parts struct{ grip, mass, effort, place, scrub float64 }

func (p parts) sum() float64 { return p.grip + p.mass + p.effort + p.place + p.scrub }

// variance is that of the capacity seen from a demand: grip may be worse by
// one amount and better by another.
func (c *capacity) variance(demand float64) parts {
	grip := c.gripDown
	if demand > c.grade {
		grip = c.gripUp
	}
	return parts{grip, c.mass, c.effort, c.place, c.scrub}
}

// passGrade is the largest grade that passes when the demand has no error.
func (c *capacity) passGrade() float64 {
	return c.grade - oneSided*math.Sqrt(c.gripDown+c.mass+c.effort+c.place+c.scrub)
}

// failGrade is the least grade that fails when the demand has no error.
func (c *capacity) failGrade() float64 {
	return c.grade + oneSided*math.Sqrt(c.gripUp+c.mass+c.effort+c.place+c.scrub)
}

// thin is the capacity where the air lets the engines give only a share of
// their effort. Derived from the two limits: effort over weight is the grade by
// effort plus rolling.
func (c *capacity) thin(share float64) capacity {
	out := *c
	effort := (c.limit.EffortGrade+c.roll)*share - c.roll
	if effort < c.limit.GripGrade && effort < c.grade {
		out.grade = min(c.grade, effort)
		out.limit.Decides = traction.Effort
		out.limit.Lifts, out.place = "", 0
		out.effort = square((out.grade + c.roll) * effortError)
	}
	return out
}

func label(s traction.Surface) string {
	if s.Name == string(s.Weather) || s.Name == string(traction.Snow) || s.Name == string(traction.Ice) {
		return s.Label()
	}
	return string(s.Weather) + " " + s.Name
}

// prepare makes the options of the weather.
func (s *Setup) prepare() error {
	all, err := s.surfaces.Surfaces(traction.Weather(s.Weather))
	if err != nil {
		return err
	}
	for _, su := range all {
		s.options[su.Name] = &option{surface: su}
		for _, a := range su.Assumed() {
			if a.Standing == "memory" {
				s.memory[a.Key] = true
			}
		}
	}
	s.heavier, s.moved = heavier(s.Train), moved(s.Train)
	for _, m := range s.moved {
		f := m.Statics(0, 0, 0)
		kg := make([]float64, len(f.AxleN))
		for i, n := range f.AxleN {
			kg[i] = n / vehicle.G
		}
		s.weighed = append(s.weighed, kg)
	}
	for _, u := range s.Train.Units {
		s.breathes = s.breathes || (u.Power != nil && !u.Power.TurboBoosted)
	}
	return nil
}

// heavier is the train with its most uncertain unit one standard error of its
// load heavier, nil when no load is uncertain.
func heavier(c *vehicle.Combination) *vehicle.Combination {
	worst := 0
	for i := range c.Units {
		if c.Units[i].LoadSEKg > c.Units[worst].LoadSEKg {
			worst = i
		}
	}
	se := max(c.Units[worst].LoadSEKg, 0)
	if se == 0 {
		return nil
	}
	h := *c
	h.Units = append([]vehicle.Unit(nil), c.Units...)
	h.Units[worst].MassKg += se
	h.GrossKg += se
	return &h
}

// on is the option of a surface, computed.
func (s *Setup) on(name string) *option {
	o := s.options[name]
	o.once.Do(func() {
		o.capacity[crawling] = s.capacityOn(o.surface, 1, traction.Climb)
		terms := traction.DefaultStart()
		o.capacity[fromRest] = s.capacityOn(o.surface, terms.BreakAway, func(c *vehicle.Combination, mu, f float64) traction.Limit {
			return traction.Start(c, mu, f, terms)
		})
		o.tilt = s.tiltOn(o.surface.Roll.Design.V)
		for _, a := range terms.Assumed() {
			o.capacity[fromRest].rests = append(o.capacity[fromRest].rests, a.Key)
		}
		s.holdOn(o)
	})
	return o
}

// capacityOn inverts the physics on one surface: the largest grade at the
// design values, and how far it moves with grip and rolling at their low and
// high ones and with a heavier load, one at a time and added in squares.
func (s *Setup) capacityOn(su traction.Surface, rollFactor float64, largest func(c *vehicle.Combination, mu, f float64) traction.Limit) capacity {
	mu, f := su.Mu.Design.V, su.Roll.Design.V
	l := largest(s.Train, mu, f)
	c := capacity{grade: l.GradeRatio, limit: l, roll: f * rollFactor}
	away := func(mu, f float64) float64 {
		return square((largest(s.Train, mu, f).GradeRatio - l.GradeRatio) / oneSided)
	}
	c.gripDown = away(su.Mu.Low.V, f) + away(mu, su.Roll.High.V)
	c.gripUp = away(su.Mu.High.V, f) + away(mu, su.Roll.Low.V)
	if s.heavier != nil {
		c.mass = square(largest(s.heavier, mu, f).GradeRatio - l.GradeRatio)
	}
	switch l.Decides {
	case traction.Lift:
		for _, moved := range s.moved {
			c.place += square(largest(moved, mu, f).GradeRatio - l.GradeRatio)
		}
		c.rests = append(c.rests, placeKeys...)
	case traction.Effort:
		c.effort = square((l.GradeRatio + c.roll) * effortError)
	}
	for _, a := range su.Assumed() {
		c.rests = append(c.rests, a.Key)
	}
	return c
}

func square(x float64) float64 { return x * x }

// shortfall is what a helper must give at the bar on a grade, and how heavy it
// must be; NaN when no mass does.
func (s *Setup) shortfall(o *option, gradeRatio float64) (barN, massKg float64) {
	a := traction.Shortfall(s.Train, gradeRatio, o.surface.Mu.Design.V, o.surface.Roll.Design.V)
	if math.IsInf(a.MinHelperKg, 1) {
		return a.BarN, nan
	}
	return a.BarN, a.MinHelperKg
}

// Mastered is what a train masters on one surface: the largest grades at the
// design values, and those that still pass with everything uncertain at its bad
// end.
type Mastered struct {
	Surface               string
	Climb, Start          float64 // rise over run, design values
	ClimbPass, StartPass  float64 // with 95 % confidence
	ClimbLimit, StartedBy string  // grip, effort, bar or lift
	Unverified            bool    // rests on a value from memory
}

// Mastered lists it for every surface of the weather, firm ones first.
func (s *Setup) Mastered() (out []Mastered) {
	all, _ := s.surfaces.Surfaces(traction.Weather(s.Weather)) // weather was checked by NewSetup
	for _, su := range all {
		climb, start := &s.on(su.Name).capacity[crawling], &s.on(su.Name).capacity[fromRest]
		out = append(out, Mastered{Surface: label(su), Climb: climb.grade, Start: start.grade,
			ClimbPass: climb.passGrade(), StartPass: start.passGrade(),
			ClimbLimit: climb.limit.Decides, StartedBy: start.limit.Decides,
			Unverified: s.unverified(climb.rests)})
	}
	return out
}
