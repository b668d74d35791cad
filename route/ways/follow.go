package ways

import (
	"cmp"
	"fmt"
	"slices"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
)

// Index is a file of ways, ready to be looked through for what a route follows
// and crosses. It is safe for concurrent use.
type Index struct {
	Name  string // of the file
	net   *Network
	cross *crossed
	decks *structure.Around
}

// NewIndex makes an index of the ways of a file.
func NewIndex(name string, list []*Way) *Index {
	x := &Index{Name: name, net: NewNetwork(list), cross: newCrossed(list)}
	around := make([]*route.Route, 0, len(list))
	for _, w := range list {
		if w.Kind == Road || w.Kind == Rail || w.Tags.Bridge != "" {
			around = append(around, &route.Route{ID: w.ID, Line: w.Line, Pieces: []route.Piece{{First: 0, Last: len(w.Line) - 1, Tags: w.Tags}}})
		}
	}
	x.decks = structure.NewAround(around)
	x.decks.Name = x.source()
	return x
}

// source is how findings name the file.
func (x *Index) source() string { return "ways of " + x.Name }

// Found is what the ways say of a route.
type Found struct {
	// Way is the route with the tags of its ways joined to its own.
	Way   *route.Alignment
	Match *Match
	// Placed are what stands at the nodes of its ways, what crosses over it, and
	// what it crosses.
	Placed []structure.Placed
	// OverM is the length with ways near it, which were looked through for what
	// crosses.
	OverM float64
}

// Follow matches a route, travelled in the order of its file, and takes what its
// ways say.
func (x *Index) Follow(a *route.Alignment) *Found {
	m := x.net.Match(a)
	f := &Found{Match: m, Way: a.WithLegs(x.legs(a, m)), OverM: x.decks.KnownM(a)}
	f.Placed = x.points(a, m)
	f.Placed = append(f.Placed, x.decks.OverBut(f.Way, func(deck *route.Route, s float64) bool { return m.follows(deck.ID, s) })...)
	f.Placed = append(f.Placed, x.cross.placed(f, x.source())...)
	slices.SortStableFunc(f.Placed, func(p, q structure.Placed) int { return cmp.Compare(p.At.FromM, q.At.FromM) })
	return f
}

// ownDeckM is how near a way must be followed for its deck to be our own, metres.
// Choice.
const ownDeckM = 50.0

// follows reports whether a way is followed near a chainage.
func (m *Match) follows(id string, s float64) bool {
	return slices.ContainsFunc(m.Runs, func(r Run) bool {
		return r.Way != nil && r.Way.ID == id && r.At.FromM-ownDeckM < s && s < r.At.ToM+ownDeckM
	})
}

// Follows reports whether a line is, near a chainage, a way that is followed there.
func (f *Found) Follows(line orb.LineString, s float64) bool {
	return slices.ContainsFunc(f.Match.Runs, func(r Run) bool {
		return r.Way != nil && r.At.FromM-ownDeckM < s && s < r.At.ToM+ownDeckM && slices.Equal(r.Way.Line, line)
	})
}

// legs cuts the legs of the route where its ways change and joins their tags.
func (x *Index) legs(a *route.Alignment, m *Match) (out []route.Leg) {
	i := 0
	var way *Way
	back, leg := false, -1
	for k, l := range a.Legs {
		for i > 0 && m.Runs[i].At.FromM > l.At.FromM {
			i--
		}
		for ; i < len(m.Runs); i++ {
			r := &m.Runs[i]
			at := route.Stretch{FromM: max(r.At.FromM, l.At.FromM), ToM: min(r.At.ToM, l.At.ToM)}
			if at.LengthM() > 0 {
				if n := len(out); n > 0 && leg == k && way == r.Way && back == r.Back && out[n-1].At.ToM == at.FromM {
					out[n-1].At.ToM = at.ToM
				} else {
					out = append(out, x.join(l, r, at))
					way, back, leg = r.Way, r.Back, k
				}
			}
			if r.At.ToM > l.At.ToM {
				break
			}
		}
		i = min(i, len(m.Runs)-1)
	}
	if len(out) == 0 {
		return a.Legs
	}
	// Runs cover the line; rounding must not leave a hole.
	out[0].At.FromM, out[len(out)-1].At.ToM = 0, a.LengthM()
	for i := 1; i < len(out); i++ {
		out[i].At.FromM = out[i-1].At.ToM
	}
	return out
}

// join is a leg with the tags of its way.
func (x *Index) join(l route.Leg, r *Run, at route.Stretch) route.Leg {
	l.At = at
	if r.Way == nil {
		return l
	}
	t := r.Way.Tags
	if r.Back {
		t = t.Turned()
	}
	of := fmt.Sprintf("%s of %s", r.Way.ID, x.Name)
	if !l.Tags.Mapped {
		l.Tags, l.Differs = bare(l.Tags, t, of)
		l.From = x.source()
		return l
	}
	before := l.Tags
	l.Tags, l.Differs = tagged(l.Tags, t, of)
	if len(l.Differs) > 0 || !sameStructure(before, l.Tags) {
		l.From = "route tags and " + x.source()
	}
	return l
}

func sameStructure(a, b route.Tags) bool {
	return a.Bridge == b.Bridge && a.Tunnel == b.Tunnel && a.Ford == b.Ford && a.Covered == b.Covered && a.MaxMassKg == b.MaxMassKg && a.MaxHeightM == b.MaxHeightM
}

// pointHalfM is half the length that something at a node takes of the way,
// metres. Choice.
const pointHalfM = 2.5

// at is the stretch about a place.
func about(a *route.Alignment, s, halfM float64) route.Stretch {
	return route.Stretch{FromM: max(s-halfM, 0), ToM: min(s+halfM, a.LengthM())}
}

// points places what stands at the nodes that are passed.
func (x *Index) points(a *route.Alignment, m *Match) (out []structure.Placed) {
	type spotAt struct {
		lon, lat float64
		kind     structure.Kind
	}
	last := map[spotAt]float64{}
	for i := range m.Runs {
		r := &m.Runs[i]
		if r.Way == nil {
			continue
		}
		for _, p := range r.Way.Points {
			if p.Vertex < r.First || p.Vertex > r.Last {
				continue
			}
			pos := x.net.vertexM(r.edge, p.Vertex)
			if lo, hi := min(r.fromM, r.toM), max(r.fromM, r.toM); pos < lo-0.01 || pos > hi+0.01 {
				continue
			}
			s := m.chainage(r, pos)
			at := spotAt{r.Way.Line[p.Vertex][0], r.Way.Line[p.Vertex][1], p.Feature.Kind}
			if before, ok := last[at]; ok && s-before < 2*pointHalfM {
				continue // the same passing, by the next edge
			}
			last[at] = s
			f := p.Feature
			f.Source = x.source()
			out = append(out, structure.Placed{Feature: &f, At: about(a, s, pointHalfM)})
		}
	}
	return out
}

// vertexM is where a vertex of its way lies on an edge.
func (n *Network) vertexM(id int32, vertex int) float64 {
	e := &n.edges[id]
	if vertex == int(e.last) {
		return e.lenM
	}
	return n.segs[e.seg0+int32(vertex)-e.first].atM
}

// Pieces counts the parts of the roads between which no road runs.
func (x *Index) Pieces() int { return x.net.Pieces() }

// Assumed are the choices that decide what a line follows and crosses.
func (x *Index) Assumed() []route.Assumption {
	return []route.Assumption{
		{Key: "ways.search_m", Value: searchM, Unit: "m", Source: "farthest from the line that a way is followed", Standing: "choice"},
		{Key: "ways.off_m", Value: offM, Unit: "m", Source: "a line no farther off than this is rather on its way than on none; more where it is drawn loosely", Standing: "choice"},
		{Key: "ways.beside_m", Value: besideM, Unit: "m", Source: "a bridge, ford or level crossing within this carries the way over what it crosses", Standing: "choice"},
	}
}
