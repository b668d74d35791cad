package bend

import "math"

const (
	// mergeChi is how much worse than two pieces one straight may fit, in squares
	// of the error of a vertex: two values fewer and a place chosen among many.
	mergeChi = 16.0
	chordM   = 2.0 // a mapper who draws a curve leaves the chord no farther off it
	// sharpRad: a vertex that turns more is a corner or turns back, whatever stands
	// beside it; an arc would be drawn with its vertices 2 radii apart.
	sharpRad = 2 * math.Pi / 3
	evenM    = 4.5 // or no farther than this where three vertices turn alike, evenly apart
)

// line is a run as straight pieces, each the best line through its vertices.
type line struct {
	p      []point
	kept   []int // vertices where pieces meet, with both ends
	noiseM float64
	sum    []moments
	dir    []float64 // of each piece
	turn   []float64 // at each kept vertex
}

// moments are sums over the vertices up to one.
type moments struct{ n, x, y, xx, xy, yy float64 }

func newLine(p []point, kept []int, noiseM float64) *line {
	l := &line{p: p, kept: kept, noiseM: noiseM, sum: make([]moments, len(p)+1)}
	for i, q := range p {
		m := l.sum[i]
		l.sum[i+1] = moments{m.n + 1, m.x + q.x, m.y + q.y, m.xx + q.x*q.x, m.xy + q.x*q.y, m.yy + q.y*q.y}
	}
	return l
}

// best is the best line through vertices a to b: the sum of squares off it and
// its direction.
func (l *line) best(a, b int) (sse, dir float64) {
	u, v := l.sum[a], l.sum[b+1]
	n := v.n - u.n
	x, y := (v.x-u.x)/n, (v.y-u.y)/n
	xx, xy, yy := v.xx-u.xx-n*x*x, v.xy-u.xy-n*x*y, v.yy-u.yy-n*y*y
	p, q := l.p[a], l.p[b]
	if b-a == 1 {
		return 0, math.Atan2(q.y-p.y, q.x-p.x)
	}
	sse = max((xx+yy-math.Hypot(xx-yy, 2*xy))/2, 0)
	dir = math.Atan2(2*xy, xx-yy) / 2
	if s, c := math.Sincos(dir); c*(q.x-p.x)+s*(q.y-p.y) < 0 {
		dir += math.Pi
	}
	return sse, dir
}

// cost is what taking a kept vertex out costs, in squares of the error.
func (l *line) cost(i int) float64 {
	a, b, c := l.kept[i-1], l.kept[i], l.kept[i+1]
	one, _ := l.best(a, c)
	first, _ := l.best(a, b)
	second, _ := l.best(b, c)
	// A line that doubles back fits one straight; so does a spike of its error.
	if p, q, r := l.p[a], l.p[b], l.p[c]; math.Abs(bearing(p, q, r)) > 2 && min(length(p, q), length(q, r)) > 5*l.noiseM {
		return math.Inf(1)
	}
	return (one - first - second) / (l.noiseM * l.noiseM)
}

// merge takes out the kept vertices that no turn needs, in every pass those that
// cost less than their neighbours.
func (l *line) merge() {
	for {
		n := len(l.kept)
		cost := make([]float64, n)
		cost[0], cost[n-1] = math.Inf(1), math.Inf(1)
		for i := 1; i < n-1; i++ {
			cost[i] = l.cost(i)
		}
		out := append(l.kept[:0:0], l.kept[0])
		for i := 1; i < n-1; i++ {
			if cost[i] < mergeChi && cost[i] <= cost[i-1] && cost[i] <= cost[i+1] {
				continue
			}
			out = append(out, l.kept[i])
		}
		l.kept = append(out, l.kept[n-1])
		if len(l.kept) == n {
			break
		}
	}
	l.dir, l.turn = make([]float64, len(l.kept)), make([]float64, len(l.kept))
	for i := range len(l.kept) - 1 {
		_, l.dir[i] = l.best(l.kept[i], l.kept[i+1])
		if i > 0 {
			l.turn[i] = math.Remainder(l.dir[i]-l.dir[i-1], 2*math.Pi)
		}
	}
}

// grouped joins neighbouring turns of a line to one side, and keeps what turns
// enough.
func (s *search) grouped(l *line) (out []group) {
	n := len(l.kept)
	for i := 1; i < n-1; {
		j := i
		for j+2 < n && l.turn[j]*l.turn[j+1] > 0 && l.together(j) {
			j++
		}
		g := group{before: l.kept[i-1], after: l.kept[j+1], amongLike: l.turn[i-1]*l.turn[i] > 0 || l.turn[j]*l.turn[j+1] > 0}
		for k := i; k <= j; k++ {
			g.kept, g.turns = append(g.kept, l.kept[k]), append(g.turns, l.turn[k])
		}
		if math.Abs(g.turnRad()) >= s.opt.MinTurnRad {
			out = append(out, g)
		}
		i = j + 1
	}
	return out
}

// together reports whether the turns at j and j+1 may belong to one arc: it
// would leave the chord between them by no more than merging may have left, or
// than a drawn curve does where there is no vertex between.
func (l *line) together(j int) bool {
	if max(math.Abs(l.turn[j]), math.Abs(l.turn[j+1])) > sharpRad {
		return false
	}
	a, b := l.kept[j], l.kept[j+1]
	mean := math.Abs(l.turn[j]+l.turn[j+1]) / 2
	// An arc of sagitta s over n even vertices has squares of 4/45 n s^2 off its
	// best line.
	most := 1.3 * l.noiseM * math.Sqrt(mergeChi*45/4/float64(b-a+1))
	if b-a == 1 {
		most = max(most, chordM)
		if l.even(j-1) || l.even(j) {
			most = max(most, evenM)
		}
	}
	chord := length(l.p[a], l.p[b])
	if chord*mean/8 > most {
		return false
	}
	// Nor is it one arc where the chord bends far less than those beside it.
	for _, i := range []int{j - 1, j + 1} {
		if i < 1 || i+2 >= len(l.kept) || l.turn[i]*l.turn[i+1] <= 0 {
			continue
		}
		c := length(l.p[l.kept[i]], l.p[l.kept[i+1]])
		if curved := math.Abs(l.turn[i]+l.turn[i+1]) / 2 / c; mean/chord < curved/5 && chord > splitM {
			return false
		}
	}
	return true
}

// even reports whether the turns at j, j+1 and j+2 are one coarsely drawn arc:
// to one side, alike, with chords alike between.
func (l *line) even(j int) bool {
	if j < 1 || j+3 >= len(l.kept) {
		return false
	}
	a, b, c := l.turn[j], l.turn[j+1], l.turn[j+2]
	if a*b <= 0 || b*c <= 0 {
		return false
	}
	p, q := length(l.p[l.kept[j]], l.p[l.kept[j+1]]), length(l.p[l.kept[j+1]], l.p[l.kept[j+2]])
	like := func(x, y, times float64) bool { return x < times*y && y < times*x }
	return like(p, q, 2) && (like(math.Abs(a), math.Abs(b), 3) || like(math.Abs(b), math.Abs(c), 3))
}
