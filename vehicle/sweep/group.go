package sweep

import (
	"fmt"
	"math"
)

// Line is one axle line of a group that steers.
type Line struct {
	// AtM is how far behind the front pivot of its unit the line stands.
	AtM float64
	// SteerRatio is its steer over the articulation, 0 for a fixed line.
	SteerRatio float64
	// MaxSteerRad is where it saturates. Read only when SteerRatio is not 0.
	MaxSteerRad float64
}

// WithLines is the link on a group of lines that each steer by an angle of
// their own. They cannot all roll without slip; with tyres alike and the
// pivot taking what is left, the moments of their side forces about the pivot
// cancel when
//
//	w/v * sum x^2 = sum x * (sin b + cos b tan d)
//
// x the place of a line, d its steer, b the angle of the pivot's way. That is
// one line at sum x^2 / sum x that steers by the mean of tan d weighted by x
// (derived; for fixed lines it is the group's centre and the scrub length
// (sum d^2/N)/L behind it, Winkler 1998, from memory). The rear overhang stays
// at its place.
func (l Link) WithLines(lines ...Line) (Link, error) {
	var sum, squares, ratio, most float64
	for i, a := range lines {
		if !(a.AtM > 0) || !finite(a.AtM) {
			return l, fmt.Errorf("%w: line %d at %g m must stand behind the pivot", ErrTrain, i+1, a.AtM)
		}
		if a.SteerRatio < 0 || !finite(a.SteerRatio) {
			return l, fmt.Errorf("%w: line %d steer ratio %g must be 0 (fixed) or more", ErrTrain, i+1, a.SteerRatio)
		}
		if a.SteerRatio > 0 && !(a.MaxSteerRad > 0 && a.MaxSteerRad < math.Pi/2) {
			return l, fmt.Errorf("%w: line %d steer limit %g rad must lie between 0 and a right angle", ErrTrain, i+1, a.MaxSteerRad)
		}
		sum += a.AtM
		squares += a.AtM * a.AtM
		ratio += a.AtM * a.SteerRatio
		most = math.Max(most, a.MaxSteerRad)
	}
	if len(lines) == 0 {
		return l, fmt.Errorf("%w: a group needs at least one line", ErrTrain)
	}
	was := l.LengthM
	l.Lines = lines
	l.LengthM = squares / sum
	l.RearOverhangM -= l.LengthM - was
	l.GroundRearM -= l.LengthM - was
	l.HitchOffsetM += l.LengthM - was
	l.SteerRatio, l.MaxSteerRad = ratio/sum, most
	return l, nil
}

// linesSteer is the steer of the one line that stands for the group.
func (l *Link) linesSteer(articulationRad float64) float64 {
	var sum, tan float64
	for i := range l.Lines {
		a := &l.Lines[i]
		d := math.Max(-a.MaxSteerRad, math.Min(a.MaxSteerRad, a.SteerRatio*articulationRad))
		sum += a.AtM
		tan += a.AtM * math.Tan(d)
	}
	return math.Atan(tan / sum)
}

// OnGround is the train with the outlines of its wheels for bodies: what a
// kerb stops, while the body passes over it.
func (t Train) OnGround() Train {
	links := make([]Link, len(t.Links))
	for i, l := range t.Links {
		if l.WidthM > 0 && l.GroundWidthM > 0 {
			l.WidthM, l.FrontOverhangM, l.RearOverhangM = l.GroundWidthM, l.GroundFrontM, l.GroundRearM
		}
		links[i] = l
	}
	return Train{Links: links, LockRad: t.LockRad}
}
