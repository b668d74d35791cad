package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/structure"
)

// eachOf visits the structures of some kinds that the train meets.
func (s *Situation) eachOf(visit func(structure.Placed), kinds ...structure.Kind) {
	for _, p := range s.Structures {
		for _, kind := range kinds {
			if p.Feature.Kind == kind && p.At.Overlaps(s.reach()) {
				visit(p)
			}
		}
	}
}

// about begins a finding on a structure with no figures to compare.
func about(p structure.Placed, q ...Quantity) Finding {
	return Finding{At: p.At, WorstM: p.At.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked,
		Q: append([]Quantity{
			{Name: "name", Text: named(p.Feature.Name), Unit: Literal},
			{Name: "what", Text: p.Feature.What, Unit: Literal},
			{Name: "source", Text: p.Feature.Source, Unit: Literal},
		}, q...)}
}

// gate asks about barriers on the way: whether they open, and how wide; and
// judges the limits posted at them.
func gate(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		have, se := s.width()
		w := p.Feature.MaxWidthM
		f := about(p, Quantity{Name: "have", Value: have, Unit: Metre}, Quantity{Name: "need", Value: have, Unit: AtLeastM}, Quantity{Name: "limit", Value: w.Value, Unit: Metre})
		f.Say = "{what} on the way by {source}: does it open or come out, and how wide is it?"
		f.Close = "look at it and find who has the key: passes where it leaves {need} free"
		switch {
		case math.IsNaN(have):
			f.Close = "look at it, find who has the key, and give width_m in the transporter's file"
		case w.State == route.Known:
			f.Demand, f.Capacity, f.Unit, f.P = have, w.Value, Metre, chance(have, w.Value, se)
			f.Say = "{what} on the way by {source}: {limit} wide, ours {have}"
			f.Do = "have it taken out, or go round"
			if f.Outcome = judge(f.P); f.Outcome == Pass { // wide enough once it is open
				f.Outcome, f.Do = Caution, "see that it is open before the train comes"
			}
		}
		k.Place(f)
		for _, c := range s.bridgeLimits(p.Feature) {
			if c.l.State == route.Known {
				k.Place(s.bridgeFinding(p, c, s.bridgeNeeds(p)))
			}
		}
	}, structure.Gate)
}

// crossing asks about level crossings: a low-bed may ground on the hump, a load
// may not stop, and the railway is asked first.
func crossing(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		f := about(p, Quantity{Name: "length", Value: s.Train.LengthM, Unit: Metre})
		f.Say = "level crossing by {source}"
		f.Close = "ask the railway for a time without trains, its leave for a load of {length}, and the clear height of its wires; look at the hump with the ground clearance in hand"
		if math.IsNaN(s.Train.LengthM) {
			f.Close = "ask the railway for a time without trains, its leave for the load, and the clear height of its wires; look at the hump with the ground clearance in hand"
		}
		k.Place(f)
	}, structure.Crossing)
}
