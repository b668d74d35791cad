package traction

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"drawbar/vehicle"
)

// Station is a place of a way. What it says holds from there to the next one:
// the last station only ends the way, and its cap is the speed there at most.
type Station struct {
	AtM        float64 // chainage
	GradeRatio float64 // rise over plan distance under the train, -MaxGrade..MaxGrade
	Roll       float64 // rolling coefficient, 0 or more
	Mu         float64 // adhesion, above 0; +Inf for no limit by grip
	CapMS      float64 // fastest, m/s, above 0 (of the last station 0 or more); +Inf for none
}

// State is how a train passes a station.
type State struct {
	SpeedMS float64
	TimeS   float64 // since the first station
	FuelL   float64 // since the first station
	Gear    int     // into Marcher.Gears: the one that pulls most at this speed
}

// Trip is the whole of a march.
type Trip struct {
	LengthM float64 // gone
	TimeS   float64
	FuelL   float64
	WorkJ   float64 // of the engines at the wheels
	EndMS   float64
	Reached int // stations passed, the first included
	// SlowestMS is the least speed at the end of a step on which the full effort
	// does no more than hold it, and where; NaN where that is nowhere.
	SlowestMS, SlowestAtM float64
	// Stall is "" for a train that arrives. Otherwise it stands still for want of
	// Grip or Effort at StallAtM: nothing after that is counted.
	Stall    string
	StallAtM float64
}

// MarchOptions are the terms of a march. Where a term is a customary figure,
// DefaultMarch has it.
type MarchOptions struct {
	StartMS        float64 // speed at the first station; 0 is from rest
	Start          StartOptions
	BrakeMS2       float64 // deceleration before a lower cap
	RotatingWheels float64 // rotating mass of all wheels over the gross mass
	DragAreaM2     float64 // drag coefficient times frontal area
	RollPerMS      float64 // what the rolling coefficient gains with each m/s
	EffortShare    float64 // of the engines' effort that the air leaves: 1 at sea level
	FuelGPerKWh    float64 // at the crank
	FuelKgPerL     float64
	IdleLPerH      float64 // while the engines do not pull
	AuxShare       float64 // fuel for fan and converter, over that for pulling
}

// DefaultMarch are the usual terms. Fuel figures are from memory: reference note
// on vehicle mechanics, section 8.2.
func DefaultMarch() MarchOptions {
	start := DefaultStart()
	return MarchOptions{Start: start, BrakeMS2: 0.5, RotatingWheels: start.RotatingWheels, DragAreaM2: 8,
		EffortShare: 1, FuelGPerKWh: 205, FuelKgPerL: 0.835, IdleLPerH: 3.5, AuxShare: 0.1}
}

// Assumed lists the terms as assumptions.
func (o MarchOptions) Assumed() []vehicle.Assumption {
	return []vehicle.Assumption{
		{Key: "march.brake_ms2", Value: o.BrakeMS2, Unit: "m/s2", Source: "braking before a lower speed", Standing: "choice"},
		{Key: "march.drag_area_m2", Value: o.DragAreaM2, Unit: "m2", Source: "drag coefficient times frontal area of a loaded low-bed", Standing: "choice"},
		{Key: "march.fuel_g_per_kwh", Value: o.FuelGPerKWh, Unit: "g/kWh", Source: "large diesel at its working point, 200-215", Standing: "memory"},
		{Key: "march.fuel_kg_per_l", Value: o.FuelKgPerL, Unit: "kg/l", Source: "density of diesel fuel", Standing: "memory"},
		{Key: "march.idle_l_per_h", Value: o.IdleLPerH, Unit: "l/h", Source: "large diesel idling, 3-4", Standing: "memory"},
		{Key: "march.aux_share", Value: o.AuxShare, Unit: "1", Source: "fuel for fan and converter over that for pulling, 0.05-0.15", Standing: "memory"},
		{Key: "march.shift_s", Value: 0, Unit: "s", Source: "shifting takes no time and the gear that pulls most is always in", Standing: "choice"},
	}
}

// Errors of a march.
var (
	// ErrStations is wrapped where stations cannot be marched over.
	ErrStations = errors.New("stations cannot be marched over")
	// ErrNoEngine is returned for a train that drives no wheel.
	ErrNoEngine = errors.New("the train has no engine that drives a wheel")
	// ErrTerms is wrapped where a term of the march is impossible.
	ErrTerms = errors.New("terms of the march")
)

// Marcher marches one train. It is safe for concurrent use.
type Marcher struct {
	Gears []string // named by State.Gear
	c     *vehicle.Combination
	o     MarchOptions
	power []int // units with an engine
	bins  []bin // of one engine: grip is a bound of its own
	topMS float64
	eta   float64
	// bareKg is the mass to accelerate without what the engines' inertia adds.
	bareKg  float64
	grounds sync.Map // [2]float64 of adhesion and rolling to ground
}

// NewMarcher prepares a train: its effort by speed as pieces, see curve. Fails
// with ErrNoEngine, and with ErrTerms for terms that are not numbers in range.
func NewMarcher(c *vehicle.Combination, o MarchOptions) (*Marcher, error) {
	for _, v := range []float64{o.StartMS, o.RotatingWheels, o.DragAreaM2, o.RollPerMS, o.FuelGPerKWh, o.IdleLPerH, o.AuxShare} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("%w: %g is no term, all must be 0 or more", ErrTerms, v)
		}
	}
	if !(o.BrakeMS2 > 0 && o.EffortShare > 0 && o.FuelKgPerL > 0) {
		return nil, fmt.Errorf("%w: braking, effort and density of fuel must be above 0", ErrTerms)
	}
	m := &Marcher{c: c, o: o, topMS: math.Inf(1), bareKg: c.GrossKg * (1 + o.RotatingWheels)}
	watts, atCrank := 0.0, 0.0
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		d := c.Units[i].Power
		m.power = append(m.power, i)
		watts += d.RatedPowerW * d.Efficiency
		atCrank += d.RatedPowerW
		m.topMS = math.Min(m.topMS, engineTop(d))
	}
	if len(m.power) == 0 {
		return nil, ErrNoEngine
	}
	m.eta = watts / atCrank
	m.bins = m.curve(nil)
	return m, nil
}

// ground is what a pair of adhesion and rolling coefficient gives.
type ground struct {
	mu, roll float64
	gripN    float64 // largest pull by grip on the level; times cos on a grade
	bins     []bin
}

// ground finds what a surface gives, once.
func (m *Marcher) ground(mu, roll float64) ground {
	key := [2]float64{mu, roll}
	if g, ok := m.grounds.Load(key); ok {
		return g.(ground)
	}
	g := m.newGround(mu, roll)
	m.grounds.Store(key, g)
	return g
}

// newGround finds what a surface gives. By grip alone the largest pull has the same
// ratio to cos whatever the grade is: loads hang linearly on the weight's part
// across the road and, by d'Alembert, on what pulls along it, climbing or
// gathering speed alike. So the pull on the grade that grip alone masters gives
// it everywhere: exact for one engine. With several each is held to what its
// wheels carry there.
func (m *Marcher) newGround(mu, roll float64) ground {
	g := ground{mu: mu, roll: roll, gripN: math.Inf(1), bins: m.bins}
	if math.IsInf(mu, 1) {
		return g
	}
	e := effort{unitN: make([]float64, len(m.c.Units))}
	for _, i := range m.power {
		e.unitN[i] = math.Inf(1)
	}
	d := demand{c: withoutBarRatings(m.c), mu: mu, f: roll, effort: e}
	theta := d.solve()
	s, units := d.at(theta)
	if len(m.power) == 1 {
		g.gripN = math.Min(sum(units), s.NeedN) / cos(theta)
		return g
	}
	for i := range units {
		units[i] /= cos(theta)
	}
	g.bins = m.curve(units)
	return g
}

// Run marches over the stations as fast as effort, grip and caps allow. Where
// out is not nil it must be as long and takes the state at each station that is
// reached. A start from rest is one by [Start] on the first station.
//
// ErrStations for less than two stations, a chainage that does not grow, and a
// value out of range.
func (m *Marcher) Run(stations []Station, out []State) (Trip, error) {
	if out != nil && len(out) != len(stations) {
		return Trip{}, fmt.Errorf("%w: room for %d states of %d stations", ErrStations, len(out), len(stations))
	}
	if err := valid(stations); err != nil {
		return Trip{}, err
	}
	r := run{m: m, at: stations[0].AtM, brake: 2 * m.o.BrakeMS2}
	r.trip.SlowestMS, r.trip.SlowestAtM, r.trip.StallAtM = math.NaN(), math.NaN(), math.NaN()
	ceiling := m.ceilings(stations)
	r.begin(math.Min(m.o.StartMS*m.o.StartMS, ceiling[0]), m.bins)
	if m.o.StartMS == 0 {
		r.fromRest(&stations[0])
	}
	r.note(out, 0)
	for i := 0; i < len(stations)-1 && r.trip.Stall == ""; i++ {
		s := &stations[i]
		if err := r.step(s, stations[i+1].AtM-s.AtM, ceiling[i+1]); err != nil {
			return Trip{}, err
		}
		if r.trip.Stall == "" {
			r.at = stations[i+1].AtM
			r.note(out, i+1)
		}
	}
	return r.done(stations[0].AtM), nil
}

// valid refuses stations that mean nothing.
func valid(stations []Station) error {
	if len(stations) < 2 {
		return fmt.Errorf("%w: %d given, two or more are needed", ErrStations, len(stations))
	}
	for i := range stations {
		s := &stations[i]
		last := i == len(stations)-1
		switch {
		case !(math.Abs(s.AtM) <= 1e9) || i > 0 && !(s.AtM > stations[i-1].AtM):
			return fmt.Errorf("%w: station %d: chainage %g must grow from one to the next", ErrStations, i, s.AtM)
		case !(math.Abs(s.GradeRatio) <= MaxGrade):
			return fmt.Errorf("%w: station %d: grade %g must be within -%g..%g", ErrStations, i, s.GradeRatio, MaxGrade, MaxGrade)
		case !(s.Roll >= 0 && s.Roll <= 2 && s.Mu > 0):
			return fmt.Errorf("%w: station %d: rolling %g must be 0 to 2 and adhesion %g above 0", ErrStations, i, s.Roll, s.Mu)
		case !(s.CapMS > 0 || last && s.CapMS == 0):
			return fmt.Errorf("%w: station %d: cap %g m/s must be above 0", ErrStations, i, s.CapMS)
		}
	}
	return nil
}

// ceilings are the largest squares of the speed at each station from which the
// caps further on are kept by braking, m2/s2.
func (m *Marcher) ceilings(stations []Station) []float64 {
	n := len(stations)
	w := make([]float64, n)
	after := m.topMS
	for i := n - 1; i >= 0; i-- {
		v := math.Min(stations[i].CapMS, after)
		if i > 0 {
			v = math.Min(v, stations[i-1].CapMS)
		}
		w[i] = v * v
		if i < n-1 {
			w[i] = math.Min(w[i], w[i+1]+2*m.o.BrakeMS2*(stations[i+1].AtM-stations[i].AtM))
		}
	}
	return w
}
