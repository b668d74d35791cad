package profile

import (
	"math"
	"math/rand/v2"
	"sort"
)

// The sampler draws ROADS, not heights: points of vertical intersection with
// straight tangents between and a parabola at each (roadLaw), given the
// observed heights of a window and their first-order autoregressive error.
// Gaussian draws wiggle inside ramps and so overstate the worst grade; roads do
// not.
//
// It is a reversible-jump chain. Its state is the intersections' chainage,
// height of the tangents' meeting and K; grades follow. Written in heights a
// change is local: it moves the road between the neighbours only. Every move
// (sampler_moves.go) is one kind of step: the geometry of some neighbouring
// intersections is replaced, and their heights are drawn anew from a normal
// law that is a function of the geometry, the data and the road outside alone
// (sampler_fit.go); so birth and death are judged by how well the geometry
// fits, not by how lucky a height was guessed. Sizes of error and of grade are
// learned in the chain. Derived; the frame is Green's reversible jump of 1995.

// knot is a point of vertical intersection; the first and the last are the
// ends of the window and have no curve.
type knot struct {
	x, v, k float64 // chainage m; height m; K in m a percent
	n       int     // first observation at or after x; all for the last knot
}

// road is the state.
type roadState struct {
	kn []knot
	h  []float64 // half length of the curve, 0 at the ends
}

// evidence is what was observed of a window.
type evidence struct {
	s, y   []float64
	rho, q []float64    // with them (e - rho*e before)*q is white with the common size
	guess  []float64    // smoothed height, where proposals start
	keep   [][2]float64 // stretches carried straight: no intersection inside
	fromM  float64
	toM    float64
}

// newEvidence whitens: corrM is the correlation length of the error, metres; rel
// is the standard error of each observation over their common size, nil for all
// alike; fresh marks observations whose error has nothing to do with the one
// before (another raster), nil for none.
func newEvidence(s, y, guess, rel []float64, fresh []bool, corrM, fromM, toM float64) *evidence {
	d := &evidence{s: s, y: y, guess: guess, fromM: fromM, toM: toM}
	d.rho, d.q = make([]float64, len(s)), make([]float64, len(s))
	for i := range s {
		d.q[i] = 1
		if i > 0 && (fresh == nil || !fresh[i]) {
			d.rho[i] = math.Exp(-(s[i] - s[i-1]) / corrM)
			d.q[i] = 1 / math.Sqrt(1-d.rho[i]*d.rho[i])
		}
		if rel != nil {
			d.q[i] /= rel[i]
			if i > 0 {
				d.rho[i] *= rel[i] / rel[i-1]
			}
		}
	}
	return d
}

// index is the first observation at or after x.
func (d *evidence) index(x float64) int { return sort.SearchFloat64s(d.s, x) }

// guessAt is the smoothed height at x.
func (d *evidence) guessAt(x float64, n int) float64 {
	n = min(max(n, 1), len(d.s)-1)
	t := (x - d.s[n-1]) / (d.s[n] - d.s[n-1])
	t = min(max(t, -1), 2)
	return d.guess[n-1] + t*(d.guess[n]-d.guess[n-1])
}

// free reports whether an intersection may be at x.
func (d *evidence) free(x float64) bool {
	for _, k := range d.keep {
		if x > k[0] && x < k[1] {
			return false
		}
	}
	return x > d.fromM && x < d.toM
}

// learned is the law of a size that the chain learns: log-normal.
type learned struct{ at, spread float64 }

func (l learned) log(v float64) float64 {
	if l.spread == 0 {
		return 0
	}
	z := math.Log(v/l.at) / l.spread
	return -z * z / 2
}

// sampler is one chain of roads. Not for use by two goroutines.
type sampler struct {
	*evidence
	roadState
	law          roadLaw
	sigma        float64 // of the error, metres
	bySigma      learned
	byGrade      learned
	rng          *rand.Rand
	e            []float64 // observed less road
	ssr          float64   // sum of squares of the whitened e
	moves, taken [numMoves]int
	was, now     local
	scratch      [5][]float64
}

// newSampler starts a chain from intersections (ends included, heights set).
func newSampler(d *evidence, law roadLaw, sigma float64, kn []knot, rng *rand.Rand) *sampler {
	s := &sampler{evidence: d, law: law, sigma: sigma, rng: rng}
	s.kn = append(make([]knot, 0, 2*len(kn)+16), kn...)
	for i := range s.kn {
		s.kn[i].n = d.index(s.kn[i].x)
	}
	s.kn[0].n, s.kn[len(kn)-1].n = 0, len(d.s)
	s.h = make([]float64, len(kn), cap(s.kn))
	for i := 1; i < len(kn)-1; i++ {
		s.h[i] = halfCurve(s.kn, i)
	}
	for i := range s.scratch {
		s.scratch[i] = make([]float64, len(d.s)+2)
	}
	s.e = make([]float64, len(d.s))
	s.refresh()
	return s
}

// halfCurve is the half length of the curve at an inner knot, metres.
func halfCurve(kn []knot, i int) float64 {
	l0, l1 := kn[i].x-kn[i-1].x, kn[i+1].x-kn[i].x
	dg := (kn[i+1].v-kn[i].v)/l1 - (kn[i].v-kn[i-1].v)/l0
	return min(50*kn[i].k*math.Abs(dg), l0/2, l1/2)
}

// refresh computes e and ssr from the road: at the start and now and then, so
// that sums of differences do not drift.
func (s *sampler) refresh() {
	s.heights(s.s, s.e)
	for i, z := range s.e {
		s.e[i] = s.y[i] - z
	}
	s.ssr = 0
	for i, e := range s.e {
		if i > 0 {
			e -= s.rho[i] * s.e[i-1]
		}
		e *= s.q[i]
		s.ssr += e * e
	}
}

// heights gives the road at ascending chainages; outside the window the end
// tangents go on.
func (r *roadState) heights(at, out []float64) {
	p := 0
	for i, s := range at {
		for p < len(r.kn)-2 && s >= r.kn[p+1].x {
			p++
		}
		a, b := &r.kn[p], &r.kn[p+1]
		z := a.v + (b.v-a.v)*(s-a.x)/(b.x-a.x)
		if u := a.x + r.h[p] - s; r.h[p] > 0 && u > 0 {
			z += r.change(p) * u * u / (4 * r.h[p])
		}
		if u := s - b.x + r.h[p+1]; r.h[p+1] > 0 && u > 0 {
			z += r.change(p+1) * u * u / (4 * r.h[p+1])
		}
		out[i] = z
	}
}

// grades gives the slope of the road at ascending chainages, rise over run.
func (r *roadState) grades(at, out []float64) {
	p := 0
	for i, s := range at {
		for p < len(r.kn)-2 && s >= r.kn[p+1].x {
			p++
		}
		a, b := &r.kn[p], &r.kn[p+1]
		g := (b.v - a.v) / (b.x - a.x)
		if u := a.x + r.h[p] - s; r.h[p] > 0 && u > 0 {
			g -= r.change(p) * u / (2 * r.h[p])
		}
		if u := s - b.x + r.h[p+1]; r.h[p+1] > 0 && u > 0 {
			g += r.change(p+1) * u / (2 * r.h[p+1])
		}
		out[i] = g
	}
}

// change is the change of grade at an inner knot.
func (r *roadState) change(i int) float64 {
	k := r.kn[i-1 : i+2]
	return (k[2].v-k[1].v)/(k[2].x-k[1].x) - (k[1].v-k[0].v)/(k[1].x-k[0].x)
}

// startKnots places intersections about every everyM metres on the smoothed
// heights, with grades inside the cap.
func (d *evidence) startKnots(law *roadLaw, everyM float64) []knot {
	k := math.Sqrt(law.kLo * law.kHi)
	n := max(int(math.Round((d.toM-d.fromM)/everyM)), 1)
	var kn []knot
	for i := 0; i <= n; i++ {
		x := d.fromM + (d.toM-d.fromM)*float64(i)/float64(n)
		if i > 0 && i < n && !d.free(x) {
			continue
		}
		v := d.guessAt(x, d.index(x))
		if m := len(kn); m > 0 {
			reach := 0.95 * law.capRatio * (x - kn[m-1].x)
			v = min(max(v, kn[m-1].v-reach), kn[m-1].v+reach)
		}
		kn = append(kn, knot{x: x, v: v, k: k})
	}
	return kn
}
