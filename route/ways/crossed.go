package ways

import (
	"math"
	"slices"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// crossed are the railways, watercourses and wires of a file, by their edges.
type crossed struct {
	ways []*Way
	tree rtree.RTree
}

// place is edge i of way w.
type wayEdge struct{ w, i int }

func newCrossed(list []*Way) *crossed {
	c := &crossed{}
	for _, w := range list {
		if w.Kind == Road || w.Kind == Other {
			continue
		}
		for i := 1; i < len(w.Line); i++ {
			low, high := box(w.Line[i-1], w.Line[i])
			c.tree.Insert(low, high, wayEdge{len(c.ways), i})
		}
		c.ways = append(c.ways, w)
	}
	return c
}

func box(p, q orb.Point) (low, high [2]float64) {
	return [2]float64{min(p[0], q[0]), min(p[1], q[1])}, [2]float64{max(p[0], q[0]), max(p[1], q[1])}
}

// Distances along the way, metres. Choices.
const (
	// besideM is how far from a crossing the structure may be placed that carries it.
	besideM = 15.0
	// onceM joins what is crossed again at once: the second track, the other bank.
	onceM = 20.0
)

// hit is one crossing.
type hit struct {
	w *Way
	s float64
}

// hits are the crossings of a route, in order of chainage.
func (c *crossed) hits(a *route.Alignment) (out []hit) {
	for k := 1; k < len(a.Line); k++ {
		turns := 360 * math.Round((a.Line[k][0]-math.Remainder(a.Line[k][0], 360))/360)
		p, q := a.Line[k-1], a.Line[k]
		p[0], q[0] = p[0]-turns, q[0]-turns
		low, high := box(p, q)
		c.tree.Search(low, high, func(_, _ [2]float64, e any) bool {
			we := e.(wayEdge)
			w := c.ways[we.w]
			if t, ok := meet(p, q, w.Line[we.i-1], w.Line[we.i]); ok {
				out = append(out, hit{w, a.ChainageM[k-1] + t*(a.ChainageM[k]-a.ChainageM[k-1])})
			}
			return true
		})
	}
	slices.SortStableFunc(out, func(x, y hit) int {
		switch {
		case x.s < y.s:
			return -1
		case x.s > y.s:
			return 1
		case x.w.ID < y.w.ID:
			return -1
		case x.w.ID > y.w.ID:
			return 1
		}
		return 0
	})
	return out
}

// meet is where the line from p to q meets that from u to v, as a share of the
// first.
func meet(p, q, u, v orb.Point) (t float64, ok bool) {
	rx, ry, sx, sy := q[0]-p[0], q[1]-p[1], v[0]-u[0], v[1]-u[1]
	den := rx*sy - ry*sx
	if den == 0 {
		return 0, false
	}
	wx, wy := u[0]-p[0], u[1]-p[1]
	t = (wx*sy - wy*sx) / den
	w := (wx*ry - wy*rx) / den
	return t, t >= 0 && t < 1 && w >= 0 && w <= 1
}

// placed says what the crossings of a route are. What a bridge, a tunnel, a ford
// or a level crossing carries is no finding.
func (c *crossed) placed(f *Found, source string) (out []structure.Placed) {
	for _, h := range c.hits(f.Way) {
		feature := structure.Feature{Name: h.w.Name, What: h.w.What, Source: source, VoltageV: h.w.VoltageV}
		switch {
		case h.w.Kind == Wire:
			feature.Kind = structure.Wire
		case h.w.Tags.Bridge != "": // over us: a deck
			continue
		case carried(f, h.s):
			continue
		case h.w.Kind == Water && h.w.Below:
			feature.Kind = structure.Culvert
		case h.w.Kind == Rail && h.w.Tags.Tunnel != "":
			continue // below the ground
		default:
			feature.Kind = structure.Unbridged
		}
		again := slices.ContainsFunc(out, func(p structure.Placed) bool {
			return p.Feature.Kind == feature.Kind && p.Feature.What == feature.What && math.Abs((p.At.FromM+p.At.ToM)/2-h.s) < onceM
		})
		if !again {
			out = append(out, structure.Placed{Feature: &feature, At: about(f.Way, h.s, pointHalfM)})
		}
	}
	return out
}

// carried reports whether something carries the way over or past what it crosses
// at a chainage.
func carried(f *Found, s float64) bool {
	near := about(f.Way, s, besideM)
	for _, l := range f.Way.LegsIn(near) {
		if l.Tags.Bridge != "" || l.Tags.Ford != "" || structure.Under(l.Tags) != "" {
			return true
		}
	}
	return slices.ContainsFunc(f.Placed, func(p structure.Placed) bool {
		switch p.Feature.Kind {
		case structure.Crossing, structure.Ford, structure.Bridge:
			return p.At.Overlaps(near)
		}
		return false
	})
}
