package traction

import "math"

// Rules of thumb of the trade, for showing beside the exact answer and for
// checking worked examples printed in them. Nothing in Drawbar is judged by
// one.

// RollingByPenetration is the rolling coefficient of pneumatic tyres that sink
// in by a depth, metres: 2 % and 1.5 % for each inch. Source: earthmoving
// handbook rule, read (40 lb per short ton and 30 lb for each inch).
func RollingByPenetration(depthM float64) float64 {
	const inchM = 0.0254 // exact
	return 0.02 + 0.015*depthM/inchM
}

// GradeRule is the grade resistance by the rule of 1 % of the weight for each
// 1 % of grade, in the unit of the weight. Source: earthmoving handbooks, read
// (20 lb per short ton, 10 kg per tonne). High by 1/cos: 0.5 % at 10 %.
func GradeRule(weight, gradeRatio float64) float64 { return weight * gradeRatio }

// DegreeRule is the grade resistance by the field rule of a sixtieth of the
// weight for each degree, the whole weight from 45 degrees, in the unit of the
// weight. Source: recovery load sheet, read. 4 % low at 10 degrees, right at 30,
// 6 % high short of 45.
func DegreeRule(weight, degrees float64) float64 {
	if degrees >= 45 {
		return weight
	}
	return weight * degrees / 60
}

// AltitudeFactor is what is left of the pull of a naturally aspirated engine at
// a height above the sea, metres: 3 % less for each 1000 ft above 2500 ft, not
// below 0. Source: earthmoving handbook rule, read. Turbocharged engines: 1 up
// to the height their maker gives.
func AltitudeFactor(heightM float64) float64 {
	const footM = 0.3048 // exact
	ft := heightM / footM
	return math.Max(0, 1-0.03*math.Max(0, ft-2500)/1000)
}

// RoadLoad is a road load in US units, as the prediction procedure printed it.
type RoadLoad struct {
	RollLb, AirLb, GradeLb float64
	HP                     float64 // at the wheels
}

// RoadLoadUS predicts the road load of a truck: rolling W (7.6 + 0.09 V)/1000,
// air 0.002 A V2, grade W p/100, power R V/375; W in lb, A in ft2, V in mile/h,
// p in percent. Source: SAE J688 form, memory; the constant 7.6 agrees with an
// independent one of 0.2445 ft/s2.
func RoadLoadUS(weightLb, areaFt2, mph, gradePercent float64) RoadLoad {
	r := RoadLoad{
		RollLb:  weightLb * (7.6 + 0.09*mph) / 1000,
		AirLb:   0.002 * areaFt2 * mph * mph,
		GradeLb: weightLb * gradePercent / 100,
	}
	r.HP = (r.RollLb + r.AirLb + r.GradeLb) * mph / 375
	return r
}

// StartabilityUS is the gradeability in percent by the US form
// T i ia rev/(10.7 W), rolling resistance not yet taken off: torque in lb ft,
// gearbox and axle ratio, tyre revolutions a mile, weight in lb. Source: trade
// form, memory; 10.7 hides an efficiency of 0.785.
func StartabilityUS(torqueLbFt, gearRatio, axleRatio, revPerMile, weightLb float64) float64 {
	return torqueLbFt * gearRatio * axleRatio * revPerMile / (10.7 * weightLb)
}

// regulationG is the gravity that UN R55 reckons with, m/s2; memory, and the
// reference note's values agree.
const regulationG = 9.81

// DrawbarD is the D value, kN, of a full drawbar between a towing mass T and a
// towed mass R, tonnes: g T R/(T + R). Source: UN R55, memory.
func DrawbarD(towingT, towedT float64) float64 {
	return regulationG * towingT * towedT / (towingT + towedT)
}

// FifthWheelD is that of a fifth wheel, kN, which bears U of the semi-trailer's R;
// T includes it: g 0.6 T R/(T + R - U), tonnes. Source: UN R55, memory.
func FifthWheelD(towingT, towedT, borneT float64) float64 {
	return regulationG * 0.6 * towingT * towedT / (towingT + towedT - borneT)
}
