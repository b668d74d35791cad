package ways

import "math"

// endNode is where an edge is left in a direction, and what is left of it from a
// place.
func (n *Network) endNode(s *state) (node int32, restM float64) {
	e := &n.edges[s.edge]
	if s.back {
		return e.from, s.posM
	}
	return e.to, e.lenM - s.posM
}

// startNode is where an edge is entered in a direction, and what lies between
// there and a place.
func (n *Network) startNode(s *state) (node int32, goneM float64) {
	e := &n.edges[s.edge]
	if s.back {
		return e.to, e.lenM - s.posM
	}
	return e.from, s.posM
}

// step finds for each state of a sample the best one before it.
func (n *Network) step(k *scratch, i int) {
	prev, cur := k.states[k.first[i-1]:k.first[i]], k.states[k.first[i]:k.first[i+1]]
	lineM := k.samples[i].s - k.samples[i-1].s
	for c := range cur {
		cur[c].total, cur[c].before = math.Inf(1), -1
	}
	for p := range prev {
		a := &prev[p]
		if math.IsInf(a.total, 1) {
			continue
		}
		if a.edge == off {
			for c := range cur {
				price := leaveCost
				if cur[c].edge == off {
					price = 0
				}
				cur[c].offer(a.total+price, p, k.first[i-1])
			}
			continue
		}
		n.from(k, a, p, cur, lineM, k.first[i-1])
	}
	for c := range cur {
		cur[c].total += cur[c].cost
	}
}

func (s *state) offer(total float64, p int, first int32) {
	if total < s.total {
		s.total, s.before = total, first+int32(p)
	}
}

// from offers the ways on from one state.
func (n *Network) from(k *scratch, a *state, p int, cur []state, lineM float64, first int32) {
	node, rest := n.endNode(a)
	farthest := lineM*1.5 + 50 - rest // beyond, the difference costs more than leaving the network
	looked := false
	for c := range cur {
		b := &cur[c]
		if b.edge == off {
			b.offer(a.total+leaveCost, p, first)
			continue
		}
		if b.edge == a.edge {
			along := b.posM - a.posM
			if a.back {
				along = -along
			}
			switch {
			case b.back == a.back && along >= -backM:
				b.offer(a.total+math.Abs(along-lineM)/betaM, p, first)
				if along >= 0 {
					continue
				}
			case b.back != a.back:
				b.offer(a.total+turnCost+math.Abs(math.Abs(along)-lineM)/betaM, p, first)
			}
		}
		if farthest < 0 {
			continue
		}
		if !looked {
			n.mark(k, node, farthest)
			looked = true
		}
		start, gone := n.startNode(b)
		if k.stamp[start] != k.now {
			continue
		}
		extra := k.node[start] - k.lenTo[start] // against one-way roads
		b.offer(a.total+(math.Abs(rest+k.lenTo[start]+gone-lineM)+extra)/betaM, p, first)
	}
}

// mark notes what may be reached from a node.
func (n *Network) mark(k *scratch, node int32, farthest float64) {
	if k.now == math.MaxInt32 {
		clear(k.stamp)
		k.now = 0
	}
	k.now++
	for _, r := range n.around(node) {
		if r.costM > farthest {
			if r.distM > farthest && r.costM > farthest*(1+wrongWay) {
				break
			}
			continue
		}
		k.stamp[r.node], k.node[r.node], k.lenTo[r.node] = k.now, r.costM, r.distM
	}
}
