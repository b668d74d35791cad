package profile

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"drawbar/route"
	"drawbar/terrain"
)

// ZFrom says where heights come from.
type ZFrom string

// Sources of height. With ZBoth the raster judges and the difference to the
// file's heights is reported.
const (
	ZRaster ZFrom = "raster"
	ZRoute  ZFrom = "route"
	ZBoth   ZFrom = "both"
)

// ErrNoZ is returned when the file's heights are asked for and it has none.
var ErrNoZ = errors.New("the route file has no heights")

// Difference compares the heights a route file carries with the raster's, at
// the stations where both are: file less raster, metres.
type Difference struct {
	N            int
	MeanM, SDM   float64
	WorstM       float64 // farthest from the mean, signed
	WorstAtM     float64 // its chainage
	Scale        float64 // slope of the file's heights over the raster's; 1 when alike, 3.28 when the file has feet
	ScaleMeaning string  // "" or what the slope suggests
}

// Default error of heights in a route file whose origin nobody named: standard
// error relative to the neighbourhood and its correlation length. Choice, about
// a barometric or filtered satellite track; its size is learned like that of a
// raster.
const (
	routeZSEM   = 3.0
	routeZCorrM = 100.0
)

// routeZ gives the height of the file at a chainage, linear between vertices,
// NaN where either of them has none.
func routeZ(a *route.Alignment, s float64) float64 {
	if a.Z == nil {
		return math.NaN()
	}
	i := min(max(sort.SearchFloat64s(a.ChainageM, s), 1), len(a.ChainageM)-1)
	d := a.ChainageM[i] - a.ChainageM[i-1]
	if d == 0 {
		return a.Z[i]
	}
	t := min(max((s-a.ChainageM[i-1])/d, 0), 1)
	switch t { // an end without height does not spoil a vertex with one
	case 0:
		return a.Z[i-1]
	case 1:
		return a.Z[i]
	}
	return (1-t)*a.Z[i-1] + t*a.Z[i]
}

// takeRouteZ puts the file's heights in the place of the raster's.
func (p *Profile) takeRouteZ(a *route.Alignment) error {
	if a.Z == nil {
		return fmt.Errorf("%w: leave out --z, or give a file with heights", ErrNoZ)
	}
	spacing := a.LengthM() / float64(len(a.Line)-1)
	src := terrain.Source{Name: "heights of the route file", Datum: "unknown", Kind: terrain.KindUnknown,
		CellM: min(max(spacing, 1), 50), SEM: routeZSEM, CorrM: routeZCorrM, Unit: "m as the file says", Fills: []float64{0}, StepM: stepOf(a.Z)}
	for i, s := range p.ChainageM {
		z := routeZ(a, s)
		p.RawZM[i], p.Why[i], p.Source[i], p.Mark[i] = z, terrain.Valid, 0, Measured
		switch {
		case math.IsNaN(z) || between(a, s):
			p.RawZM[i] = math.NaN()
			p.Why[i], p.Mark[i] = terrain.Void, Missing
		case !plausible(z):
			p.RawZM[i], p.Why[i], p.Mark[i] = math.NaN(), terrain.Implausible, Missing
		}
	}
	p.Sources = []terrain.Source{src}
	p.assume("route.z_se_m", routeZSEM, "m", "heights of a route file of unknown origin", "choice")
	p.assume("route.z_correlation_m", routeZCorrM, "m", "heights of a route file of unknown origin", "choice")
	return nil
}

// longEdgeM is the distance of two vertices beyond which nothing is known of the
// height between them, metres. Choice.
const longEdgeM = 200.0

// between reports whether a chainage lies inside an edge longer than that.
func between(a *route.Alignment, s float64) bool {
	i := min(max(sort.SearchFloat64s(a.ChainageM, s-1e-6), 1), len(a.ChainageM)-1)
	from, to := a.ChainageM[i-1], a.ChainageM[i]
	return to-from > longEdgeM && s > from+1e-6 && s < to-1e-6
}

// plausible reports a height that ground on Earth may have; NaN is none.
func plausible(z float64) bool { return z >= terrain.LowestM && z <= terrain.HighestM }

// stepOf is the step the heights are rounded to, 1 or 0.1, 0 where they are finer
// or all the same: what does not change at all was filled in.
func stepOf(z []float64) float64 {
	first, same := math.NaN(), true
	tenths, whole := true, true
	for _, v := range z {
		if math.IsNaN(v) {
			continue
		}
		if math.IsNaN(first) {
			first = v
		}
		same = same && v == first
		whole = whole && v == math.Round(v)
		tenths = tenths && math.Abs(10*v-math.Round(10*v)) < 1e-6
	}
	switch {
	case same:
		return 0
	case whole:
		return 1
	case tenths:
		return 0.1
	}
	return 0
}

// compareZ compares the file's heights with the raster's, nil when there is
// nothing to compare.
func (p *Profile) compareZ(a *route.Alignment) *Difference {
	var d Difference
	var sumZ, sumZZ, sumF, sumFZ, sum, sum2 float64
	for i, s := range p.ChainageM {
		z, f := p.RawZM[i], routeZ(a, s)
		if math.IsNaN(z) || !plausible(f) {
			continue
		}
		d.N++
		sum += f - z
		sum2 += (f - z) * (f - z)
		sumZ, sumZZ, sumF, sumFZ = sumZ+z, sumZZ+z*z, sumF+f, sumFZ+f*z
	}
	if d.N < 2 {
		return nil
	}
	n := float64(d.N)
	d.MeanM = sum / n
	d.SDM = math.Sqrt(max(sum2/n-d.MeanM*d.MeanM, 0))
	for i, s := range p.ChainageM {
		if v := routeZ(a, s) - p.RawZM[i] - d.MeanM; plausible(v+p.RawZM[i]+d.MeanM) && math.Abs(v) > math.Abs(d.WorstM) {
			d.WorstM, d.WorstAtM = v, s
		}
	}
	d.Scale = (sumFZ - sumF*sumZ/n) / (sumZZ - sumZ*sumZ/n)
	d.ScaleMeaning = meaning(d.Scale, sumF/sumZ)
	return &d
}

// meaning words a slope that tells of a wrong unit or of filled-in zeros.
func meaning(slope, ratio float64) string {
	switch {
	case math.Abs(slope-3.2808) < 0.3 || math.Abs(ratio-3.2808) < 0.1:
		return "the file's heights look like feet"
	case math.Abs(slope-0.3048) < 0.03 && math.Abs(ratio-0.3048) < 0.03:
		return "the raster's heights look like feet"
	case slope == 0 && ratio == 0:
		return "the file's heights are all 0: filled in, not measured"
	}
	return ""
}

// tellDifference notes how the file's heights differ from the raster's.
func (p *Profile) tellDifference() {
	d := p.RouteZ
	if d == nil {
		return
	}
	note := fmt.Sprintf("heights in the route file less the raster's: mean %.1f m, sd %.1f m, farthest from the mean %.1f m at %.0f m, over %d stations",
		d.MeanM, d.SDM, d.WorstM, d.WorstAtM, d.N)
	if d.ScaleMeaning != "" {
		note += "; " + d.ScaleMeaning
	}
	p.Notes = append(p.Notes, note)
}
