// Package ways finds the ways a bare line follows ([Network.Match]) and takes
// from them what they say of the road by stretch: tags, structures, limits at
// nodes, and what the line crosses ([Index.Follow]).
//
// The matcher is a hidden Markov model solved with Viterbi, after Newson and
// Krumm, Hidden Markov map matching through noise and sparseness (2009;
// standing: memory): a way is the likelier the nearer it lies, the better its
// direction agrees, and the less its length between two places differs from the
// line's. Leaving the network has a price, so that a stretch may match nothing.
package ways

import (
	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

// Kind is what a way is, as far as a road vehicle is concerned.
type Kind uint8

// Kinds of way. Only roads are followed; the others are crossed.
const (
	Road Kind = iota
	Rail
	Water
	Wire  // a power line or something else on masts
	Other // something else, of no concern
)

// Way is one line of a file of ways. Longitudes are -180 to 180 degrees.
type Way struct {
	ID   string // as messages name it: "way 1234", "feature 5"
	Kind Kind
	What string // what it is, by its tag: "river", "rail", "line"
	Name string
	// Line has at least two vertices, no two neighbours equal.
	Line orb.LineString
	// Nodes are the ids of the vertices: ways that share one meet there. Nil:
	// ways meet where vertices lie on one spot.
	Nodes []int64
	Tags  route.Tags
	// Points are what stands at its vertices: gates, level crossings, limits.
	Points []Point
	// VoltageV is that of a power line, 0 when not known.
	VoltageV float64
	// Below marks a watercourse that runs in a culvert or pipe.
	Below bool
}

// Point is something at a vertex of a way.
type Point struct {
	Vertex  int
	Feature structure.Feature
}
