package profile

import (
	"cmp"
	"math"
	"slices"

	"drawbar/route"
)

// Shape is what a pair of implausible grades looks like.
type Shape string

// Shapes.
const (
	Dip  Shape = "dip"  // down and up again: a bridge nobody tagged?
	Hump Shape = "hump" // up and down again: a tunnel or cutting nobody tagged?
	// Jump: heights far from any road that could be there: a deck, a wall, a
	// building, or a fault of the raster.
	Jump Shape = "jump"
	// Ramp: steeper over ten metres than roads are built, too short for the grade
	// under a train to show it.
	Ramp Shape = "ramp"
	// Flat: a height that does not change where the file does not say which of
	// its cells have no data, or one of its fill values.
	Flat Shape = "flat"
	// Contest: two sources of heights differ beyond both their errors.
	Contest Shape = "contest"
	// Rough: heights scatter several times as much as their error is stated.
	Rough Shape = "rough"
)

// Suspect is a stretch whose height rather shows the ground under or over a
// structure than the road.
type Suspect struct {
	At    route.Stretch
	Shape Shape
	// OffM is how far the height departs from the straight line over the
	// stretch, metres, always positive; of a Flat one the height itself, of a Ramp
	// its rise, of a Rough one the learned standard error; of a
	// Contest the difference.
	OffM float64
}

// Choices of the search: a road does not change from steeper than suspectGrade
// one way to steeper than that the other way within suspectGapM.
const (
	suspectGrade = 0.18
	suspectBaseM = 30.0
	suspectGapM  = 250.0
	oneSided     = 1.645 // 95 %
	// A height departs from the road by more than this many stated standard
	// errors, and metres, before it is taken for something else.
	jumpErrors = 6.0
	jumpM      = 1.5
	// From one station to the next a road does not rise more steeply than this,
	// and the difference of two heights errs by less than so many standard errors.
	steepGrade = 0.3
	leapErrors = 3.0
	leapM      = 0.4
	// A ramp is steeper than rampGrade over this base.
	rampBaseM = 10.0
	rampGrade = 0.2
	// Heights whose learned error is this many times the stated one are rough.
	roughScale = 4.0
	// A height that changes by less than sameM over flatM stands still.
	flatM = 100.0
	sameM = 1e-9
)

// Suspects finds the stretches where the estimated grade over 30 m (two cells
// where they are larger) surely exceeds 18 % one way and, within 250 m, surely
// exceeds it the other way; those whose sampled heights depart from the
// estimated road by more than six stated standard errors and 1.5 m, or leap
// from one station to the next; short ramps; and heights that rather fill a gap.
// Stretches that are carried already, or whose grade somebody measured from end
// to end, are not asked about. Nothing is corrected.
func (p *Profile) Suspects() []Suspect {
	if len(p.Sources) == 0 {
		return nil // an exact profile
	}
	out := append(p.pairs(), p.jumps()...)
	// Each adds what those before it do not explain.
	out = append(out, p.contests...)
	for _, more := range [][]Suspect{p.leaps(), p.ramps(), p.flats(), p.scatters()} {
		found := out
		for _, s := range more {
			if !slices.ContainsFunc(found, func(o Suspect) bool { return o.At.Overlaps(s.At) }) {
				out = append(out, s)
			}
		}
	}
	out = slices.DeleteFunc(out, func(s Suspect) bool { return measured(p.Readings, s.At) })
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(a.At.FromM, b.At.FromM) })
	return out
}

// jumps finds the heights that no road explains.
func (p *Profile) jumps() (out []Suspect) {
	for i, s := range p.ChainageM {
		off := math.Abs(p.RawZM[i] - p.ZM[i])
		if p.Mark[i] != Measured || !(off > jumpM) || off < jumpErrors*p.errorAt(i, false) {
			continue
		}
		at := route.Stretch{FromM: max(s-p.StepM, 0), ToM: min(s+p.StepM, p.LengthM())}
		out = joined(out, Suspect{At: at, Shape: Jump, OffM: off})
	}
	return out
}

// joined adds a suspect to a list, growing the last one where it is near.
func joined(list []Suspect, s Suspect) []Suspect {
	if n := len(list); n > 0 && s.At.FromM-list[n-1].At.ToM <= suspectBaseM {
		list[n-1].At.ToM = max(list[n-1].At.ToM, s.At.ToM)
		list[n-1].OffM = max(list[n-1].OffM, s.OffM)
		return list
	}
	return append(list, s)
}

// pairs finds the implausible pairs of grades.
func (p *Profile) pairs() (out []Suspect) {
	base := suspectBaseM
	for _, s := range p.Sources {
		base = max(base, 2*s.CellM)
	}
	if p.LengthM() <= base {
		return nil
	}
	var g Series
	p.Grade(base, &g)
	last := steep{way: 0}
	for _, r := range p.steeps(&g, base) {
		if last.way == -r.way && r.at.FromM-last.at.ToM <= suspectGapM {
			out = append(out, p.suspect(last, r))
			last = steep{}
			continue
		}
		last = r
	}
	return out
}

// steep is a run of stations that surely climb (+1) or fall (-1) too steeply.
type steep struct {
	at  route.Stretch
	way int
}

func (p *Profile) steeps(g *Series, baseM float64) (out []steep) {
	for i, v := range g.Value {
		way := 0
		switch {
		case p.Mark[i] != Measured || math.IsNaN(v):
		case v-oneSided*g.SE[i] > suspectGrade:
			way = 1
		case v+oneSided*g.SE[i] < -suspectGrade:
			way = -1
		}
		if way == 0 {
			continue
		}
		out = extend(out, p.ChainageM[i], way, baseM)
	}
	for i := range out {
		out[i].at.FromM = max(out[i].at.FromM-baseM/2, 0)
		out[i].at.ToM = min(out[i].at.ToM+baseM/2, p.LengthM())
	}
	return out
}

// extend adds a station to the run it continues, or begins a new one.
func extend(runs []steep, s float64, way int, gapM float64) []steep {
	if n := len(runs); n > 0 && runs[n-1].way == way && s-runs[n-1].at.ToM <= gapM {
		runs[n-1].at.ToM = s
		return runs
	}
	return append(runs, steep{route.Stretch{FromM: s, ToM: s}, way})
}

func (p *Profile) suspect(a, b steep) Suspect {
	s := Suspect{At: route.Stretch{FromM: a.at.FromM, ToM: b.at.ToM}, Shape: Dip}
	if a.way > 0 {
		s.Shape = Hump
	}
	z1, _ := p.At(s.At.FromM, []float64{0}, []float64{1})
	z2, _ := p.At(s.At.ToM, []float64{0}, []float64{1})
	for i, c := range p.ChainageM {
		if c < s.At.FromM || c > s.At.ToM || math.IsNaN(p.ZM[i]) {
			continue
		}
		t := (c - s.At.FromM) / s.At.LengthM()
		s.OffM = max(s.OffM, math.Abs(p.ZM[i]-(1-t)*z1-t*z2))
	}
	return s
}
