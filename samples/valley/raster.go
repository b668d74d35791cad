package valley

import "math"

// The raster: where it lies and how it stores heights.
const (
	CellM    = 2    // side of a square cell
	Cols     = 1200 // west to east
	Rows     = 1500 // north to south
	WestM    = 520000
	SouthM   = 4700000
	Zone     = 26 // UTM zone, northern half: EPSG:32626
	Void     = -32768
	ScaleM   = 0.01 // metres a stored unit
	OffsetM  = 100  // metres at a stored 0
	unitsPer = 100  // stored units a metre: 1/ScaleM, exact
)

// raster stores the heights, rows from north to south.
func raster(roads []*Road) []int16 {
	g := nature(roads, Cols*CellM, Rows*CellM)
	cells := make([]int16, 0, Cols*Rows)
	for row := range Rows {
		y := float64((Rows-row)*CellM - CellM/2)
		for col := range Cols {
			x := float64(col*CellM + CellM/2)
			if isVoid(roads, x, y) {
				cells = append(cells, Void)
				continue
			}
			z, water := g.natural(x, y)
			z = earthworks(roads, x, y, z)
			if !water {
				z += mul(noiseM, uniform(seedNoise, col, row))
			}
			cells = append(cells, int16(math.Floor(mul(z-OffsetM, unitsPer)+0.5)))
		}
	}
	return cells
}

// isVoid reports whether (x, y) lies in the patch without data.
func isVoid(roads []*Road, x, y float64) bool {
	for _, r := range roads {
		if r.Name == void.road {
			s, d := r.foot(x, y, void.asideM)
			return d <= void.asideM && s >= void.fromM && s <= void.toM
		}
	}
	return false
}
