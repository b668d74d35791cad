package vehicle

import (
	"math"
	"slices"
)

// Defaults of what holds a train back.
var (
	drag        = Assumption{Unit: "N m", Source: "drag of a large truck diesel without fuel, lower end: 5 % of its peak torque", Standing: "memory"}
	dragPower   = Assumption{Unit: "kW", Source: "drag of a large truck diesel without fuel, lower end: 5 % of its power", Standing: "memory"}
	shaftTorque = Assumption{Value: 3000, Unit: "N m", Source: "hydrodynamic retarder 3000-4000 N m at the shaft, lower end", Standing: "memory"}
	retardFrom  = Assumption{Value: 10, Unit: "m/s", Source: "speed at which a retarder comes to its power where no gears are given", Standing: "choice"}
	heat        = Assumption{Value: 460, Unit: "J/(kg K)", Source: "iron or steel", Standing: "memory"}
)

// dragShare is that of the first two.
const dragShare = 0.05

// retarder reads what holds the train back with the throttle shut. Where the
// file does not say whether the gears multiply it, it gives the least of both.
func (b *builder) retarder(path string, p *PowerSpec, d *Driveline) {
	d.RetarderCrankNm, d.RetarderShaftNm = math.Inf(1), math.Inf(1)
	geared := len(p.GearRatios) > 0
	b.drag(path, p, d, geared)
	if p.RetarderAt != "" && p.RetarderAt != "engine" && p.RetarderAt != "shaft" {
		b.fail(path+".retarder_at", "must be engine or shaft, is %q", p.RetarderAt)
	}
	if p.RetarderKW == nil {
		if p.RetarderAt != "" || p.RetarderNm != nil {
			b.fail(path+".retarder_kw", "is missing: retarder_at and retarder_nm say nothing without it")
		}
		return
	}
	if p.RetarderAt == "engine" && p.RetarderNm != nil {
		b.fail(path+".retarder_nm", "is of a retarder at the shaft: leave it out, or say retarder_at: shaft")
	}
	if !geared {
		d.RetardMS = b.take(path+".retarder_kw", retardFrom)
		return
	}
	if p.RetarderAt != "shaft" && p.RetarderNm == nil {
		d.RetarderCrankNm = d.RetarderPowerW / (2 * math.Pi * d.RatedRPM / 60)
	}
	if p.RetarderAt != "engine" {
		d.RetarderShaftNm = b.assume(path+".retarder_nm", p.RetarderNm, spanTorque, shaftTorque)
	}
}

func (b *builder) drag(path string, p *PowerSpec, d *Driveline, geared bool) {
	d.DragTorqueNm, d.DragPowerW = math.NaN(), math.NaN()
	if geared {
		a := drag
		a.Value = dragShare * d.PeakTorqueNm
		d.DragTorqueNm = b.assume(path+".engine_drag_nm", p.EngineDragNm, spanTorque, a)
		return
	}
	d.FinalRatio = math.NaN()
	if p.EngineDragNm != nil {
		b.fail(path+".engine_drag_nm", "says nothing without gear_ratios: leave it out")
	}
	a := dragPower
	a.Value = dragShare * d.RatedPowerW / 1000
	d.DragPowerW = 1000 * b.take(path+".engine_drag_nm", a)
}

// brakes reads what a unit's brakes can.
func (b *builder) brakes(path string, u *UnitSpec, v *Unit) {
	none := math.NaN()
	v.Brakes = Brakes{none, none, none, none, none, none}
	s := u.Brakes
	if s == nil {
		return
	}
	v.Brakes.ServiceN = 1000 * b.optional(path+".brakes.service_kn", s.ServiceKN, spanForce)
	if s.ServiceKN != nil && !hasBraked(u) {
		b.fail(path+".brakes.service_kn", "is of the service brakes: mark the axles they act on with braked: true")
	}
	v.Brakes.ParkN = 1000 * b.optional(path+".brakes.park_kn", s.ParkKN, spanForce)
	if s.ParkKN != nil && !hasParked(u) {
		b.fail(path+".brakes.park_kn", "is of a parking brake: mark the axles it acts on with parked: true")
	}
	if s.MassKg == nil && s.CoolWK == nil && s.LimitC == nil && s.HeatJKgK == nil {
		return
	}
	v.Brakes.MassKg = b.heatField(path+".brakes.mass_kg", s.MassKg, span{1, 1e4, "kg"})
	v.Brakes.CoolWK = b.heatField(path+".brakes.cool_w_k", s.CoolWK, span{0.1, 1e5, "W/K"})
	v.Brakes.LimitC = b.heatField(path+".brakes.limit_c", s.LimitC, span{50, 1500, "degrees Celsius"})
	v.Brakes.HeatJKgK = b.assume(path+".brakes.heat_j_kg_k", s.HeatJKgK, span{100, 5000, "J/(kg K)"}, heat)
}

func (b *builder) heatField(path string, p *float64, s span) float64 {
	if p == nil {
		b.fail(path, "is missing: mass_kg, cool_w_k and limit_c go together")
	}
	return b.optional(path, p, s)
}

func hasParked(u *UnitSpec) bool {
	return slices.ContainsFunc(u.Axles, func(a AxleSpec) bool { return isTrue(a.Parked) })
}

func hasBraked(u *UnitSpec) bool {
	return slices.ContainsFunc(u.Axles, func(a AxleSpec) bool { return isTrue(a.Braked) })
}
