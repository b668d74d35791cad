package bend

import (
	"math"
	"sort"
)

const (
	floorM = 0.05 // a vertex errs at least so much: coordinates are rounded, roads are not circles
	// Where vertices err as far as they lie apart, the groups are found by the same
	// errors and the interval is too short by this share; measured by TestStudy.
	crowded    = 0.4
	floorShare = 0.002 // and a radius that share of itself, one standard error
	priorCount = 5.0   // vertices that the error seen on the line counts for, when a bend is asked for its own
	mostPrior  = 25.0  // and at most, where many bends have told it: parts of a line are drawn unlike
	leastR     = 1.5   // radii looked at
	mostR      = 2000.0
	ladderStep = 1.35

	summitRounds = 3
	mostSteps    = 40  // to one side; a dozen are usual
	far          = 3.0 // standard errors that the interval is followed out to
)

// easeRatios are lengths of easement tried, in radii, and the chance given to
// each beforehand: half of tight bends have none. Handbooks of road design ask
// for clothoids with a parameter of a third of the radius to the radius, which
// is a length of a ninth of it to the whole (memory); tight bends have the
// short ones.
var (
	easeRatios = [...]float64{0, 0.15, 0.30, 0.45, 0.60}
	easeChance = [...]float64{0.5, 0.125, 0.125, 0.125, 0.125}
)

// node is a radius with the logarithm of its likelihood.
type node struct {
	radiusM, log float64
	best         shape // of the easements
	tried        uint8 // easements worth trying at the next radius, a bit each
}

// forgotten is the loss of log likelihood beyond which an easement is not tried
// at the next radius, unless the one beside it counts.
const forgotten = 10.0

// fitter holds what stays the same while the radius is varied.
type fitter struct {
	*evidence
	noiseM, turnRad float64
	prior           float64 // vertices that noiseM counts for
	easements       int
	trust           float64 // share of the standard errors that count, under 1 where the errors are as long as the spacing
}

// free is the number of values that the error of a vertex rests on.
func (ft *fitter) free() float64 { return max(ft.prior+float64(len(ft.p))-5, 1) }

// at is the likelihood of a radius at the best centre and directions, averaged
// over the easements; the error of a vertex is integrated out, which leaves the
// law of Student.
func (ft *fitter) at(radiusM float64, from *shape) node { return ft.among(radiusM, from, 0xff) }

// among is at for the easements of a mask.
func (ft *fitter) among(radiusM float64, from *shape, mask uint8) node {
	out := node{radiusM: radiusM, log: math.Inf(-1)}
	f := *from
	mid := (f.a1 + f.a2) / 2
	f.cx -= (radiusM - f.radiusM) * math.Sin(mid)
	f.cy += (radiusM - f.radiusM) * math.Cos(mid)
	f.radiusM = radiusM
	out.best = f
	sum, top := 0.0, math.Inf(-1)
	logs := [len(easeRatios)]float64{}
	for k := range logs {
		logs[k] = math.Inf(-1)
	}
	for k := range ft.easements {
		f.easeM = easeRatios[k] * radiusM
		if k > 0 && f.easeM > radiusM*ft.turnRad {
			break
		}
		if mask>>k&1 == 0 {
			continue
		}
		if !ft.settle(&f, 12) || !ft.fits(&f) {
			continue
		}
		log := math.Log(easeChance[k]) - (ft.free()+1)/2*math.Log(ft.prior*ft.noiseM*ft.noiseM+f.sse)
		logs[k] = log
		if log > top {
			sum, top, out.best = sum*math.Exp(top-log)+1, log, f
		} else {
			sum += math.Exp(log - top)
		}
	}
	for k, log := range logs {
		if log > top-forgotten {
			out.tried |= 7 << k >> 1 // with both neighbours
		}
	}
	if sum > 0 {
		out.log = top + math.Log(sum)
	}
	return out
}

// fits reports whether the arc begins and ends within the vertices: a wider one
// belongs to a longer bend.
func (ev *evidence) fits(f *shape) bool {
	p, q := ev.p[0], ev.p[len(ev.p)-1]
	along1 := f.c1*(p.x-f.cx) + f.s1*(p.y-f.cy)
	along2 := f.c2*(q.x-f.cx) + f.s2*(q.y-f.cy)
	return along1 < ev.slack1 && -along2 < ev.slack2
}

// radii are nodes in order of radius, from about far standard errors below the
// best to as many above; nil where nothing fits.
func (ft *fitter) radii(startM float64) []node {
	ft.easements = 1
	top := ft.climb(startM)
	if math.IsInf(top.log, -1) {
		return nil
	}
	ft.easements = len(easeRatios)
	top = ft.at(top.radiusM, &top.best)
	if math.IsInf(top.log, -1) {
		return nil
	}
	return ft.sides(top)
}

// fresh is a first shape of a radius: through the apex, straights as thinned.
func (ft *fitter) fresh(radiusM float64) *shape {
	mid := (ft.a1 + ft.a2) / 2
	apex := ft.p[ft.apex]
	return &shape{radiusM: radiusM, a1: ft.a1, a2: ft.a2, cx: apex.x - radiusM*math.Sin(mid), cy: apex.y + radiusM*math.Cos(mid)}
}

// climb finds the best radius: by ladder, then by parabolas.
func (ft *fitter) climb(startM float64) node {
	start := ft.at(startM, ft.fresh(startM))
	top, step := start, math.Sqrt(ladderStep)
	for _, by := range []float64{ladderStep, 1 / ladderStep} {
		near, falls := start, 0
		for r := startM * by; r > leastR && r < mostR && falls < 2; r *= by {
			from := &near.best
			if math.IsInf(near.log, -1) {
				from = ft.fresh(r)
			}
			if near = ft.at(r, from); near.log > top.log {
				top, falls = near, 0
			} else if !math.IsInf(top.log, -1) {
				falls++
			}
		}
	}
	for range summitRounds {
		ft.summit(&top, &step)
	}
	return top
}

// summit moves to the top of the parabola through the best radius and its
// neighbours a step away, and narrows the step.
func (ft *fitter) summit(top *node, step *float64) {
	up, down := ft.at(top.radiusM**step, &top.best), ft.at(top.radiusM / *step, &top.best)
	a, b := up.log-top.log, down.log-top.log
	by := 0.5 * (a - b) / -(a + b) // in steps
	if math.IsInf(a, 0) || math.IsInf(b, 0) || math.IsNaN(by) || a+b >= 0 {
		by = 0
	}
	for _, n := range []node{up, down, ft.at(top.radiusM*math.Pow(*step, min(max(by, -1.5), 1.5)), &top.best)} {
		if n.log > top.log {
			*top = n
		}
	}
	*step = math.Pow(*step, 0.3)
}

// sides follows the likelihood out from the best radius, in steps that grow
// until the likelihood tells the scale.
func (ft *fitter) sides(top node) []node {
	l := []node{top}
	for _, sign := range []float64{-1, 1} {
		near, step := top, 0.002*top.radiusM
		for range mostSteps {
			r := near.radiusM + sign*step
			if sign < 0 && r < leastR {
				if near.radiusM <= leastR*1.01 {
					break
				}
				r = leastR
			}
			if r > mostR {
				break
			}
			n := ft.among(r, &near.best, near.tried)
			if math.IsInf(n.log, -1) || math.IsNaN(n.log) {
				if step /= 4; step < 0.02*near.radiusM {
					break
				}
				continue
			}
			fall := math.Abs(ft.away(top.log-n.log) - ft.away(top.log-near.log))
			if fall > 1.6 && step > 0.0005*top.radiusM {
				step *= max(1/fall, 0.1)
				continue
			}
			l = append(l, n)
			near = n
			if ft.away(top.log-n.log) > far {
				break
			}
			step *= min(max(1/max(fall, 0.01), 0.8), 6)
		}
	}
	sort.Slice(l, func(i, j int) bool { return l[i].radiusM < l[j].radiusM })
	return l
}

// away turns a loss of log likelihood into standard errors of the normal law:
// through the law of Student, by Wallace's approximation (Ann. Math. Statist. 30,
// 1959, 1121; memory; TestWallace holds it to the tables).
func (ft *fitter) away(loss float64) float64 {
	m := ft.free()
	return ft.trust * (8*m + 1) / (8*m + 3) * math.Sqrt(m*2*max(loss, 0)/(m+1))
}

// tailZ are the standard errors of tailAt.
var tailZ = [len(tailAt)]float64{-2.8070, -2.3263, -1.9600, -1.6449, -1.2816, -0.6745, 0, 0.6745, 1.2816, 1.6449, 1.9600, 2.3263, 2.8070}

func best(l []node) int {
	k := 0
	for i := range l {
		if l[i].log > l[k].log {
			k = i
		}
	}
	return k
}

// quantiles reads radii off the signed root of the likelihood ratio, which is
// nearly normal and covers as often as it says without a law of radii
// beforehand. Where it has not fallen at the least or the widest radius that
// fits, that end is the bound.
func (ft *fitter) quantiles(l []node) (t tails) {
	k := best(l)
	z := make([]float64, len(l))
	for i := range l {
		z[i] = ft.away(l[k].log - l[i].log)
		if i < k {
			z[i] = -z[i]
		}
		if i > 0 {
			z[i] = max(z[i], z[i-1]) // a second summit
		}
	}
	// The root runs straight through the summit; its neighbours place that.
	if k > 0 && k < len(l)-1 && z[k+1] > 0 && z[k-1] < 0 {
		a, b := l[k-1].radiusM, l[k+1].radiusM
		z[k] = z[k-1] + (z[k+1]-z[k-1])*(l[k].radiusM-a)/(b-a)
		z[k] = min(max(z[k], z[k-1]), z[k+1])
	}
	i := 1
	for q, want := range tailZ {
		for i < len(l)-1 && z[i] < want {
			i++
		}
		switch {
		case len(l) == 1 || want <= z[0]:
			t[q] = l[0].radiusM
			if l[0].radiusM < 2*leastR {
				t[q] = 0
			}
		case want >= z[i]:
			t[q] = l[i].radiusM
		default:
			part := (want - z[i-1]) / max(z[i]-z[i-1], 1e-12)
			t[q] = l[i-1].radiusM + part*(l[i].radiusM-l[i-1].radiusM)
		}
	}
	m := t[len(t)/2]
	for q, want := range tailZ {
		t[q] = max(m+math.Copysign(math.Hypot(t[q]-m, want*floorShare*m), want), 0)
	}
	return t
}
