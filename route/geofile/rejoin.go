package geofile

import (
	"slices"
	"strconv"
	"strings"
)

// maxRejoin bounds the search for another order, which compares all ends.
const maxRejoin = 500

// arc is a part between two places, by index.
type arc struct{ from, to int }

// rejoin looks whether all parts of a group would make one line in another
// order, or with some of them turned round, and words that order; "" if not.
// Such an order is an Euler path over the ends: Hierholzer's way finds it.
func rejoin(group []*piece) string {
	var ends []vertex // two a part
	var names []string
	for _, p := range group {
		for i, part := range p.parts {
			ends = append(ends, part[0], part[len(part)-1])
			names = append(names, partName(p, i))
		}
	}
	if len(names) > maxRejoin {
		return ""
	}
	arcs, nodes := arcsOf(ends)
	for _, turning := range []bool{false, true} {
		if steps := eulerPath(arcs, nodes, turning); steps != nil {
			return wordSteps(steps, names)
		}
	}
	return ""
}

// arcsOf gives ends within MaxJoinM of each other one node.
func arcsOf(ends []vertex) (arcs []arc, nodes int) {
	at := make([]int, len(ends))
	var places []vertex
	for i, e := range ends {
		at[i] = slices.IndexFunc(places, func(p vertex) bool { return groundM(p, e) <= MaxJoinM })
		if at[i] < 0 {
			at[i] = len(places)
			places = append(places, e)
		}
	}
	for i := 0; i < len(at); i += 2 {
		arcs = append(arcs, arc{at[i], at[i+1]})
	}
	return arcs, len(places)
}

// step is a part in the order found, against its direction if back.
type step struct {
	part int
	back bool
}

// eulerPath gives a path over every arc once, nil if there is none. Arcs may
// be walked backwards only if turning.
func eulerPath(arcs []arc, nodes int, turning bool) []step {
	out := make([][]step, nodes)
	surplus := make([]int, nodes) // out minus in; if turning: the degree
	for i, a := range arcs {
		out[a.from] = append(out[a.from], step{part: i})
		surplus[a.from]++
		if turning {
			out[a.to] = append(out[a.to], step{part: i, back: true})
			surplus[a.to]++
		} else {
			surplus[a.to]--
		}
	}
	used := make([]bool, len(arcs))
	var path []step
	var walk func(node int, came step)
	walk = func(node int, came step) {
		for len(out[node]) > 0 {
			s := out[node][0]
			out[node] = out[node][1:]
			if used[s.part] {
				continue
			}
			used[s.part] = true
			next := arcs[s.part].to
			if s.back {
				next = arcs[s.part].from
			}
			walk(next, s)
		}
		if came.part >= 0 {
			path = append(path, came)
		}
	}
	walk(startNode(arcs, surplus, turning), step{part: -1})
	slices.Reverse(path)
	if len(path) != len(arcs) || !connected(path, arcs) {
		return nil
	}
	return path
}

// startNode is where a path must start: where more leaves than comes, or at an
// odd end, else anywhere.
func startNode(arcs []arc, surplus []int, turning bool) int {
	for node, s := range surplus {
		if (turning && s%2 == 1) || (!turning && s > 0) {
			return node
		}
	}
	return arcs[0].from
}

// connected holds the path against the arcs: each step starts where the one
// before ends.
func connected(path []step, arcs []arc) bool {
	at := -1
	for _, s := range path {
		from, to := arcs[s.part].from, arcs[s.part].to
		if s.back {
			from, to = to, from
		}
		if at >= 0 && from != at {
			return false
		}
		at = to
	}
	return true
}

// wordSteps lists the first parts of the order found.
func wordSteps(steps []step, names []string) string {
	const most = 12
	var b strings.Builder
	for i, s := range steps {
		if i == most {
			b.WriteString(", and " + strconv.Itoa(len(steps)-most) + " more")
			break
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(names[s.part])
		if s.back {
			b.WriteString(" reversed")
		}
	}
	return b.String()
}
