package profile

import (
	"math"
	"slices"

	"drawbar/route"
)

// change is by how much the sampled height changes from station k to station i,
// signed; 0 where a road of a grade and three standard errors of the difference
// explain it.
func (p *Profile) change(k, i int, grade float64) float64 {
	for m := k; m <= i; m++ {
		if p.Mark[m] != Measured {
			return 0
		}
	}
	d := p.ChainageM[i] - p.ChainageM[k]
	rel := math.Hypot(p.errorAt(i, false), p.errorAt(k, false))
	if p.Source[i] == p.Source[k] { // two rasters err on their own
		rel *= math.Sqrt(-math.Expm1(-d / max(p.Sources[p.Source[i]].CorrM, 1)))
	}
	if off := p.RawZM[i] - p.RawZM[k]; math.Abs(off) > max(leapM, grade*d+leapErrors*rel) {
		return off
	}
	return 0
}

// changes finds runs of such changes over a base, in one direction, that are no
// longer than longest: what goes on for longer is a slope, which pairs and the
// grade under the train see.
func (p *Profile) changes(shape Shape, base, longest func(cellM float64) float64, grade float64) (out []Suspect) {
	var run Suspect
	way := 0.0
	flush := func(cellM float64) {
		if way != 0 && run.At.LengthM() <= longest(cellM) {
			out = joined(out, run)
		}
		way = 0
	}
	k := 0
	for i := 1; i < len(p.ChainageM); i++ {
		cellM := p.Sources[p.Source[i]].CellM
		for k+1 < i && p.ChainageM[i]-p.ChainageM[k+1] >= 0.999*base(cellM) {
			k++
		}
		off := p.change(k, i, grade)
		if off == 0 || off*way < 0 {
			flush(cellM)
		}
		if off == 0 {
			continue
		}
		if way == 0 {
			run = Suspect{At: route.Stretch{FromM: p.ChainageM[k]}, Shape: shape}
		}
		run.At.ToM, run.OffM, way = p.ChainageM[i], max(run.OffM, math.Abs(off)), off
	}
	flush(p.Sources[p.Source[len(p.Source)-1]].CellM)
	return out
}

// leaps are changes from one cell to the next.
func (p *Profile) leaps() []Suspect {
	return p.changes(Jump, func(cellM float64) float64 { return cellM },
		func(cellM float64) float64 { return rampBaseM + 2*max(cellM, p.StepM) }, steepGrade)
}

// ramps are changes over rampBaseM, on rasters fine enough to show them.
func (p *Profile) ramps() []Suspect {
	for _, s := range p.Sources {
		if s.CellM > rampBaseM/2 {
			return nil
		}
	}
	return p.changes(Ramp, func(float64) float64 { return rampBaseM }, func(float64) float64 { return suspectBaseM }, rampGrade)
}

// scatters are the parts of the way whose heights are so rough that the error
// stated for the raster is not to be believed: the estimate then takes for
// noise what may be the road.
func (p *Profile) scatters() (out []Suspect) {
	for i := range p.chains {
		if c := &p.chains[i]; c.fit.scale >= roughScale {
			out = append(out, Suspect{At: c.stretch(), Shape: Rough, OffM: c.fit.scale * c.seM})
		}
	}
	return out
}

// flats finds heights that stay the same over a length no road keeps level to
// the last digit, or stand at a value that fills gaps, in a file that does not
// say which of its cells have no data.
func (p *Profile) flats() (out []Suspect) {
	n := len(p.ChainageM)
	for i := 0; i < n; {
		j, src := i, p.Sources[p.Source[i]]
		for j+1 < n && p.Mark[j+1] == Measured && p.Source[j+1] == p.Source[i] && math.Abs(p.RawZM[j+1]-p.RawZM[i]) < sameM {
			j++
		}
		at := route.Stretch{FromM: p.ChainageM[i], ToM: p.ChainageM[j]}
		least := max(flatM, 3*src.CellM)
		fill := slices.ContainsFunc(src.Fills, func(z float64) bool { return math.Abs(z-p.RawZM[i]) < sameM })
		if p.Mark[i] == Measured && (fill || (src.Fills != nil && src.StepM == 0)) && at.LengthM() >= min(least, p.LengthM()) {
			out = append(out, Suspect{At: at, Shape: Flat, OffM: p.RawZM[i]})
		}
		i = j + 1
	}
	return out
}
