// Package sweep follows an articulated train along a line at walking pace,
// where tyres do not slip sideways: each unit is a bar whose front end is
// pulled and whose axle group rolls where it points. It gives the angles
// between the units, the path of every axle group and the strip of ground that
// the bodies sweep.
//
// Not in the model: side slip, scrub of closely spaced axles, crossfall,
// reversing. Angles are radians, positive to the left (anticlockwise), lengths
// metres, offsets from the line positive to its left.
package sweep

import (
	"errors"
	"fmt"
	"math"
)

// Point is a place on a plane, metres, x to the east, y to the north.
type Point struct{ X, Y float64 }

// Link is one rigid bar of the train: a unit, or the bar between two units.
type Link struct {
	Name string
	// Unit is the index of the unit in the combination that the link was made from.
	Unit int
	// LengthM runs from the front pivot (the steering axle of the powered unit,
	// the kingpin or the eye of a towed one) to the centre of the axle group.
	// Greater than 0.
	LengthM float64
	// HitchOffsetM places the pivot of the next link ahead (positive) or behind
	// (negative) of the centre of this axle group. Ignored on the last link.
	HitchOffsetM float64
	// WidthM of the body, load included. 0 means a bar without a body, which
	// sweeps nothing.
	WidthM float64
	// FrontOverhangM is the body ahead of the front pivot; negative when the
	// body begins behind it.
	FrontOverhangM float64
	// RearOverhangM is the body behind the centre of the axle group.
	RearOverhangM float64
	// SteerRatio is the steer of the axle group over the articulation angle at
	// the front pivot, against it: 0 fixed axles, 1 the group follows in the
	// track of the pivot. Not negative.
	SteerRatio float64
	// MaxSteerRad is where that steer saturates, between 0 and a right angle.
	// Read only when SteerRatio is not 0.
	MaxSteerRad float64
	// Lines are the axle lines of a group whose lines steer by angles of their
	// own; [Link.WithLines] sets them and the four values above that go with them.
	Lines []Line
	// MaxArticulationRad is the largest articulation at the front pivot that the
	// joint allows, 0 where not known. At the limit the train counts as folded.
	MaxArticulationRad float64
	// The outline on the ground: wheels, which no kerb lets by, while the body
	// passes over it. GroundWidthM 0: as the body.
	GroundWidthM, GroundFrontM, GroundRearM float64
}

// Train is a chain of links, front to rear. The front pivot of the first one,
// the centre of the steering axle, follows the line.
type Train struct {
	Links []Link
	// LockRad is the largest steer of an imaginary wheel at the centre of the
	// steering axle. 0 or NaN: not known.
	LockRad float64
}

// ErrTrain is wrapped by every error about a train that cannot be followed.
var ErrTrain = errors.New("train cannot be followed")

// Check returns an error that wraps ErrTrain and names the link and the
// quantity when a length is missing or out of its range.
func (t Train) Check() error {
	if len(t.Links) == 0 {
		return fmt.Errorf("%w: it has no links; give at least the powered unit", ErrTrain)
	}
	for i := range t.Links {
		if what := t.Links[i].fault(i == len(t.Links)-1); what != "" {
			return fmt.Errorf("%w: link %d %q: %s", ErrTrain, i+1, t.Links[i].Name, what)
		}
	}
	return nil
}

func (l *Link) fault(last bool) string {
	switch {
	case !(l.LengthM > 0) || math.IsInf(l.LengthM, 0):
		return fmt.Sprintf("length %g m from pivot to axle group must be greater than 0", l.LengthM)
	case !last && !finite(l.HitchOffsetM):
		return fmt.Sprintf("hitch offset %g m must be a number, since another link follows", l.HitchOffsetM)
	case !(l.WidthM >= 0) || math.IsInf(l.WidthM, 0):
		return fmt.Sprintf("width %g m must be 0 (no body) or more", l.WidthM)
	case !finite(l.FrontOverhangM) || !finite(l.RearOverhangM):
		return fmt.Sprintf("overhangs %g and %g m must be numbers", l.FrontOverhangM, l.RearOverhangM)
	case l.FrontOverhangM+l.LengthM+l.RearOverhangM < 0:
		return "overhangs make the body shorter than nothing"
	case !(l.SteerRatio >= 0) || math.IsInf(l.SteerRatio, 0):
		return fmt.Sprintf("steer ratio %g must be 0 (fixed axles) or more", l.SteerRatio)
	case !(l.MaxArticulationRad >= 0 && l.MaxArticulationRad <= math.Pi):
		return fmt.Sprintf("articulation limit %g rad must lie between 0 (not known) and half a turn", l.MaxArticulationRad)
	case len(l.Lines) == 0 && l.SteerRatio > 0 && !(l.MaxSteerRad > 0 && l.MaxSteerRad < math.Pi/2):
		return fmt.Sprintf("steer limit %g rad must lie between 0 and a right angle", l.MaxSteerRad)
	}
	return ""
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// steers reports whether the axle group turns against the body.
func (l *Link) steers() bool { return l.SteerRatio != 0 }

// foldLimit is what the joint itself allows, at most half a turn.
func (l *Link) foldLimit() float64 {
	if l.MaxArticulationRad > 0 {
		return l.MaxArticulationRad
	}
	return math.Pi
}

// foldRad is where the joint counts as folded.
func (l *Link) foldRad() float64 { return math.Min(DefaultFoldRad, l.foldLimit()) }

// steer is the angle by which the axle group steers against an articulation.
func (l *Link) steer(articulationRad float64) float64 {
	if len(l.Lines) > 0 {
		return l.linesSteer(articulationRad)
	}
	return math.Max(-l.MaxSteerRad, math.Min(l.MaxSteerRad, l.SteerRatio*articulationRad))
}

// SpanM is the length of the straight train from its foremost to its rearmost
// point, metres.
func (t Train) SpanM() float64 {
	pivot, front, rear := 0.0, math.Inf(-1), math.Inf(-1)
	for i := range t.Links {
		l := &t.Links[i]
		front = math.Max(front, pivot+l.FrontOverhangM)
		rear = math.Max(rear, l.LengthM+l.RearOverhangM-pivot)
		pivot -= l.LengthM - l.HitchOffsetM
	}
	return front + rear
}

// pullM is the sum of the lengths: the scale on which the last link forgets a bend.
func (t Train) pullM() float64 {
	var sum float64
	for i := range t.Links {
		sum += t.Links[i].LengthM
	}
	return sum
}

func (t Train) shortestM() float64 {
	least := math.Inf(1)
	for i := range t.Links {
		least = math.Min(least, t.Links[i].LengthM)
	}
	return least
}
