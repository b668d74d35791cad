package ways

import (
	"math"
	"slices"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// The figures of the matcher. All are choices, tried on two city and country
// networks with lines shifted by 5 m (acceptance test).
const (
	// stepM is the longest step along the line; longer edges are divided.
	stepM = 40.0
	// searchM is how far from the line a way may lie.
	searchM = 35.0
	// The standard deviation of the line across its way, from drawing and the map's
	// own error, is learned from the line within these bounds.
	leastSigmaM, mostSigmaM = 1.0, 9.0
	// offSigmas is the distance, in sigmas, at which a place is as likely off the
	// network; it is never nearer than offM.
	offSigmas, offM = 4.0, 15.0
	// betaM is the mean difference between the lengths of a step along the network
	// and along the line.
	betaM = 6.0
	// shareM is the length of line that stands for one independent reading: nearer
	// vertices share the error of their drawing.
	shareM = 12.0
	// headingM is the half chord over which the line's direction is taken.
	headingM = 12.0
	// headingSigma is the spread of directions between line and way, radians.
	headingSigma = 30 * math.Pi / 180
	// leaveCost is the price of leaving the network or coming back to it, in nats;
	// turnCost that of turning round on a way.
	leaveCost = 8.0
	turnCost  = 6.0
	// againstCost is the price of a reading against a one-way road.
	againstCost = 2.5
	// closedCost is the price of a reading on a way closed to heavy vehicles,
	// noRoadCost that on a path or another way that is no road: they run beside
	// roads, and a route is seldom meant for them.
	closedCost = 2.0
	noRoadCost = 2.0
	// backM is how far a place may slip back along its way between two readings.
	backM = 12.0
)

// off is the edge of a state that is on no way.
const off = -1

// sample is a place of the line.
type sample struct {
	p    orb.Point
	s    float64 // chainage
	east float64 // metres in a degree of longitude
	// dx, dy is the direction of the line, a unit vector east and north, 0 where it
	// has none.
	dx, dy float64
	weight float64
	vertex int32 // of the line, -1 between
}

// state is where a sample may be.
type state struct {
	edge   int32
	back   bool
	posM   float64 // along the edge, in the order of its way
	distM  float64
	cost   float64 // of itself
	total  float64
	before int32 // index of the best state of the sample before
}

// scratch is the memory of one matching.
type scratch struct {
	samples []sample
	states  []state
	first   []int32 // of each sample, and the end
	segs    []int32
	node    []float64 // cost to a node in the step at hand
	lenTo   []float64
	stamp   []int32
	now     int32
	sigmaM  float64
	near    []float64
}

// lay makes the samples of a way: its vertices, and places between.
func (k *scratch) lay(a *route.Alignment) {
	k.samples = k.samples[:0]
	for i, p := range a.Line {
		if i > 0 {
			d := a.ChainageM[i] - a.ChainageM[i-1]
			if d == 0 {
				continue
			}
			parts := int(math.Ceil(d / stepM))
			q := a.Line[i-1]
			for j := 1; j < parts; j++ {
				t := float64(j) / float64(parts)
				k.samples = append(k.samples, sample{p: orb.Point{q[0] + t*(p[0]-q[0]), q[1] + t*(p[1]-q[1])}, s: a.ChainageM[i-1] + t*d, vertex: -1})
			}
		}
		k.samples = append(k.samples, sample{p: p, s: a.ChainageM[i], vertex: int32(i)})
	}
	k.direct()
}

// direct gives each sample its weight and the direction of the line.
func (k *scratch) direct() {
	lo, hi := 0, 0
	n := len(k.samples)
	for i := range k.samples {
		m := &k.samples[i]
		m.east = metresPerDegree * math.Cos(m.p[1]*math.Pi/180)
		before, after := k.samples[max(i-1, 0)].s, k.samples[min(i+1, n-1)].s
		m.weight = min((after-before)/2/shareM, 1)
		for lo+1 < i && k.samples[lo+1].s <= m.s-headingM {
			lo++
		}
		for hi = max(hi, i); hi+1 < n && k.samples[hi].s < m.s+headingM; {
			hi++
		}
		p, q := k.samples[lo].p, k.samples[hi].p
		x, y := (q[0]-p[0])*m.east, (q[1]-p[1])*metresPerDegree
		if d := math.Hypot(x, y); d > headingM/2 {
			m.dx, m.dy = x/d, y/d
		}
	}
	for i := range k.samples { // the index is in -180 to 180
		m := &k.samples[i]
		m.p[0] = math.Remainder(m.p[0], 360)
	}
}

// candidates adds the states of a sample: on every edge near, the nearest place
// of each pass of it, in both directions; and off the network.
func (n *Network) candidates(k *scratch, m *sample) {
	k.segs = n.grid.near(m.p[0], m.p[1], searchM, m.east, k.segs[:0])
	sortUnique(&k.segs)
	const most2 = searchM * searchM
	open := false
	var best, last seg
	var bestPos, bestD2 float64
	lastID := int32(-2)
	flush := func() {
		if open {
			n.take(k, m, &best, bestPos, math.Sqrt(bestD2))
		}
		open = false
	}
	for _, id := range k.segs {
		s := &n.segs[id]
		pos, d2 := s.project(m)
		if d2 > most2 {
			continue
		}
		if !open || id != lastID+1 || s.edge != last.edge {
			flush()
			open, best, bestPos, bestD2 = true, *s, pos, d2
		} else if d2 < bestD2 {
			best, bestPos, bestD2 = *s, pos, d2
		}
		last, lastID = *s, id
	}
	flush()
	far := max(offSigmas*k.sigmaM, offM)
	k.states = append(k.states, state{edge: off, cost: far * far / (2 * k.sigmaM * k.sigmaM) * m.weight})
}

// learnAt is how many places of a line its sigma is learned from. Choice.
const learnAt = 64

// nearFactor turns the distance within which four fifths of the places of a line
// have a road into a standard deviation: 1/1.2816 for a normal error, and more by
// what the nearest of several roads is nearer than the right one. Choice.
const nearFactor = 1.1

// learn takes the spread of the line across its way from its distances to the
// nearest road.
func (n *Network) learn(k *scratch) {
	k.near = k.near[:0]
	for i := 0; i < len(k.samples); i += max(len(k.samples)/learnAt, 1) {
		m := &k.samples[i]
		k.segs = n.grid.near(m.p[0], m.p[1], searchM, m.east, k.segs[:0])
		best := math.Inf(1)
		for _, id := range k.segs {
			_, d2 := n.segs[id].project(m)
			best = min(best, d2)
		}
		if best <= searchM*searchM {
			k.near = append(k.near, math.Sqrt(best))
		}
	}
	k.sigmaM = mostSigmaM
	if len(k.near) > 0 {
		slices.Sort(k.near)
		k.sigmaM = min(max(k.near[len(k.near)*4/5]*nearFactor, leastSigmaM), mostSigmaM)
	}
}

// sortUnique sorts a short list and drops what stands twice.
func sortUnique(list *[]int32) {
	l := *list
	for i := 1; i < len(l); i++ {
		v := l[i]
		j := i
		for j > 0 && l[j-1] > v {
			l[j] = l[j-1]
			j--
		}
		l[j] = v
	}
	out := l[:0]
	for i, v := range l {
		if i == 0 || v != l[i-1] {
			out = append(out, v)
		}
	}
	*list = out
}

// project is the place on a segment nearest to a sample: along its edge, and the
// square of the distance, metres.
func (s *seg) project(m *sample) (posM, d2 float64) {
	ax, ay := (s.a[0]-m.p[0])*m.east, (s.a[1]-m.p[1])*metresPerDegree
	bx, by := (s.b[0]-s.a[0])*m.east, (s.b[1]-s.a[1])*metresPerDegree
	t := 0.0
	if l2 := bx*bx + by*by; l2 > 0 {
		t = min(max(-(ax*bx+ay*by)/l2, 0), 1)
	}
	x, y := ax+t*bx, ay+t*by
	return s.atM + t*s.lenM, x*x + y*y
}

// take adds the states of one place on an edge.
func (n *Network) take(k *scratch, m *sample, s *seg, posM, distM float64) {
	e := &n.edges[s.edge]
	sx, sy := (s.b[0]-s.a[0])*m.east, (s.b[1]-s.a[1])*metresPerDegree
	cos := 0.0
	l := math.Hypot(sx, sy)
	if l > 0 {
		cos = (sx*m.dx + sy*m.dy) / l
	}
	for _, back := range []bool{false, true} {
		c := cos
		if back {
			c = -c
		}
		st := state{edge: s.edge, back: back, posM: posM, distM: distM, cost: distM * distM / (2 * k.sigmaM * k.sigmaM)}
		if m.dx != 0 || m.dy != 0 {
			if c < -0.5 {
				continue // the other way
			}
			// (1-cos) is half the square of a small angle.
			st.cost += min((1-c)/(headingSigma*headingSigma), 3)
		}
		if e.against(back) {
			st.cost += againstCost
		}
		st.cost += e.priorCost
		st.cost *= m.weight
		k.states = append(k.states, st)
	}
}

// solve is Viterbi's: the index of the state of every sample.
func (n *Network) solve(k *scratch, a *route.Alignment) []int32 {
	k.lay(a)
	if len(k.stamp) < len(n.out) {
		k.stamp, k.node, k.lenTo, k.now = make([]int32, len(n.out)), make([]float64, len(n.out)), make([]float64, len(n.out)), 0
	}
	n.learn(k)
	k.states, k.first = k.states[:0], append(k.first[:0], 0)
	for i := range k.samples {
		n.candidates(k, &k.samples[i])
		k.first = append(k.first, int32(len(k.states)))
		if i > 0 {
			n.step(k, i)
			continue
		}
		for c := range k.states {
			k.states[c].total, k.states[c].before = k.states[c].cost, -1
		}
	}
	last := len(k.samples) - 1
	best := k.first[last]
	for c := k.first[last]; c < k.first[last+1]; c++ {
		if k.states[c].total < k.states[best].total {
			best = c
		}
	}
	path := make([]int32, len(k.samples))
	for i := last; i >= 0; i-- {
		path[i] = best
		best = k.states[best].before
	}
	return path
}
