package structure

import (
	"math"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// Deck is a bridge of some other way, which may cross over the route.
type Deck struct {
	Line   orb.LineString
	Name   string
	Layer  int
	WidthM float64 // of the deck, across it; 0 when not known
}

// Decks takes the bridges out of ways as a file gave them; never nil.
func Decks(ways []*route.Route) []Deck {
	out := []Deck{}
	for _, w := range ways {
		for _, p := range w.Pieces {
			if p.Tags.Bridge == "" {
				continue
			}
			d := Deck{Line: w.Line[p.First : p.Last+1], Name: p.Tags.Name, Layer: p.Tags.Layer}
			if p.Tags.WidthM.State == route.Known {
				d.WidthM = p.Tags.WidthM.Value
			}
			out = append(out, d)
		}
	}
	return out
}

const (
	// deckWidthM is the width of a deck nobody gave, metres. Choice.
	deckWidthM = 10.0
	// leastCrossRad: lines that meet at less run along each other; they do not
	// cross. Choice, 15 degrees.
	leastCrossRad = 15 * math.Pi / 180
	// endM: a deck that begins at the route is a junction, not a crossing.
	endM = 1.0
)

// Over places the decks that cross over a way. A deck whose layer is not above
// the way's own leg is left out: there the way is on top.
func Over(a *route.Alignment, decks []Deck) (out []Placed) {
	bound := a.Line.Bound().Pad(1e-4)
	for i := range decks {
		d := &decks[i]
		if !d.Line.Bound().Intersects(bound) {
			continue
		}
		for k := 1; k < len(a.Line); k++ {
			for j := 1; j < len(d.Line); j++ {
				s, angle, ok := cross(a, k, d.Line, j)
				if !ok || angle < leastCrossRad || !above(a, s, d.Layer) {
					continue
				}
				width := d.WidthM
				if width == 0 {
					width = deckWidthM
				}
				half := width / 2 / math.Sin(angle)
				out = append(out, Placed{
					Feature: &Feature{Kind: Overhead, Name: d.Name, Source: "structures file", MaxHeightM: heightAt(a, s)},
					At:      route.Stretch{FromM: max(s-half, 0), ToM: min(s+half, a.LengthM())},
				})
			}
		}
	}
	return out
}

// above reports whether a layer lies over the leg at a chainage. An untagged
// deck (layer 0) lies over a way that is no bridge itself.
func above(a *route.Alignment, s float64, layer int) bool {
	leg := a.LegsIn(route.Stretch{FromM: s, ToM: s})[0].Tags
	return layer > leg.Layer || (layer == 0 && leg.Layer == 0 && leg.Bridge == "")
}

// heightAt is the height posted on the way's own leg.
func heightAt(a *route.Alignment, s float64) route.Limit {
	return a.LegsIn(route.Stretch{FromM: s, ToM: s})[0].Tags.MaxHeightM
}

// cross intersects edge k of the way with edge j of a line: the chainage, and
// the acute angle between them, radians.
func cross(a *route.Alignment, k int, line orb.LineString, j int) (s, angle float64, ok bool) {
	p, q, u, v := a.Line[k-1], a.Line[k], line[j-1], line[j]
	x := math.Cos(p[1] * math.Pi / 180) // a degree of longitude over one of latitude
	rx, ry := (q[0]-p[0])*x, q[1]-p[1]
	sx, sy := (v[0]-u[0])*x, v[1]-u[1]
	den := rx*sy - ry*sx
	if den == 0 {
		return 0, 0, false
	}
	wx, wy := (u[0]-p[0])*x, u[1]-p[1]
	t, w := (wx*sy-wy*sx)/den, (wx*ry-wy*rx)/den
	if t < 0 || t >= 1 || w < 0 || w > 1 {
		return 0, 0, false
	}
	at := orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
	if route.Distance(at, line[0]) < endM || route.Distance(at, line[len(line)-1]) < endM {
		return 0, 0, false
	}
	angle = math.Abs(math.Atan2(den, rx*sx+ry*sy))
	return a.ChainageM[k-1] + t*(a.ChainageM[k]-a.ChainageM[k-1]), min(angle, math.Pi-angle), true
}
