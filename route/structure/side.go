package structure

import (
	"math"
	"slices"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// Side is a way that leaves a route at a junction: one may back into it to turn
// round, where it is long and wide enough.
type Side struct {
	AtM     float64 // chainage of the junction
	LengthM float64 // of it away from the route, as far as the file has it in one line, mostSideM at most
	WidthM  float64 // least tagged on that length; NaN where some of it has none
	Name    string
}

// Choices of what a side way is.
const (
	onRouteM  = 2.0   // a vertex so near to the route lies on it
	awayM     = 8.0   // a side way gets so far from the route within its first leavesM
	leavesM   = 25.0  // a lane that runs along the route does not
	mostSideM = 200.0 // nobody backs further
)

// Sides are the ways of the file that leave a way, in order of chainage. Ways that
// are no roads, by their tags, are left out.
func (w *Around) Sides(a *route.Alignment) (out []Side) {
	seen := map[edge]bool{}
	for k := 1; k < len(a.Line); k++ {
		low, high := box(a.Line[k-1], a.Line[k])
		grow := onRouteM / 50e3 // degrees, generous on either axis up to 60 degrees of latitude
		w.wayG.Search([2]float64{low[0] - grow, low[1] - grow}, [2]float64{high[0] + grow, high[1] + grow}, func(_, _ [2]float64, e any) bool {
			for _, v := range []edge{e.(edge), {e.(edge).deck, e.(edge).at - 1}} {
				line := w.ways[v.deck].Line
				s, off := nearest(a, k, line[v.at])
				if off > onRouteM || seen[v] {
					continue
				}
				seen[v] = true
				for _, step := range []int{-1, 1} {
					if side, ok := w.side(a, v, step); ok {
						side.AtM = s
						out = append(out, side)
					}
				}
			}
			return true
		})
	}
	slices.SortFunc(out, func(x, y Side) int {
		switch {
		case x.AtM != y.AtM:
			return int(math.Copysign(1, x.AtM-y.AtM))
		case x.LengthM != y.LengthM:
			return int(math.Copysign(1, y.LengthM-x.LengthM))
		}
		return 0
	})
	return out
}

// side follows a way from a vertex on the route in one direction.
func (w *Around) side(a *route.Alignment, v edge, step int) (out Side, ok bool) {
	r := w.ways[v.deck]
	out.WidthM = math.Inf(1)
	for i := v.at; i+step >= 0 && i+step < len(r.Line) && out.LengthM < mostSideM; i += step {
		tags := tagsOf(r, min(i, i+step))
		if len(tags.Doubts) > 0 || tags.Bridge != "" {
			break
		}
		d := route.Distance(r.Line[i], r.Line[i+step])
		if tags.WidthM.State != route.Known {
			out.WidthM = math.NaN()
		} else {
			out.WidthM = math.Min(out.WidthM, tags.WidthM.Value) // keeps NaN
		}
		out.Name = tags.Name
		if t := (leavesM - out.LengthM) / d; t > 0 && t <= 1 || out.LengthM == 0 {
			p := between(r.Line[i], r.Line[i+step], min(t, 1))
			ok = ok || offRoute(a, p) >= awayM
		}
		out.LengthM += d
	}
	out.LengthM = min(out.LengthM, mostSideM)
	return out, ok && out.LengthM > 0
}

// tagsOf are the tags of the edge behind a vertex.
func tagsOf(r *route.Route, i int) route.Tags {
	for _, p := range r.Pieces {
		if p.First <= i && i < p.Last {
			return p.Tags
		}
	}
	return route.Tags{}
}

func between(p, q orb.Point, t float64) orb.Point {
	return orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
}

// nearest is the place on edge k of a way that lies nearest to a point, and how
// far off.
func nearest(a *route.Alignment, k int, at orb.Point) (s, offM float64) {
	p, q := a.Line[k-1], a.Line[k]
	x := math.Cos(at[1] * math.Pi / 180)
	dx, dy := (q[0]-p[0])*x, q[1]-p[1]
	t := 0.0
	if n := dx*dx + dy*dy; n > 0 {
		t = max(0, min(1, ((at[0]-p[0])*x*dx+(at[1]-p[1])*dy)/n))
	}
	return a.ChainageM[k-1] + t*(a.ChainageM[k]-a.ChainageM[k-1]), math.Hypot((p[0]-at[0])*x+t*dx, p[1]-at[1]+t*dy) * degreeM
}

// degreeM is a degree of a sphere of the mean radius of the earth, metres: within
// 0.6 % on the ellipsoid, enough for the few metres that are asked for here.
const degreeM = 6371008.8 * math.Pi / 180

// offRoute is how far a point lies from a way.
func offRoute(a *route.Alignment, at orb.Point) float64 {
	least := math.Inf(1)
	for k := 1; k < len(a.Line); k++ {
		_, off := nearest(a, k, at)
		least = min(least, off)
	}
	return least
}
