package stability

import (
	"fmt"
	"math"

	"drawbar/vehicle"
)

// Part is what tips as one.
type Part struct {
	Name        string
	First, Last int     // its units
	MassKg      float64 // what rests on its lines
	HeightM     float64 // of the centre of gravity above the road
	ArmM        float64 // from the centre of gravity's foot to the nearer tipping line; negative outside
}

// Rigid is the lean at which a rigid part tips: arm over height. 0 or less tips
// on the level.
func (p Part) Rigid() float64 { return p.ArmM / p.HeightM }

// Limit is Rigid less what the body loses by rolling.
func (p Part) Limit(r Roll) float64 { return p.Rigid() * r.Factor() }

// Parts are all that may tip by itself, front to rear, heights and offsets of
// loads included, the worse side taken:
//
//   - each unit on its own support lines, with what rests on its fifth wheel; a
//     semi-trailer on its lines or fields alone, as if the tractor held it up by no
//     more than they say: springs, play of the fifth wheel and a twisting frame
//     only bring the tractor in later;
//   - a tractor with the semi-trailers on it, moments summed, as if the frames were
//     stiff. Its limit lies between those of its units and never below the
//     smallest: it is told so that both can be compared.
//
// A bar carries no roll. The smallest limit of all decides. The error is a
// [LackError] for a file without support half widths or heights of the centres of
// gravity.
func Parts(c *vehicle.Combination) ([]Part, error) {
	if err := lacking(c); err != nil {
		return nil, err
	}
	three, open := semis(c, 3)
	out := partsOf(three)
	if open {
		four, _ := semis(c, 4)
		for i, p := range partsOf(four) {
			if p.Rigid() < out[i].Rigid() {
				out[i] = p
			}
		}
	}
	return out, nil
}

func partsOf(c *vehicle.Combination) (out []Part) {
	bs := bodies(c)
	for i := 0; i < len(c.Units); {
		j := i + 1
		for j < len(c.Units) && c.Units[j].Kind == vehicle.SemiTrailer {
			j++
		}
		for k := i; k < j; k++ {
			out = append(out, alone(c, bs, k))
		}
		if j-i > 1 {
			out = append(out, together(c, bs, i, j))
		}
		i = j
	}
	return out
}

// alone is one unit on its own lines.
func alone(c *vehicle.Combination, bs []body, i int) Part {
	u, b := &c.Units[i], bs[i]
	p := Part{Name: u.Name, First: i, Last: i, MassKg: b.kg, HeightM: b.h}
	switch {
	case u.Lopsided:
		p.ArmM = remaining(u, b)
	case fields(u) != 3:
		p.ArmM = FourFields(u.SupportHalfWidthM, b.y)
	case u.Kind == vehicle.SemiTrailer:
		p.ArmM = ThreeFields(u.SupportHalfWidthM, b.x, u.GroupXM[0], b.y)
	default: // the file does not say at which end the single field is
		length := u.GroupXM[1] - u.GroupXM[0]
		near := min(b.x-u.GroupXM[0], u.GroupXM[1]-b.x)
		p.ArmM = ThreeFields(u.SupportHalfWidthM, near, length, b.y)
	}
	return p
}

// together is the units from i up to j as one stiff body on all their lines: the
// arm is that of all wheels weighted by their loads.
func together(c *vehicle.Combination, bs []body, i, j int) Part {
	p := Part{Name: fmt.Sprintf("%s with %s", c.Units[i].Name, c.Units[j-1].Name), First: i, Last: j - 1}
	var arm, off, height float64
	for k := i; k < j; k++ {
		u := &c.Units[k]
		p.MassKg += u.MassKg
		height += u.MassKg * u.CGHM
		off += u.MassKg * u.CGYM
		arm += (bs[k].kg - bs[k].pinKg) * u.SupportHalfWidthM
	}
	p.HeightM = height / p.MassKg
	p.ArmM = (arm - math.Abs(off)) / p.MassKg
	return p
}

// Weakest is the part that tips first; the zero Part of none.
func Weakest(parts []Part) (least Part) {
	for i, p := range parts {
		if i == 0 || p.Rigid() < least.Rigid() {
			least = p
		}
	}
	return least
}
