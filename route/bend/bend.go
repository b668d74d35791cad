// Package bend finds the bends of a digitised line and says how tight each may
// be, with an interval: the vertices lie near the middle of the road, some
// metres apart, with an error that the line itself tells. What the line cannot
// tell is left undecided, with what would close it.
package bend

import (
	"math"

	"drawbar/route"
)

// Kind is what a bend looks like.
type Kind uint8

// The kinds of bends. A reverse curve is not one of them: it is two bends, each
// with its own radius, and the second has Reverse set.
const (
	Arc        Kind = iota // a curve drawn with several vertices
	Kink                   // one vertex carries the turn, or may: no radius is drawn
	Hairpin                // an arc that turns back: more than hairpinRad
	Roundabout             // driven through: tagged so, or a turn to one side of more than roundRad
	Corner                 // the road turns off at a junction: name or class change at the turn
)

func (k Kind) String() string {
	return [...]string{"arc", "kink", "hairpin", "roundabout", "corner"}[k]
}

// Reason says why a radius is not decided.
type Reason uint8

// The reasons. Everything but ReasonNone leaves Decided false.
const (
	ReasonNone   Reason = iota
	ReasonVertex        // one vertex carries the turn
	ReasonNoise         // the line scatters too much for so small a turn
	ReasonSparse        // too few vertices on the arc
)

// Bend is one turn of the way to one side. Lengths are metres, angles radians.
type Bend struct {
	At    route.Stretch // from where it begins to turn to where it ends, as drawn
	ApexM float64       // chainage of the middle of the turn
	// RadiusM is the middle of what the radius of the road's middle line may be
	// (half of the chance on either side); RadiusLowM and RadiusHighM hold 90 % of
	// it, 5 % on either side. With an easement it is that of the circle. Where
	// RadiusLowM is 0 the bend may be a corner without radius, and RadiusM is the
	// largest: where one vertex carries the turn, what legs and width of the road
	// allow. Where no arc goes with the vertices RadiusHighM is infinite and
	// RadiusM not a number.
	RadiusM, RadiusLowM, RadiusHighM float64
	TurnRad                          float64 // change of direction, left positive; its size may exceed pi
	LengthM                          float64 // of the arc: RadiusM times the turn
	SpacingM                         float64 // between vertices on the turn, median
	NoiseM                           float64 // standard error of a vertex across the line, as used
	Vertices                         int     // that the fit rests on
	Kind                             Kind
	// Reverse is set where the bend before turns the other way and ends less than
	// reverseM before this one begins.
	Reverse bool
	// Decided says that the line tells the radius: the interval is no wider than
	// decidedRatio from end to end.
	Decided bool
	Reason  Reason
	tails   tails
}

// tails are radii with the chances below them, for decisions that ask for more
// than 5 %.
type tails [len(tailAt)]float64

var tailAt = [...]float64{0.0025, 0.01, 0.025, 0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95, 0.975, 0.99, 0.9975}

// Holds says whether the radius is at least minM.
type Holds uint8

// What can be said of it.
const (
	Open   Holds = iota // the line does not tell
	Can                 // at least minM, wrong at most once in 400
	Cannot              // under minM, wrong at most once in 100
)

// AtLeast decides whether a train that needs minM gets round by radius alone: it
// can by the 0.25 % point, for a wrong pass strands it, and cannot by the 99 %
// point. Never decided by the best value; an undecided radius may still decide
// here, when all of it lies on one side. Of the decisions on made roads (radii
// asked for within half and twice the true one) 0.3 % miss and 0.5 % refuse
// falsely; where vertices err 2 m 1 % and 2 % (TestStudy).
func (b *Bend) AtLeast(minM float64) Holds {
	switch {
	case b.Quantile(0.0025) >= minM:
		return Can
	case b.Quantile(0.99) < minM:
		return Cannot
	}
	return Open
}

// Quantile is the radius that the true one stays under with chance p, metres,
// between 0.0025 and 0.9975.
func (b *Bend) Quantile(p float64) float64 {
	at := tailAt[:]
	if p <= at[0] {
		return b.tails[0]
	}
	for i := 1; i < len(at); i++ {
		if p <= at[i] {
			t := (p - at[i-1]) / (at[i] - at[i-1])
			if math.IsInf(b.tails[i], 1) {
				return b.tails[i]
			}
			return b.tails[i-1] + t*(b.tails[i]-b.tails[i-1])
		}
	}
	return b.tails[len(at)-1]
}

// Choices of the search, in words where they decide.
const (
	hairpinRad   = 135 * math.Pi / 180 // a hairpin turns back; common practice, no source
	roundRad     = 200 * math.Pi / 180 // more than turning back: a circle driven through
	reverseM     = 30.0                // a train is longer than this between the two
	decidedRatio = 2.0
)

// Close says what would close an undecided radius, for a question to the crew.
func (r Reason) Close() string {
	switch r {
	case ReasonVertex, ReasonSparse:
		return "measure the radius: chord and middle ordinate along the middle of the road"
	case ReasonNoise:
		return "draw the line again from imagery, or measure the radius"
	}
	return ""
}

// Options of the search; zero values take the defaults that Assumptions lists.
type Options struct {
	MaxRadiusM float64 // wider bends are not looked for, default 300
	MinTurnRad float64 // smaller turns are not bends, default 10 degrees
	NoiseM     float64 // expected error of a vertex, default 0.6; the line is asked first
	RoadWidthM float64 // where none is tagged, for the largest radius at a kink, default 6
}

func (o Options) resolved() Options {
	def := func(v *float64, d float64) {
		if !(*v > 0) {
			*v = d
		}
	}
	def(&o.MaxRadiusM, 300)
	def(&o.MinTurnRad, 10*math.Pi/180)
	def(&o.NoiseM, 0.6)
	def(&o.RoadWidthM, 6)
	return o
}

// Assumptions lists what the search takes where nothing is given.
func (o Options) Assumptions() []route.Assumption {
	r := o.resolved()
	a := func(key, unit, source string, v float64) route.Assumption {
		return route.Assumption{Key: key, Unit: unit, Source: source, Standing: "choice", Value: v}
	}
	return []route.Assumption{
		a("bend.max_radius", "m", "wider bends are not looked for", r.MaxRadiusM),
		a("bend.min_turn", "rad", "smaller turns are not bends", r.MinTurnRad),
		a("bend.noise", "m", "error of a vertex of a road drawn from imagery, before the line is asked", r.NoiseM),
		a("bend.road_width", "m", "width of a road without a tag, for the largest radius at a kink", r.RoadWidthM),
	}
}
