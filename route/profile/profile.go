// Package profile drapes a way over the ground: stations, heights, and every
// quantity that is linear in height (grade over a base, grade under a train,
// ordinates) with its standard error. Covariances never leave it.
//
// Heights of a raster are noisy and their noise is correlated, so the worst
// raw grade is always too steep. The road is therefore estimated: its grade is
// taken as an Ornstein-Uhlenbeck process along chainage, the raster's error as
// a first-order autoregressive one, and both their sizes are learned from the
// heights of the way itself (see model.go). Bridges and tunnels are carried
// straight between their ends.
package profile

import (
	"context"
	"fmt"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Options steer Build. The zero value takes every default.
type Options struct {
	// StepM is the distance between even stations, metres; 0 takes half a
	// cell, at least 2 m and at most 10 m.
	StepM float64
	// VoidCarryM is the longest stretch without heights that is carried
	// straight and marked; 0 takes three cells. Negative carries none.
	VoidCarryM float64
	// LineSEM is the standard error of the line across its road, metres; 0 takes
	// 2, 4 or 8 m by the distance between its vertices.
	LineSEM float64
	// Readings are grades known of the way.
	Readings []Reading
	// NoClassPrior leaves out the weak prior on grade by road class.
	NoClassPrior bool
	// Z says where heights come from; "" is the raster.
	Z ZFrom
}

// Mark says where the height of a station comes from.
type Mark uint8

// Marks.
const (
	Measured Mark = iota // from the raster
	Carried              // straight between the ends of a bridge, tunnel or short void
	Missing              // there is no height; Why says the reason
)

// Profile is a way draped. All slices have one entry a station. It is read
// only once built.
type Profile struct {
	ChainageM []float64
	ZM        []float64 // conditioned height, metres; NaN where Missing
	RawZM     []float64 // the raster's height as sampled; NaN where there is none
	Mark      []Mark
	Why       []terrain.Why // why the raster gave no height there
	Source    []uint8       // index into Sources
	Sources   []terrain.Source
	StepM     float64
	LineSEM   float64 // standard error of the line across its road
	// Across the line, NaN where the raster does not resolve it: crossfall of
	// the carriageway (falling to the right positive), slope of the ground beyond
	// its edges (rising away from the road positive). CrossSlope is the
	// hillside's, falling to the right positive; nil with heights of the file.
	Crossfall, LeftSlope, RightSlope, CrossSlope []float64
	Assumed                                      []route.Assumption
	Notes                                        []string  // what was found odd or left out
	Estimated                                    []string  // how the heights were estimated
	Readings                                     []Reading // measured grades that counted, as travelled
	Contradicted                                 []Reading // posted inclines left out for the heights contradict them
	// RouteZ compares the heights that the route file carries with the
	// raster's; nil when it carries none or they are used.
	RouteZ *Difference

	contests  []Suspect // where another source of heights says otherwise
	chains    []chain
	structure []bool // carried because a structure stands there
}

// Build stations the way, samples the surface, carries the given stretches
// (chainage of the way, sorted or not) and conditions. It fails only when the
// surface cannot be read or the context ends; a way without any height is a
// profile of Missing stations.
//
// A way and its reverse are estimated in one order, so that their grades are
// the same but for the sign.
func Build(ctx context.Context, a *route.Alignment, carried []route.Stretch, s terrain.Surface, o Options) (*Profile, error) {
	sources := s.Sources()
	if len(sources) == 0 {
		return nil, fmt.Errorf("the surface has no source")
	}
	flip := later(a.Line[0], a.Line[len(a.Line)-1])
	if flip {
		carried = turn(carried, a.LengthM())
		o.Readings = TurnReadings(o.Readings, a.LengthM())
		a = a.Reverse()
	}
	p, err := build(ctx, a, carried, s, o, sources)
	if err != nil {
		return nil, err
	}
	p.Readings = o.Readings
	if flip {
		p.reverse()
		p.Readings = TurnReadings(o.Readings, p.LengthM())
		p.Contradicted = TurnReadings(p.Contradicted, p.LengthM())
	}
	return p, nil
}

// later orders two points; any fixed order serves.
func later(p, q orb.Point) bool {
	if p[0] != q[0] {
		return p[0] > q[0]
	}
	return p[1] > q[1]
}

// turn gives stretches as chainage from the other end.
func turn(list []route.Stretch, lengthM float64) []route.Stretch {
	out := make([]route.Stretch, len(list))
	for i, s := range list {
		out[i] = route.Stretch{FromM: lengthM - s.ToM, ToM: lengthM - s.FromM}
	}
	return out
}

func build(ctx context.Context, a *route.Alignment, carried []route.Stretch, s terrain.Surface, o Options, sources []terrain.Source) (*Profile, error) {
	cell := sources[0].CellM
	p := &Profile{Sources: sources, StepM: o.StepM}
	if p.StepM <= 0 {
		p.StepM = max(min(max(cell/2, 2), 10), cell/25)
		p.assume("profile.step_m", p.StepM, "m", "half a cell, at least 2 m, at most 10 m or a twenty-fifth of a cell", "choice")
	}
	carryM := o.VoidCarryM
	if carryM == 0 {
		carryM = 3 * cell
		p.assume("profile.void_carry_m", carryM, "m", "three cells", "choice")
	}
	carried = merge(carried, a.LengthM())
	var err error
	if p.ChainageM, err = stations(a, carried, p.StepM); err != nil {
		return nil, err
	}
	if err := p.sample(ctx, a, s); err != nil {
		return nil, err
	}
	if o.Z == ZRoute {
		if err := p.takeRouteZ(a); err != nil {
			return nil, err
		}
		cell = p.Sources[0].CellM
	} else {
		if a.Z != nil {
			p.RouteZ = p.compareZ(a)
			if o.Z == ZBoth {
				p.contestZ(a)
			}
		}
		if err := p.contest(ctx, a, s); err != nil {
			return nil, err
		}
		if p.LineSEM = o.LineSEM; p.LineSEM == 0 {
			p.LineSEM = lineError(a)
			p.assume("profile.line_se_m", p.LineSEM, "m", "line across its road, by the distance between its vertices", "choice")
		}
		if err := p.look(ctx, a, s); err != nil {
			return nil, err
		}
	}
	p.mark(carried, o.Readings, carryM, cell)
	centre, read := start, inclines(a)
	if !o.NoClassPrior {
		var share float64
		if centre, share = classPrior(a); share > 0 {
			p.assume("profile.grade_spread", centre.gradeSD, "1", "centre of the prior of the grade's spread, half the steepest grade usual for the classes driven (TxDOT rural local roads)", "choice")
		}
	}
	if len(read) > 0 {
		p.assume("profile.incline_error", inclineError, "1", "standard error of an incline tag, or a fifth of it if larger", "choice")
	}
	p.condition(centre, append(read, o.Readings...))
	p.handOvers()
	p.tellDifference()
	return p, nil
}

func (p *Profile) assume(key string, v float64, unit, source, standing string) {
	p.Assumed = append(p.Assumed, route.Assumption{Key: key, Value: v, Unit: unit, Source: source, Standing: standing})
}

// sample reads the raw heights of all stations in one call.
func (p *Profile) sample(ctx context.Context, a *route.Alignment, s terrain.Surface) error {
	n := len(p.ChainageM)
	pts, got := make([]orb.Point, n), make([]terrain.Sample, n)
	for i, c := range p.ChainageM {
		pts[i] = a.At(c)
	}
	if err := s.Elevations(ctx, pts, got); err != nil {
		return err
	}
	p.RawZM, p.ZM = make([]float64, n), make([]float64, n)
	p.Why, p.Source, p.Mark = make([]terrain.Why, n), make([]uint8, n), make([]Mark, n)
	for i, g := range got {
		p.RawZM[i], p.Why[i], p.Source[i], p.ZM[i] = g.ZM, g.Why, g.Source, math.NaN()
		if g.Why != terrain.Valid {
			p.RawZM[i] = math.NaN()
			p.Mark[i] = Missing
		}
	}
	return nil
}

// mark decides what each station rests on. Stations inside a carried stretch
// are Carried whatever the raster says there (valley floor, mountain top);
// voids no longer than carryM, or whose grade somebody measured from end to end,
// are Carried, others stay Missing.
func (p *Profile) mark(carried []route.Stretch, read []Reading, carryM, cellM float64) {
	p.structure = make([]bool, len(p.ChainageM))
	for _, c := range carried {
		for i, s := range p.ChainageM {
			if s >= c.FromM && s <= c.ToM {
				p.Mark[i] = Carried
				p.structure[i] = true
			}
		}
	}
	n := len(p.ChainageM)
	for i := 0; i < n; i++ {
		if p.Mark[i] != Missing {
			continue
		}
		j := i
		for j < n && p.Mark[j] == Missing {
			j++
		}
		if i > 0 && j < n && (p.ChainageM[j]-p.ChainageM[i-1] <= carryM || measured(read, route.Stretch{FromM: p.ChainageM[i-1], ToM: p.ChainageM[j]})) {
			for k := i; k < j; k++ {
				p.Mark[k] = Carried
			}
		}
		i = j
	}
}

// reverse turns the profile in place to the other direction of travel.
func (p *Profile) reverse() {
	length := p.ChainageM[len(p.ChainageM)-1]
	slices.Reverse(p.ChainageM)
	for i, c := range p.ChainageM {
		p.ChainageM[i] = length - c
	}
	slices.Reverse(p.ZM)
	slices.Reverse(p.RawZM)
	slices.Reverse(p.Mark)
	slices.Reverse(p.structure)
	slices.Reverse(p.Why)
	slices.Reverse(p.Source)
	slices.Reverse(p.Crossfall)
	slices.Reverse(p.CrossSlope)
	slices.Reverse(p.LeftSlope)
	slices.Reverse(p.RightSlope)
	p.LeftSlope, p.RightSlope = p.RightSlope, p.LeftSlope
	for i := range p.Crossfall {
		p.Crossfall[i], p.CrossSlope[i] = -p.Crossfall[i], -p.CrossSlope[i]
	}
	if p.RouteZ != nil {
		p.RouteZ.WorstAtM = length - p.RouteZ.WorstAtM
	}
	for i := range p.contests {
		at := p.contests[i].At
		p.contests[i].At = route.Stretch{FromM: length - at.ToM, ToM: length - at.FromM}
	}
	for i := range p.chains {
		p.chains[i].lengthM = length
	}
}

// LengthM is the chainage of the last station.
func (p *Profile) LengthM() float64 { return p.ChainageM[len(p.ChainageM)-1] }

// MissingStretches are the parts of the way without height, with the reason
// of the first station of each.
func (p *Profile) MissingStretches() (out []route.Stretch, why []terrain.Why) {
	n := len(p.Mark)
	for i := 0; i < n; i++ {
		if p.Mark[i] != Missing {
			continue
		}
		j := i
		for j+1 < n && p.Mark[j+1] == Missing {
			j++
		}
		out = append(out, route.Stretch{FromM: p.ChainageM[max(i-1, 0)], ToM: p.ChainageM[min(j+1, n-1)]})
		why = append(why, p.Why[i])
		i = j
	}
	return out, why
}

// BareGround reports whether the height at a station is surely that of the
// ground: a raster of another kind, or of none named, may show roofs, trees and
// vehicles.
func (p *Profile) BareGround(i int) bool {
	return p.Sources[p.Source[i]].Kind == terrain.KindTerrainModel
}

// CarriedVoids are the stretches carried straight because the raster had no
// height there, not because a structure stands there.
func (p *Profile) CarriedVoids() (out []route.Stretch) {
	n := len(p.Mark)
	for i := 0; i < n; i++ {
		if p.Mark[i] != Carried || p.Why[i] == terrain.Valid || p.structure[i] {
			continue
		}
		j := i
		for j+1 < n && p.Mark[j+1] == Carried && p.Why[j+1] != terrain.Valid && !p.structure[j+1] {
			j++
		}
		out = append(out, route.Stretch{FromM: p.ChainageM[max(i-1, 0)], ToM: p.ChainageM[min(j+1, n-1)]})
		i = j
	}
	return out
}
