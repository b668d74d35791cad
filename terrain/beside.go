package terrain

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// BesideCellM is the largest cell, in metres, from which the crossfall of a
// carriageway and the ground right beside it are read: a carriageway of 6 m is
// then at least two cells wide. A choice.
const BesideCellM = 2.5

// BesideOptions say where beside the line to look. Zero values take the
// defaults.
type BesideOptions struct {
	HalfWidthM float64 // half the carriageway, metres; default 3
	FromM, ToM float64 // the ground beyond the edge, metres from the line; default 3 and 6
	// BaseCells is how far to each side the hillside's cross slope reaches, in
	// cells; default 2. BaseM is the least reach in metres, such as the error
	// of the line; default 0.
	BaseCells, BaseM float64
}

func (o BesideOptions) withDefaults() (BesideOptions, error) {
	for _, d := range []struct {
		at    *float64
		value float64
	}{{&o.HalfWidthM, 3}, {&o.FromM, 3}, {&o.ToM, 6}, {&o.BaseCells, 2}} {
		if *d.at == 0 {
			*d.at = d.value
		}
	}
	sum := o.HalfWidthM + o.FromM + o.ToM + o.BaseCells + o.BaseM
	if !(o.HalfWidthM > 0 && o.FromM > 0 && o.ToM > o.FromM && o.BaseCells > 0 && o.BaseM >= 0) || math.IsInf(sum, 0) {
		return o, fmt.Errorf("ground beside the line: half width %v m, from %v to %v m, base %v cells or %v m: give positive numbers, the second distance the larger",
			o.HalfWidthM, o.FromM, o.ToM, o.BaseCells, o.BaseM)
	}
	return o, nil
}

// Ground is the shape of the ground across the line at a point, seen along the
// azimuth. Ratios are rise over run; NaN where not known: a height is missing,
// the two heights of a ratio come from different sources, or (all but
// CrossSlopeRatio) the cell is larger than [BesideCellM].
type Ground struct {
	CrossfallRatio  float64 // of the carriageway; positive falls to the right
	LeftRatio       float64 // of the ground beyond the left edge; positive rises away from the road
	RightRatio      float64 // of the ground beyond the right edge; positive rises away from the road
	CrossSlopeRatio float64 // of the hillside; positive falls to the right
	Source          uint8   // where CrossSlopeRatio comes from; without meaning when that is NaN
}

// Beside reads the ground across the line at points, where the line runs along
// azimuths in radians clockwise from true north. It makes one call of
// Elevations for all of them. Distances are laid off with the scale of the
// ellipsoid at the point, good to 1 cm over 200 m up to 70 degrees of latitude.
//
// The cross slope reaches two cells to each side, over which a road in the
// hillside mostly vanishes: it is what the height of the line goes wrong by for
// each metre that the line is off (see [Source.HillsideSEM]). It is taken from
// the finest source that covers both ends.
func Beside(ctx context.Context, s Surface, pts []orb.Point, azimuthRad []float64, o BesideOptions) ([]Ground, error) {
	o, err := o.withDefaults()
	if err != nil {
		return nil, err
	}
	if len(pts) != len(azimuthRad) {
		return nil, fmt.Errorf("ground beside the line: %d points but %d azimuths", len(pts), len(azimuthRad))
	}
	l := newLevelling(s.Sources(), o)
	spots := make([]orb.Point, 0, len(pts)*len(l.offsetM))
	for i, p := range pts {
		spots = l.lay(spots, p, azimuthRad[i])
	}
	z := make([]Sample, len(spots))
	if err := s.Elevations(ctx, spots, z); err != nil {
		return nil, err
	}
	out := make([]Ground, len(pts))
	for i := range out {
		out[i] = l.ground(z[i*len(l.offsetM) : (i+1)*len(l.offsetM)])
	}
	return out, nil
}

// levelling is where heights are taken across the line: metres to the right,
// in pairs.
type levelling struct {
	sources []Source
	offsetM []float64
	reachCM []float64 // the cell in metres that each pair from the fourth on is for
}

func newLevelling(sources []Source, o BesideOptions) *levelling {
	l := &levelling{sources: sources, offsetM: []float64{
		-o.HalfWidthM, o.HalfWidthM,
		-o.ToM, -o.FromM,
		o.FromM, o.ToM,
	}}
	for _, s := range sources {
		if s.CellM > 0 && !slices.ContainsFunc(l.reachCM, func(c float64) bool { return alike(c, s.CellM) }) {
			l.reachCM = append(l.reachCM, s.CellM)
		}
	}
	slices.Sort(l.reachCM)
	for _, c := range l.reachCM {
		reach := max(o.BaseCells*c, o.BaseM)
		l.offsetM = append(l.offsetM, -reach, reach)
	}
	return l
}

// alike takes cells that differ by less than a hundredth as one size.
func alike(a, b float64) bool { return math.Abs(a/b-1) < 0.01 }

func (l *levelling) lay(spots []orb.Point, p orb.Point, azimuthRad float64) []orb.Point {
	sin, cos := math.Sincos(azimuthRad)
	eastM, northM := MetresPerDegree(p[1])
	for _, d := range l.offsetM {
		spots = append(spots, orb.Point{p[0] + d*cos/eastM, p[1] - d*sin/northM})
	}
	return spots
}

func (l *levelling) ground(z []Sample) Ground {
	g := Ground{
		CrossfallRatio:  -l.rise(z, 0, BesideCellM),
		LeftRatio:       -l.rise(z, 2, BesideCellM),
		RightRatio:      l.rise(z, 4, BesideCellM),
		CrossSlopeRatio: math.NaN(),
	}
	for k, cellM := range l.reachCM {
		at := 6 + 2*k
		if r := l.rise(z, at, cellM*1.01); !math.IsNaN(r) {
			g.CrossSlopeRatio, g.Source = -r, z[at].Source
			break
		}
	}
	return g
}

// rise is the rise over run to the right between spots at and at+1, NaN when it
// is not known from one source of cells up to cellM metres.
func (l *levelling) rise(z []Sample, at int, cellM float64) float64 {
	a, b := z[at], z[at+1]
	if a.Why != Valid || b.Why != Valid || a.Source != b.Source {
		return math.NaN()
	}
	if c := l.sources[a.Source].CellM; !(c > 0 && c <= cellM) {
		return math.NaN()
	}
	return (b.ZM - a.ZM) / (l.offsetM[at+1] - l.offsetM[at])
}
