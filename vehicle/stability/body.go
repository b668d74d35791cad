package stability

import (
	"fmt"

	"drawbar/vehicle"
)

// LackError says which field of the file is missing.
type LackError struct{ Field string }

func (e *LackError) Error() string {
	return e.Field + " is missing: tipping cannot be computed, give it"
}

// Fields taken for a unit whose file does not say. A semi-trailer is tried with
// both: on three it tips earlier, on four the tractor may.
const (
	semiFields = 3
	ownFields  = 4
)

// FieldKeys are the keys of what Assumed lists.
var FieldKeys = []string{"crossfall.semi_trailer_fields", "crossfall.own_wheels_fields"}

// Assumed lists the fields that the file does not give.
func Assumed(c *vehicle.Combination) (out []vehicle.Assumption) {
	var semi, own bool
	for i := range c.Units {
		u := &c.Units[i]
		semi = semi || (u.SupportFields == 0 && u.Kind == vehicle.SemiTrailer)
		own = own || (u.SupportFields == 0 && u.Kind != vehicle.SemiTrailer)
	}
	if semi {
		out = append(out, vehicle.Assumption{Key: FieldKeys[0], Value: semiFields, Source: "semi-trailer without support.fields: the smaller limits of three and of four", Standing: "choice"})
	}
	if own {
		out = append(out, vehicle.Assumption{Key: FieldKeys[1], Value: ownFields, Source: "unit on its own axles without support.fields: borne on both sides at both ends", Standing: "choice"})
	}
	return out
}

func fields(u *vehicle.Unit) int {
	switch {
	case u.SupportFields != 0:
		return u.SupportFields
	case u.Kind == vehicle.SemiTrailer:
		return semiFields
	}
	return ownFields
}

// semis is the train with the fields of its semi-trailers that the file leaves
// open set to n, and whether there are any.
func semis(c *vehicle.Combination, n int) (*vehicle.Combination, bool) {
	open := false
	out := *c
	out.Units = append([]vehicle.Unit(nil), c.Units...)
	for i := range out.Units {
		if u := &out.Units[i]; u.Kind == vehicle.SemiTrailer && u.SupportFields == 0 {
			u.SupportFields, open = n, true
		}
	}
	return &out, open
}

// body is a unit with what rests on its hitch: mass, where it acts along the
// unit, off the middle (left positive) and above the road.
type body struct {
	kg, x, y, h float64
	pinKg       float64 // of a semi-trailer's on the unit ahead
	pinY, pinH  float64 // where that acts there
}

// bodies works from the rear: the weight on a kingpin belongs to the body that
// carries it as well. With four fields the front pair bears its share of the
// trailer's roll, so that share acts at the trailer's own height; with three
// the kingpin bears none, and acts in the middle at the fifth wheel.
func bodies(c *vehicle.Combination) []body {
	level := c.Statics(0, 0, 0)
	out := make([]body, len(c.Units))
	for i := len(c.Units) - 1; i >= 0; i-- {
		u := &c.Units[i]
		b := body{kg: u.MassKg, x: u.CGXM, y: u.CGYM, h: u.CGHM}
		if i+1 < len(c.Units) {
			b = b.with(out[i+1], u.HitchXM)
		}
		if u.Kind == vehicle.SemiTrailer && i > 0 {
			b.pinKg, b.pinY, b.pinH = level.HitchV[i]/vehicle.G, b.y, b.h
			if fields(u) == 3 {
				b.pinY, b.pinH = 0, c.Units[i-1].HitchHM
			}
		}
		out[i] = b
	}
	return out
}

func (b body) with(next body, hitchX float64) body {
	sum := b.kg + next.pinKg
	if next.pinKg == 0 {
		return b
	}
	mix := func(own, hung float64) float64 { return (b.kg*own + next.pinKg*hung) / sum }
	return body{kg: sum, x: mix(b.x, hitchX), y: mix(b.y, next.pinY), h: mix(b.h, next.pinH)}
}

// lacking is the first field that a tilt needs and the file does not have.
func lacking(c *vehicle.Combination) error {
	if f := c.Lacks("crossfall"); f != "" {
		return &LackError{f}
	}
	for i := range c.Units {
		if u := &c.Units[i]; !(u.SupportHalfWidthM > 0) {
			return &LackError{fmt.Sprintf("support.half_width_m of %s", u.Name)}
		}
	}
	return nil
}
