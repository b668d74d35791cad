package bend

import (
	"math"
	"slices"
)

const (
	scatterMost = 4000 // vertices asked for the scatter of a line
	baseM       = 8.0  // either side of a vertex whose distance from the chord is taken
)

// scatter is a first estimate of the error of a vertex across the line, metres:
// the median distance from the chord of its neighbours. Curves make it too large
// where most of the line turns; the change of it from vertex to vertex does not
// have that fault, and the smaller one counts.
func (s *search) scatter() float64 {
	at, n := s.way.ChainageM, len(s.way.ChainageM)
	stride := max(1, n/scatterMost)
	var plain, change []float64
	for i := 1; i+2 < n; i += stride {
		j, k := i-1, i+1
		for j > 0 && at[i]-at[j] < baseM {
			j--
		}
		for k < n-1 && at[k]-at[i] < baseM {
			k++
		}
		if k == n-1 && at[k]-at[i] < baseM || k-j > 64 {
			continue
		}
		e, w := s.sagitta(j, i, k)
		plain = append(plain, math.Abs(e)/w)
		if k < n-1 && k == i+1 && j == i-1 {
			f, v := s.sagitta(i, k, k+1)
			la, lb, lc := at[i]-at[j], at[k]-at[i], at[k+1]-at[k]
			q := lb * lc / (la * lb) // of the two sagittas of one circle
			change = append(change, math.Abs(f-q*e)/math.Sqrt(v*v+q*q*w*w+2*q))
		}
	}
	if len(plain) == 0 {
		return s.opt.NoiseM
	}
	m := median(plain)
	if len(change) > len(plain)/2 {
		m = min(m, median(change))
	}
	return min(m/0.6745, 4) // of the normal law
}

// sagitta is the distance of vertex i from the chord of j and k, left
// negative, and its standard error for a unit error of each vertex.
func (s *search) sagitta(j, i, k int) (e, se float64) {
	p := s.reckon(j, k)
	a, b, c := p[0], p[i-j], p[len(p)-1]
	l := max(length(a, c), 1e-6)
	dx, dy := c.x-a.x, c.y-a.y
	t := ((b.x-a.x)*dx + (b.y-a.y)*dy) / (l * l)
	return ((b.x-a.x)*dy - (b.y-a.y)*dx) / l, math.Sqrt(1 + t*t + (1-t)*(1-t))
}

func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}
