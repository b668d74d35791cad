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
	slip     slipBounds
	thinned  sync.Map // thinAir to *capacity
}

// thinAir names a capacity in thin air: effort left, in thousandths.
type thinAir struct {
	m     motion
	share int
}

// capacity is a largest grade with its law, and the variances that say what its
// uncertainty comes from.
type capacity struct {
	grade            float64
	gripDown, gripUp float64 // variance from grip and rolling, below and above the design value
	mass, effort     float64 // variances
	place            float64 // variance from where the load stands, where a support lifts
	scrub            float64 // variance of what tyres scrub in a bend
	shift            float64 // what scrub takes, out of the law as well
	roll             float64 // rolling coefficient it was solved with
	limits           limits
	law              *law
	pass, fail       float64 // of the law, where nothing scrubs
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

// chance is P(capacity >= demand) for a demand with a variance.
func (c *capacity) chance(demand, variance float64) float64 {
	return c.law.chance(demand-c.shift, math.Sqrt(variance+c.scrub))
}

// largest is the largest grade that leaves a chance when the demand has no error.
func (c *capacity) largest(p float64) float64 {
	return c.law.largest(p, math.Sqrt(c.scrub)) + c.shift
}

// passGrade is the largest grade that passes when the demand has no error.
func (c *capacity) passGrade() float64 {
	if c.scrub == 0 {
		return c.pass
	}
	return c.largest(PassAt)
}

// failGrade is the least grade that fails when the demand has no error.
func (c *capacity) failGrade() float64 {
	if c.scrub == 0 {
		return c.fail
	}
	return c.largest(FailAt)
}

// seal tabulates the law of the limits.
func (c *capacity) seal() {
	own := max(c.limits.effort.own, c.limits.lift.own)
	c.law = newLaw(&c.limits, math.Sqrt(max(c.gripDown, c.gripUp)+c.mass+square(own)))
	c.pass, c.fail = c.law.largest(PassAt, 0), c.law.largest(FailAt, 0)
}

// thin is the capacity where the air lets the engines give only a share of
// their effort. Derived from the two limits: effort over weight is the grade by
// effort plus rolling.
func (c *capacity) thin(share float64) *capacity {
	out := *c
	less := func(grade float64) float64 { return (grade+c.roll)*share - c.roll }
	e := &out.limits.effort
	e.grade, e.mass, e.own = less(e.grade), e.mass*share, e.own*share
	if effort := less(c.limit.EffortGrade); effort < c.limit.GripGrade && effort < c.grade {
		out.grade = effort
		out.limit.Decides = traction.Effort
		out.limit.Lifts, out.place = "", 0
		out.effort = square(e.own)
	}
	out.seal()
	return &out
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
		if s.only != nil {
			s.narrow(o)
			return
		}
		s.climbOn(o)
		terms := traction.DefaultStart()
		o.capacity[fromRest] = s.capacityOn(o.surface, terms.BreakAway, func(c *vehicle.Combination, mu, f float64) traction.Limit {
			return traction.Start(c, mu, f, terms)
		})
		o.tilt = s.tiltOn(o.surface.Roll.Design.V)
		for _, a := range terms.Assumed() {
			o.capacity[fromRest].rests = append(o.capacity[fromRest].rests, a.Key)
		}
		if s.slipLimited() {
			o.slip = s.slipOn(o)
		}
		s.holdOn(o)
	})
	return o
}

func (s *Setup) climbOn(o *option) {
	o.capacity[crawling] = s.capacityOn(o.surface, 1, traction.Climb)
}

// solver gives the limit of a train on adhesion mu and rolling coefficient f.
type solver func(c *vehicle.Combination, mu, f float64) traction.Limit

// capacityOn inverts the physics on one surface: the largest grade at the
// design values, and how each limit moves with grip and rolling, a heavier load
// and a load that stands elsewhere. The limits are put together as a law; the
// variances, one thing at a time at its low and high value, say what decides.
func (s *Setup) capacityOn(su traction.Surface, rollFactor float64, largest solver) capacity {
	c := s.solve(su, rollFactor, largest)
	switch c.limit.Decides {
	case traction.Lift:
		c.place = square(c.limits.lift.own)
		c.rests = append(c.rests, placeKeys...)
	case traction.Effort:
		c.effort = square(c.limits.effort.own)
	}
	c.seal()
	return c
}

// solve asks the physics. A limit beyond MaxGrade is none.
func (s *Setup) solve(su traction.Surface, rollFactor float64, largest solver) capacity {
	mu, f := su.Mu, su.Roll
	var byGrip [len(gripZ)]traction.Limit
	for k, z := range gripZ {
		byGrip[k] = largest(s.Train, at(mu, z), f.Design.V)
	}
	l := byGrip[gripMiddle]
	c := capacity{grade: l.GradeRatio, limit: l, roll: f.Design.V * rollFactor}
	low, high := largest(s.Train, mu.Design.V, f.Low.V), largest(s.Train, mu.Design.V, f.High.V)
	off := func(o traction.Limit) float64 { return square((o.GradeRatio - l.GradeRatio) / oneSided) }
	down, up := byGrip[gripMiddle-2], byGrip[gripMiddle+2] // at the low and the high value
	if lessRoll, moreRoll := low.GradeRatio-l.GradeRatio, high.GradeRatio-l.GradeRatio; lessRoll > moreRoll {
		c.gripDown, c.gripUp = off(down)+off(high), off(up)+off(low)
	} else {
		c.gripDown, c.gripUp = off(down)+off(low), off(up)+off(high)
	}
	heavy := l
	if s.heavier != nil {
		heavy = largest(s.heavier, mu.Design.V, f.Design.V)
		c.mass = square(heavy.GradeRatio - l.GradeRatio)
	}
	c.limits = limits{
		grip: response{grade: l.GripGrade, bySelf: true, mass: heavy.GripGrade - l.GripGrade,
			roll: [2]float64{(low.GripGrade - l.GripGrade) / oneSided, (high.GripGrade - l.GripGrade) / oneSided}},
		effort: response{grade: l.EffortGrade, mass: heavy.EffortGrade - l.EffortGrade, own: effortSpread(s.Train, &l),
			roll: [2]float64{(low.EffortGrade - l.EffortGrade) / oneSided, (high.EffortGrade - l.EffortGrade) / oneSided}},
		lift: s.liftResponse(su, largest, byGrip[:]),
	}
	for k, b := range byGrip {
		c.limits.grip.grip[k] = b.GripGrade
		if b.PullGrade < min(b.GripGrade, b.EffortGrade)-1e-9 { // several engines, or a bar
			c.limits.grip.grip[k] = b.PullGrade
		}
	}
	if l.EffortGrade >= traction.MaxGrade {
		c.limits.effort = noLimit
	}
	for _, a := range su.Assumed() {
		c.rests = append(c.rests, a.Key)
	}
	return c
}

// effortSpread is the standard error of a grade by effort: that of the pull over
// the weight, sin to tan.
func effortSpread(c *vehicle.Combination, l *traction.Limit) float64 {
	return effortError * l.EffortN / (c.GrossKg * vehicle.G) * math.Pow(1+l.EffortGrade*l.EffortGrade, 1.5)
}

// at is a range at a number of standard deviations, not below 0.
func at(r traction.Range, z float64) float64 {
	end := r.High.V
	if z < 0 {
		end = r.Low.V
	}
	return max(r.Design.V+math.Abs(z)/oneSided*(end-r.Design.V), 0)
}

// liftResponse is where a support lifts: asked with the least grip that gets the
// train there at all. Where the load stands moves it alone.
func (s *Setup) liftResponse(su traction.Surface, largest solver, byGrip []traction.Limit) response {
	for k := range byGrip[gripMiddle:] {
		b := &byGrip[gripMiddle+k]
		if math.IsNaN(b.LiftGrade) {
			continue
		}
		r := response{grade: b.LiftGrade}
		with := func(c *vehicle.Combination) float64 {
			if l := largest(c, at(su.Mu, gripZ[gripMiddle+k]), su.Roll.Design.V); !math.IsNaN(l.LiftGrade) {
				return l.LiftGrade - b.LiftGrade
			}
			return 0 // moved, it does not lift before the pull gives out
		}
		for _, m := range s.moved {
			r.own = math.Hypot(r.own, with(m))
		}
		if s.heavier != nil {
			r.mass = with(s.heavier)
		}
		return r
	}
	return noLimit
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
