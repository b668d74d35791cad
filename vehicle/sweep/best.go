package sweep

import (
	"fmt"
	"math"
)

// Best is the line of the steering axle through one bend that asks for the
// least width of road, and that width.
type Best struct {
	// NeedM is the width of the road that holds all bodies, the middle of the
	// road given: twice the farthest reach to either side. Infinite when no line
	// of the family gets round.
	NeedM float64
	// PlainM is the same for the steering axle on the middle of the road.
	PlainM float64
	// EntryM, ApexM and ExitM are how far outside (negative: inside) of the
	// middle of the road the steering axle goes before the bend, in it and after it.
	EntryM, ApexM, ExitM float64
	// LateM is how far after the middle of the bend the apex lies.
	LateM float64
	// In and Out are the farthest reaches to the inside and to the outside of the
	// middle of the road, metres, both positive.
	InM, OutM float64
	// InAtM is the station of the road where it reaches farthest inside.
	InAtM float64
	Lines int // lines tried
}

// Bounds of the search (choices): lines tried, first and last step of their
// offsets, and how late an apex may be as a part of the bend.
const (
	mostLines  = 48
	firstStepM = 0.8
	lastStepM  = 0.1
	lateStep   = 0.15
	latest     = 0.30
)

// Road is a bend to find a line through: the middle of the road, drawn until it
// has been straight for as long as the train goes on cutting in (its length will
// do), and the stations where it begins and ends to turn. LeftTurn says to which side.
type Road struct {
	Middle     []Point
	FromM, ToM float64
	LeftTurn   bool
	// RoomM is how far off the middle the steering axle may go at all, 0: 3 m.
	RoomM float64
}

// BestLine searches the lines that go EntryM outside before the bend, ApexM in
// it and ExitM after it, eased by half cosines: pattern search from the middle
// of the road, in a fixed order, at most mostLines lines. It is the best of
// those tried and no more: a driver may do better. Lines that fold the train,
// or ask for more steer than its lock, are not taken while another gets round.
func BestLine(t *Trace, r Road, train Train, o Options) (Best, error) {
	if !(r.FromM <= r.ToM) || r.FromM < 0 {
		return Best{NeedM: math.Inf(1), PlainM: math.Inf(1)}, fmt.Errorf("%w: bend from %g to %g m", ErrWindow, r.FromM, r.ToM)
	}
	if r.RoomM == 0 {
		r.RoomM = 3
	}
	s := lineSearch{trace: t, road: r, train: train, opt: o}
	s.prepare()
	best, err := s.try([4]float64{})
	if err != nil {
		return best, err
	}
	plain, at := best.NeedM, [4]float64{}
	// The strip moved over by half of what it reaches farther inside is a good
	// line already; the moves start from there.
	if shift := (best.InM - best.OutM) / 2; !math.IsInf(best.NeedM, 1) {
		shift = math.Max(-r.RoomM, math.Min(r.RoomM, shift))
		s.better(&best, &at, [4]float64{shift, shift, shift, 0})
	}
	for step := firstStepM; step >= lastStepM && s.lines < mostLines; step /= 2 {
		for moved := true; moved && s.lines < mostLines; {
			moved = false
			for _, m := range moves {
				moved = s.along(&best, &at, m, step) || moved
			}
		}
	}
	best.PlainM, best.Lines = plain, s.lines
	return best, nil
}

// moves are the directions of the search: all offsets together, those beside
// the bend, each alone, the apex later.
var moves = [...][4]float64{{1, 1, 1, 0}, {1, 0, 1, 0}, {1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, lateStep}}

// along tries a move to either side, as long as it helps.
func (s *lineSearch) along(best *Best, at *[4]float64, m [4]float64, step float64) (moved bool) {
	for _, by := range [2]float64{step, -step} {
		next := *at
		for k := range next {
			if k == lateOffset {
				next[k] += math.Copysign(1, by) * m[k]
				continue
			}
			next[k] += by * m[k]
		}
		if s.better(best, at, next) {
			return true
		}
	}
	return false
}

// better takes a line that asks for less.
func (s *lineSearch) better(best *Best, at *[4]float64, next [4]float64) bool {
	if !s.allowed(next) || s.lines >= mostLines {
		return false
	}
	b, err := s.try(next)
	if err != nil || !(b.NeedM < best.NeedM-1e-6) {
		return false
	}
	*best, *at = b, next
	return true
}

// Places of the four values of a line.
const (
	entryOffset = iota // each outside of the middle, metres
	apexOffset
	exitOffset
	lateOffset // part of the bend
)

type lineSearch struct {
	trace   *Trace
	road    Road
	train   Train
	opt     Options
	at      []float64 // stations of the middle
	normals []Point   // to the outer side
	line    []Point
	easeM   float64 // length over which an offset is taken up beside the bend
	lines   int
}

// prepare lays the middle out: no chord longer than two metres near the bend,
// so that an offset can be eased in.
func (s *lineSearch) prepare() {
	const partM = 2.0
	mid := s.road.Middle
	var pts []Point
	for i, p := range mid {
		if i > 0 {
			a := mid[i-1]
			n := int(math.Ceil(math.Hypot(p.X-a.X, p.Y-a.Y) / partM))
			for k := 1; k < n; k++ {
				f := float64(k) / float64(n)
				pts = append(pts, Point{a.X + f*(p.X-a.X), a.Y + f*(p.Y-a.Y)})
			}
		}
		pts = append(pts, p)
	}
	s.at = make([]float64, len(pts))
	s.normals = make([]Point, len(pts))
	side := -1.0 // outside of a left turn is right
	if !s.road.LeftTurn {
		side = 1
	}
	for i := range pts {
		if i > 0 {
			s.at[i] = s.at[i-1] + math.Hypot(pts[i].X-pts[i-1].X, pts[i].Y-pts[i-1].Y)
		}
		d := unit(sub(pts[min(i+1, len(pts)-1)], pts[max(i-1, 0)]))
		s.normals[i] = Point{-d.Y * side, d.X * side}
	}
	s.road.Middle = pts
	s.line = make([]Point, len(pts))
	s.easeM = math.Max(s.train.pullM(), 10)
}

func (s *lineSearch) allowed(v [4]float64) bool {
	for _, x := range v[:lateOffset] {
		if math.Abs(x) > s.road.RoomM {
			return false
		}
	}
	return v[lateOffset] >= 0 && v[lateOffset] <= latest
}

// offsetAt is the offset of a line at a station of the middle: entry up to the
// bend, apex at its middle and later, exit a train's length after it.
func (s *lineSearch) offsetAt(v [4]float64, at float64) float64 {
	length := s.road.ToM - s.road.FromM
	apex := s.road.FromM + length*(0.5+v[lateOffset])
	from, to := math.Min(s.road.FromM, apex-s.easeM/2), math.Max(s.road.ToM, apex+s.easeM/2)
	ease := func(a, b, f float64) float64 {
		f = math.Max(0, math.Min(1, f))
		return a + (b-a)*(1-math.Cos(math.Pi*f))/2
	}
	if at <= apex {
		return ease(v[entryOffset], v[apexOffset], (at-from)/(apex-from))
	}
	return ease(v[apexOffset], v[exitOffset], (at-apex)/(to-apex))
}

// try follows one line.
func (s *lineSearch) try(v [4]float64) (Best, error) {
	s.lines++
	for i, p := range s.road.Middle {
		o := s.offsetAt(v, s.at[i])
		s.line[i] = Point{p.X + o*s.normals[i].X, p.Y + o*s.normals[i].Y}
	}
	b := Best{NeedM: math.Inf(1), EntryM: v[entryOffset], ApexM: v[apexOffset], ExitM: v[exitOffset],
		LateM: v[lateOffset] * (s.road.ToM - s.road.FromM)}
	o := s.opt
	o.Beside = s.road.Middle
	o.exitM = s.train.SpanM()
	if err := s.trace.Follow(s.line, s.train, o); err != nil {
		return b, err
	}
	if s.trace.Fold != nil || (s.trace.Lock == LockExceeded && s.lines > 1) {
		return b, nil
	}
	left, right, leftAt, rightAt := s.trace.reach()
	b.InM, b.OutM, b.InAtM = left, right, leftAt
	if !s.road.LeftTurn {
		b.InM, b.OutM, b.InAtM = right, left, rightAt
	}
	b.NeedM = 2 * math.Max(left, right)
	return b, nil
}

// reach is how far any body came to the left and to the right, and where.
func (t *Trace) reach() (left, right, leftAt, rightAt float64) {
	left, right = math.Inf(-1), math.Inf(-1)
	m := len(t.Links)
	for j, at := range t.BesideM {
		if at > t.CoveredM {
			break
		}
		for i := range m {
			e := &t.edges[j*m+i]
			if e.left < e.right {
				continue
			}
			if e.left > left {
				left, leftAt = e.left, at
			}
			if -e.right > right {
				right, rightAt = -e.right, at
			}
		}
	}
	return left, right, leftAt, rightAt
}
