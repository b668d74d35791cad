package check

import (
	"math"
	"strconv"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// tenth rounds down to a tenth, and writes no idle zero.
func tenth(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(math.Floor(10*v+1e-9)/10, 'f', -1, 64)
}

// tenthless rounds down to a whole number.
func tenthless(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(math.Floor(v+1e-9), 'f', 0, 64)
}

// Rounded is the figure of an obstruction as the standard rounds it: grades up
// to a whole percent, radii down to a metre, heights, widths and depths to a
// tenth, depths up and the others down.
func (o *Obstruction) Rounded() float64 {
	switch o.What {
	case "grade":
		return math.Ceil(100*o.Value-1e-9) / 100
	case "radius":
		return math.Floor(o.Value + 1e-9)
	case "ford":
		return math.Ceil(10*o.Value-1e-9) / 10
	}
	return math.Floor(10*o.Value+1e-9) / 10
}

// drySurfaces are the names of what a leg may be made of, without snow on it.
func (s *Setup) drySurfaces(t route.Tags) (out []string) {
	set, err := s.surfaces.Possible(traction.SurfaceTags{Highway: t.Highway, Surface: t.Surface, Tracktype: t.Tracktype, Smoothness: t.Smoothness}, traction.Dry)
	if err != nil {
		return []string{"mud"}
	}
	for _, o := range set {
		out = append(out, o.Name)
	}
	return out
}
