package stability

import (
	"math"

	"drawbar/vehicle"
)

// FourFields is the distance, metres, from the centre of gravity's foot to the
// nearer tipping line of a body on two parallel lines: halfM is half their
// spacing, offM how far the centre stands off the middle. It holds for a
// suspension of four pressure fields and for axles that carry a body on both
// sides. Negative where the foot lies outside.
func FourFields(halfM, offM float64) float64 { return halfM - math.Abs(offM) }

// ThreeFields is the same where three pressure fields carry a body: the lines run
// from an apex in the middle to both ends of a base. fromApexM is the centre of
// gravity's distance from the apex, lengthM that of the base:
// d = (b a/L - |y|) cos(atan(b/L)). Across its own line a body tips at a slope of
// d over its height, whichever way the slope runs.
func ThreeFields(halfM, fromApexM, lengthM, offM float64) float64 {
	return (halfM*fromApexM/lengthM - math.Abs(offM)) * math.Cos(math.Atan(halfM/lengthM))
}

// remaining is the distance to the nearer tipping line of a unit one of whose axles
// has lost a side: the lines join what is left. On three fields they run from the
// kingpin to the middle of the wheels of each side; where a group has lost a whole
// side, from the other group's wheels on that side to what it has left.
func remaining(u *vehicle.Unit, b body) float64 {
	half := u.SupportHalfWidthM
	if u.Kind == vehicle.SemiTrailer {
		if fields(u) != 3 {
			return FourFields(half, b.y)
		}
		left := across(half, b.x, u.SideXM[0][vehicle.Left], b.y)
		return math.Min(left, across(half, b.x, u.SideXM[0][vehicle.Right], -b.y))
	}
	x1, length := u.GroupXM[0], u.GroupXM[1]-u.GroupXM[0]
	arm := FourFields(half, b.y)
	for g := range u.SideXM {
		for side, sign := range [2]float64{1, -1} {
			if !math.IsNaN(u.SideXM[g][side]) {
				continue
			}
			t := (b.x - x1) / length // from the front group
			if g == 0 {
				t = 1 - t
			}
			line := half * (1 - 2*t) // from that side at the other group to the far one here
			arm = math.Min(arm, (line-sign*b.y)*math.Cos(math.Atan(2*half/length)))
		}
	}
	return arm
}

// across is the distance from the line between an apex in the middle and a point
// on one side, lengthM behind it, positive inside.
func across(halfM, fromApexM, lengthM, offM float64) float64 {
	return (halfM*fromApexM/lengthM - offM) * math.Cos(math.Atan(halfM/lengthM))
}
