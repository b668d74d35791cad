package profile

import (
	"math"
	"slices"
)

// Kinds of move.
const (
	moveBirth = iota
	moveDeath
	moveSlide  // one intersection a little along the way
	moveJump   // one intersection anywhere between its neighbours
	moveCurve  // another K
	moveRedraw // heights of one to three neighbours
	moveSplit  // one intersection becomes two, either side of it
	moveMerge  // the reverse
	numMoves
)

// share of each kind; birth and death, split and merge must be equal. Choice:
// the shares that mixed best on the study's three errors.
var share = [numMoves]float64{moveBirth: 0.14, moveDeath: 0.14, moveSlide: 0.28, moveJump: 0.06, moveCurve: 0.12, moveRedraw: 0.10, moveSplit: 0.08, moveMerge: 0.08}

const (
	// splitReachM bounds how far either part of a split lands, metres.
	splitReachM = 200.0
	// sizesEvery is how many moves pass between two of the sizes.
	sizesEvery = 10
	// refreshEvery is how many moves pass between two exact sums.
	refreshEvery = 20000
)

// step makes one move.
func (s *sampler) step() {
	u := s.rng.Float64()
	kind := 0
	for kind < numMoves-1 && u >= share[kind] {
		u -= share[kind]
		kind++
	}
	s.moves[kind]++
	if s.make(kind) {
		s.taken[kind]++
	}
}

// run makes n moves, those of the sizes among them.
func (s *sampler) run(n int) {
	for i := range n {
		s.step()
		if i%sizesEvery == 0 {
			s.sizes()
		}
		if i%refreshEvery == refreshEvery-1 {
			s.refresh()
		}
	}
}

// newKnot has a K from its law.
func (s *sampler) newKnot(x float64) knot {
	return knot{x: x, k: s.law.kLo * math.Pow(s.law.kHi/s.law.kLo, s.rng.Float64()), n: s.index(x)}
}

func (s *sampler) make(kind int) bool {
	inner := len(s.kn) - 2
	if kind == moveBirth {
		return s.birth()
	}
	if inner == 0 {
		return kind == moveRedraw && s.redraw()
	}
	i := 1 + s.rng.IntN(inner)
	switch kind {
	case moveDeath:
		mid := [2]knot{s.kn[i-1], s.kn[i+1]}
		return s.replace(i-1, i+1, mid[:], math.Log(float64(inner)/(s.toM-s.fromM)))
	case moveSlide:
		return s.slide(i)
	case moveJump:
		return s.move(i, s.kn[i-1].x+s.rng.Float64()*(s.kn[i+1].x-s.kn[i-1].x))
	case moveCurve:
		mid := [1]knot{s.newKnot(s.kn[i].x)}
		return s.replace(i, i, mid[:], 0)
	case moveRedraw:
		return s.redraw()
	case moveSplit:
		return s.split(i)
	}
	return s.merge(i)
}

// birth: an intersection anywhere. The way back is the death of one of one
// more.
func (s *sampler) birth() bool {
	x := s.fromM + s.rng.Float64()*(s.toM-s.fromM)
	if !s.free(x) {
		return false
	}
	j := s.before(x)
	mid := [3]knot{s.kn[j], s.newKnot(x), s.kn[j+1]}
	return s.replace(j, j+1, mid[:], math.Log((s.toM-s.fromM)/float64(len(s.kn)-1)))
}

// before is the last knot at or before x that has one after it.
func (s *sampler) before(x float64) int {
	lo, hi := 0, len(s.kn)-1
	for hi-lo > 1 {
		if m := (lo + hi) / 2; s.kn[m].x <= x {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// slide moves an intersection by a normal step of one of three sizes.
func (s *sampler) slide(i int) bool {
	return s.move(i, s.kn[i].x+[3]float64{1.5, 8, 40}[s.rng.IntN(3)]*s.rng.NormFloat64())
}

// move puts intersection i to x; the heights of it alone, or of its neighbours
// too, follow.
func (s *sampler) move(i int, x float64) bool {
	wide := s.rng.IntN(2) == 0
	if x <= s.kn[i-1].x || x >= s.kn[i+1].x || !s.free(x) {
		return false
	}
	k := s.kn[i]
	k.x, k.n = x, s.index(x)
	if wide {
		mid := [3]knot{s.kn[i-1], k, s.kn[i+1]}
		return s.replace(i-1, i+1, mid[:], 0)
	}
	mid := [1]knot{k}
	return s.replace(i, i, mid[:], 0)
}

// redraw draws one to three neighbouring heights anew, the ends among them.
func (s *sampler) redraw() bool {
	n := min(1+s.rng.IntN(3), len(s.kn))
	b := s.rng.IntN(len(s.kn) - n + 1)
	return s.replace(b, b+n-1, nil, 0)
}

// reach is how far a part of a split may land toward the neighbour.
func reach(a, b float64) float64 { return min(b-a, splitReachM) }

// split: intersection i becomes two. The way back merges one of the pairs.
func (s *sampler) split(i int) bool {
	r0, r1 := reach(s.kn[i-1].x, s.kn[i].x), reach(s.kn[i].x, s.kn[i+1].x)
	x0, x1 := s.kn[i].x-r0*s.rng.Float64(), s.kn[i].x+r1*s.rng.Float64()
	mid := [2]knot{s.newKnot(x0), s.newKnot(x1)}
	if !s.free(x0) || !s.free(x1) || x0 <= s.kn[i-1].x || x1 >= s.kn[i+1].x || x1 <= x0 {
		return false
	}
	inner := float64(len(s.kn) - 2)
	return s.replace(i, i, mid[:], math.Log(inner*r0*r1/((inner+1)*(x1-x0))))
}

// merge: intersections i and i+1 become one between them.
func (s *sampler) merge(i int) bool {
	if i+2 >= len(s.kn) {
		return false
	}
	x0, x1 := s.kn[i].x, s.kn[i+1].x
	mid := [1]knot{s.newKnot(x0 + s.rng.Float64()*(x1-x0))}
	x := mid[0].x
	r0, r1 := reach(s.kn[i-1].x, x), reach(x, s.kn[i+2].x)
	if x-x0 >= r0 || x1-x >= r1 || !s.free(x) {
		return false
	}
	inner := float64(len(s.kn) - 2)
	return s.replace(i, i+1, mid[:], math.Log(inner*(x1-x0)/((inner-1)*r0*r1)))
}

// replace proposes the knots mid (chainage and K set) for b0..b1, draws their
// heights, and takes the road or leaves it. ratio is log of the chance density
// of the geometry's way back over that of the way there; K, always drawn from
// its law, falls out. mid nil keeps the geometry.
func (s *sampler) replace(b0, b1 int, mid []knot, ratio float64) bool {
	was, now := &s.was, &s.now
	was.take(s, b0, b1, nil)
	now.take(s, b0, b1, mid)
	d0, d1 := was.ramps(s), now.ramps(s)
	if math.IsInf(d1, -1) {
		return false
	}
	there := s.fit(now)
	back := there
	if mid != nil {
		back = s.fit(was)
		copy(was.kn[was.first:was.last+1], s.kn[b0:b1+1])
	} else {
		*was = *now
		copy(was.kn[was.first:was.last+1], s.kn[b0:b1+1])
	}
	ratio += back.density(was.kn[was.first : was.last+1])
	ratio -= there.draw(now.kn[now.first:now.last+1], s.rng.NormFloat64)
	ratio += d1 - d0 + now.grades(s) - was.grades(s)
	if math.IsInf(ratio, -1) || math.IsNaN(ratio) {
		return false
	}
	was.curves()
	now.curves()
	was.span(s.evidence)
	now.span(s.evidence)
	from, to := min(was.from, now.from), max(was.to, now.to)
	change := s.squaresOf(now, from, to)
	ratio -= change / (2 * s.sigma * s.sigma)
	if ratio < 0 && math.Log(s.rng.Float64()) >= ratio {
		return false
	}
	s.ssr += change
	copy(s.e[from:to], s.scratch[0][1:1+to-from])
	s.splice(b0, b1, now)
	return true
}

// squaresOf gives what the local road changes in the sum of squares; its
// residuals of from..to-1 are left in scratch[0][1:].
func (s *sampler) squaresOf(l *local, from, to int) float64 {
	r := roadState{kn: l.kn[:l.m], h: l.h[:l.m]}
	e := s.scratch[0]
	r.heights(s.s[from:to], e[1:])
	for k := from; k < to; k++ {
		e[k-from+1] = s.y[k] - e[k-from+1]
	}
	last := to
	if from > 0 {
		e[0] = s.e[from-1]
	}
	if to < len(s.s) {
		e[to-from+1] = s.e[to]
		last = to + 1
	}
	sum := 0.0
	for k := from; k < last; k++ {
		u, v := e[k-from+1], s.e[k]
		if k > 0 {
			u -= s.rho[k] * e[k-from]
			v -= s.rho[k] * s.e[k-1]
		}
		sum += s.q[k] * s.q[k] * (u*u - v*v)
	}
	return sum
}

// splice writes an accepted block into the state.
func (s *sampler) splice(b0, b1 int, l *local) {
	n := l.last - l.first + 1
	if old := b1 - b0 + 1; n > old {
		s.kn = slices.Insert(s.kn, b1+1, make([]knot, n-old)...)
		s.h = slices.Insert(s.h, b1+1, make([]float64, n-old)...)
	} else if n < old {
		s.kn = slices.Delete(s.kn, b0+n, b1+1)
		s.h = slices.Delete(s.h, b0+n, b1+1)
	}
	copy(s.kn[b0:], l.kn[l.first:l.last+1])
	a, b := max(l.first-1, 0), min(l.last+1, l.m-1)
	copy(s.h[b0-(l.first-a):], l.h[a:b+1])
}

// ramps is the log density of the lengths the block has a part in. Logarithms
// are taken of products.
func (l *local) ramps(s *sampler) (sum float64) {
	whole := 1.0
	for p := max(l.first-1, 0); p <= min(l.last, l.m-2); p++ {
		run := l.kn[p+1].x - l.kn[p].x
		atL, atR := l.endL && p == 0, l.endR && p == l.m-2
		switch {
		case atL && atR:
			sum += s.law.noneIn(run)
		case atL || atR:
			sum += s.law.cutRamp(run)
		default:
			sum += s.law.tail(run)
			whole *= run * s.law.rampSum
		}
	}
	return sum - math.Log(whole)
}

// grades is the log density of the grades the block has a part in, as a
// density of heights.
func (l *local) grades(s *sampler) (sum float64) {
	runs := 1.0
	for p := max(l.first-1, 0); p <= min(l.last, l.m-2); p++ {
		run := l.kn[p+1].x - l.kn[p].x
		sum += s.law.grade((l.kn[p+1].v - l.kn[p].v) / run)
		runs *= run
	}
	return sum - math.Log(runs)
}

// sizes moves the error's size and the grades' spread, each by a step on its
// logarithm, judged by its law.
func (s *sampler) sizes() {
	n := float64(len(s.s))
	if s.bySigma.spread > 0 {
		t := s.sigma * math.Exp(1.7/math.Sqrt(n+4)*s.rng.NormFloat64())
		f := func(v float64) float64 { return -n*math.Log(v) - s.ssr/(2*v*v) + s.bySigma.log(v) }
		if math.Log(s.rng.Float64()) < f(t)-f(s.sigma) {
			s.sigma = t
		}
	}
	if s.byGrade.spread > 0 {
		sum, m := 0.0, float64(len(s.kn)-1)
		for i := 1; i < len(s.kn); i++ {
			g := (s.kn[i].v - s.kn[i-1].v) / (s.kn[i].x - s.kn[i-1].x)
			sum += g * g
		}
		f := func(l roadLaw) float64 {
			return m*l.cutTerm - sum/(2*l.gradeSD*l.gradeSD) + s.byGrade.log(l.gradeSD)
		}
		t := s.law
		t.gradeSD *= math.Exp(1.7 / math.Sqrt(m+4) * s.rng.NormFloat64())
		t = t.ready()
		if math.Log(s.rng.Float64()) < f(t)-f(s.law) {
			s.law = t
		}
	}
}
