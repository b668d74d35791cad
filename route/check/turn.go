package check

import (
	"math"

	"drawbar/route"
)

// Choices of turns summed over the drawn line, metres.
const (
	// tightRadiusM: on tighter curves close axle groups scrub.
	tightRadiusM = 60.0
	// overM is the length of way a turn is summed over for that.
	overM = 15.0
	// strayM is how far the steering axle may leave the drawn line at a corner
	// drawn as one vertex that no arc goes with.
	strayM = 3.0
)

// tight finds the stretches where the way turns more than a circle of
// tightRadiusM would over overM, joined when nearer than a train. None is
// shorter than overM unless the way is: a corner drawn as one vertex is a
// place where a train turns, not a point.
func tight(a *route.Alignment, joinM float64) (out []route.Stretch) {
	j, sum := 0, 0.0
	for i, t := range a.TurnRad {
		sum += t
		for a.ChainageM[i]-a.ChainageM[j] > overM {
			sum -= a.TurnRad[j]
			j++
		}
		if math.Abs(sum) < overM/tightRadiusM {
			continue
		}
		at := route.Stretch{FromM: a.ChainageM[j], ToM: a.ChainageM[i]}
		if lack := overM - at.LengthM(); lack > 0 {
			at = route.Stretch{FromM: max(at.FromM-lack/2, 0), ToM: min(at.ToM+lack/2, a.LengthM())}
		}
		if n := len(out); n > 0 && at.FromM-out[n-1].ToM < joinM {
			out[n-1].ToM = max(out[n-1].ToM, at.ToM)
			continue
		}
		out = append(out, at)
	}
	return out
}
