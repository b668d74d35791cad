package ways

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// Network are the roads of a file as edges between the places where ways meet.
// It is safe for concurrent use.
type Network struct {
	ways  []*Way
	edges []edge
	segs  []seg
	out   [][]arc // by node
	grid  grid
	reach []atomic.Pointer[[]reached] // by node, made when first asked for
	pool  sync.Pool                   // of *scratch
}

// edge is a part of a way between two nodes.
type edge struct {
	way         int32
	first, last int32 // vertices of the way
	from, to    int32 // nodes
	seg0, seg1  int32 // its segments
	lenM        float64
	priorCost   float64 // of a reading, for what the way is
	oneway      int8    // 1 along the way only, -1 against it only
}

// seg is a straight piece of an edge.
type seg struct {
	a, b orb.Point
	edge int32
	atM  float64 // from the start of the edge
	lenM float64
}

// arc is an edge as it leaves a node.
type arc struct {
	edge int32
	back bool // against the order of the way
	to   int32
}

// NewNetwork joins the roads among ways where they share a node, or, where a
// file has none, a vertex. Vertices on one spot do not join two ways that are on
// different layers there, unless one of them ends.
func NewNetwork(list []*Way) *Network {
	n := &Network{}
	n.pool.New = func() any { return &scratch{} }
	for _, w := range list {
		if w.Kind == Road && len(w.Line) > 1 {
			n.ways = append(n.ways, w)
		}
	}
	names := newNamer(n.ways)
	uses := make([]int32, 0)
	ids := make([][]int32, len(n.ways))
	for i, w := range n.ways {
		ids[i] = make([]int32, len(w.Line))
		for v := range w.Line {
			id := names.node(w, v)
			for int(id) >= len(uses) {
				uses = append(uses, 0)
			}
			ids[i][v] = id
			uses[id]++
			if v == 0 || v == len(w.Line)-1 {
				uses[id]++ // an end is a node whoever else is there
			}
		}
	}
	node := make([]int32, len(uses)) // its number in the graph, plus 1
	count := int32(0)
	for id, u := range uses {
		if u > 1 {
			count++
			node[id] = count
		}
	}
	n.out = make([][]arc, count)
	n.reach = make([]atomic.Pointer[[]reached], count)
	for i, w := range n.ways {
		first := 0
		for v := 1; v < len(w.Line); v++ {
			if node[ids[i][v]] == 0 {
				continue
			}
			n.add(int32(i), w, first, v, node[ids[i][first]]-1, node[ids[i][v]]-1)
			first = v
		}
	}
	n.grid = newGrid(n.segs)
	return n
}

// add takes the edge of a way between two of its vertices.
func (n *Network) add(way int32, w *Way, first, last int, from, to int32) {
	e := edge{way: way, first: int32(first), last: int32(last), from: from, to: to, seg0: int32(len(n.segs))}
	switch w.Tags.Oneway {
	case "yes":
		e.oneway = 1
	case "-1":
		e.oneway = -1
	}
	if w.Tags.Access != "" {
		e.priorCost += closedCost
	}
	if len(w.Tags.Doubts) > 0 {
		e.priorCost += noRoadCost
	}
	id := int32(len(n.edges))
	for v := first + 1; v <= last; v++ {
		a, b := w.Line[v-1], w.Line[v]
		s := seg{a: a, b: b, edge: id, atM: e.lenM, lenM: route.Distance(a, b)}
		e.lenM += s.lenM
		n.segs = append(n.segs, s)
	}
	e.seg1 = int32(len(n.segs))
	n.edges = append(n.edges, e)
	n.out[from] = append(n.out[from], arc{id, false, to})
	n.out[to] = append(n.out[to], arc{id, true, from})
}

// namer gives vertices that are one place one number.
type namer struct {
	byID   map[int64]int32
	bySpot map[[3]int64]int32
	ends   map[[2]int64]bool
	next   int32
}

func newNamer(list []*Way) *namer {
	m := &namer{byID: map[int64]int32{}, bySpot: map[[3]int64]int32{}, ends: map[[2]int64]bool{}}
	for _, w := range list {
		if w.Nodes == nil {
			m.ends[spot(w.Line[0])] = true
			m.ends[spot(w.Line[len(w.Line)-1])] = true
		}
	}
	return m
}

// spot is a position to a millionth of a degree, about 0.1 m: nearer vertices of
// ways without node ids are one place. Choice.
func spot(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Round(p[0] * 1e6)), int64(math.Round(p[1] * 1e6))}
}

func (m *namer) node(w *Way, v int) int32 {
	if w.Nodes != nil {
		return number(m.byID, w.Nodes[v], &m.next)
	}
	at := spot(w.Line[v])
	layer := int64(0) // ends join all layers: a bridge ends on the road before it
	if !m.ends[at] {
		layer = int64(w.Tags.Layer)
		if w.Tags.Bridge != "" && layer == 0 {
			layer = 1
		}
		if w.Tags.Tunnel != "" && layer == 0 {
			layer = -1
		}
	}
	return number(m.bySpot, [3]int64{at[0], at[1], layer}, &m.next)
}

func number[K comparable](m map[K]int32, k K, next *int32) int32 {
	id, ok := m[k]
	if !ok {
		id = *next
		*next++
		m[k] = id
	}
	return id
}

// reached is a node that may be reached from another along the roads.
type reached struct {
	node   int32
	via    arc   // the last edge to it
	before int32 // index of the node before it in the list, -1 for the start
	distM  float64
	// costM is distM and what driving against a one-way adds.
	costM float64
}

// reachM is how far the neighbourhood of a node is looked through, metres.
// Choice: three steps of the matcher.
const reachM = 3 * stepM

// wrongWay is what a metre against a one-way road counts more. Choice: lines are
// drawn against it now and then, but not where the other carriageway is as near.
const wrongWay = 1.5

// around lists what may be reached from a node within reachM, nearest first.
func (n *Network) around(from int32) []reached {
	if p := n.reach[from].Load(); p != nil {
		return *p
	}
	list := n.search(from)
	n.reach[from].Store(&list)
	return list
}

// search is Dijkstra's within a bound; the few open nodes are looked through.
func (n *Network) search(from int32) []reached {
	done := []reached{{node: from, before: -1}}
	var open []reached
	grow := func(at int32) {
		for _, a := range n.out[done[at].node] {
			e := &n.edges[a.edge]
			r := reached{node: a.to, via: a, before: at, distM: done[at].distM + e.lenM, costM: done[at].costM + e.lenM}
			if e.against(a.back) {
				r.costM += e.lenM * wrongWay
			}
			if r.distM <= reachM && !slices.ContainsFunc(done, func(d reached) bool { return d.node == r.node }) {
				open = append(open, r)
			}
		}
	}
	grow(0)
	for len(open) > 0 {
		best := 0
		for i := range open {
			if open[i].costM < open[best].costM {
				best = i
			}
		}
		r := open[best]
		open[best] = open[len(open)-1]
		open = open[:len(open)-1]
		if slices.ContainsFunc(done, func(d reached) bool { return d.node == r.node }) {
			continue
		}
		done = append(done, r)
		grow(int32(len(done) - 1))
	}
	return done
}

// against reports whether a direction is against a one-way edge.
func (e *edge) against(back bool) bool { return e.oneway > 0 && back || e.oneway < 0 && !back }

// Pieces counts the parts of the network between which no road runs.
func (n *Network) Pieces() int {
	root := make([]int32, len(n.out))
	for i := range root {
		root[i] = int32(i)
	}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	count := len(root)
	for i := range n.edges {
		if a, b := find(n.edges[i].from), find(n.edges[i].to); a != b {
			root[a] = b
			count--
		}
	}
	return count
}
