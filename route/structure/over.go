package structure

import (
	"cmp"
	"math"
	"slices"

	"drawbar/route"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// deck is a bridge of some other way, which may cross over the route.
type deck struct {
	line   orb.LineString
	name   string
	layer  int
	widthM float64 // across it; 0 when not known
	of     *route.Route
}

// edge is an edge of a deck or a way, by the vertex it ends at, as the index
// keeps it.
type edge struct{ deck, at int }

// Around are the ways of an area, and the bridges among them, ready to be looked
// through for what crosses over a route. It is safe for concurrent use.
type Around struct {
	Name  string // source of its findings; "structures file" when empty
	decks []deck
	ways  []*route.Route
	deckG rtree.RTree // edges of decks
	wayG  rtree.RTree // edges of all ways
}

// NewAround indexes ways as a file gave them.
func NewAround(ways []*route.Route) *Around {
	w := &Around{ways: ways}
	for n, r := range ways {
		for i := 1; i < len(r.Line); i++ {
			low, high := box(r.Line[i-1], r.Line[i])
			w.wayG.Insert(low, high, edge{n, i})
		}
		for i := 0; i < len(r.Pieces); i++ {
			if r.Pieces[i].Tags.Bridge == "" {
				continue
			}
			first := i // a deck may be split where a tag changes
			for i+1 < len(r.Pieces) && r.Pieces[i+1].Tags.Bridge != "" && r.Pieces[i+1].First == r.Pieces[i].Last {
				i++
			}
			w.add(r, r.Pieces[first], r.Pieces[i].Last)
		}
	}
	return w
}

// add takes the deck that begins with a piece and ends at a vertex.
func (w *Around) add(r *route.Route, p route.Piece, last int) {
	d := deck{line: r.Line[p.First : last+1], name: p.Tags.Name, layer: p.Tags.Layer, of: r}
	if p.Tags.WidthM.State == route.Known {
		d.widthM = p.Tags.WidthM.Value
	}
	for i := 1; i < len(d.line); i++ {
		low, high := box(d.line[i-1], d.line[i])
		w.deckG.Insert(low, high, edge{len(w.decks), i})
	}
	w.decks = append(w.decks, d)
}

func box(p, q orb.Point) (low, high [2]float64) {
	return [2]float64{min(p[0], q[0]), min(p[1], q[1])}, [2]float64{max(p[0], q[0]), max(p[1], q[1])}
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

// Over places the decks that cross over a way, in the order of the file of ways,
// then of chainage. Where layers do not say which of the two is on top the deck is
// taken to be: its clear height is then asked for.
func (w *Around) Over(a *route.Alignment) []Placed {
	return w.OverBut(a, func(*route.Route, float64) bool { return false })
}

// OverBut is Over without the decks that own knows, at a chainage, for the route's
// own.
func (w *Around) OverBut(a *route.Alignment, own func(*route.Route, float64) bool) (out []Placed) {
	type hit struct {
		edge
		k int
	}
	var hits []hit
	for k := 1; k < len(a.Line); k++ {
		low, high := box(a.Line[k-1], a.Line[k])
		w.deckG.Search(low, high, func(_, _ [2]float64, e any) bool {
			hits = append(hits, hit{e.(edge), k})
			return true
		})
	}
	slices.SortFunc(hits, func(x, y hit) int {
		return cmp.Or(cmp.Compare(x.deck, y.deck), cmp.Compare(x.k, y.k), cmp.Compare(x.at, y.at))
	})
	lastDeck, lastAt := -1, 0.0
	for _, h := range hits {
		d := &w.decks[h.deck]
		s, angle, ok := cross(a, h.k, d.line, h.at)
		if !ok || angle < leastCrossRad || !mayBeAbove(a, s, d.layer) || own(d.of, s) {
			continue
		}
		if h.deck == lastDeck && math.Abs(s-lastAt) < endM {
			continue // once more, at a vertex of the deck
		}
		lastDeck, lastAt = h.deck, s
		width := d.widthM
		if width == 0 {
			width = deckWidthM
		}
		half := width / 2 / math.Sin(angle)
		out = append(out, Placed{
			Feature: &Feature{Kind: Overhead, Name: d.name, Source: cmp.Or(w.Name, "structures file"), MaxHeightM: heightAt(a, s)},
			At:      route.Stretch{FromM: max(s-half, 0), ToM: min(s+half, a.LengthM())},
		})
	}
	return out
}

// Sampling of where ways are known: every knownStepM of the way, one of them
// within about knownNearM. Choices.
const (
	knownStepM = 100.0
	knownNearM = 60.0
)

// KnownM is the length of a way that has ways of the file near it: on the rest
// nobody looked for what crosses over it. The route itself counts where the file
// has it.
func (w *Around) KnownM(a *route.Alignment) float64 {
	n := max(int(math.Ceil(a.LengthM()/knownStepM)), 1)
	known := 0
	for i := range n {
		p := a.At(a.LengthM() * (float64(i) + 0.5) / float64(n))
		north := knownNearM / 111e3
		east := north / max(math.Cos(p[1]*math.Pi/180), 0.01)
		w.wayG.Search([2]float64{p[0] - east, p[1] - north}, [2]float64{p[0] + east, p[1] + north}, func(_, _ [2]float64, _ any) bool {
			known++
			return false
		})
	}
	return a.LengthM() * float64(known) / float64(n)
}

// mayBeAbove reports whether a deck may lie over the leg at a chainage: unless
// the leg is a bridge on a higher layer.
func mayBeAbove(a *route.Alignment, s float64, layer int) bool {
	leg := a.LegsIn(route.Stretch{FromM: s, ToM: s})[0].Tags
	return !(leg.Bridge != "" && leg.Layer > layer)
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
