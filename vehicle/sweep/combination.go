package sweep

import (
	"fmt"
	"math"
	"strings"

	"drawbar/vehicle"
)

// LackError says which quantity of which unit is missing or does not fit, and
// what to give. It wraps ErrTrain.
type LackError struct {
	Combination, Unit string
	Field             string // path in the file, "units[1].width_m"
	Hint              string
}

func (e *LackError) Error() string {
	return fmt.Sprintf("%v: combination %q, unit %q lacks %s: %s", ErrTrain, e.Combination, e.Unit, e.Field, e.Hint)
}

func (e *LackError) Unwrap() error { return ErrTrain }

// FromCombination makes the links of a combination.
//
//   - The foremost unit runs from the centre of its front axles, which follows
//     the line, to the centre of its rear ones.
//   - A semi-trailer runs from its kingpin to the centre of its axle group. If
//     its lines steer it runs to the rearmost line, since that is the line whose
//     steer the ratio gives; the lines ahead are taken to steer in proportion,
//     so that none slips.
//   - A unit on a bar with two axle groups is two links: the bar, reaching to the
//     centre of the front axles, which steer along it (a drawbar turns them; on
//     a towed truck its driver does), and the body. With one group bar and body
//     are one.
//
// Widths and overhangs are those of body and load. The lock comes from the
// wall-to-wall radius when that is given. The error is a *LackError.
func FromCombination(c *vehicle.Combination) (Train, error) {
	if len(c.Units) == 0 {
		return Train{}, &LackError{Combination: c.Name, Field: "units", Hint: "give at least the powered unit"}
	}
	var t Train
	for i := range c.Units {
		links, err := unitLinks(c, i)
		if err != nil {
			return Train{}, err
		}
		t.Links = append(t.Links, links...)
	}
	t.LockRad = lockRad(&t.Links[0], c.TurnOuterRadiusM)
	return t, t.Check()
}

// lack names a field of unit i: the one that the combination lists as lacking
// where that ends alike (the width of a load, not of the deck), or the unit's own.
func lack(c *vehicle.Combination, i int, field, hint string) error {
	unit := fmt.Sprintf("units[%d].", i)
	e := &LackError{Combination: c.Name, Unit: c.Units[i].Name, Field: unit + field, Hint: hint}
	for _, l := range c.Lacking {
		if strings.HasPrefix(l.Field, unit) && strings.HasSuffix(l.Field, "."+field) {
			e.Field = l.Field
			break
		}
	}
	return e
}

// unitLinks are the one or two links of a unit.
func unitLinks(c *vehicle.Combination, i int) ([]Link, error) {
	if err := lacking(c, i); err != nil {
		return nil, err
	}
	u := &c.Units[i]
	body, front := unitBody(c, i)
	if i == 0 || u.Kind == vehicle.SemiTrailer {
		return []Link{body}, nil
	}
	ahead := &c.Units[i-1]
	bar := u.AtM - ahead.AtM - ahead.HitchXM
	if !(bar > 0) {
		return nil, lack(c, i, "bar.length_m", fmt.Sprintf("its foremost axle stands %.2f m behind the hitch ahead; that must be more than 0", bar))
	}
	if len(u.GroupXM) > 1 {
		return []Link{{Name: u.Name + ", bar", Unit: i, LengthM: bar + front}, body}, nil
	}
	body.LengthM += bar
	body.FrontOverhangM -= bar
	return []Link{body}, nil
}

// unitBody is the body of a unit as a link, and how far behind the unit's
// origin its front pivot stands.
func unitBody(c *vehicle.Combination, i int) (Link, float64) {
	u := &c.Units[i]
	rear, front := rearmost(c, i), 0.0
	group := u.GroupXM[len(u.GroupXM)-1]
	if u.Steerable.Ratio > 0 {
		group = rear
	}
	if len(u.GroupXM) > 1 && u.Kind != vehicle.SemiTrailer {
		front = u.GroupXM[0]
	}
	l := Link{
		Name: u.Name, Unit: i, WidthM: u.WidthM,
		LengthM: group - front, FrontOverhangM: u.FrontOverhangM + front, RearOverhangM: u.RearOverhangM + rear - group,
		SteerRatio: u.Steerable.Ratio, MaxSteerRad: u.Steerable.MaxRad,
	}
	if i < len(c.Units)-1 {
		l.HitchOffsetM = group - u.HitchXM
	}
	return l, front
}

// lacking names the first quantity of unit i that is missing.
func lacking(c *vehicle.Combination, i int) error {
	u := &c.Units[i]
	want, towed := 2, i > 0
	if towed {
		want = 1
	}
	switch {
	case !towed && u.Kind != vehicle.Tractor && u.Kind != vehicle.Rigid:
		return lack(c, i, "kind", "the foremost unit must be a tractor or a rigid; put the powered unit first")
	case len(u.GroupXM) < want:
		return lack(c, i, "axles", fmt.Sprintf("give its axles so that they make %d group(s)", want))
	case !finite(u.GroupXM[0]) || !finite(u.GroupXM[len(u.GroupXM)-1]) || !finite(rearmost(c, i)):
		return lack(c, i, "at_m", "give where its axles stand")
	case i < len(c.Units)-1 && !finite(u.HitchXM):
		return lack(c, i, "hitch.at_m", "give where it couples the next unit")
	case !(u.WidthM > 0):
		return lack(c, i, "width_m", "give the width of the body and of its load")
	case !finite(u.FrontOverhangM):
		return lack(c, i, "front_overhang_m", "give the body ahead of the kingpin or the foremost axle")
	case !finite(u.RearOverhangM):
		return lack(c, i, "rear_overhang_m", "give the body behind the rearmost axle")
	case u.Steerable.Ratio > 0 && !(u.Steerable.MaxRad > 0):
		return lack(c, i, "steering.max_deg", "give the largest steer of its rearmost line")
	}
	return nil
}

// rearmost is the rearmost axle of unit i behind the unit's origin, NaN if none.
func rearmost(c *vehicle.Combination, i int) float64 {
	x := math.NaN()
	for _, a := range c.Axles {
		if a.Unit == i && !(a.AtM-c.Units[i].AtM <= x) {
			x = a.AtM - c.Units[i].AtM
		}
	}
	return x
}

// lockRad turns the wall-to-wall radius of the foremost unit into the steer at
// the centre of its steering axle: the outer front corner goes round at
// Rw^2 = (Rr + w/2)^2 + (L + overhang)^2, and tan(steer) = L/Rr. The corner is
// taken as square. A rounded cab clears about 0.25 m more (derived from one
// maker's sheet with an overhang from memory), so its true lock is a degree or
// two less. NaN when not given or when no such turn exists.
func lockRad(l *Link, wallRadiusM float64) float64 {
	reach := l.LengthM + l.FrontOverhangM
	rear := math.Sqrt(wallRadiusM*wallRadiusM-reach*reach) - l.WidthM/2
	if !(rear >= 0) {
		return math.NaN()
	}
	return math.Atan2(l.LengthM, rear)
}
