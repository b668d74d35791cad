package raster

import "math"

// affine is GDAL's geotransform: x = a[0] + col*a[1] + row*a[2] and
// y = a[3] + col*a[4] + row*a[5], columns and rows counted in cells from the
// raster's outer corner.
type affine [6]float64

func (a affine) at(col, row float64) (x, y float64) {
	return a[0] + col*a[1] + row*a[2], a[3] + col*a[4] + row*a[5]
}

const geotransformHint = "give it one: gdal_translate -a_ullr, a world file, or gdalwarp for control points"

// inverse gives what turns x - a[0], y - a[3] into column and row. It refuses
// a geotransform that is not finite, that is GDAL's stand-in for none (the
// identity), or that squeezes the raster into a line.
func (a affine) inverse() (inverse, error) {
	for _, v := range a {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return inverse{}, refuse(ErrGeotransform, geotransformHint, "its geotransform %v is not finite", a)
		}
	}
	if a == (affine{0, 1, 0, 0, 0, 1}) || a == (affine{0, 1, 0, 0, 0, -1}) {
		return inverse{}, refuse(ErrGeotransform, geotransformHint, "it has no geotransform")
	}
	det := a[1]*a[5] - a[2]*a[4]
	size := math.Hypot(a[1], a[4]) * math.Hypot(a[2], a[5])
	// Rounding of the two products is 2e-16 of size; a cell sheared so far
	// that its height is a billionth of its side is damage, not a raster.
	if !(math.Abs(det) > 1e-9*size) {
		return inverse{}, refuse(ErrGeotransform, geotransformHint, "its geotransform %v cannot be inverted", a)
	}
	return inverse{a[0], a[3], a[5] / det, -a[2] / det, -a[4] / det, a[1] / det}, nil
}

type inverse struct{ x0, y0, colX, colY, rowX, rowY float64 }

// cell gives column and row from the outer corner. The origin is taken off
// first: with northings of 5e6 m the other order loses digits.
func (v inverse) cell(x, y float64) (col, row float64) {
	dx, dy := x-v.x0, y-v.y0
	return float64(dx*v.colX) + float64(dy*v.colY), float64(dx*v.rowX) + float64(dy*v.rowY)
}
