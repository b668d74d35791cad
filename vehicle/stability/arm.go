package stability

import "math"

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
