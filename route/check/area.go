package check

import (
	"drawbar/route"
	"drawbar/route/structure"
)

// area judges areas the way enters: one to keep out of fails, one with limits is
// judged by them, one with dates or a danger is a question.
func area(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		a := p.Feature
		f := about(p, Quantity{Name: "length", Value: p.At.LengthM(), Unit: Metre},
			Quantity{Name: "since", Text: a.ValidFrom, Unit: Literal}, Quantity{Name: "until", Text: a.ValidUntil, Unit: Literal})
		limited := false
		for _, c := range s.bridgeLimits(a) {
			switch c.l.State {
			case route.Known:
				limited = true
				g := s.bridgeFinding(p, c, s.bridgeNeeds(p))
				if g.Outcome == Fail {
					g.Do = "go round, or get leave for this area in writing"
				}
				k.Place(g)
			case route.Unreadable:
				limited = true
				g := about(p, Quantity{Name: "text", Text: c.l.Raw, Unit: Literal})
				g.Say, g.Close = "{name}: a limit of the area cannot be read: \"{text}\"", "ask who set it, by {source}"
				k.Place(g)
			}
		}
		switch {
		case a.MaxHeightM.State == route.Known:
			k.Place(s.heightFinding(p.At, a.MaxHeightM, named(a.Name)))
		case limited:
		case a.ValidFrom != "" || a.ValidUntil != "":
			f.Say = "{what}, {name}, entered for {length}: holds {since} to {until} by {source}"
			f.Close = "is the day of the passage within? outside these dates it passes; within them go round or get leave in writing"
			k.Place(f)
		case a.What == "no-go":
			f.Outcome, f.P = Fail, 0
			f.Say = "no-go area {name}, entered for {length}, by {source}"
			f.Do = "go round"
			k.Place(f)
		default:
			f.Say = "area of {what}, {name}, entered for {length}, by {source}"
			f.Close = "ask who knows the place whether the train may pass there, and on what terms; or go round"
			k.Place(f)
		}
	}, structure.Area)
}

// sources tells limits on which two sources differ: the stricter one was judged,
// and both are named.
func sources(s *Situation, k *Sink) {
	told := map[string]bool{}
	tell := func(at route.Stretch, name, differ string) {
		if told[differ] || !at.Overlaps(s.reach()) {
			return
		}
		told[differ] = true
		k.Place(Finding{At: at, WorstM: at.FromM, Demand: nan, Capacity: nan, P: nan, PBest: nan, Outcome: Caution,
			Say: "{name}: {differ}; the stricter one counts",
			Do:  "ask which one holds before the train comes",
			Q:   []Quantity{{Name: "name", Text: name, Unit: Literal}, {Name: "differ", Text: differ, Unit: Literal}}})
	}
	for _, p := range s.Structures {
		for _, d := range p.Feature.Differs {
			tell(p.At, named(p.Feature.Name), d)
		}
	}
	for _, l := range s.Way.Legs {
		for _, d := range l.Differs {
			tell(l.At, named(l.Tags.Name), d)
		}
	}
}
