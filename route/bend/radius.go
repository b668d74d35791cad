package bend

import (
	"math"
	"slices"
)

const (
	floorM     = 0.05 // a vertex errs at least so much: coordinates are rounded, roads are not circles
	priorCount = 5.0  // vertices that the expected error counts for, when a bend is asked for its own
	leastR     = 2.0
	depth      = 8.0 // radii less likely than the best by exp(depth) are left out
	nodes      = 25  // radii in the last pass
	zooms      = 8
)

// easeRatios are lengths of easement tried, in radii, and the chance given to
// each beforehand: half of tight bends have none. Handbooks of road design ask
// for clothoids with a parameter of a third of the radius to the radius, which
// is a length of a ninth of it to the whole (memory); tight bends have the
// short ones.
var easeRatios = [...]float64{0, 0.15, 0.30, 0.45, 0.60}
var easeChance = [...]float64{0.5, 0.125, 0.125, 0.125, 0.125}

// node is the chance density of one radius.
type node struct {
	radiusM, log float64
	best         shape // of the easements
}

// density is the logarithm of the chance density at a radius, all else
// integrated out: centre and directions by their normal law, the error of a
// vertex by the inverse gamma law. Flat in the radius: the place of the line is
// nearly linear in it, so that an interval covers as often as it says.
func (ev *evidence) density(radiusM float64, from shape, noiseM, turnRad float64, easements int) node {
	out := node{radiusM: radiusM, log: math.Inf(-1)}
	sum, top := 0.0, math.Inf(-1)
	var logs [len(easeRatios)]float64
	f := from
	mid := (f.a1 + f.a2) / 2
	f.cx -= (radiusM - f.radiusM) * math.Sin(mid)
	f.cy += (radiusM - f.radiusM) * math.Cos(mid)
	f.radiusM = radiusM
	k := 0
	for ; k < easements; k++ {
		f.easeM = easeRatios[k] * radiusM
		if k > 0 && f.easeM > radiusM*turnRad {
			break
		}
		logs[k] = math.Inf(-1)
		if !ev.settle(&f, 12) || !ev.fits(&f) {
			continue
		}
		n := float64(len(ev.p))
		logs[k] = -(priorCount+n-4)/2*math.Log(priorCount*noiseM*noiseM+f.sse) - f.logDet/2 + math.Log(easeChance[k])
		if logs[k] > top {
			top, out.best = logs[k], f
		}
	}
	if math.IsInf(top, -1) {
		out.best = f
		return out
	}
	for _, l := range logs[:k] {
		sum += math.Exp(l - top)
	}
	out.log = top + math.Log(sum)
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

// radii gives the chance of each radius, as nodes in order that hold nearly all
// of it; nil where nothing fits.
func (ev *evidence) radii(startM, noiseM, turnRad float64) []node {
	mid := (ev.a1 + ev.a2) / 2
	apex := ev.p[ev.apex]
	from := shape{radiusM: startM, a1: ev.a1, a2: ev.a2, cx: apex.x - startM*math.Sin(mid), cy: apex.y + startM*math.Cos(mid)}
	at := func(r float64, near shape) node { return ev.density(r, near, noiseM, turnRad, len(easeRatios)) }
	// A coarse ladder both ways from the start.
	first := at(startM, from)
	ladder := []node{first}
	for r := startM / 1.3; r > leastR; r /= 1.3 {
		ladder = append(ladder, at(r, ladder[len(ladder)-1].best))
	}
	slices.Reverse(ladder)
	for r := startM * 1.3; r < 1500; r *= 1.3 {
		ladder = append(ladder, at(r, ladder[len(ladder)-1].best))
	}
	for range zooms {
		low, high, enough := reach(ladder)
		if high < 0 {
			return nil
		}
		a, b := ladder[max(low-1, 0)], ladder[min(high+1, len(ladder)-1)]
		seed := ladder[best(ladder)].best
		next := make([]node, nodes)
		for i := range next {
			next[i] = at(a.radiusM+(b.radiusM-a.radiusM)*float64(i)/(nodes-1), seed)
		}
		ladder = next
		if enough && high-low >= nodes/2 {
			break
		}
	}
	return ladder
}

func best(l []node) int {
	k := 0
	for i := range l {
		if l[i].log > l[k].log {
			k = i
		}
	}
	return k
}

// reach are the first and last node that count; enough says that there are
// several.
func reach(l []node) (low, high int, enough bool) {
	k := best(l)
	if math.IsInf(l[k].log, -1) {
		return 0, -1, false
	}
	low, high = k, k
	for i := range l {
		if l[i].log > l[k].log-depth {
			low, high = min(low, i), max(high, i)
		}
	}
	return low, high, high-low >= 6
}

// quantiles integrates the nodes by the trapezoid rule and reads the tails.
func quantiles(l []node) (t tails) {
	top := l[best(l)].log
	sum := make([]float64, len(l))
	w := func(i int) float64 { return math.Exp(l[i].log - top) }
	for i := 1; i < len(l); i++ {
		sum[i] = sum[i-1] + (w(i)+w(i-1))/2*(l[i].radiusM-l[i-1].radiusM)
	}
	total := sum[len(sum)-1]
	i := 1
	for k, p := range tailAt {
		for i < len(l)-1 && sum[i] < p*total {
			i++
		}
		part := 0.5
		if d := sum[i] - sum[i-1]; d > 0 {
			part = min(max((p*total-sum[i-1])/d, 0), 1)
		}
		t[k] = l[i-1].radiusM + part*(l[i].radiusM-l[i-1].radiusM)
	}
	return t
}
