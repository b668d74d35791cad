package terrain_test

import (
	"math"
	"math/rand/v2"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// hillside is a winding slope with a road of 8 m platform benched into it. It
// stands on the equator, where metres and degrees are in a fixed ratio over a
// few kilometres; x runs along the road, y uphill. All of it is invented.
type hillside struct {
	slope  float64 // rise over run of the natural ground, uphill
	turn   float64 // of the raster's columns against x, radians
	spurs  []wave  // the contours' winding: y of a contour, metres, over x
	bench  wave    // how far the platform's middle stands in the hillside, metres
	bumps  []wave  // roughness of the natural ground, metres of height
	lineXM []float64
}

// wave is ampM * sin(kx*x + ky*y + phase).
type wave struct{ ampM, kx, ky, phase float64 }

func (w wave) at(x, y float64) float64 { return w.ampM * math.Sin(w.kx*x+w.ky*y+w.phase) }

const (
	platformM  = 8.0
	faceRatio  = 1.0  // cut above and fill below the platform: 1 in 1
	roadGrade  = 0.05 // over x
	roadZM     = 600.0
	bumpsSDM   = 1.0 // standard deviation of the rough ground
	spurTurn   = 0.25
	pointStepM = 2.0
)

// newHillside makes one from a seed. Spurs are 150 to 600 m long and turn the
// road by up to about 40 degrees; bumps are 8 to 80 m long. Within 120 m the
// platform goes from half in cut and half on fill to all in cut.
func newHillside(slope float64, rough bool, seed uint64, lengthM float64) *hillside {
	rnd := rand.New(rand.NewPCG(seed, 77))
	h := &hillside{slope: slope, turn: rnd.Float64() * 2 * math.Pi}
	for _, lengthM := range []float64{150, 240, 380, 600} {
		k := 2 * math.Pi / (lengthM * (0.85 + 0.3*rnd.Float64()))
		h.spurs = append(h.spurs, wave{spurTurn / k, k, 0, rnd.Float64() * 2 * math.Pi})
	}
	h.bench = wave{platformM / 4, 2 * math.Pi / 120, 0, rnd.Float64() * 2 * math.Pi}
	const n = 12
	for i := range n {
		if !rough {
			break
		}
		k := 2 * math.Pi / (8 * math.Pow(10, float64(i)/(n-1)))
		sin, cos := math.Sincos(rnd.Float64() * 2 * math.Pi)
		h.bumps = append(h.bumps, wave{bumpsSDM * math.Sqrt(2.0/n), k * cos, k * sin, rnd.Float64() * 2 * math.Pi})
	}
	for x := 0.0; x < lengthM; x += pointStepM {
		h.lineXM = append(h.lineXM, x)
	}
	return h
}

// road gives the road's middle and its direction against x at x.
func (h *hillside) road(x float64) (y, slopeOfLine float64) {
	for _, w := range h.spurs {
		y += w.at(x, 0)
		slopeOfLine += w.ampM * w.kx * math.Cos(w.kx*x+w.phase)
	}
	return y + roadGrade/h.slope*x, slopeOfLine + roadGrade/h.slope
}

func roadHeight(x float64) float64 { return roadZM + roadGrade*x }

// ground is the height of the finished ground: the platform, its faces, and the
// natural ground beyond them.
func (h *hillside) ground(x, y float64) float64 {
	mid, along := h.road(x)
	across := (y - mid) / math.Hypot(1, along)
	zRoad := roadHeight(x)
	if math.Abs(across) <= platformM/2 {
		return zRoad
	}
	natural := zRoad + h.slope*(y-mid+platformM/4+h.bench.at(x, 0))
	for _, b := range h.bumps {
		natural += b.at(x, y)
	}
	if across > 0 {
		return math.Min(natural, zRoad+faceRatio*(across-platformM/2))
	}
	return math.Max(natural, zRoad+faceRatio*(across+platformM/2))
}

// degrees puts a point of the hillside on the raster's grid and the Earth.
func (h *hillside) degrees(x, y float64) orb.Point {
	sin, cos := math.Sincos(h.turn)
	east, north := terrain.MetresPerDegree(0)
	return orb.Point{(cos*x - sin*y) / east, (sin*x + cos*y) / north}
}

// line gives the points of a line offM beside the road's middle, uphill
// positive.
func (h *hillside) line(offM float64) []orb.Point {
	var pts []orb.Point
	for _, x := range h.lineXM {
		y, along := h.road(x)
		n := math.Hypot(1, along)
		pts = append(pts, h.degrees(x-offM*along/n, y+offM/n))
	}
	return pts
}

// raster makes cells of cellM metres, each the mean of the ground over its
// area, wherever one of the points needs them; all other cells are void.
func (h *hillside) raster(cellM float64, pts ...orb.Point) (*terrain.Grid, error) {
	east, north := terrain.MetresPerDegree(0)
	box := orb.MultiPoint(pts).Bound()
	left, bottom := math.Floor(box.Min[0]*east/cellM)-1, math.Floor(box.Min[1]*north/cellM)-1
	cols := int(box.Max[0]*east/cellM-left) + 4
	rows := make([][]float64, int(box.Max[1]*north/cellM-bottom)+4)
	for j := range rows {
		rows[j] = make([]float64, cols)
		for i := range rows[j] {
			rows[j][i] = math.NaN()
		}
	}
	for _, p := range pts {
		i, j := int(p[0]*east/cellM-left-0.5), int(p[1]*north/cellM-bottom-0.5)
		for _, at := range [4][2]int{{i, j}, {i + 1, j}, {i, j + 1}, {i + 1, j + 1}} {
			if z := &rows[at[1]][at[0]]; math.IsNaN(*z) {
				*z = h.mean(left+float64(at[0]), bottom+float64(at[1]), cellM)
			}
		}
	}
	return terrain.NewGrid(terrain.GridSpec{LonDeg: (left + 0.5) * cellM / east, LatDeg: (bottom + 0.5) * cellM / north,
		StepLonDeg: cellM / east, StepLatDeg: cellM / north, RowsZM: rows, Source: terrain.Source{CellM: cellM}})
}

// mean is the mean height of the cell at a column and row counted from 0, 0.
func (h *hillside) mean(col, row, cellM float64) float64 {
	n := min(max(3, int(cellM)), 24)
	sin, cos := math.Sincos(h.turn)
	sum := 0.0
	for i := range n {
		for j := range n {
			X := (col + (float64(i)+0.5)/float64(n)) * cellM
			Y := (row + (float64(j)+0.5)/float64(n)) * cellM
			sum += h.ground(cos*X+sin*Y, cos*Y-sin*X)
		}
	}
	return sum / float64(n*n)
}
