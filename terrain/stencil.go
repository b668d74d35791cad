package terrain

import "math"

// Heights outside these bounds are refused cell by cell, before any
// interpolation: a void of -32768 that nobody declared would otherwise come
// through at a small weight as a believable number.
// Source: lowest dry land -430 m (Dead Sea shore), highest 8849 m (Everest);
// memory, rounded outward.
const (
	LowestM  = -500.0
	HighestM = 9000.0
)

// snapCells is the distance from a line of cell centres, in cells, below which
// a point counts as lying on it. Rounding of a geotransform reaches 1e-9 cells
// (northing 5e6 m on 1 m cells); 1e-7 of a 30 m cell is 3 micrometres. Derived.
const snapCells = 1e-7

// Stencil is the two by two cells around a point and the point's place among
// them. A weight of exactly zero (FX or FY 0) means that the second column or
// row takes no part and may lie outside the raster.
type Stencil struct {
	Col, Row int     // upper left cell
	FX, FY   float64 // 0 <= FX, FY < 1, in cells from the centre of (Col, Row)
}

// Locate finds the cells around a point of a raster of cols by rows cells.
// col and row count in cells from the raster's outer corner, so the centre of
// the first cell is at (0.5, 0.5): the convention of a GDAL geotransform.
//
// Why is Valid, Edge for a point inside the raster but beyond the outermost
// cell centres (nothing is extrapolated), or OffRaster, which is also the
// answer for NaN.
func Locate(col, row float64, cols, rows int) (Stencil, Why) {
	i, fx, wx := along(col, cols)
	j, fy, wy := along(row, rows)
	if why := max(wx, wy); why != Valid {
		return Stencil{}, why
	}
	return Stencil{Col: i, Row: j, FX: fx, FY: fy}, Valid
}

// LocateAround is [Locate] for a raster whose columns go once around the Earth:
// its last column is followed by its first, so that no column is an edge. A
// Stencil at the seam has Col cols-1; the column after it is 0. col beyond a
// full turn is OffRaster, as in Locate.
func LocateAround(col, row float64, cols, rows int) (Stencil, Why) {
	j, fy, why := along(row, rows)
	i, fx, wx := along(col, cols)
	if wx == Edge {
		p := col - 0.5
		if p < 0 {
			p += float64(cols)
		}
		i, fx, wx = cols-1, p-float64(cols-1), Valid
	}
	if why = max(why, wx); why != Valid {
		return Stencil{}, why
	}
	return Stencil{Col: i, Row: j, FX: fx, FY: fy}, Valid
}

// Around tells whether cols columns are one full turn of turnCells, so that a
// raster has no edge in the east and west.
func Around(cols int, turnCells float64) bool {
	return math.Abs(math.Abs(turnCells)-float64(cols)) < aroundCells
}

// aroundCells is how far the columns may miss a full turn, in cells: what the
// digits of a geotransform leave on 1e6 columns is below it. A choice.
const aroundCells = 1e-3

// along is Locate on one axis. Edge < OffRaster, so the worse of two axes is
// their maximum.
func along(at float64, n int) (cell int, f float64, why Why) {
	if !(at >= 0 && at <= float64(n)) {
		return 0, 0, OffRaster
	}
	p := at - 0.5
	whole := math.Floor(p)
	f = p - whole
	if f < snapCells {
		f = 0
	} else if f > 1-snapCells {
		whole, f = whole+1, 0
	}
	cell = int(whole)
	if cell < 0 || cell > n-1 || cell == n-1 && f > 0 {
		return 0, 0, Edge
	}
	return cell, f, Valid
}

// Mix interpolates bilinearly between the heights, in metres, of the upper
// left, upper right, lower left and lower right cell; NaN is a cell without
// data. A cell of zero weight is not looked at. Any other cell without data
// makes the answer Void: weights are not spread over the rest, because that
// would shift the point by up to half a cell on a hillside. Any other cell
// beyond LowestM..HighestM makes it Implausible. ZM is NaN unless Why is Valid.
//
// Bilinear interpolation equals a plane exactly and gdalwarp -r bilinear away
// from voids.
func (s Stencil) Mix(ul, ur, ll, lr float64) (zM float64, why Why) {
	if s.FX == 0 {
		ur, lr = ul, ll
	}
	if s.FY == 0 {
		ll, lr = ul, ur
	}
	if sum := ul + ur + ll + lr; sum != sum {
		return math.NaN(), Void // an infinite cell of either sign is Void or Implausible: no height in any case
	}
	if implausible(ul) || implausible(ur) || implausible(ll) || implausible(lr) {
		return math.NaN(), Implausible
	}
	upper := lerp(ul, ur, s.FX)
	lower := lerp(ll, lr, s.FX)
	return lerp(upper, lower, s.FY), Valid
}

func implausible(zM float64) bool { return zM < LowestM || zM > HighestM }

// lerp converts the product before adding, which forbids a fused multiply-add:
// the same heights, bit for bit, on every processor.
func lerp(a, b, f float64) float64 { return a + float64(f*(b-a)) }
