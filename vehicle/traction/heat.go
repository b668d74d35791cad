package traction

import (
	"errors"
	"math"

	"drawbar/vehicle"
)

// Lump is a brake, or a clutch, that takes up heat as one body and gives it to
// the air: m c dT/dt = P - hA (T - Ta).
type Lump struct {
	MassKg   float64 // above 0
	HeatJKgK float64 // above 0; iron about 460, from memory
	CoolWK   float64 // hA, W for each degree above the air; 0 keeps all heat
	AirC     float64 // degrees Celsius
}

// After is the temperature, degrees Celsius, after seconds of a steady power,
// W, from fromC:
//
//	T = Tss + (T0 - Tss) exp(-t/tau), Tss = Ta + P/hA, tau = m c/hA
//
// Source: reference note on vehicle mechanics, section 3.2, from memory, with
// the same form read in a second place.
func (b Lump) After(fromC, powerW, seconds float64) float64 {
	if b.CoolWK == 0 {
		return fromC + powerW*seconds/(b.MassKg*b.HeatJKgK)
	}
	// As written above, but right for the least of cooling too.
	return fromC - (b.SteadyC(powerW)-fromC)*math.Expm1(-seconds/b.TimeS())
}

// SteadyC is the temperature that a power holds in the end; +Inf where nothing
// cools.
func (b Lump) SteadyC(powerW float64) float64 { return b.AirC + powerW/b.CoolWK }

// TimeS is the time constant m c/hA, seconds; +Inf where nothing cools.
func (b Lump) TimeS() float64 { return b.MassKg * b.HeatJKgK / b.CoolWK }

// ErrNoStart is returned where no clutch pulls the train away.
var ErrNoStart = errors.New("the train does not pull away in this gear: take a lower gear or a lighter grade")

// Slip is one start with a slipping clutch or converter.
type Slip struct {
	HeatJ   float64
	Seconds float64
	Gear    string
	Unit    int // whose engine it is, index in the train
}

// Kept is the heat, joules, that n starts one right after the other leave where
// coolW, W, is carried off while it slips.
func (s Slip) Kept(n int, coolW float64) float64 {
	return float64(n) * math.Max(s.HeatJ-coolW*s.Seconds, 0)
}

// ClutchStart is the heat of one start from rest with a slipping clutch. The
// engine holds its speed w while the clutch passes its torque T, so the train
// gains speed evenly until the clutch turns with the engine:
//
//	a = (T i eta/r - R)/(m + wheels), t = w r/(i a), E = integral of T (w - w i v/r) dt = T w t/2
//
// Standard mechanics. Without resistance and losses E is the train's kinetic
// energy. massKg is what is accelerated behind the clutch, wheels included, R
// what resists, newtons; the engine speed is that of peak torque. ErrNoStart
// when a is not above 0.
func ClutchStart(d *vehicle.Driveline, g vehicle.Gear, massKg, resistN float64) (Slip, error) {
	a := (Pull(d, g, d.StartTorqueNm) - resistN) / massKg
	if !(a > 0) {
		return Slip{}, ErrNoStart
	}
	w := 2 * math.Pi * d.PeakTorqueRPM / 60
	t := w * d.RadiusM / (g.Ratio * a)
	return Slip{HeatJ: d.StartTorqueNm * w * t / 2, Seconds: t, Gear: g.Name}, nil
}

// ConverterStart is the same with a torque converter of a stall ratio (turbine
// torque over engine torque at rest, 1.6 to 2.5 from memory) that falls on a
// straight line to 1 at the coupling speed ratio k, where it ends, below 1:
//
//	E = integral of T w (1 - s y(s)) dt, y = stall - (stall - 1) s/k, s from 0 to k
//
// Standard mechanics, Simpson's rule in s with dt = w r/(i a(s)) ds. The engine
// torque is that at stall, at the speed of peak torque, all along. ErrNoStart
// where the train stops gaining speed on the way.
func ConverterStart(d *vehicle.Driveline, g vehicle.Gear, massKg, resistN, stall, coupling float64) (Slip, error) {
	w := 2 * math.Pi * d.PeakTorqueRPM / 60
	out := Slip{Gear: g.Name}
	const steps = 200
	h := coupling / steps
	for k := 0; k <= steps; k++ {
		s := float64(k) * h
		y := stall - (stall-1)*s/coupling
		a := (y*Pull(d, g, d.StartTorqueNm) - resistN) / massKg
		if !(a > 0) {
			return Slip{}, ErrNoStart
		}
		weight := h / 3 * [2]float64{2, 4}[k%2]
		if k == 0 || k == steps {
			weight = h / 3
		}
		dt := w * d.RadiusM / (g.Ratio * a) * weight
		out.Seconds += dt
		out.HeatJ += d.StartTorqueNm * w * (1 - s*y) * dt
	}
	return out, nil
}

// Starts is the temperature of a clutch, degrees Celsius, after n starts with a
// pause between them in which it cools; each start's heat goes in at once.
func (b Lump) Starts(fromC float64, n int, heatJ, pauseS float64) float64 {
	t := fromC
	for k := range n {
		if k > 0 {
			t = b.After(t, 0, pauseS)
		}
		t += heatJ / (b.MassKg * b.HeatJKgK)
	}
	return t
}
