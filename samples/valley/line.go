package valley

import "math"

// corner is a point of intersection of a road's design line: the straights
// meet there and an arc of the radius is fitted into the corner. The radius of
// the first and last corner is not used.
type corner struct{ x, y, radiusM float64 }

// element is a straight or an arc of a design line.
type element struct {
	fromM, lengthM float64 // chainage of the start, length
	x, y           float64 // start
	ux, uy         float64 // unit vector of travel at the start
	radiusM        float64 // 0 straight; positive turns left, negative right
	// The element lies between these coordinates.
	west, south, east, north float64
}

// boxed is the element with its box: exact for a straight, for an arc half its
// length about its middle.
func (e element) boxed() element {
	half := e.lengthM / 2
	x, y := e.at(half)
	dx, dy := half, half
	if e.radiusM == 0 {
		dx, dy = mul(half, math.Abs(e.ux)), mul(half, math.Abs(e.uy))
	}
	e.west, e.south, e.east, e.north = x-dx, y-dy, x+dx, y+dy
	return e
}

// far reports that (x, y) is surely farther than the reach from the element.
func (e element) far(x, y, reachM float64) bool {
	return x < e.west-reachM || x > e.east+reachM || y < e.south-reachM || y > e.north+reachM
}

// toM is the chainage of the element's end.
func (e element) toM() float64 { return e.fromM + e.lengthM }

// at is the point at t metres from the element's start.
func (e element) at(t float64) (x, y float64) {
	if e.radiusM == 0 {
		return e.x + mul(e.ux, t), e.y + mul(e.uy, t)
	}
	sin, cos := sincos(t / e.radiusM)
	along, aside := mul(e.radiusM, sin), mul(e.radiusM, 1-cos)
	return e.x + mul(e.ux, along) - mul(e.uy, aside), e.y + mul(e.uy, along) + mul(e.ux, aside)
}

// foot is the nearest point of the element to (x, y): its chainage and its
// distance.
func (e element) foot(x, y float64) (chainageM, distanceM float64) {
	dx, dy := x-e.x, y-e.y
	along, aside := mul(dx, e.ux)+mul(dy, e.uy), mul(dy, e.ux)-mul(dx, e.uy)
	if e.radiusM == 0 {
		t := min(max(along, 0), e.lengthM)
		return e.fromM + t, math.Sqrt(sq(along-t) + sq(aside))
	}
	r := math.Abs(e.radiusM)
	if e.radiusM < 0 {
		aside = -aside
	}
	t := mul(r, atan2(along, r-aside))
	if t >= 0 && t <= e.lengthM {
		return e.fromM + t, math.Abs(r - math.Sqrt(sq(along)+sq(r-aside)))
	}
	ex, ey := e.at(e.lengthM)
	head, tail := math.Sqrt(sq(dx)+sq(dy)), math.Sqrt(sq(x-ex)+sq(y-ey))
	if head <= tail {
		return e.fromM, head
	}
	return e.toM(), tail
}

// layout turns corners into straights and arcs. trimHead drops the straight
// before the first arc (the road leaves another one there, on its tangent),
// trimTail the straight after the last. Straights shorter than a micrometre
// between two arcs are dropped.
func layout(corners []corner, trimHead, trimTail bool) []element {
	var line []element
	x, y, chainage := corners[0].x, corners[0].y, 0.0
	add := func(e element) {
		e.fromM = chainage
		line = append(line, e.boxed())
		chainage = e.toM()
	}
	last := len(corners) - 1
	for k := 1; k <= last; k++ {
		c := corners[k]
		ux, uy, ahead := unit(c.x-x, c.y-y)
		tangent, turn := 0.0, 0.0
		if k < last {
			vx, vy, _ := unit(corners[k+1].x-c.x, corners[k+1].y-c.y)
			cross, dot := mul(ux, vy)-mul(uy, vx), mul(ux, vx)+mul(uy, vy)
			turn = atan2(cross, dot)
			tangent = mul(c.radiusM, math.Abs(cross)/(1+dot)) // tan(a/2) = sin a/(1+cos a)
		}
		straight := ahead - tangent
		if drop := k == 1 && trimHead || k == last && trimTail; !drop && straight > 1e-6 {
			add(element{lengthM: straight, x: x, y: y, ux: ux, uy: uy})
		}
		x, y = x+mul(ux, straight), y+mul(uy, straight)
		if k == last {
			break
		}
		radius := c.radiusM
		if turn < 0 {
			radius = -radius
		}
		add(element{lengthM: mul(c.radiusM, math.Abs(turn)), x: x, y: y, ux: ux, uy: uy, radiusM: radius})
		vx, vy, _ := unit(corners[k+1].x-c.x, corners[k+1].y-c.y)
		x, y = c.x+mul(vx, tangent), c.y+mul(vy, tangent)
	}
	return line
}

// unit is the vector's direction and its length.
func unit(x, y float64) (ux, uy, length float64) {
	length = math.Sqrt(sq(x) + sq(y))
	return x / length, y / length, length
}
