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
)

// Suspect is a stretch whose height rather shows the ground under or over a
// structure than the road.
type Suspect struct {
	At    route.Stretch
	Shape Shape
	// OffM is how far the height departs from the straight line over the
	// stretch, metres, always positive.
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
)

// Suspects finds the stretches where the estimated grade over 30 m (two cells
// where they are larger) surely exceeds 18 % one way and, within 250 m, surely
// exceeds it the other way; and those whose sampled heights depart from the
// estimated road by more than six stated standard errors and 1.5 m. Stretches
// that are carried already are not looked at. Nothing is corrected.
func (p *Profile) Suspects() []Suspect {
	out := append(p.pairs(), p.jumps()...)
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
		if n := len(out); n > 0 && at.FromM-out[n-1].At.ToM <= suspectBaseM {
			out[n-1].At.ToM = at.ToM
			out[n-1].OffM = max(out[n-1].OffM, off)
			continue
		}
		out = append(out, Suspect{At: at, Shape: Jump, OffM: off})
	}
	return out
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
		s := p.ChainageM[i]
		if n := len(out); n > 0 && out[n-1].way == way && s-out[n-1].at.ToM <= baseM {
			out[n-1].at.ToM = s
			continue
		}
		out = append(out, steep{route.Stretch{FromM: s, ToM: s}, way})
	}
	for i := range out {
		out[i].at.FromM = max(out[i].at.FromM-baseM/2, 0)
		out[i].at.ToM = min(out[i].at.ToM+baseM/2, p.LengthM())
	}
	return out
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
