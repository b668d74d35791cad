package profile

import (
	"context"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Choices: two sources contradict each other where their heights differ from
// the usual difference of the two by this many standard errors, and metres.
const (
	contestErrors = 4.0
	contestM      = 2.0
	contestCells  = 0.1 // and by this share of the coarser cell, which levels what is smaller
)

// contest compares the heights with those of the next source, where the surface
// has several.
func (p *Profile) contest(ctx context.Context, a *route.Alignment, s terrain.Surface) error {
	r, ok := s.(terrain.Rivals)
	if !ok || len(p.Sources) < 2 {
		return nil
	}
	pts, got := make([]orb.Point, len(p.ChainageM)), make([]terrain.Sample, len(p.ChainageM))
	for i, c := range p.ChainageM {
		pts[i] = a.At(c)
	}
	if err := r.Rivals(ctx, pts, got); err != nil {
		return err
	}
	other := make([]float64, len(got))
	se := make([]float64, len(got))
	for i, g := range got {
		other[i] = math.NaN()
		if g.Why == terrain.Valid {
			src := p.Sources[g.Source]
			other[i] = g.ZM
			se[i] = math.Hypot(math.Hypot(src.SEM, src.HillsideSEM(p.slopeAt(i), p.LineSEM)), contestCells*src.CellM/contestErrors)
		}
	}
	p.contested(other, se)
	return nil
}

// contestZ is contest with the heights that the route file carries.
func (p *Profile) contestZ(a *route.Alignment) {
	other, se := make([]float64, len(p.ChainageM)), make([]float64, len(p.ChainageM))
	for i, c := range p.ChainageM {
		if other[i], se[i] = routeZ(a, c), 2*routeZSEM; !plausible(other[i]) {
			other[i] = math.NaN()
		}
	}
	p.contested(other, se)
}

// contested finds the stretches where the other heights differ beyond both
// errors; the median difference, that of two datums, is let through.
func (p *Profile) contested(other, se []float64) {
	var all []float64
	for i, z := range other {
		if d := p.RawZM[i] - z; !math.IsNaN(d) {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return
	}
	slices.Sort(all)
	usual := all[len(all)/2]
	for i, z := range other {
		off := math.Abs(p.RawZM[i] - z - usual)
		if !(off > max(contestM, contestErrors*math.Hypot(se[i], p.errorAt(i, false)))) {
			continue
		}
		at := route.Stretch{FromM: max(p.ChainageM[i]-p.StepM, 0), ToM: min(p.ChainageM[i]+p.StepM, p.LengthM())}
		p.contests = joined(p.contests, Suspect{At: at, Shape: Contest, OffM: off})
	}
}
