package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/loadeffect"
	"drawbar/vehicle/sweep"
	"drawbar/vehicle/traction"
)

// Settings are the conditions a train is checked under. The zero value takes
// every default.
type Settings struct {
	Weather string // dry, wet, snow, ice; "" is dry
	// HeightMarginM is kept free above the loaded height; 0 takes the default.
	HeightMarginM float64
	// ShortStopM is the longest stretch on which "do not stop here" is a
	// measure; 0 takes the default.
	ShortStopM float64
	// BendSpeedMS is the speed in bends that tipping is judged at, m/s; 0 takes
	// the default.
	BendSpeedMS float64
	// MomentumMS is the fastest that a run at a climb is counted with, m/s; 0 counts
	// none.
	MomentumMS float64
	// Starts is how many starts one right after the other clutch or converter are
	// asked for; 0 takes the default.
	Starts int
	// Traffic is the side that others drive on, left or right; "" is right.
	Traffic string
	// Surfaces is grip and rolling by surface and weather; nil takes the
	// published table.
	Surfaces *traction.Table
	// SampleRoads asks for the dearer estimate of a whole stretch at every climb in
	// question, not only where the grade makes the doubt.
	SampleRoads bool
}

// Setup is a train under conditions: all that does not depend on the way,
// computed once, shared by goroutines. Vehicle and surface defaults are taken
// here and only here.
type Setup struct {
	Train         *vehicle.Combination
	Weather       string
	HeightMarginM float64
	ShortStopM    float64
	BendSpeedMS   float64
	Starts        int
	MomentumMS    float64
	SampleRoads   bool
	Traffic       string
	Assumed       []route.Assumption

	surfaces *traction.Table
	options  map[string]*option     // by name of surface
	only     []motion               // narrowed to these; nil for all
	heavier  *vehicle.Combination   // one standard error of the load heavier, nil when it has none
	moved    []*vehicle.Combination // the load one standard error off along, and up
	weighed  [][]float64            // axle loads of those, kg
	scrub    float64                // load on close groups that do not steer, over the gross mass
	breathes bool                   // an engine loses effort with altitude
	memory   map[string]bool        // keys of assumptions from memory
	sweep    sweep.Train
	noSweep  error // why the swept path cannot be computed

	hulls     []sweep.Hull
	hullLacks []string // fields of units whose underside is not in the file
	noHulls   error    // why grounding cannot be computed

	tips    []tipPart
	noTips  error // why tipping cannot be computed
	march   func() (*traction.Marcher, error)
	effects func() *effects        // of the train on simple spans
	wet     func() (*Setup, error) // the same train on wet ground
}

// NewSetup prepares a train. It fails for an unknown weather.
func NewSetup(c *vehicle.Combination, o Settings) (*Setup, error) {
	s := &Setup{Train: c, Weather: o.Weather, HeightMarginM: o.HeightMarginM, ShortStopM: o.ShortStopM, BendSpeedMS: o.BendSpeedMS, Starts: o.Starts, MomentumMS: o.MomentumMS, SampleRoads: o.SampleRoads, Traffic: o.Traffic,
		surfaces: o.Surfaces, options: map[string]*option{}, memory: map[string]bool{}}
	if s.surfaces == nil {
		s.surfaces = traction.DefaultTable()
	}
	for _, a := range c.Assumed {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	if s.Weather == "" {
		s.Weather = "dry"
		s.assume("weather.dry", 1, "", "no weather given: dry", "choice")
	}
	if s.Traffic != "" && s.Traffic != "left" && s.Traffic != "right" {
		return nil, fmt.Errorf("%s: side of traffic must be left or right, is %q", c.Name, s.Traffic)
	}
	if s.Traffic == "" {
		s.Traffic = "right"
		s.assume("traffic.right", 1, "", "side of traffic not given: right-hand", "choice")
	}
	if s.HeightMarginM == 0 {
		s.HeightMarginM = 0.1
		s.assume("overhead.margin_m", s.HeightMarginM, "m", "customary 75-100 mm above the measured load height", "memory")
	}
	if s.ShortStopM == 0 {
		s.ShortStopM = 300
		s.assume("start.short_stop_m", s.ShortStopM, "m", "longest stretch on which not stopping is a measure", "choice")
	}
	if s.Starts == 0 {
		s.Starts = defaultStarts
		s.assume(startsKey, defaultStarts, "1", "starts one right after the other: a missed one or two, and one that counts", "choice")
	}
	if s.MomentumMS > 0 {
		s.assume(runKey, runStepMS, "m/s", "a run is counted with grip low, rolling high, load heavy and the grade at its steep end, in one gear, from rest at most 1500 m before; entry speeds in steps of this", "choice")
	}
	for _, a := range traction.DefaultSlip().Assumed(c) {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	s.assume(groundKey, 115, "1", "forms of the cone index method for soft ground (beyond this mobility index another); they never decide", "memory")
	s.assume("posting.pair_m", pairM, "m", "axles no further apart share a posted limit for a pair (European Union, 96/53/EC annex I)", "memory")
	if lorry, ok := loadeffect.ReferenceNamed(lorryName); ok {
		s.assume(lorryKey, lorry.MassKg(), "kg", "the lorry that bridges nobody rated are ranked by; "+lorry.Source, lorry.Standing)
	}
	s.assume(steerKey, traction.SteerFloor, "1", "least share of a unit's weight on its front axle group to steer, a usual floor", "memory")
	s.scrub = s.scrubShare()
	s.assume(scrubKey, (scrubLow+scrubHigh)/2, "1", "scrub of close axle groups that do not steer in tight bends, 0.5 to 1 % of their load", "memory")
	for _, a := range s.surfaces.Assumed() {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	s.choices()
	if err := s.prepare(); err != nil {
		return nil, fmt.Errorf("%s: %w", c.Name, err)
	}
	s.sweep, s.noSweep = sweep.FromCombination(c)
	s.hulls, s.hullLacks, s.noHulls = sweep.Hulls(c)
	s.Assumed = append(s.Assumed, hangAssumed()...)
	s.Assumed = append(s.Assumed, edgeAssumed()...)
	s.prepareTipping()
	s.march = sync.OnceValues(func() (*traction.Marcher, error) { return traction.NewMarcher(c, traction.DefaultMarch()) })
	s.effects = sync.OnceValue(func() *effects { return newEffects(c) })
	s.wet = sync.OnceValues(func() (*Setup, error) { return s.With(c, "wet") })
	for _, a := range s.Assumed {
		if a.Standing == "memory" {
			s.memory[a.Key] = true
		}
	}
	return s, nil
}

// With is a setup of another train, or in another weather, with all else alike.
func (s *Setup) With(c *vehicle.Combination, weather string) (*Setup, error) {
	return NewSetup(c, s.settings(weather, s.surfaces))
}

// WithMeasure is the same train with something done against snow and ice.
func (s *Setup) WithMeasure(m traction.Measure) (*Setup, error) {
	t, err := s.surfaces.WithMeasure(m)
	if err != nil {
		return nil, err
	}
	return NewSetup(s.Train, s.settings(s.Weather, t))
}

// settings are those the setup was made with, in another weather or with another
// table.
func (s *Setup) settings(weather string, t *traction.Table) Settings {
	return Settings{Weather: weather, HeightMarginM: s.HeightMarginM, ShortStopM: s.ShortStopM, BendSpeedMS: s.BendSpeedMS,
		Starts: s.Starts, MomentumMS: s.MomentumMS, Surfaces: t, SampleRoads: s.SampleRoads, Traffic: s.Traffic}
}

// Surfaces is the table of grip and rolling the setup uses.
func (s *Setup) Surfaces() *traction.Table { return s.surfaces }

// choices lists the values of the checks that no setting changes.
func (s *Setup) choices() {
	for _, c := range []route.Assumption{
		{Key: "climb.base_m", Value: gradeBaseM, Unit: "m", Source: "base of the grade under one axle"},
		{Key: "climb.implausible", Value: implausibleGrade, Unit: "1", Source: "steeper than roads are built: asked about on a line nobody looked for structures on"},
		{Key: placeKeys[0], Value: loadAlongSE, Unit: "m", Source: "standard error of where a load stands along its deck"},
		{Key: placeKeys[1], Value: loadUpSE, Unit: "m", Source: "standard error of the height of a load's centre of gravity"},
		{Key: "overhead.sag_base_m", Value: sagBeyondM, Unit: "m", Source: "the curve of a road under a structure is read over this much on either side"},
		{Key: "overhead.sag_se_m", Value: sagSureSE, Unit: "m", Source: "heights with more standard error do not tell a sag under a structure"},
	} {
		c.Standing = "choice"
		s.Assumed = append(s.Assumed, c)
	}
	s.Assumed = append(s.Assumed, bendAssumed()...)
	s.Assumed = append(s.Assumed, holdAssumed()...)
}

func (s *Setup) assume(key string, v float64, unit, source, standing string) {
	s.Assumed = append(s.Assumed, route.Assumption{Key: key, Value: v, Unit: unit, Source: source, Standing: standing})
}

// gross is the mass of the train and its standard error, kg.
func (s *Setup) gross() (kg, se float64) { return s.Train.GrossKg, s.Train.GrossSEKg }

// relMass is the standard error of the gross mass as a share of it.
func (s *Setup) relMass() float64 { return s.Train.GrossSEKg / s.Train.GrossKg }

// heaviestAxle is the heaviest axle and its standard error: what its unit's
// mass is uncertain by, at least what the train's is.
func (s *Setup) heaviestAxle() (kg, se float64) {
	for i, a := range s.Train.Axles {
		if a.Kg > kg {
			kg, se = a.Kg, a.Kg*s.relAxle(i)
		}
	}
	return kg, se
}

// relAxle is the relative standard error of one axle's load: of the masses, and
// of where the load stands.
func (s *Setup) relAxle(i int) float64 {
	a := s.Train.Axles[i]
	u := s.Train.Units[a.Unit]
	place := 0.0
	for _, w := range s.weighed {
		place += square(w[i] - a.Kg)
	}
	return math.Hypot(max(s.relMass(), max(u.LoadSEKg, 0)/u.MassKg), math.Sqrt(place)/a.Kg)
}

// pairM is the spacing up to which two neighbouring axles share one posted
// axle group limit, metres: 96 in would be 2.44 m in the United States, 1.8 m
// in the European Union (96/53/EC, annex I, from memory). Choice: the smaller.
const pairM = 1.8

// heaviestPair is the heaviest two neighbouring axles no more than pairM apart.
func (s *Setup) heaviestPair() (kg, se float64) {
	ax := s.Train.Axles
	for i := 1; i < len(ax); i++ {
		if sum := ax[i].Kg + ax[i-1].Kg; ax[i].AtM-ax[i-1].AtM <= pairM && sum > kg {
			kg, se = sum, sum*s.relAxle(i)
		}
	}
	if kg == 0 {
		return s.heaviestAxle()
	}
	return kg, se
}

// heaviestGroup is the heaviest axle group of one unit: its load, number of
// axles and length between the outer ones.
func (s *Setup) heaviestGroup() (kg float64, axles int, lengthM float64) {
	ax := s.Train.Axles
	for i := 0; i < len(ax); {
		j, sum := i, 0.0
		for j < len(ax) && ax[j].Unit == ax[i].Unit && ax[j].Group == ax[i].Group {
			sum += ax[j].Kg
			j++
		}
		if sum > kg {
			kg, axles, lengthM = sum, j-i, ax[j-1].AtM-ax[i].AtM
		}
		i = j
	}
	return kg, axles, lengthM
}

func (s *Setup) height() (m, se float64) { return s.Train.HeightM, s.Train.HeightSEM }
func (s *Setup) width() (m, se float64)  { return s.Train.WidthM, 0 }
func (s *Setup) length() (m, se float64) { return s.Train.LengthM, 0 }

// rests gives those keys that are assumptions of this setup.
func (s *Setup) rests(keys ...string) (out []string) {
	for _, a := range s.Assumed {
		if slices.Contains(keys, a.Key) {
			out = append(out, a.Key)
		}
	}
	return out
}

// massRests are the keys of the mass errors that no file gave.
func (s *Setup) massRests() (out []string) {
	for _, a := range s.Assumed {
		if strings.HasSuffix(a.Key, "mass_error_kg") {
			out = append(out, a.Key)
		}
	}
	return out
}

// unverified reports whether one of the keys is from memory.
func (s *Setup) unverified(keys []string) bool {
	return slices.ContainsFunc(keys, func(k string) bool { return s.memory[k] })
}
