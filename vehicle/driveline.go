package vehicle

import (
	"fmt"
	"math"
	"slices"
)

// Defaults of an engine and what it drives.
var (
	etaAllDriven = Assumption{Value: 0.82, Source: "all-wheel drive with hub reduction 0.82-0.87, lower end", Standing: "memory"}
	etaPartly    = Assumption{Value: 0.88, Source: "driveline of a 4x2 or 6x4 0.88-0.92, lower end", Standing: "memory"}
	inertia      = Assumption{Value: 3.5, Unit: "kg m2", Source: "large truck diesel with flywheel", Standing: "choice"}
	crawlSpeed   = Assumption{Value: 1.0, Unit: "m/s", Source: "speed at which the pull of an engine without a gear list is taken as power times efficiency over speed", Standing: "choice"}
	startShare   = Assumption{Value: 0.6, Source: "pull from rest over pull at crawl, clutch engaging", Standing: "choice"}
	locked       = Assumption{Value: 1, Source: "differentials between the driven axles locked where grip is short: all of them pull", Standing: "choice"}
	startBy      = Assumption{Value: 0, Source: "starts by a clutch", Standing: "choice"}
	stallRatio   = Assumption{Value: 1, Source: "converter multiplies nothing at rest: 1.6 to 2.5 is common (memory), the file gives none", Standing: "choice"}
	turbo        = Assumption{Value: 1, Source: "turbocharged", Standing: "choice"}
)

// startTorqueShare is the engine torque at clutch engagement over the peak
// torque when the file does not give it; choice (the invented samples have
// 0.63 and 0.64).
const startTorqueShare = 0.6

// driveline reads an engine. At level plate only the power is known: the pull
// then comes from CrawlMS and StartShare.
func (b *builder) driveline(path string, u *UnitSpec) *Driveline {
	p := u.Power
	eta := etaPartly
	if !slices.ContainsFunc(u.Axles, func(a AxleSpec) bool { return !isTrue(a.Driven) }) {
		eta = etaAllDriven
	}
	d := &Driveline{
		StallRatio: 1, SlipLimitJ: math.NaN(),
		RatedPowerW:    1000 * b.required(path+".power_kw", p.PowerKW, spanPower),
		RatedRPM:       b.optional(path+".rated_rpm", p.RatedRPM, spanRPM),
		PeakTorqueNm:   b.optional(path+".torque_nm", p.TorqueNm, spanTorque),
		PeakTorqueRPM:  b.optional(path+".torque_rpm", p.TorqueRPM, spanRPM),
		StartTorqueNm:  b.optional(path+".start_torque_nm", p.StartTorqueNm, spanTorque),
		Efficiency:     b.assume(path+".efficiency_ratio", p.EfficiencyRatio, spanEta, eta),
		RadiusM:        b.optional(path+".tyre_radius_m", p.TyreRadiusM, span{0.1, 2, "m"}),
		RetarderPowerW: 1000 * b.optional(path+".retarder_kw", p.RetarderKW, spanPower),
	}
	if d.TurboBoosted = isTrue(p.Turbo); p.Turbo == nil {
		d.TurboBoosted = b.take(path+".turbo", turbo) == 1
	}
	if d.OpenAxles = p.Locked != nil && !*p.Locked; p.Locked == nil {
		d.OpenAxles = b.take(path+".locked", locked) != 1
	}
	if d.PeakTorqueRPM >= d.RatedRPM {
		b.fail(path+".torque_rpm", "must be below rated_rpm (%g)", d.RatedRPM)
	}
	if d.StartTorqueNm > d.PeakTorqueNm {
		b.fail(path+".start_torque_nm", "must not exceed torque_nm (%g)", d.PeakTorqueNm)
	}
	if len(p.GearRatios) == 0 {
		b.atPlate(path, p, d)
	} else {
		b.gears(path, p, d)
	}
	b.retarder(path, p, d)
	return d
}

func (b *builder) atPlate(path string, p *PowerSpec, d *Driveline) {
	if len(p.Ranges) > 0 || p.FinalRatio != nil {
		b.fail(path+".gear_ratios", "is missing: ranges and final_ratio say nothing without it")
	}
	if p.StartBy != "" || p.StallRatio != nil || p.SlipLimitKJ != nil || p.SlipCoolKW != nil {
		b.fail(path+".gear_ratios", "is missing: start_by, stall_ratio, slip_limit_kj and slip_cool_kw say nothing without it")
	}
	d.CrawlMS = b.take(path+".gear_ratios", crawlSpeed)
	d.StartShare = b.take(path+".start_torque_nm", startShare)
}

// gears multiplies gearbox, transfer box and final drive into total ratios,
// highest first.
func (b *builder) gears(path string, p *PowerSpec, d *Driveline) {
	for _, need := range []struct {
		key string
		v   float64
	}{{"torque_nm", d.PeakTorqueNm}, {"torque_rpm", d.PeakTorqueRPM}, {"rated_rpm", d.RatedRPM}, {"tyre_radius_m", d.RadiusM}} {
		if !given(need.v) {
			b.fail(path+"."+need.key, "is needed with gear_ratios")
		}
	}
	b.slip(path, p, d)
	d.EngineInertia = b.assume(path+".inertia_kg_m2", p.InertiaKgM2, spanInertia, inertia)
	if p.StartTorqueNm == nil {
		d.StartTorqueNm = b.take(path+".start_torque_nm", Assumption{Value: startTorqueShare * d.PeakTorqueNm, Unit: "N m",
			Source: "0.6 of the peak torque at clutch engagement", Standing: "choice"})
	}
	final := b.required(path+".final_ratio", p.FinalRatio, spanRatio)
	d.FinalRatio = final
	for i := range max(1, len(p.Ranges)) {
		name, transfer := b.transfer(path, p.Ranges, i)
		for k := range p.GearRatios {
			r := b.optional(fmt.Sprintf("%s.gear_ratios[%d]", path, k), &p.GearRatios[k], spanRatio)
			d.Gears = append(d.Gears, Gear{Name: name + fmt.Sprint(k+1), Ratio: r * transfer * final})
		}
	}
	slices.SortStableFunc(d.Gears, func(x, y Gear) int {
		if x.Ratio > y.Ratio {
			return -1
		} else if x.Ratio < y.Ratio {
			return 1
		}
		return 0
	})
	if len(d.Gears) > 200 {
		b.fail(path+".gear_ratios", "with ranges makes %d gears: check the list", len(d.Gears))
	}
	b.speedAtPeak(path, d)
}

// slip reads what slips when the train pulls away. A converter whose file gives
// no stall ratio multiplies nothing: the harder start.
func (b *builder) slip(path string, p *PowerSpec, d *Driveline) {
	switch p.StartBy {
	case "":
		b.take(path+".start_by", startBy)
	case "clutch":
	case "converter":
		d.Converter = true
		d.StallRatio = b.assume(path+".stall_ratio", p.StallRatio, spanStall, stallRatio)
	default:
		b.fail(path+".start_by", "must be clutch or converter, is %q", p.StartBy)
	}
	if p.StallRatio != nil && !d.Converter {
		b.fail(path+".stall_ratio", "is of a converter: say start_by: converter, or leave it out")
	}
	d.SlipLimitJ = 1000 * b.optional(path+".slip_limit_kj", p.SlipLimitKJ, spanSlip)
	if p.SlipCoolKW == nil {
		return
	}
	d.SlipCoolW = 1000 * b.optional(path+".slip_cool_kw", p.SlipCoolKW, spanCool)
	if p.SlipLimitKJ == nil {
		b.fail(path+".slip_limit_kj", "is missing: slip_cool_kw says nothing without it")
	}
}

// speedAtPeak refuses a lowest gear that no engine of the road has: a slip of
// unit in ratio or radius.
func (b *builder) speedAtPeak(path string, d *Driveline) {
	v := 2 * math.Pi * d.PeakTorqueRPM / 60 * d.RadiusM / d.Gears[0].Ratio
	if v < 0.05 || v > 20 {
		b.fail(path+".final_ratio", "the lowest gear would run %.3g m/s at peak torque: check ratios and tyre radius", v)
	}
}

func (b *builder) transfer(path string, ranges []RangeSpec, i int) (string, float64) {
	if len(ranges) == 0 {
		return "", 1
	}
	at := fmt.Sprintf("%s.ranges[%d]", path, i)
	if ranges[i].Name == "" {
		b.fail(at+".name", "is missing: low, high")
	}
	return ranges[i].Name + " ", b.required(at+".ratio", ranges[i].Ratio, spanRatio)
}
