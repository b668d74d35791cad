package bend

import (
	"math"

	"drawbar/route"
)

const (
	quietRad   = 5 * math.Pi / 180 // a stretch whose directions differ by less is straight
	leadM      = 50.0              // of the straights beside a bend that the fit looks at
	leastTolM  = 0.4               // of the thinned line, at least: one lane is several times that
	tolNoise   = 2.2               // tolerance of the thinned line in standard errors of a vertex
	chordM     = 2.0               // a mapper who draws a curve leaves the chord no farther off it
	chunk      = 1024              // vertices thinned at once
	mostOfABit = 160               // vertices that a fit uses, at most
)

// Find returns the bends of a way in order. Straight stretches cost a few
// nanoseconds a vertex; a bend costs a fit.
func Find(a *route.Alignment, o Options) []Bend {
	s := search{way: a, opt: o.resolved()}
	s.noiseM = s.scatter()
	for from, to := s.next(0); from < to; from, to = s.next(to) {
		s.run(from, to)
	}
	return s.bends()
}

type search struct {
	way    *route.Alignment
	opt    Options
	noiseM float64 // of a vertex, from the whole line
	groups []group
	quiet  []bool
}

// group are neighbouring turns to one side.
type group struct {
	first, last   int     // vertices where it begins and ends to turn, as thinned
	before, after int     // vertices that bound what belongs to it
	turnRad       float64 // left positive
	halfAt        int     // vertex by which half of the turn is done
	in, out       float64 // directions of the straights, relative to the first's
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
	from, to = s.lead(from, to)
	pts := s.reckon(from, to)
	tol := max(leastTolM, tolNoise*s.noiseM)
	kept := thin(pts, tol)
	kept = prune(pts, kept, s.noiseM)
	for _, g := range s.grouped(pts, kept, tol) {
		g.first, g.last, g.before, g.after, g.halfAt = g.first+from, g.last+from, g.before+from, g.after+from, g.halfAt+from
		if n := len(s.groups); n > 0 && g.first <= s.groups[n-1].first {
			continue // found from the run before
		}
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

// prune drops kept vertices whose turn is no more than the error of a vertex
// makes, the least sure first within each neighbourhood.
func prune(p []point, kept []int, noiseM float64) []int {
	for changed := true; changed; {
		changed = false
		out := kept[:1]
		for i := 1; i < len(kept)-1; i++ {
			a, b, c := p[out[len(out)-1]], p[kept[i]], p[kept[i+1]]
			la, lc := max(length(a, b), 0.1), max(length(b, c), 0.1)
			se := noiseM * math.Sqrt(1/(la*la)+1/(lc*lc)+(1/la+1/lc)*(1/la+1/lc))
			if t := math.Abs(bearing(a, b, c)); t < 0.02 || (t < 1.3*se && t < 0.7) {
				changed = true
				continue
			}
			out = append(out, kept[i])
		}
		kept = append(out, kept[len(kept)-1])
	}
	return kept
}

// grouped joins neighbouring turns of the thinned line to one side: where the
// arc through both would leave the chord between them by no more than a drawn
// curve does.
func (s *search) grouped(p []point, kept []int, tol float64) []group {
	var all []group
	turns := make([]float64, len(kept))
	for i := 1; i < len(kept)-1; i++ {
		turns[i] = bearing(p[kept[i-1]], p[kept[i]], p[kept[i+1]])
	}
	for i := 1; i < len(kept)-1; {
		j := i
		for j+2 < len(kept) && turns[j]*turns[j+1] > 0 && together(p, kept, turns, j, tol) {
			j++
		}
		g := group{first: kept[i], last: kept[j], before: kept[i-1], after: kept[j+1]}
		for k := i; k <= j; k++ {
			g.turnRad += turns[k]
		}
		half := 0.0
		for k := i; k <= j; k++ {
			if half += turns[k]; math.Abs(half) >= math.Abs(g.turnRad)/2 {
				g.halfAt = kept[k]
				if over := math.Abs(half) - math.Abs(g.turnRad)/2; k > i && over > math.Abs(turns[k])/2 {
					g.halfAt = (kept[k-1] + kept[k] + 1) / 2
				}
				break
			}
		}
		all = append(all, g)
		i = j + 1
	}
	out := all[:0]
	for _, g := range all {
		if math.Abs(g.turnRad) >= s.opt.MinTurnRad {
			out = append(out, g)
		}
	}
	return out
}

// together reports whether the turns at j and j+1 may belong to one arc.
func together(p []point, kept []int, turns []float64, j int, tol float64) bool {
	chord := length(p[kept[j]], p[kept[j+1]])
	mean := math.Abs(turns[j]+turns[j+1]) / 2
	most := 1.5 * tol
	if kept[j+1]-kept[j] == 1 {
		most = max(most, chordM)
	}
	return chord*mean/8 <= most
}
