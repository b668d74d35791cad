package route

import (
	"math"

	"github.com/paulmach/orb"
)

// Straight is a straight route of pieces of given lengths, metres above 0, and
// tags: for a way that somebody describes on the spot and no map shows. It
// runs east along the equator, which is a geodesic: chainages are the lengths.
func Straight(id string, lengthM []float64, tags []Tags) *Route {
	r := &Route{ID: id, Line: orb.LineString{{0, 0}}}
	sum := 0.0
	for i, l := range lengthM {
		sum += l
		r.Line = append(r.Line, orb.Point{sum / semiMajorM * 180 / math.Pi, 0})
		r.Pieces = append(r.Pieces, Piece{First: i, Last: i + 1, Tags: tags[i]})
	}
	return r
}
