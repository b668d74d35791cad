package profile

import (
	"context"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Default standard error of a line across its road by the distance between its
// vertices: a densely drawn or recorded line follows the road, a sparse one cuts
// its bends. Choices; metres.
var lineErrors = []struct{ spacingM, seM float64 }{{15, 2}, {40, 4}, {math.Inf(1), 8}}

// lineError is that default for a way: by the median length of its edges.
func lineError(a *route.Alignment) float64 {
	edges := make([]float64, 0, len(a.ChainageM)-1)
	for i := 1; i < len(a.ChainageM); i++ {
		edges = append(edges, a.ChainageM[i]-a.ChainageM[i-1])
	}
	slices.Sort(edges)
	for _, e := range lineErrors {
		if edges[len(edges)/2] <= e.spacingM {
			return e.seM
		}
	}
	return lineErrors[len(lineErrors)-1].seM
}

// look reads the ground across the line at every station.
func (p *Profile) look(ctx context.Context, a *route.Alignment, s terrain.Surface) error {
	n := len(p.ChainageM)
	pts, az := make([]orb.Point, n), make([]float64, n)
	for i, c := range p.ChainageM {
		pts[i], az[i] = a.At(c), a.Azimuth(c)
	}
	ground, err := terrain.Beside(ctx, s, pts, az, terrain.BesideOptions{FromM: BankFromM, ToM: 2 * BankFromM, BaseM: p.LineSEM})
	if err != nil {
		return err
	}
	p.Crossfall, p.LeftSlope, p.RightSlope, p.CrossSlope = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i, g := range ground {
		p.Crossfall[i], p.LeftSlope[i], p.RightSlope[i], p.CrossSlope[i] = g.CrossfallRatio, g.LeftRatio, g.RightRatio, g.CrossSlopeRatio
	}
	fillNearest(p.CrossSlope)
	return nil
}

// fillNearest puts the nearest known value where one is missing, 0 where none
// is known at all.
func fillNearest(v []float64) {
	last := math.NaN()
	dist := make([]int, len(v)) // to the value taken
	for i := range v {
		if i > 0 {
			dist[i] = dist[i-1] + 1
		}
		if !math.IsNaN(v[i]) {
			last, dist[i] = v[i], 0
		} else {
			v[i] = last
		}
	}
	last, d := math.NaN(), 0
	for i := len(v) - 1; i >= 0; i-- {
		d++
		if dist[i] == 0 && !math.IsNaN(v[i]) {
			last, d = v[i], 0
			continue
		}
		if math.IsNaN(v[i]) || (!math.IsNaN(last) && d < dist[i]) {
			v[i] = last
		}
	}
	for i := range v {
		if math.IsNaN(v[i]) {
			v[i] = 0
		}
	}
}
