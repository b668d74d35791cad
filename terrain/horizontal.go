package terrain

import "math"

// ce90PerSE is the radius holding 90 % of a circular normal distribution over
// its standard deviation along one axis: sqrt(2 ln 10). Derived.
const ce90PerSE = 2.145966026289347

// FromCE90 turns a CE90 in metres (90 % of points are nearer than this to
// where they should be) into the standard error along one axis, taking the
// error as circular normal: SE = CE90/2.146. Zero or less, or NaN, gives NaN.
func FromCE90(ce90M float64) float64 {
	if !(ce90M > 0) {
		return math.NaN()
	}
	return ce90M / ce90PerSE
}

// assumedCE90Cells is the CE90 taken for a product that publishes none, in
// cells: that of SRTM, 20 m on cells of 1 arc second (30.9 m), the poorer of
// the two published ratios; Copernicus has 6 m on the same cell. A choice.
const assumedCE90Cells = 0.65

// horizontal is the horizontal error of the product as an assumption: the
// published one, or one by cell size, 20 m where that is not known either.
func (p Product) horizontal(cellM float64) Assumption {
	a := Assumption{Key: "terrain.ce90", Unit: "m", Value: p.CE90M, Source: p.CE90Source, Standing: p.CE90Standing}
	if p.CE90M > 0 {
		return a
	}
	a.Value, a.Standing = assumedCE90(cellM), "choice"
	a.Source = "horizontal error of the product not published; taken as 0.65 cells, the ratio of SRTM"
	return a
}

func assumedCE90(cellM float64) float64 {
	if cellM > 0 {
		return assumedCE90Cells * cellM
	}
	return 20
}

// HorizontalSEM is the standard error, in metres, of the place of a height
// across the line of a road: of the line itself (lineSEM, metres), of the
// raster's place (from CE90M, or 0.65 cells when it is 0) and of its
// resolution, [ResolutionPerCell] cells. The three are independent.
func (s Source) HorizontalSEM(lineSEM float64) float64 {
	ce90 := s.CE90M
	if !(ce90 > 0) {
		ce90 = assumedCE90(s.CellM)
	}
	return math.Hypot(math.Hypot(lineSEM, FromCE90(ce90)), ResolutionPerCell*s.CellM)
}

// HillsideSEM is the standard error, in metres, that a height taken from this
// raster has because it may be that of a point beside the road: the cross
// slope of the hillside (rise over run, of either sign) times HorizontalSEM.
// It comes on top of SEM. It is correlated along the road over
// [ResolutionCorrCells] cells.
func (s Source) HillsideSEM(crossSlopeRatio, lineSEM float64) float64 {
	return math.Abs(crossSlopeRatio) * s.HorizontalSEM(lineSEM)
}

const (
	ResolutionPerCell   = 0.3
	ResolutionCorrCells = 1.0
)
