package ways

import (
	"math"
	"slices"
)

// metresPerDegree of latitude, near enough for a search. Choice.
const metresPerDegree = 111.2e3

// cellM is the size of a cell of the index, metres. Choice: about twice the
// search radius, so that few cells are looked into.
const cellM = 100.0

// grid is an index of segments by cells.
type grid struct {
	lonDeg, latDeg float64 // size of a cell
	at             map[uint64]span
	list           []int32
}

type span struct{ from, to int32 }

func cellKey(x, y int32) uint64 { return uint64(uint32(x))<<32 | uint64(uint32(y)) }

func newGrid(segs []seg) grid {
	g := grid{latDeg: cellM / metresPerDegree, at: map[uint64]span{}}
	most := 0.0
	for i := range segs {
		most = max(most, math.Abs(segs[i].a[1]))
	}
	g.lonDeg = g.latDeg / max(math.Cos(most*math.Pi/180), 0.01)
	type entry struct {
		key uint64
		seg int32
	}
	var all []entry
	for i := range segs {
		g.cells(&segs[i], func(key uint64) { all = append(all, entry{key, int32(i)}) })
	}
	slices.SortFunc(all, func(a, b entry) int {
		switch {
		case a.key != b.key && a.key < b.key, a.key == b.key && a.seg < b.seg:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	g.list = make([]int32, len(all))
	for i := 0; i < len(all); {
		j := i
		for ; j < len(all) && all[j].key == all[i].key; j++ {
			g.list[j] = all[j].seg
		}
		g.at[all[i].key] = span{int32(i), int32(j)}
		i = j
	}
	return g
}

// cells gives the cells a segment may touch: those of the boxes of its parts, each
// no longer than a cell.
func (g *grid) cells(s *seg, yield func(uint64)) {
	parts := int(s.lenM/cellM) + 1
	seen := map[uint64]bool{}
	for k := range parts {
		t, u := float64(k)/float64(parts), float64(k+1)/float64(parts)
		x0, y0 := g.cell(s.a[0]+t*(s.b[0]-s.a[0]), s.a[1]+t*(s.b[1]-s.a[1]))
		x1, y1 := g.cell(s.a[0]+u*(s.b[0]-s.a[0]), s.a[1]+u*(s.b[1]-s.a[1]))
		for x := min(x0, x1); x <= max(x0, x1); x++ {
			for y := min(y0, y1); y <= max(y0, y1); y++ {
				if key := cellKey(x, y); !seen[key] {
					seen[key] = true
					yield(key)
				}
			}
		}
	}
}

func (g *grid) cell(lon, lat float64) (x, y int32) {
	return int32(math.Floor(lon / g.lonDeg)), int32(math.Floor(lat / g.latDeg))
}

// near gives the segments in cells within a radius of a point, each once or
// more.
func (g *grid) near(lon, lat, radiusM, east float64, buf []int32) []int32 {
	dy := radiusM / metresPerDegree
	dx := radiusM / east
	x0, y0 := g.cell(lon-dx, lat-dy)
	x1, y1 := g.cell(lon+dx, lat+dy)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			s := g.at[cellKey(x, y)]
			buf = append(buf, g.list[s.from:s.to]...)
		}
	}
	return buf
}
