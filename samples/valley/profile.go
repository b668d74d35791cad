package valley

import "math"

// gradePoint is a point where two grades of a designed profile meet, rounded off by
// a parabola of curveM metres centred on it. The first and last have none.
type gradePoint struct{ atM, zM, curveM float64 }

// grades is a designed longitudinal profile: points in order of chainage.
type grades []gradePoint

// height is the designed height at a chainage; the outer grades go on beyond
// the ends.
func (g grades) height(s float64) float64 {
	k := g.leg(s)
	z := g[k].zM + mul(g.ratio(k), s-g[k].atM)
	for _, p := range [2]int{k, k + 1} { // at most one of the two parabolas holds s
		if p == 0 || p == len(g)-1 || g[p].curveM == 0 {
			continue
		}
		inside := g[p].curveM/2 - math.Abs(s-g[p].atM)
		if inside > 0 {
			z += mul(g.ratio(p)-g.ratio(p-1), sq(inside)) / mul(2, g[p].curveM)
		}
	}
	return z
}

// ratioAt is the designed grade at a chainage.
func (g grades) ratioAt(s float64) float64 {
	k := g.leg(s)
	for _, p := range [2]int{k, k + 1} {
		if p == 0 || p == len(g)-1 || g[p].curveM == 0 {
			continue
		}
		if t := (s-g[p].atM)/g[p].curveM + 0.5; t > 0 && t < 1 {
			return mix(g.ratio(p-1), g.ratio(p), t)
		}
	}
	return g.ratio(k)
}

// leg is the index of the point that begins the grade holding s.
func (g grades) leg(s float64) int {
	k := 0
	for k < len(g)-2 && s >= g[k+1].atM {
		k++
	}
	return k
}

// ratio is the grade after point k.
func (g grades) ratio(k int) float64 {
	return (g[k+1].zM - g[k].zM) / (g[k+1].atM - g[k].atM)
}
