package ways

import (
	"math"
	"sort"

	"drawbar/route"
)

// Run is a stretch of a line on one way, or on none.
type Run struct {
	At  route.Stretch
	Way *Way // nil: no way of the file is followed here
	// First and Last are the vertices of the way between which it is followed; Back
	// that it is followed against the order of the way.
	First, Last int
	Back        bool
	// WorstM is the largest distance between line and way, metres.
	WorstM float64

	fromM, toM float64 // along its edge, as travelled: toM < fromM when Back
	edge       int32
	a0, a1     int32 // its anchors in the match
}

// anchor ties a place of an edge to a chainage.
type anchor struct{ posM, s float64 }

// Match is how a line follows ways: runs in order, without gap.
type Match struct {
	Runs []Run
	// MeanM and WorstM are the distances between the line and its ways.
	MeanM, WorstM float64
	// MatchedM is the length that follows a way.
	MatchedM float64

	anchors []anchor
}

// Match finds the ways a line follows.
func (n *Network) Match(a *route.Alignment) *Match {
	k := n.pool.Get().(*scratch)
	defer n.pool.Put(k)
	path := n.solve(k, a)
	m := &Match{Runs: make([]Run, 0, len(path)/2+8), anchors: make([]anchor, 0, 2*len(path)+8)}
	count := 0
	for i, id := range path {
		st, s := &k.states[id], k.samples[i].s
		if i > 0 {
			n.join(m, &k.states[path[i-1]], st, k.samples[i-1].s, s)
		} else {
			m.open(st, s)
		}
		if st.edge != off {
			r := &m.Runs[len(m.Runs)-1]
			r.WorstM = math.Max(r.WorstM, st.distM)
			m.WorstM = math.Max(m.WorstM, st.distM)
			m.MeanM += st.distM
			count++
		}
	}
	m.MeanM /= math.Max(float64(count), 1)
	n.name(m)
	return m
}

// open begins a run at a state.
func (m *Match) open(st *state, s float64) {
	r := Run{At: route.Stretch{FromM: s, ToM: s}, edge: st.edge, Back: st.back, fromM: st.posM, toM: st.posM}
	r.a0 = int32(len(m.anchors))
	m.anchors = append(m.anchors, anchor{st.posM, s})
	r.a1 = r.a0 + 1
	m.Runs = append(m.Runs, r)
}

// extend carries the last run to a place of its edge.
func (m *Match) extend(posM, s float64) {
	r := &m.Runs[len(m.Runs)-1]
	if r.Back {
		posM = math.Min(posM, r.toM)
	} else {
		posM = math.Max(posM, r.toM)
	}
	r.At.ToM, r.toM = s, posM
	m.anchors = append(m.anchors, anchor{posM, s})
	r.a1++
}

// join goes from one state to the next.
func (n *Network) join(m *Match, a, b *state, s0, s1 float64) {
	switch {
	case a.edge == off && b.edge == off:
		m.extend(0, s1)
		return
	case a.edge == off: // back on the network
		m.extend(0, s1)
		m.open(b, s1)
		return
	case b.edge == off:
		m.open(b, s0)
		m.extend(0, s1)
		return
	}
	along := b.posM - a.posM
	if a.back {
		along = -along
	}
	if a.edge == b.edge && a.back == b.back && (along >= 0 || along >= -backM && !n.shorterRound(a, b, s1-s0, along)) {
		m.extend(b.posM, s1)
		return
	}
	if a.edge == b.edge && a.back != b.back {
		m.open(b, s0)
		m.extend(b.posM, s1)
		return
	}
	n.through(m, a, b, s0, s1)
}

// shorterRound reports whether the step goes round a loop instead of slipping
// back.
func (n *Network) shorterRound(a, b *state, lineM, along float64) bool {
	node, rest := n.endNode(a)
	start, gone := n.startNode(b)
	for _, r := range n.around(node) {
		if r.node == start {
			return math.Abs(rest+r.distM+gone-lineM)+r.costM-r.distM < math.Abs(along-lineM)
		}
	}
	return false
}

// through follows the edges between two states, sharing out the chainage by
// length.
func (n *Network) through(m *Match, a, b *state, s0, s1 float64) {
	node, rest := n.endNode(a)
	start, gone := n.startNode(b)
	list := n.around(node)
	via := make([]arc, 0, 8)
	for i := range list {
		if list[i].node == start {
			for j := int32(i); list[j].before >= 0; j = list[j].before {
				via = append(via, list[j].via)
			}
			break
		}
	}
	total := rest + gone
	for _, v := range via {
		total += n.edges[v.edge].lenM
	}
	done := 0.0
	at := func() float64 {
		if total == 0 {
			return s0
		}
		return s0 + (s1-s0)*done/total
	}
	done += rest
	m.extend(n.endOf(a.edge, a.back), at())
	for i := len(via) - 1; i >= 0; i-- {
		v := via[i]
		m.open(&state{edge: v.edge, back: v.back, posM: n.endOf(v.edge, !v.back)}, at())
		done += n.edges[v.edge].lenM
		m.extend(n.endOf(v.edge, v.back), at())
	}
	m.open(&state{edge: b.edge, back: b.back, posM: n.endOf(b.edge, !b.back)}, at())
	m.extend(b.posM, s1)
}

// endOf is the place on an edge where it is left in a direction.
func (n *Network) endOf(id int32, back bool) float64 {
	if back {
		return 0
	}
	return n.edges[id].lenM
}

// name gives the runs their ways and drops those without length.
func (n *Network) name(m *Match) {
	out := m.Runs[:0]
	for _, r := range m.Runs {
		if r.At.LengthM() <= 0 && r.fromM == r.toM {
			continue
		}
		if r.edge != off {
			e := &n.edges[r.edge]
			r.Way, r.First, r.Last = n.ways[e.way], int(e.first), int(e.last)
			m.MatchedM += r.At.LengthM()
		}
		out = append(out, r)
	}
	m.Runs = out
}

// chainage is where a run passes a place of its edge, metres along the line.
func (m *Match) chainage(r *Run, posM float64) float64 {
	list := m.anchors[r.a0:r.a1]
	i := sort.Search(len(list), func(i int) bool {
		if r.Back {
			return list[i].posM <= posM
		}
		return list[i].posM >= posM
	})
	if i == 0 {
		return list[0].s
	}
	if i == len(list) {
		return list[i-1].s
	}
	a, b := list[i-1], list[i]
	if a.posM == b.posM {
		return b.s
	}
	return a.s + (b.s-a.s)*(posM-a.posM)/(b.posM-a.posM)
}
