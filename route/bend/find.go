package bend

import (
	"math"

	"drawbar/route"
)

const (
	quietRad  = 5 * math.Pi / 180 // a stretch whose directions differ by less is straight
	leadM     = 50.0              // of the straights beside a bend that the fit looks at
	leastTolM = 0.4               // of the thinned line, at least: one lane is several times that
	tolNoise  = 2.2               // tolerance of the thinned line in standard errors of a vertex

	splitM    = 15.0 // a group that no arc fits is cut at its longest straight, if so long
	chunk     = 1024 // vertices thinned at once
	learnFrom = 64   // bends that tell the error of a vertex: more do not tell it better
)

// Find returns the bends of a way in order. Straight stretches cost a few
// nanoseconds a vertex; a bend costs a fit. What the fits leave tells the error
// of a vertex better than the first look at the line: where the two differ, the
// line is searched again.
func Find(a *route.Alignment, o Options) []Bend {
	s := search{way: a, opt: o.resolved(), prior: priorCount}
	s.noiseM = s.scatter()
	s.group()
	stride := max(len(s.groups)/learnFrom, 1)
	out := s.bends(stride)
	noiseM, count := s.left()
	if count < 1 {
		return s.rest(out, stride)
	}
	again := noiseM/s.noiseM < 0.8 || noiseM/s.noiseM > 1.25
	s.noiseM, s.prior = noiseM, min(max(count/2, priorCount), mostPrior)
	if again {
		s.group()
		return s.bends(1)
	}
	return s.rest(out, stride)
}

// rest is what was found, or the search of all groups where some were left out.
func (s *search) rest(out []Bend, stride int) []Bend {
	if stride > 1 {
		return s.bends(1)
	}
	return out
}

// group finds the groups of turns of the way, with the error of a vertex at hand.
func (s *search) group() {
	s.groups = s.groups[:0]
	first, last := -1, -1 // the run at hand; the next may touch it
	for from, to := s.next(0); from < to; from, to = s.next(to) {
		f, t := s.lead(from, to)
		if first >= 0 && f > last {
			s.run(first, last)
			first = -1
		}
		if first < 0 {
			first = f
		}
		last = t
	}
	if first >= 0 {
		s.run(first, last)
	}
}

type search struct {
	way    *route.Alignment
	opt    Options
	noiseM float64 // of a vertex, from the whole line
	prior  float64 // vertices that it counts for in a fit
	groups []group
	// What the fits left: squares, and the vertices they rest on.
	sse, free []float64
}

// group are neighbouring turns to one side.
type group struct {
	kept          []int     // vertices of the thinned line that turn, in order
	turns         []float64 // at each, left positive
	before, after int       // the kept vertices beside them: what lies beyond turns again
	amongLike     bool      // one of those turns to the same side
}

func (g *group) first() int { return g.kept[0] }
func (g *group) last() int  { return g.kept[len(g.kept)-1] }

// turnRad is the whole turn, left positive.
func (g *group) turnRad() (sum float64) {
	for _, t := range g.turns {
		sum += t
	}
	return sum
}

// half is the vertex by which half of the turn is done.
func (g *group) half() int {
	sum, all := 0.0, math.Abs(g.turnRad())
	for k, t := range g.turns {
		sum += math.Abs(t)
		if over := sum - all/2; over >= 0 {
			if k > 0 && over > 0.75*math.Abs(t) {
				return (g.kept[k-1] + g.kept[k] + 1) / 2
			}
			return g.kept[k]
		}
	}
	return g.last()
}

// split cuts a group at its longest straight; ok is false where that is short.
func (g *group) split(at []float64) (a, b group, ok bool) {
	worst, k := splitM, 0
	for i := 1; i < len(g.kept); i++ {
		if c := at[g.kept[i]] - at[g.kept[i-1]]; c > worst {
			worst, k = c, i
		}
	}
	if k == 0 {
		return a, b, false
	}
	a = group{kept: g.kept[:k], turns: g.turns[:k], before: g.before, after: g.kept[k]}
	b = group{kept: g.kept[k:], turns: g.turns[k:], before: g.kept[k-1], after: g.after}
	return a, b, true
}

// next finds the next run of vertices that is not straight: from the last quiet
// vertex before it to the first after it, both included; from == to at the end.
// The bound: over a block whose directions stay within quietRad nothing turns
// that much, and a curve of MaxRadiusM turns it within its block.
func (s *search) next(i int) (from, to int) {
	turn, at := s.way.TurnRad, s.way.ChainageM
	n := len(at)
	block := s.opt.MaxRadiusM * quietRad
	from = -1
	start, dir, low, high := i, 0.0, 0.0, 0.0
	for j := i + 1; j < n-1; j++ {
		dir += turn[j]
		low, high = min(low, dir), max(high, dir)
		if high-low < quietRad {
			if from >= 0 && at[j]-at[start] > block {
				return from, j
			}
			continue
		}
		// The block ends here. A long one that a gentle curve ended is no bend.
		if from < 0 && (at[j]-at[start] < block || math.Abs(turn[j]) > quietRad/2) {
			from = start
			if at[j]-at[start] > block {
				from = j - 1
			}
		}
		start, dir, low, high = j, 0, 0, 0
	}
	if from < 0 {
		return n, n
	}
	return from, n - 1
}

// lead widens a run by the straights beside it.
func (s *search) lead(from, to int) (int, int) {
	at := s.way.ChainageM
	for a := at[from]; from > 0 && a-at[from] < leadM; from-- {
	}
	for b := at[to]; to < len(at)-1 && at[to]-b < leadM; to++ {
	}
	return from, to
}

// run thins a run, groups its turns and keeps the groups that are bends.
func (s *search) run(from, to int) {
	pts := s.reckon(from, to)
	l := newLine(pts, thin(pts, max(leastTolM, tolNoise*s.noiseM)), max(s.noiseM, leastTolM/3))
	l.merge()
	for _, g := range s.grouped(l) {
		for i := range g.kept {
			g.kept[i] += from
		}
		g.before, g.after = g.before+from, g.after+from
		s.groups = append(s.groups, g)
	}
}

// reckon places vertices on a plane by turn and length: exact enough for
// grouping, whatever the length of the run.
func (s *search) reckon(from, to int) []point {
	out := make([]point, to-from+1)
	dir := 0.0
	for i := 1; i < len(out); i++ {
		if i > 1 {
			dir += s.way.TurnRad[from+i-1]
		}
		d := s.way.ChainageM[from+i] - s.way.ChainageM[from+i-1]
		sin, cos := math.Sincos(dir)
		out[i] = point{out[i-1].x + d*cos, out[i-1].y + d*sin}
	}
	return out
}

// thin keeps the vertices of a line that stays within tol of all of them: the
// farthest from each chord, again and again (Ramer 1972; Douglas and Peucker
// 1973).
func thin(p []point, tol float64) []int {
	kept := []int{0}
	var stack [][2]int
	for a := 0; a < len(p)-1; a += chunk {
		stack = append(stack[:0], [2]int{a, min(a+chunk, len(p)-1)})
		for len(stack) > 0 {
			t := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			worst, at := tol, -1
			for i := t[0] + 1; i < t[1]; i++ {
				if d := off(p[i], p[t[0]], p[t[1]]); d > worst {
					worst, at = d, i
				}
			}
			if at < 0 {
				kept = append(kept, t[1])
				continue
			}
			stack = append(stack, [2]int{at, t[1]}, [2]int{t[0], at})
		}
	}
	return kept
}

// off is the distance of a point from a piece of line.
func off(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	l := dx*dx + dy*dy
	if l == 0 {
		return math.Hypot(p.x-a.x, p.y-a.y)
	}
	t := min(max(((p.x-a.x)*dx+(p.y-a.y)*dy)/l, 0), 1)
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}

func length(a, b point) float64 { return math.Hypot(b.x-a.x, b.y-a.y) }

// bearing is the turn from the direction a-b to the direction b-c.
func bearing(a, b, c point) float64 {
	ux, uy, vx, vy := b.x-a.x, b.y-a.y, c.x-b.x, c.y-b.y
	return math.Atan2(ux*vy-uy*vx, ux*vx+uy*vy)
}
