package verdict

import (
	"cmp"
	"fmt"
	"slices"

	"drawbar/route"
	"drawbar/route/structure"
	"drawbar/route/ways"
)

// looked is a way with what was found on it and over it.
type looked struct {
	way    *route.Alignment
	placed []structure.Placed
	seen   structure.Looked
}

// look measures a route and finds its structures: in the tags of its file, in the
// ways it follows, in a file of structures.
func (j *Judge) look(r *route.Route, reverse bool) (*looked, error) {
	way, err := route.Align(r)
	if err != nil {
		return nil, err
	}
	tagged := taggedM(way)
	var found *ways.Found
	if j.Ways != nil {
		found = j.Ways.Follow(way)
		way = found.Way
	}
	if reverse {
		way = way.Reverse()
	}
	w := &looked{way: way}
	w.placed, w.seen = structure.Place(way)
	w.seen.Sources = append(w.seen.Sources, structure.Source{Name: "route tags", For: "bridges, tunnels, fords, limits", LengthM: tagged})
	if found != nil {
		w.follow(found, j.Ways.Name, reverse)
	}
	if f := j.Structures; f != nil {
		w.placed = f.Place(way, w.placed)
		w.seen.Sources = append(w.seen.Sources, structure.Source{Name: f.Name, For: "structures and areas", LengthM: way.LengthM()})
	}
	if j.Around != nil {
		w.decks(j.Around, found, reverse)
	}
	return w, nil
}

// decks takes the decks of a file of structures. Those of ways that the route
// follows are its own.
func (w *looked) decks(around *structure.Around, f *ways.Found, reverse bool) {
	own := func(deck *route.Route, s float64) bool {
		if reverse {
			s = w.way.LengthM() - s
		}
		return f != nil && f.Follows(deck.Line, s)
	}
	for _, deck := range around.OverBut(w.way, own) {
		w.add(deck)
	}
	over := around.KnownM(w.way)
	w.seen.OverM = max(w.seen.OverM, over)
	w.seen.Sources = append(w.seen.Sources, structure.Source{Name: cmp.Or(around.Name, "structures file"), For: "bridges over the way", LengthM: over})
}

// taggedM is the length whose own file describes the way.
func taggedM(a *route.Alignment) (m float64) {
	for _, l := range a.Legs {
		if l.Tags.Mapped {
			m += l.At.LengthM()
		}
	}
	return m
}

// follow takes what the ways say.
func (w *looked) follow(f *ways.Found, name string, reverse bool) {
	length := w.way.LengthM()
	placed := slices.Clone(f.Placed)
	if reverse {
		slices.Reverse(placed)
		for i := range placed {
			placed[i].At = route.Stretch{FromM: length - placed[i].At.ToM, ToM: length - placed[i].At.FromM}
		}
	}
	for _, p := range placed {
		w.add(p)
	}
	w.seen.Ways, w.seen.OverM = name, f.OverM
	w.seen.Sources = append(w.seen.Sources,
		structure.Source{Name: name, For: "the ways followed: bridges, tunnels, fords, gates, limits", LengthM: f.Match.MatchedM},
		structure.Source{Name: name, For: "bridges and wires over the way, railways and watercourses across it", LengthM: f.OverM})
	w.seen.Notes = append(w.seen.Notes, fmt.Sprintf("%.1f %% of the length follows ways of %s, on average %.1f m off them, %.0f m at most", 100*f.Match.MatchedM/length, name, f.Match.MeanM, f.Match.WorstM))
}

// add puts a structure among the others. Over a tunnel or cover tagged there, or
// a deck known already, a deck asks for the same clear height.
func (w *looked) add(p structure.Placed) {
	if p.Feature.Kind != structure.Overhead {
		w.placed = append(w.placed, p)
		return
	}
	if !slices.ContainsFunc(w.placed, func(q structure.Placed) bool {
		return (q.Feature.Kind == structure.Tunnel || q.Feature.Kind == structure.Overhead && q.Feature.What == p.Feature.What) && q.At.Overlaps(p.At)
	}) {
		w.placed = append(w.placed, p)
	}
}
