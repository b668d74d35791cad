// Package stability says when a loaded train overturns sideways: on crossfall,
// in a steady curve, and in both. All of it is statics; sudden manoeuvres tip a
// train earlier (by about a quarter, by published tests of trucks) and are left
// out.
//
// Leans are lateral over vertical force in the train's own frame, a ratio: on a
// crossfall alone the rise over run of the road, on a level curve the lateral
// acceleration over [vehicle.G].
package stability

import (
	"math"

	"drawbar/vehicle"
)

// Roll is how a body rolls on springs and tyres: its centre of gravity moves
// outward and lowers the lean at which it tips. The zero value is rigid.
type Roll struct {
	RadPerG   float64 // roll angle, radians, for a lean of 1
	AxisShare float64 // height of the roll axis over that of the centre of gravity, 0 to 1
}

// DefaultRoll is a textbook's truck, from memory, unverified: 0.1 rad/g about an
// axis at half the height. Sprung trucks are said to lose far more of their rigid
// limit (20 to 40 %, from memory), so that a lean near it is never sure.
func DefaultRoll() Roll { return Roll{RadPerG: 0.1, AxisShare: 0.5} }

// Assumed lists the values of a Roll.
func (r Roll) Assumed() []vehicle.Assumption {
	return []vehicle.Assumption{
		{Key: RollKeys[0], Value: r.RadPerG, Unit: "rad/g", Source: "roll of a body on its springs and tyres, a textbook's truck", Standing: "memory"},
		{Key: RollKeys[1], Value: r.AxisShare, Unit: "1", Source: "height of the roll axis over that of the centre of gravity, a textbook's truck", Standing: "memory"},
	}
}

// RollKeys are the keys of those assumptions.
var RollKeys = []string{"crossfall.roll_rad_per_g", "crossfall.roll_axis_share"}

// Factor is what of the rigid limit is left: 1/(1 + RadPerG (1 - AxisShare)).
// Source: moment balance of a body that rolls by RadPerG times the lean, derived.
func (r Roll) Factor() float64 { return 1 / (1 + r.RadPerG*(1-r.AxisShare)) }

// Lateral is the centrifugal over the vertical force at speedMS, m/s, on a level
// curve of radiusM, metres: v^2/(R g). 0 for an infinite radius.
func Lateral(speedMS, radiusM float64) float64 { return speedMS * speedMS / (radiusM * vehicle.G) }

// Lean is crossfall and curve together; crossfall is rise over run, falling
// outward positive. On the slope the centrifugal force also presses less or more
// on the road: (c + a)/(1 - c a). The trade adds c + a and leaves the product out,
// which is the unsafe side where the road falls outward.
func Lean(crossfall, lateral float64) float64 {
	return (crossfall + lateral) / (1 - crossfall*lateral)
}

// LargestCrossfall is the crossfall, falling outward positive, that leans a train
// to its limit at a lateral force: the inverse of [Lean].
func LargestCrossfall(limit, lateral float64) float64 {
	return (limit - lateral) / (1 + limit*lateral)
}

// LargestSpeed is the speed, m/s, that leans a train to its limit on a curve of
// radiusM, metres, with a crossfall falling outward positive; 0 where the
// crossfall alone does.
func LargestSpeed(limit, crossfall, radiusM float64) float64 {
	return math.Sqrt(max(LargestCrossfall(limit, crossfall), 0) * radiusM * vehicle.G)
}
