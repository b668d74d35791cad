package traction

import (
	"math"

	"drawbar/vehicle"
)

// holdback is a train that is kept from rolling off by some of its wheels. The
// same statics answer for a retarder, for brakes in motion and for brakes that
// are set.
type holdback struct {
	c      *vehicle.Combination
	mu, f  float64
	sign   float64   // -1 nose down, +1 nose up
	wheels [][]int   // by unit, the axles that hold
	capN   []float64 // by unit, most that what turns or stops them gives

	barred bool // a bar is rated
	turned *vehicle.Combination
}

func newHoldback(c *vehicle.Combination, mu, f, sign float64, capN []float64, wheels [][]int) holdback {
	h := holdback{c: c, mu: mu, f: f, sign: sign, capN: capN, wheels: wheels, barred: rated(c)}
	if h.barred {
		h.turned = endForEnd(c)
	}
	return h
}

// holding are the axles by unit that a rule picks.
func holding(c *vehicle.Combination, picks func(a *vehicle.Axle) bool) [][]int {
	out := make([][]int, len(c.Units))
	for k := range c.Axles {
		if picks(&c.Axles[k]) {
			u := c.Axles[k].Unit
			out[u] = append(out[u], k)
		}
	}
	return out
}

// demandN is the force along the road that rolls the train off: m g sin - f m g
// cos, newtons, negative where it stays by itself.
func (h *holdback) demandN(steep float64) float64 {
	return GradeResistance(h.c.GrossKg, steep) - RollingResistance(h.c.GrossKg, steep, h.f)
}

// load is the weight on a unit's holding wheels; a group that lifts holds
// nothing.
func (h *holdback) load(s *vehicle.Forces, unit int) float64 {
	n := 0.0
	for _, k := range h.wheels[unit] {
		n += math.Max(s.AxleN[k], 0)
	}
	return n
}

// at returns the forces on a grade of this steepness with the demand shared in
// the ratio of what each unit can hold, and what each can. A unit's own hold
// moves load between its wheels and the coupling: rounds, as in Statics.
func (h *holdback) at(steep float64) (vehicle.Forces, []float64) {
	n := len(h.c.Units)
	can, force := make([]float64, n), make([]float64, n)
	demand := math.Max(h.demandN(steep), 0)
	s := h.c.StaticsWith(h.sign*steep, h.f, 0, force)
	for range maxHoldRounds {
		total := 0.0
		for i := range can {
			can[i] = math.Min(h.capN[i], h.grip(&s, i))
		}
		h.capBars(steep, can)
		for _, n := range can {
			total += n
		}
		change := 0.0
		for i := range force {
			next := 0.0
			if total > 0 {
				next = h.sign * demand * can[i] / total
			}
			change = math.Max(change, math.Abs(next-force[i]))
			force[i] = next
		}
		s = h.c.StaticsWith(h.sign*steep, h.f, 0, force)
		if change <= 1e-9*h.c.GrossKg*vehicle.G {
			break
		}
	}
	return s, can
}

// capBars takes from what the units can hold what no bar may pass on. Going down
// those ahead are pushed by what they hold of the others, those behind are pulled
// at; nose up it is the other way round.
func (h *holdback) capBars(steep float64, can []float64) {
	if !h.barred {
		return
	}
	perKg := math.Max(h.demandN(steep), 0) / h.c.GrossKg
	if h.sign > 0 {
		capBars(h.c, perKg, can)
		return
	}
	n := len(can)
	turned := make([]float64, n)
	for i := range can {
		turned[i] = can[n-1-i]
	}
	capBars(h.turned, perKg, turned)
	for i := range can {
		can[i] = turned[n-1-i]
	}
}

// endForEnd is what capBars looks at of a train, rear to front.
func endForEnd(c *vehicle.Combination) *vehicle.Combination {
	n := len(c.Units)
	out := &vehicle.Combination{Units: make([]vehicle.Unit, n)}
	for i := range c.Units {
		u := &out.Units[n-1-i]
		u.MassKg = c.Units[i].MassKg
		if i+1 < n {
			behind := &c.Units[i+1]
			u.ByBar, u.BarRatedN, u.BarPushN = behind.ByBar, behind.BarRatedN, behind.BarPushN
		}
	}
	return out
}

// maxHoldRounds bounds the rounds; each shrinks the change by grip times
// coupling height over wheelbase, at most 0.3.
const maxHoldRounds = 40

func (h *holdback) grip(s *vehicle.Forces, unit int) float64 {
	n := h.load(s, unit)
	if n == 0 {
		return 0 // no wheel that holds, whatever the grip
	}
	return h.mu * n
}

// solve bisects for the steepest grade held, 0..MaxGrade: the demand rises with
// the slope faster than any load on wheels does while the grip is below 1.
func (h *holdback) solve() float64 { return steepest(h.spare) }

// steepest is the grade, 0..MaxGrade, up to which something is spare; 40
// halvings leave less than 1e-12.
func steepest(spare func(steep float64) float64) float64 {
	if spare(MaxGrade) >= 0 {
		return MaxGrade
	}
	low, high := 0.0, math.Pi/4
	for range 40 {
		if mid := (low + high) / 2; spare(math.Tan(mid)) >= 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Tan(low)
}

func (h *holdback) spare(steep float64) float64 {
	_, can := h.at(steep)
	return sum(can) - h.demandN(steep)
}

// limit is the steepest grade held, a positive number, and what decides it.
func (h *holdback) limit(speedMS float64, gears string) Limit {
	grip, force := *h, *h
	grip.capN = make([]float64, len(h.capN))
	capped := false
	for i, n := range h.capN {
		capped = capped || !math.IsInf(n, 1)
		grip.capN[i] = math.Inf(1)
	}
	force.mu = math.Inf(1)
	l := Limit{GripGrade: grip.solve(), EffortGrade: MaxGrade, LiftGrade: math.NaN(), SpeedMS: speedMS, Gear: gears}
	l.GradeRatio, l.Decides = l.GripGrade, Grip
	if capped {
		l.EffortGrade = force.solve()
		if l.GradeRatio = h.solve(); l.EffortGrade < l.GripGrade {
			l.Decides = Effort
		}
	}
	l.PullGrade = l.GradeRatio
	s, can := h.at(l.GradeRatio)
	l.NeedN, l.UnitN, l.AvailN = math.Max(h.demandN(l.GradeRatio), 0), can, sum(can)
	load, held, how := 0.0, sum(h.capN), "retarder and engine, or brakes"
	if !capped {
		held, how = math.NaN(), "not looked at: grip alone"
	}
	if math.IsInf(held, 1) && l.EffortGrade < MaxGrade { // a bar passes on so much and no more
		_, most := force.at(l.EffortGrade)
		held = sum(most)
	}
	for i := range h.wheels {
		load += h.load(&s, i)
	}
	l.GripN, l.EffortN = h.mu*load, held
	l.Steps = []Step{
		{"gross combination mass", h.c.GrossKg, "kg", "units and loads"},
		{"adhesion coefficient", h.mu, "1", "surface"},
		{"rolling coefficient", h.f, "1", "surface; 0 at rest"},
		{"load on holding wheels", load, "N", "statics on the limiting grade"},
		{"grip", l.GripN, "N", "adhesion coefficient times load on holding wheels"},
		{"force held back with", held, "N", how},
		{"force to hold", l.NeedN, "N", "m g sin - f m g cos on the limiting grade"},
		{"steepest grade held", l.GradeRatio, "1", "decided by " + l.Decides},
	}
	return l
}
