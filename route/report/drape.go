package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"

	"drawbar/route/profile"
	"drawbar/route/verdict"
)

// ProfileOptions say what the table of a draped way holds.
type ProfileOptions struct {
	BaseM float64 // base of the grade, metres
	// Raw writes the heights as sampled and the grade as their difference over
	// one step either side; no error is known then.
	Raw bool
	// Beside adds what lies across the line: crossfall of the carriageway and
	// cross slope of the hillside (falling to the right positive), slope of the
	// ground beyond the left and the right edge (rising away positive); empty
	// where the raster does not resolve it.
	Beside bool
}

var (
	profileHead = []string{"chainage_m", "lon", "lat", "z_m", "se_m", "grade_pct", "grade_se_pct", "valid", "why"}
	besideHead  = []string{"crossfall_pct", "left_pct", "right_pct", "cross_slope_pct"}
)

// Profile writes a draped way as CSV, one line a station.
func Profile(w io.Writer, r *verdict.Draped, o ProfileOptions) error {
	c := csv.NewWriter(w)
	head := profileHead
	if o.Beside {
		head = append(head[:len(head):len(head)], besideHead...)
	}
	if err := c.Write(head); err != nil {
		return err
	}
	p := r.Profile
	var grade, level profile.Series
	if o.Raw {
		grade, level = p.RawGrade(), profile.Series{Value: p.RawZM}
	} else {
		p.Grade(o.BaseM, &grade)
		p.Linear([]float64{0}, []float64{1}, &level)
	}
	for i, s := range p.ChainageM {
		at := r.Way.At(s)
		row := []string{fixed(s, 2), fixed(at[0], 7), fixed(at[1], 7), fixed(level.Value[i], 2), "",
			fixed(100*grade.Value[i], 2), "", strconv.FormatBool(!math.IsNaN(level.Value[i])), whyAt(p, i)}
		if !o.Raw {
			row[4], row[6] = fixed(level.SE[i], 2), fixed(100*grade.SE[i], 2)
		}
		if o.Beside {
			for _, v := range [][]float64{p.Crossfall, p.LeftSlope, p.RightSlope, p.CrossSlope} {
				row = append(row, slope(v, i))
			}
		}
		if err := c.Write(row); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// whyAt is why a station has no height of its own.
func whyAt(p *profile.Profile, i int) string {
	if p.Mark[i] == profile.Carried {
		return "carried"
	}
	return p.Why[i].String()
}

// slope is a ratio in percent; empty with heights of the route file, which know
// nothing beside the line.
func slope(v []float64, i int) string {
	if v == nil {
		return ""
	}
	return fixed(100*v[i], 1)
}
