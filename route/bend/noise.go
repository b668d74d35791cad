package bend

import (
	"math"
	"slices"
)

const (
	scatterBlocks = 64   // parts of a line that are asked for its scatter
	scatterBlock  = 96   // vertices of each
	baseM         = 8.0  // between the vertices that are compared, at least
	priorPairs    = 2.0  // pairs that the expected error counts for
	mostNoiseM    = 5.0  // no road is drawn worse
	lagShare      = 0.75 // what neighbours share of the change of a sagitta, white errors, even spacing; derived: 3.75 of 5
)

// scatter estimates the error of a vertex across the line, metres. A vertex off
// the chord of its neighbours may be a curve; so may its change to the next one
// where a curve begins. But errors change to and fro: the product of one change
// and the next is negative for them and not for curves. White errors make it
// -lagShare of the variance.
func (s *search) scatter() float64 {
	n := len(s.way.ChainageM)
	var u [][]float64
	var sizes []float64
	step := max(n/scatterBlocks, scatterBlock)
	for from := 0; from < n; from += step {
		c := s.changes(from, min(from+scatterBlock, n))
		u = append(u, c)
		for _, v := range c {
			sizes = append(sizes, math.Abs(v))
		}
	}
	sum, count := 0.0, 0.0
	if len(sizes) > 0 {
		most := 3 * median(sizes) / 0.6745 // of the normal law
		for _, c := range u {
			for i := 1; i < len(c); i++ {
				sum -= min(max(c[i-1], -most), most) * min(max(c[i], -most), most) / lagShare
				count++
			}
		}
	}
	v := (sum + priorPairs*s.opt.NoiseM*s.opt.NoiseM) / (count + priorPairs)
	return min(math.Sqrt(max(v, 0)), mostNoiseM)
}

// left is the error of a vertex from what all fits left, and the count of free
// vertices it rests on. A fit that left several times what the others did had no
// arc before it and counts no more than that.
func (s *search) left() (noiseM, count float64) {
	if len(s.sse) == 0 {
		return s.noiseM, 0
	}
	each := make([]float64, len(s.sse))
	for i := range each {
		each[i] = s.sse[i] / s.free[i]
	}
	most := 4 * median(each)
	sum := priorCount * s.noiseM * s.noiseM
	for i, q := range s.sse {
		sum += min(q, most*s.free[i])
		count += s.free[i]
	}
	return min(math.Sqrt(sum/(count+priorCount)), mostNoiseM), count
}

// changes are the changes of the sagitta between neighbours baseM apart, freed
// of a steady curvature, each over its standard error for a unit error of the
// vertices.
func (s *search) changes(from, to int) []float64 {
	at := s.way.ChainageM
	pts := s.reckon(from, to-1)
	chain := []int{0}
	for i := range pts {
		if at[from+i]-at[from+chain[len(chain)-1]] >= baseM {
			chain = append(chain, i)
		}
	}
	var out []float64
	var e0, w0, l0 float64
	for i := 1; i+1 < len(chain); i++ {
		a, b, c := pts[chain[i-1]], pts[chain[i]], pts[chain[i+1]]
		e, w := sagitta(a, b, c)
		l := length(a, b) * length(b, c)
		if i > 1 && l0 > 0 && !curved(pts, chain, i) {
			q := l / l0 // of the two sagittas of one circle
			out = append(out, (e-q*e0)/math.Sqrt(w*w+q*q*w0*w0+2*q))
		}
		e0, w0, l0 = e, w, l
	}
	return out
}

// curvedRad is the change of direction about a vertex beyond which it is no
// witness of errors.
const curvedRad = 0.35

// curved reports whether the line turns about vertex i of the chain, more than
// errors make it.
func curved(pts []point, chain []int, i int) bool {
	a, b, c := chain[max(i-2, 0)], chain[i], chain[min(i+2, len(chain)-1)]
	return math.Abs(bearing(pts[a], pts[b], pts[c])) > curvedRad
}

// sagitta is the distance of b from the chord of a and c, left negative, and its
// standard error for a unit error of each.
func sagitta(a, b, c point) (e, se float64) {
	l := max(length(a, c), 1e-6)
	dx, dy := c.x-a.x, c.y-a.y
	t := ((b.x-a.x)*dx + (b.y-a.y)*dy) / (l * l)
	return ((b.x-a.x)*dy - (b.y-a.y)*dx) / l, math.Sqrt(1 + t*t + (1-t)*(1-t))
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}
