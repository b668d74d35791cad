package profile

import (
	"math"

	"drawbar/terrain"
)

// Pitch is a piece of way whose grade somebody gave.
type Pitch struct {
	LengthM    float64 // above 0
	GradeRatio float64 // rise over run, positive climbing
	SE         float64 // standard error of the grade, 0 for an exact one
}

// pitch is one with an error: where it lies among the nodes.
type pitch struct {
	from, to int
	se       float64
}

// rampStepM is the distance of the stations of a ramp at most. Choice.
const rampStepM = 10.0

// Given is a way of given pitches that begins at a height, metres: no raster and
// no estimate. The errors of the pitches are independent.
func Given(heightM float64, pitches ...Pitch) *Profile {
	c := chain{exact: true, at: []float64{0}, z: []float64{heightM}}
	for _, q := range pitches {
		n := max(int(math.Ceil(q.LengthM/rampStepM)), 1)
		first, from, z := len(c.at)-1, c.at[len(c.at)-1], c.z[len(c.z)-1]
		for i := 1; i <= n; i++ {
			d := q.LengthM * float64(i) / float64(n)
			c.at, c.z = append(c.at, from+d), append(c.z, z+q.GradeRatio*d)
		}
		if q.SE > 0 {
			c.pitches = append(c.pitches, pitch{first, len(c.at) - 1, q.SE})
		}
	}
	n := len(c.at)
	return &Profile{ChainageM: c.at, ZM: c.z, RawZM: c.z, StepM: rampStepM,
		Mark: make([]Mark, n), Why: make([]terrain.Why, n), Source: make([]uint8, n), structure: make([]bool, n),
		chains: []chain{c}}
}

// Constant is an exact ramp of one grade from height 0.
func Constant(gradeRatio, lengthM float64) *Profile {
	return Given(0, Pitch{LengthM: lengthM, GradeRatio: gradeRatio})
}

// pitchSE is the standard error of the form with weights w on the nodes from lo
// on: a pitch steeper by e is higher by e times the way along it, and all beyond
// it by its whole length.
func (c *chain) pitchSE(lo int, w []float64) float64 {
	sum := 0.0
	for _, p := range c.pitches {
		rise := 0.0
		for k, v := range w {
			node := min(max(lo+k, p.from), p.to)
			rise += v * (c.at[node] - c.at[p.from])
		}
		sum += square(rise * p.se)
	}
	return math.Sqrt(sum)
}
