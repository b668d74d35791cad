package check

import (
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// ground is what a leg may be made of: for each motion the option that surely
// passes least and the one that fails last. They are the same when the surface
// is known.
type ground struct {
	span [motions]span
	from string
}

// span is the worst and the best that the ground may be.
type span struct{ worst, best *option }

// known reports whether the ground is one surface.
func (g span) known() bool { return g.worst == g.best }

// label says what the ground is, or between what it lies.
func (g span) label() string {
	if g.known() {
		return label(g.worst.surface)
	}
	return label(g.best.surface) + " to " + label(g.worst.surface)
}

// groundOf is what the tags say of the ground of a leg.
func (s *Setup) groundOf(t route.Tags) *ground {
	set, err := s.surfaces.Possible(traction.SurfaceTags{
		Highway: t.Highway, Surface: t.Surface, Tracktype: t.Tracktype, Smoothness: t.Smoothness,
	}, traction.Weather(s.Weather))
	if err != nil || len(set) == 0 {
		set, _ = s.surfaces.Surfaces(traction.Weather(s.Weather)) // weather was checked by NewSetup
	}
	g := &ground{from: set[0].From}
	for _, su := range set {
		o := s.on(su.Name)
		for m := range g.span {
			w := &g.span[m]
			if w.worst == nil || o.capacity[m].passGrade() < w.worst.capacity[m].passGrade() {
				w.worst = o
			}
			if w.best == nil || o.capacity[m].failGrade() > w.best.capacity[m].failGrade() {
				w.best = o
			}
		}
	}
	return g
}

// unknownSurface says which values of the surface tag nobody knows.
func unknownSurface(s *Situation, k *Sink) {
	length, values := 0.0, []string{}
	for _, l := range s.Way.LegsIn(s.Window) {
		if s.surfaces.Known(l.Tags.Surface, traction.Weather(s.Weather)) {
			continue
		}
		length += clip(l.At, s.Window).LengthM()
		if !slices.Contains(values, l.Tags.Surface) {
			values = append(values, l.Tags.Surface)
		}
	}
	if length > 0 {
		f := standing(s, "surface={what} is no value this program knows, on {share} of the length: any ground is taken there", "look at the surface; correct the tag", length/s.Window.LengthM())
		f.Q = append(f.Q, Quantity{Name: "what", Text: strings.Join(values, ", "), Unit: Literal})
		k.Place(f)
	}
}

// underTrain is the ground below the train at a station: for each motion the
// leg that limits it at the worst, and the one that limits it at the best, of
// what the ground may be.
type underTrain struct {
	span [motions]span
	leg  [motions]*ground // of the worst
}

// layGrounds finds for every station the legs under the train.
func (s *Situation) layGrounds() {
	legs := make([]*ground, len(s.Way.Legs))
	reach := s.reach()
	for i, l := range s.Way.Legs {
		if s.only == nil || l.At.ToM >= reach.FromM && l.At.FromM <= reach.ToM {
			legs[i] = s.groundOf(l.Tags)
		}
	}
	s.grounds = make([]*underTrain, len(s.Profile.ChainageM))
	first, held := 0, [2]int{-1, -1} // first and last leg of the ground at hand
	for i, c := range s.Profile.ChainageM {
		if s.only != nil && (c < s.Window.FromM || c > s.Window.ToM) {
			continue
		}
		under := s.under(c)
		for first < len(legs)-1 && s.Way.Legs[first].At.ToM <= under.FromM {
			first++
		}
		last := first
		for last+1 < len(legs) && s.Way.Legs[last+1].At.FromM < under.ToM {
			last++
		}
		if held == [2]int{first, last} {
			s.grounds[i] = s.grounds[i-1]
			continue
		}
		g := &underTrain{span: legs[first].span}
		for m := range g.leg {
			g.leg[m] = legs[first]
		}
		for j := first + 1; j <= last; j++ {
			g.meet(legs[j])
		}
		s.grounds[i], held = g, [2]int{first, last}
	}
}

// meet takes in another leg that the train stands on: it must master both.
func (g *underTrain) meet(l *ground) {
	for m := range g.span {
		if l.span[m].worst.capacity[m].passGrade() < g.span[m].worst.capacity[m].passGrade() {
			g.span[m].worst, g.leg[m] = l.span[m].worst, l
		}
		if l.span[m].best.capacity[m].failGrade() < g.span[m].best.capacity[m].failGrade() {
			g.span[m].best = l.span[m].best
		}
	}
}

// SurfaceAssumed lists the surface values the situation used.
func (s *Situation) SurfaceAssumed() (out []route.Assumption) {
	seen := map[string]bool{}
	for i, g := range s.grounds {
		if i > 0 && g == s.grounds[i-1] {
			continue
		}
		for _, sp := range g.span {
			for _, o := range []*option{sp.worst, sp.best} {
				if seen[o.surface.Name] {
					continue
				}
				seen[o.surface.Name] = true
				for _, a := range o.surface.Assumed() {
					out = append(out, route.Assumption(a))
				}
			}
		}
	}
	for _, a := range traction.DefaultStart().Assumed() {
		out = append(out, route.Assumption(a))
	}
	return append(out, route.Assumption{Key: "effort.error", Value: effortError, Unit: "1",
		Source: "relative standard error of pull where effort decides", Standing: "choice"})
}
