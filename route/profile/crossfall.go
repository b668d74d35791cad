package profile

import (
	"math"

	"drawbar/terrain"
)

// CrossBaseM is the base across the line that Crossfall is taken over, metres:
// 3 m to each side of it.
const CrossBaseM = 6.0

// BankFromM is where the ground beyond the edges begins to be read for LeftSlope
// and RightSlope, metres from the line; it reaches as far again.
const BankFromM = 3.0

// CrossCellM is the largest cell that crossfall is read from, metres.
const CrossCellM = terrain.BesideCellM

// CrossfallAt is the crossfall of a carriageway widthM wide at a station, falling
// to the right positive, with its standard error; both NaN where the raster does
// not resolve it, and where the way is carried over the ground: a deck's crossfall
// is not the valley's.
//
// The error is, in squares: two heights of the raster, taken as independent, which
// is the most they can be off against each other; the line as far off its road as
// LineSEM, by the ground seen beyond both edges and, beyond 6 m, the hillside; and
// what of the base lies beyond the carriageway. A road whose banks the raster does
// not resolve has no more error for it: a reading steeper than roads are built may
// be the hillside's.
func (p *Profile) CrossfallAt(i int, widthM float64) (ratio, se float64) {
	if p.Crossfall == nil || p.Mark[i] != Measured {
		return math.NaN(), math.NaN()
	}
	c := p.Crossfall[i]
	left, right := math.Abs(p.LeftSlope[i]-c), math.Abs(p.RightSlope[i]+c)
	bank := max(left, right)
	moved := bank
	if p.LineSEM > CrossBaseM {
		moved = max(moved, math.Abs(p.CrossSlope[i]-c))
	}
	noise := math.Sqrt2 * p.Sources[p.Source[i]].SEM / CrossBaseM
	off := min(p.LineSEM/CrossBaseM, 1) * moved
	beyond := max(1-widthM/CrossBaseM, 0) * bank
	return c, math.Sqrt(noise*noise + off*off + beyond*beyond)
}
