package ways

import (
	"math"

	"github.com/paulmach/orb"
)

// NearM is how far from a route ways are read, metres. Choice: more than a ford's
// or a bridge's length, and than the span of most power lines, so that a way that
// crosses has a node there.
const NearM = 2000.0

// Near reports, for places in degrees, whether they lie within about marginM of
// any of the lines.
func Near(lines []orb.LineString, marginM float64) func(lon, lat float64) bool {
	lat := marginM / metresPerDegree // size of a cell; one cell about each that a line touches is kept
	type cell struct{ x, y int32 }
	kept := map[cell]bool{}
	at := func(p orb.Point) cell {
		y := math.Floor(p[1] / lat)
		east := lat / max(math.Cos((math.Abs(y)+1)*lat*math.Pi/180), 0.01)
		return cell{int32(math.Floor(math.Remainder(p[0], 360) / east)), int32(y)}
	}
	keep := func(p orb.Point) {
		c := at(p)
		for y := c.y - 1; y <= c.y+1; y++ {
			// Cells of the next row are a little wider or narrower.
			x := at(orb.Point{p[0], (float64(y) + 0.5) * lat}).x
			for dx := int32(-1); dx <= 1; dx++ {
				kept[cell{x + dx, y}] = true
			}
		}
	}
	for _, l := range lines {
		for i := 1; i < len(l); i++ {
			d := math.Hypot(l[i][0]-l[i-1][0], l[i][1]-l[i-1][1])
			n := max(int(math.Ceil(d/lat*2)), 1)
			for j := 0; j <= n; j++ {
				t := float64(j) / float64(n)
				keep(orb.Point{l[i-1][0] + t*(l[i][0]-l[i-1][0]), l[i-1][1] + t*(l[i][1]-l[i-1][1])})
			}
		}
	}
	return func(lon, lat float64) bool { return kept[at(orb.Point{lon, lat})] }
}
