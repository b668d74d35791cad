package check

import (
	"math"
	"sync"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// oneSided is the normal quantile of 95 %: the low and high values of a surface
// are taken as its 5 % and 95 % points.
const oneSided = 1.645

// effortError is the relative standard error of pull at the wheels where
// effort, not grip, decides. Choice.
const effortError = 0.05

// option is one surface the ground may be, and what the train masters on it,
// computed when first asked for.
type option struct {
	surface traction.Surface
	once    sync.Once
	climb   capacity
	start   capacity
}

// capacity is a largest grade with the variances of what it rests on.
type capacity struct {
	grade            float64
	gripDown, gripUp float64 // variance from grip and rolling, below and above the design value
	mass, effort     float64 // variances
	limit            traction.Limit
	rests            []string
}

// variance is that of the capacity seen from a demand: grip may be worse by
// one amount and better by another.
func (c *capacity) variance(demand float64) (grip, mass, effort float64) {
	grip = c.gripDown
	if demand > c.grade {
		grip = c.gripUp
	}
	return grip, c.mass, c.effort
}

// passGrade is the largest grade that passes when the demand has no error.
func (c *capacity) passGrade() float64 {
	return c.grade - oneSided*math.Sqrt(c.gripDown+c.mass+c.effort)
}

// ground is what a leg may be made of: the option where the train climbs least
// and the one where it climbs most. They are the same when the surface is
// known.
type ground struct {
	worst, best *option
	from        string
}

// label says what the ground is, or between what it lies.
func (g *ground) label() string {
	if g.worst == g.best {
		return label(g.worst.surface)
	}
	return label(g.best.surface) + " to " + label(g.worst.surface)
}

func label(s traction.Surface) string {
	if s.Name == string(s.Weather) {
		return s.Name
	}
	return string(s.Weather) + " " + s.Name
}

// prepare makes the options of the weather.
func (s *Setup) prepare() error {
	all, err := traction.Surfaces(traction.Weather(s.Weather))
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
	return nil
}

// on is the option of a surface, computed.
func (s *Setup) on(name string) *option {
	o := s.options[name]
	o.once.Do(func() {
		o.climb = s.capacityOn(o.surface, func(mu, f float64) traction.Limit {
			return traction.Climb(s.Train, mu, f)
		})
		o.start = s.capacityOn(o.surface, func(mu, f float64) traction.Limit {
			return traction.Start(s.Train, mu, f, traction.DefaultStart())
		})
		for _, a := range traction.DefaultStart().Assumed() {
			o.start.rests = append(o.start.rests, a.Key)
		}
	})
	return o
}

// capacityOn inverts the physics on one surface: the largest grade at the
// design values, and how far it moves with grip and rolling at their low and
// high ones, one at a time and added in squares.
func (s *Setup) capacityOn(su traction.Surface, largest func(mu, f float64) traction.Limit) capacity {
	mu, f := su.Mu.Design.V, su.Roll.Design.V
	l := largest(mu, f)
	c := capacity{grade: l.GradeRatio, limit: l}
	away := func(mu, f float64) float64 {
		d := (largest(mu, f).GradeRatio - l.GradeRatio) / oneSided
		return d * d
	}
	c.gripDown = away(su.Mu.Low.V, f) + away(mu, su.Roll.High.V)
	c.gripUp = away(su.Mu.High.V, f) + away(mu, su.Roll.Low.V)
	if l.Decides == traction.Effort {
		pull := l.GradeRatio + f
		c.mass = square(pull * s.relMass())
		c.effort = square(pull * effortError)
	}
	for _, a := range su.Assumed() {
		c.rests = append(c.rests, a.Key)
	}
	return c
}

func square(x float64) float64 { return x * x }

// groundOf is what the tags say of the ground of a leg.
func (s *Setup) groundOf(t route.Tags) *ground {
	set, err := traction.Possible(traction.SurfaceTags{
		Highway: t.Highway, Surface: t.Surface, Tracktype: t.Tracktype, Smoothness: t.Smoothness,
	}, traction.Weather(s.Weather))
	if err != nil || len(set) == 0 {
		set, _ = traction.Surfaces(traction.Weather(s.Weather)) // weather was checked by NewSetup
	}
	g := &ground{from: set[0].From}
	for _, su := range set {
		o := s.on(su.Name)
		if g.worst == nil || o.climb.grade < g.worst.climb.grade {
			g.worst = o
		}
		if g.best == nil || o.climb.grade > g.best.climb.grade {
			g.best = o
		}
	}
	return g
}

// SurfaceAssumed lists the surface values the situation used.
func (s *Situation) SurfaceAssumed() (out []route.Assumption) {
	seen := map[string]bool{}
	for _, g := range s.grounds {
		for _, o := range []*option{g.worst.worst, g.best.best} {
			if seen[o.surface.Name] {
				continue
			}
			seen[o.surface.Name] = true
			for _, a := range o.surface.Assumed() {
				out = append(out, route.Assumption(a))
			}
		}
	}
	for _, a := range traction.DefaultStart().Assumed() {
		out = append(out, route.Assumption(a))
	}
	return append(out, route.Assumption{Key: "effort.error", Value: effortError, Unit: "1",
		Source: "relative standard error of pull where effort decides", Standing: "choice"})
}

// explainGrade hands the steps of one station to the sink.
func (s *Situation) explainGrade(k *Sink, r reading, fromRest bool) {
	if !k.Explain {
		return
	}
	g := s.grounds[r.i].worst
	c, what := &g.worst.climb, "steady crawl"
	if fromRest {
		c, what = &g.worst.start, "from rest"
	}
	k.Step("chainage of the foremost axle", r.s, Chain, what)
	k.Step("ground", nan, Literal, label(g.worst.surface)+" ("+g.from+")")
	for _, st := range c.limit.Steps {
		k.Step(st.Name, st.Value, Unit(st.Unit), st.How)
	}
	k.Step("height of the road", s.Profile.ZM[r.i], Metre, "raster, conditioned")
	k.Step("height as sampled", s.Profile.RawZM[r.i], Metre, "raster, bilinear")
	k.Step("grade under the train", r.demand, Grade, "grades under the axles weighted by their static loads")
	k.Step("its standard error", math.Sqrt(r.varDemand), Grade, "posterior of the road's height")
	k.Step("standard error of the capacity", math.Sqrt(r.varSupply), Grade, "grip, rolling, mass and effort in squares")
	k.Step("largest grade", r.capacity, Grade, "capacity on the worst ground it may be")
	k.Step("P(capacity >= demand)", r.p, Share, "normal difference")
}

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
	ClimbLimit, StartedBy string  // grip, effort or bar
	Unverified            bool    // rests on a value from memory
}

// Mastered lists it for every surface of the weather, firm ones first.
func (s *Setup) Mastered() (out []Mastered) {
	all, _ := traction.Surfaces(traction.Weather(s.Weather)) // weather was checked by NewSetup
	for _, su := range all {
		o := s.on(su.Name)
		m := Mastered{Surface: label(su), Climb: o.climb.grade, Start: o.start.grade,
			ClimbPass: o.climb.passGrade(), StartPass: o.start.passGrade(),
			ClimbLimit: o.climb.limit.Decides, StartedBy: o.start.limit.Decides}
		for _, a := range su.Assumed() {
			m.Unverified = m.Unverified || a.Standing == "memory"
		}
		out = append(out, m)
	}
	return out
}
