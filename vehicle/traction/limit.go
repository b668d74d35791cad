package traction

import (
	"math"

	"drawbar/vehicle"
)

// MaxGrade bounds every answer: beyond 45 degrees nothing said here holds.
const MaxGrade = 1.0

// What decides a limit.
const (
	Grip    = "grip"   // adhesion of the driven wheels
	Effort  = "effort" // torque and gears
	BarPull = "bar"    // rating of a bar in a coupled train
	Lift    = "lift"   // an axle group or a kingpin carries nothing beyond it
)

// Limit is the largest grade a train masters and what decides it. Grades lie
// in -MaxGrade..MaxGrade; a negative one means that it does not even move on
// the level.
type Limit struct {
	GradeRatio  float64
	GripGrade   float64 // if only grip decided
	EffortGrade float64 // if only effort decided
	// PullGrade is what grip, effort and the ratings of bars leave together,
	// before any support lifts: the smaller of the two for one engine.
	PullGrade float64
	// LiftGrade is where a support lifts, NaN when none does up to the grade
	// that pull alone allows; Lifts names it.
	LiftGrade float64
	Lifts     string
	Decides   string // Grip, Effort, BarPull or Lift

	// At GradeRatio:
	NeedN  float64   // pull needed, that for acceleration at the road included
	AvailN float64   // pull at hand: smaller of grip and effort, summed over the engines
	UnitN  []float64 // of it by unit
	GripN  float64   // adhesion of all driven wheels
	// EffortN is what the engines give at the wheels, less what their own
	// rotating mass takes.
	EffortN float64
	BarN    float64 // largest bar pull, 0 without a bar

	Gear    string // of each engine, front to rear
	SpeedMS float64
	Steps   []Step
}

// demand is what the train is asked for, and what its engines give.
type demand struct {
	c      *vehicle.Combination
	mu, f  float64
	accelG float64
	effort effort // net of the engines' own rotating mass
}

// Climb is the largest grade that the train masters steadily at crawl on a
// surface of adhesion mu and rolling coefficient f. Each engine gives the
// smaller of its effort and its grip; bars are loaded to their rating at most,
// and every axle group and kingpin keeps a load. Statics: [vehicle.Combination.Statics].
func Climb(c *vehicle.Combination, mu, f float64) Limit {
	return demand{c: c, mu: mu, f: f, effort: crawl(c)}.limit()
}

// StartOptions are the terms of a start from rest.
type StartOptions struct {
	AccelMS2       float64 // least acceleration that counts as a start
	BreakAway      float64 // rolling resistance at rest over that in motion
	RotatingWheels float64 // rotating mass of all wheels over the gross mass
}

// DefaultStart are the usual terms: 0.1 m/s2, rolling resistance one and a half
// times that in motion, wheels 2 % of the mass. All are choices, see Assumed.
func DefaultStart() StartOptions {
	return StartOptions{AccelMS2: 0.1, BreakAway: 1.5, RotatingWheels: 0.02}
}

// Assumed lists the terms as assumptions.
func (o StartOptions) Assumed() []vehicle.Assumption {
	return []vehicle.Assumption{
		{Key: "start.accel_ms2", Value: o.AccelMS2, Unit: "m/s2", Source: "slowest pull away that does not burn the clutch", Standing: "choice"},
		{Key: "start.break_away", Value: o.BreakAway, Unit: "1", Source: "rolling resistance at rest over that in motion, warm tyres and bearings", Standing: "choice"},
		{Key: "start.rotating_wheels", Value: o.RotatingWheels, Unit: "1", Source: "rotating mass of wheels over gross mass", Standing: "choice"},
	}
}

// Start is the largest grade on which the train pulls away from rest. The
// engines give their torque at clutch engagement in the gear that leaves most;
// they accelerate their own inertia by that gear's ratio squared, the wheels'
// and the train. The road sees only the last two.
func Start(c *vehicle.Combination, mu, f float64, o StartOptions) Limit {
	e := fromRest(c, o.AccelMS2)
	own := e.rotatingKg * o.AccelMS2
	for i := range e.unitN {
		if e.sumN > 0 {
			e.unitN[i] -= own * e.unitN[i] / e.sumN
		}
	}
	e.sumN -= own
	e.steps = append(e.steps,
		Step{"break-away factor", o.BreakAway, "1", "on the rolling coefficient"},
		Step{"acceleration", o.AccelMS2, "m/s2", "least that counts as a start"},
		Step{"taken by rotating mass of the engines", own, "N", "rotating mass times acceleration"})
	return demand{c: c, mu: mu, f: f * o.BreakAway, effort: e,
		accelG: o.AccelMS2 * (1 + o.RotatingWheels) / vehicle.G}.limit()
}

// limit solves the three grades and fills in what holds at the smallest.
func (d demand) limit() Limit {
	grip, power := d, d
	grip.effort.unitN = unbounded(d.effort.unitN)
	power.mu = math.Inf(1)
	free := d
	free.c = withoutBarRatings(d.c)
	grip.c, power.c = free.c, free.c
	l := Limit{
		GripGrade:   grip.solve(),
		EffortGrade: power.solve(),
		Gear:        d.effort.gears, SpeedMS: d.effort.speedMS,
	}
	l.Decides = Grip
	if l.EffortGrade < l.GripGrade {
		l.Decides = Effort
	}
	if l.PullGrade = min(l.GripGrade, l.EffortGrade); !d.oneEngine() {
		l.PullGrade = d.solve()
		if free.solve() > l.PullGrade+1e-9 {
			l.Decides = BarPull
		}
	}
	l.GradeRatio = l.PullGrade
	s, units := d.at(l.GradeRatio)
	if l.lift(&d, units); l.Decides == Lift {
		s, units = d.at(l.GradeRatio)
	}
	l.fill(&d, &s, units)
	return l
}

// oneEngine reports a train whose pull is simply the smaller of grip and effort:
// one engine that drives, and no bar that may be overloaded.
func (d *demand) oneEngine() bool {
	engines := 0
	for _, n := range d.effort.unitN {
		if n != 0 {
			engines++
		}
	}
	return engines == 1 && !rated(d.c)
}

func unbounded(unitN []float64) []float64 {
	out := make([]float64, len(unitN))
	for i, n := range unitN {
		if n != 0 {
			out[i] = math.Inf(1)
		}
	}
	return out
}

func withoutBarRatings(c *vehicle.Combination) *vehicle.Combination {
	free := *c
	free.Units = append([]vehicle.Unit(nil), c.Units...)
	for i := range free.Units {
		free.Units[i].BarRatedN, free.Units[i].BarPushN = math.NaN(), math.NaN()
	}
	return &free
}

// solve bisects for the grade where what is at hand equals what is needed.
// The difference falls all the way from -45 to 45 degrees for adhesion below
// about 2, so there is one such grade; 60 halvings leave less than 1e-17.
func (d demand) solve() float64 {
	low, high := -math.Pi/4, math.Pi/4
	if d.spare(MaxGrade) >= 0 {
		return MaxGrade
	}
	for range 60 {
		if mid := (low + high) / 2; d.spare(math.Tan(mid)) >= 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Tan(low)
}

func (d demand) spare(gradeRatio float64) float64 {
	s, units := d.at(gradeRatio)
	return sum(units) - s.NeedN
}

// at returns the forces on a grade with every engine giving what it can, and
// what each gives. Loads on the driven wheels hang on the bar forces and these
// on the pulls: rounds as in Statics.
func (d demand) at(gradeRatio float64) (vehicle.Forces, []float64) {
	units := make([]float64, len(d.c.Units))
	s := d.c.Statics(gradeRatio, d.f, d.accelG)
	if math.IsInf(d.mu, 1) {
		copy(units, d.effort.unitN)
		capBars(d.c, d.perKg(gradeRatio), units)
		return s, units
	}
	for range 60 {
		change := 0.0
		next := make([]float64, len(units))
		for i, n := range s.DrivenUnitN {
			next[i] = math.Min(d.mu*math.Max(n, 0), d.effort.unitN[i])
		}
		capBars(d.c, d.perKg(gradeRatio), next)
		for i := range next {
			change = math.Max(change, math.Abs(next[i]-units[i]))
		}
		units = next
		s = d.c.StaticsWith(gradeRatio, d.f, d.accelG, units)
		if change <= 1e-9 {
			break
		}
	}
	return s, units
}

// perKg is what moves a kilogram of the train, newtons.
func (d demand) perKg(gradeRatio float64) float64 {
	return vehicle.G * (sin(gradeRatio) + d.accelG + d.f*cos(gradeRatio))
}

func sin(gradeRatio float64) float64 { return gradeRatio * cos(gradeRatio) }
func cos(gradeRatio float64) float64 { return 1 / math.Sqrt(1+gradeRatio*gradeRatio) }

func sum(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s
}
