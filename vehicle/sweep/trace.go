package sweep

import "math"

// Trace is what came of following a line. Station j is both a place on the
// line and the moment at which the steering axle stands there. The stations run
// past the end of the line along its last direction.
//
// Methods take a step in 0..Steps-1, a station in 0..len(StationM)-1 and a link
// in 0..len(Links)-1, and panic outside, as a slice does.
type Trace struct {
	Links    []Link    // copied from the train
	LineM    float64   // length of the line as given; stations beyond are on the exit tangent
	StationM []float64 // distance along the line
	Line     []Point   // the line at the stations
	// BesideM and Beside are the stations of the line that reaches are measured
	// from: the followed one unless Options.Beside gives another.
	BesideM []float64
	Beside  []Point
	// Steps counts the stations that the steering axle reached: all of them
	// unless the train folds.
	Steps int
	// CoveredM is the station of Beside up to which the whole train has passed.
	CoveredM float64
	// Peaks has for each link the articulation angle farthest from 0; for the
	// first link it is the steer of the steering axle.
	Peaks []Peak
	// Fold is where an articulation angle reached the limit, nil if none did.
	// After it nothing is known: a folded train never passes.
	Fold *Fold
	Lock Lock

	poses      []pose // Steps x links
	besideBuf  []Point
	besideMBuf []float64

	edges []edge    // stations of Beside x links
	feet  []foot    // links x tracked
	peaks []peak    // links
	yaws  []float64 // links: side to which each turned last, 0 not yet
}

// Peak is the largest articulation of a link, signed, and where the steering
// axle stood then.
type Peak struct{ AngleRad, StationM float64 }

// Fold says which link folded against the one ahead of it, by how much, and
// where the steering axle stood then.
type Fold struct {
	Link               int
	AngleRad, StationM float64
}

// Lock says whether the steering of the powered unit can do what the line asks.
type Lock uint8

// Only LockHeld reads as yes.
const (
	LockUnknown  Lock = iota // the train does not say how far it steers
	LockHeld                 // the line asks for no more than the lock, to its end
	LockExceeded             // the line asks for more
)

func (l Lock) String() string {
	return [...]string{"unknown", "held", "exceeded"}[min(int(l), 2)]
}

type pose struct {
	axle    Point
	heading Point // unit vector forwards
	turn    Point // cosine and sine of the angle from it to the heading ahead
}

// edge is how far a link's body reached to the left and to the right of a station.
type edge struct{ left, right float64 }

// ArticulationRad is the angle of a link at a step: heading of the link ahead
// (for the first link, of the line) less its own. Positive in a left turn.
func (t *Trace) ArticulationRad(step, link int) float64 {
	p := t.at(step, link).turn
	return math.Atan2(p.Y, p.X)
}

// AxleAt is where the centre of a link's axle group stands at a step.
func (t *Trace) AxleAt(step, link int) Point { return t.at(step, link).axle }

// HeadingRad is the heading of a link at a step, from the x axis towards y.
func (t *Trace) HeadingRad(step, link int) float64 {
	h := t.at(step, link).heading
	return math.Atan2(h.Y, h.X)
}

func (t *Trace) at(step, link int) *pose { return &t.poses[step*len(t.Links)+link] }

// Corners are the corners of a link's body at a step: front left, front right,
// rear right, rear left.
func (t *Trace) Corners(step, link int) [4]Point {
	p, l := t.at(step, link), &t.Links[link]
	front, rear, half := l.LengthM+l.FrontOverhangM, -l.RearOverhangM, l.WidthM/2
	return [4]Point{
		offset(p.axle, p.heading, front, half), offset(p.axle, p.heading, front, -half),
		offset(p.axle, p.heading, rear, -half), offset(p.axle, p.heading, rear, half),
	}
}

// EdgesM is how far the body of a link reached across Beside at a station of it,
// over its whole passage: the farthest left and the farthest right, metres,
// left positive. ok is false where no body of that link passed.
func (t *Trace) EdgesM(station, link int) (left, right float64, ok bool) {
	e := t.edges[station*len(t.Links)+link]
	return e.left, e.right, e.left >= e.right
}

// offset is the point that lies ahead of p along the unit vector h and to its left.
func offset(p, h Point, ahead, left float64) Point {
	return Point{p.X + ahead*h.X - left*h.Y, p.Y + ahead*h.Y + left*h.X}
}

func dot(a, b Point) float64   { return a.X*b.X + a.Y*b.Y }
func cross(a, b Point) float64 { return a.X*b.Y - a.Y*b.X }
func sub(a, b Point) Point     { return Point{a.X - b.X, a.Y - b.Y} }

// turned is v turned to the left by an angle.
func turned(v Point, rad float64) Point {
	s, c := math.Sincos(rad)
	return Point{v.X*c - v.Y*s, v.Y*c + v.X*s}
}

// between is the angle from a to b, left positive.
func between(a, b Point) float64 { return math.Atan2(cross(a, b), dot(a, b)) }
