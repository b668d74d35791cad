// Package check holds the checks: at each place, what the way demands against
// what the train can. One check is one file and one function of one shape; the
// list in list.go is all there is to adding one.
//
// A check formats nothing: it hands the sink a Finding whose sentence is a
// template with named quantities in SI units, and the report fills it in.
package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/known"
)

// Outcome of one check at one place, in order of severity.
type Outcome uint8

// Outcomes.
const (
	Pass      Outcome = iota // P(capacity >= demand) at least 0.95
	Caution                  // passes with a stated measure
	Undecided                // between 0.05 and 0.95
	NotLooked                // something is there, or may be, that nobody has a figure for
	Fail                     // P at most 0.05
)

// String names the outcome as reports print it.
func (o Outcome) String() string {
	return [...]string{"pass", "caution", "undecided", "not looked", "fail"}[o]
}

// PassAt and FailAt are the one-sided bounds of P(capacity >= demand): at
// least PassAt passes, at most FailAt fails. Choice.
const (
	PassAt = 0.95
	FailAt = 0.05
)

// Remedy says what kind of help could put a Fail right.
type Remedy uint8

// Remedies.
const (
	NoRemedy Remedy = iota
	Pull            // a helper pulling or pushing, or a winch
	HoldBack        // a helper holding back
)

// Unit of a quantity, always SI; the report converts and prints.
type Unit string

// Units.
const (
	Grade   Unit = "grade" // rise over run
	Metre   Unit = "m"
	Chain   Unit = "chainage" // metres along the way
	Kg      Unit = "kg"
	Newton  Unit = "N"
	Class   Unit = "class" // load class number
	Degree  Unit = "deg"
	Share   Unit = "share" // 0 to 1
	Count   Unit = "count"
	Literal Unit = "text"
	Speed   Unit = "m/s"
	Watt    Unit = "W"
	Joule   Unit = "J"
	Celsius Unit = "C"
	Moment  Unit = "N m"
	Ratio   Unit = "ratio"

	// AtLeast and AtMost are rounded to the safe side when printed.
	AtLeastKg Unit = "kg at least"
	AtLeastM  Unit = "m at least"
	AtMost    Unit = "grade at most"

	SpeedAtLeast Unit = "m/s at least"
)

// Quantity is one value a sentence names. Values may carry a standard error.
type Quantity struct {
	Name  string
	Value float64
	SE    float64
	Unit  Unit
	Text  string // when Unit is Literal
}

// Finding is what one check says of one stretch.
type Finding struct {
	Check string
	At    route.Stretch
	// WorstM is the chainage of the foremost axle where the margin is least.
	WorstM float64
	// Demand and Capacity are in Unit; SE is the standard error of their
	// difference; P is P(capacity >= demand), NaN when there was nothing to
	// compare.
	Demand, Capacity, SE, P float64
	// PBest is P on the best that an untagged surface may be; equal to P where
	// the surface is known.
	PBest   float64
	Unit    Unit
	Outcome Outcome
	// Standing marks a check that this data cannot make: one line a route,
	// never colouring a segment.
	Standing bool
	// Minor marks a finding that colours its place and is no row of its own: a
	// standing line counts it.
	Minor  bool
	Remedy Remedy
	// Rank above 0 marks a question of a kind a route may have many of: they are
	// one list, the highest rank first, then the largest Order.
	Rank  int
	Order float64
	// Say is the sentence, Close how to close an unknown, Do what to do about
	// it; {name} stands for a quantity.
	Say, Close, Do string
	Q              []Quantity
	// Decides names what the uncertainty comes from, largest first, as shares
	// of the variance.
	Decides []Quantity
	// Rests are the keys of the assumptions the finding rests on; Unverified
	// is set when one of them is from memory.
	Rests      []string
	Unverified bool
	// Needs is what an answer must reach to close it, By who answered.
	Needs known.Needs
	By    string
}

// Open reports whether the finding is a question that stands in the way: it
// colours its place and counts among the open ones.
func (f *Finding) Open() bool {
	return !f.Standing && (f.Outcome == Undecided || f.Outcome == NotLooked)
}

// chance is P(capacity >= demand) for a normal difference with standard error
// se; with se 0 it is 0 or 1.
func chance(demand, capacity, se float64) float64 {
	if se == 0 {
		if capacity >= demand {
			return 1
		}
		return 0
	}
	z := (capacity - demand) / se
	if z > 9 { // 1 to the last digit
		return 1
	}
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// judge turns a probability into an outcome.
func judge(p float64) Outcome {
	switch {
	case math.IsNaN(p):
		return NotLooked
	case p >= PassAt:
		return Pass
	case p <= FailAt:
		return Fail
	}
	return Undecided
}
