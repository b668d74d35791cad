package check

import (
	"math"

	"drawbar/vehicle/sweep"

	"github.com/paulmach/orb"
)

// rounded replaces each corner of a drawn line by the widest arc that its legs
// and strayM allow: R = min(T/tan(d/2), strayM/(sec(d/2)-1)), T half the
// shorter leg, d the turn. A corner drawn as one vertex has no radius of its
// own, and a train does not turn on the spot. Source: elements of a circular
// curve, derived.
func rounded(line []orb.Point) []sweep.Point {
	pts := make([]sweep.Point, 0, len(line))
	for _, p := range line {
		q := sweep.Point{X: p[0], Y: p[1]}
		if n := len(pts); n == 0 || dist(pts[n-1], q) > 1e-6 {
			pts = append(pts, q)
		}
	}
	if len(pts) < 3 {
		return pts
	}
	out := []sweep.Point{pts[0]}
	for i := 1; i+1 < len(pts); i++ {
		out = append(out, corner(pts[i-1], pts[i], pts[i+1])...)
	}
	return spread(append(out, pts[len(pts)-1]))
}

// spread leaves out points that nearly repeat the one before: arcs of
// neighbouring corners meet half way along a leg, and a chord of rounding
// errors has no direction.
func spread(pts []sweep.Point) []sweep.Point {
	const least = 0.05 // metres
	out := pts[:1]
	for _, p := range pts[1:] {
		if dist(out[len(out)-1], p) >= least {
			out = append(out, p)
		}
	}
	return out
}

// corner gives the points that stand for vertex b between a and c.
func corner(a, b, c sweep.Point) []sweep.Point {
	la, lc := dist(a, b), dist(b, c)
	ux, uy := (b.X-a.X)/la, (b.Y-a.Y)/la
	vx, vy := (c.X-b.X)/lc, (c.Y-b.Y)/lc
	turn := math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy)
	d := math.Abs(turn)
	const slight = 2 * math.Pi / 180
	if d < slight || d > 0.95*math.Pi {
		return []sweep.Point{b} // straight, or a turn back on itself that no arc stands for
	}
	t := min(la, lc) / 2
	r := min(t/math.Tan(d/2), strayM/(1/math.Cos(d/2)-1))
	t = r * math.Tan(d/2)
	n := max(int(math.Ceil(d/(5*math.Pi/180))), 1)
	sx, sy := b.X-ux*t, b.Y-uy*t
	side := math.Copysign(1, turn)
	cx, cy := sx-side*uy*r, sy+side*ux*r // centre, to the side of the turn
	out := make([]sweep.Point, 0, n+1)
	for k := 0; k <= n; k++ {
		phi := turn * float64(k) / float64(n)
		dx, dy := sx-cx, sy-cy
		out = append(out, sweep.Point{
			X: cx + dx*math.Cos(phi) - dy*math.Sin(phi),
			Y: cy + dx*math.Sin(phi) + dy*math.Cos(phi),
		})
	}
	return out
}

func dist(a, b sweep.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }
