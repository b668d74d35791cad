package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/structure"
)

// safePassAt is the bound for what cannot be undone. Choice.
const safePassAt = 0.99

// judgeAt is judge with a stricter bound for a pass.
func judgeAt(p, passAt float64) Outcome {
	if o := judge(p); o != Pass || p >= passAt {
		return o
	}
	return Undecided
}

// overhead compares the loaded height with what is known of each tunnel. A
// height posted on the open road is judged the same way, by posting.
func overhead(s *Situation, k *Sink) {
	for _, p := range s.Structures {
		if !p.At.Overlaps(s.reach()) {
			continue
		}
		switch p.Feature.Kind {
		case structure.Tunnel:
			k.Place(s.overSag(s.heightFinding(p.At, p.Feature.MaxHeightM, named(p.Feature.Name))))
		case structure.Overhead:
			what := p.Feature.What
			if what == "" {
				what = "bridge over the way"
			}
			k.Place(s.overSag(s.heightFinding(p.At, p.Feature.MaxHeightM, what+", "+named(p.Feature.Name))))
		}
	}
	switch share := 1 - s.Looked.OverM/s.Way.LengthM(); {
	case s.Looked.OverM == 0:
		k.Place(standing(s, "bridges over the way are not looked for", "give the ways of the area with --ways, or drive the way with a measuring pole", 1))
	case share > 0.01:
		k.Place(standing(s, "bridges over the way are not looked for on {share} of the length: the file of structures has no way near", "give a file that covers the way, or drive it with a measuring pole", share))
	}
}

// heightFinding compares the loaded height and its margin with a clear height.
// A posted figure is taken as clear height: what a sign hides is never spent.
func (s *Situation) heightFinding(at route.Stretch, limit route.Limit, name string) Finding {
	have, se := s.height()
	demand := have + s.HeightMarginM
	f := Finding{At: at, WorstM: at.FromM, Demand: demand, Capacity: limit.Value, SE: se, Unit: Metre,
		Rests: s.rests("overhead.margin_m"),
		Q: []Quantity{
			{Name: "name", Text: name, Unit: Literal},
			{Name: "length", Value: at.LengthM(), Unit: Metre},
			{Name: "have", Value: have, SE: se, Unit: Metre},
			{Name: "margin", Value: s.HeightMarginM, Unit: Metre},
			{Name: "need", Value: demand + safeSide*se, Unit: AtLeastM},
			{Name: "limit", Value: limit.Value, Unit: Metre},
			{Name: "text", Text: limit.Raw, Unit: Literal},
			{Name: "field", Text: s.Train.Lacks("overhead"), Unit: Literal},
		}}
	f.Unverified = s.unverified(f.Rests)
	f.Close = "measure the clear height over the lane we use: passes with {need}"
	switch {
	case math.IsNaN(have):
		f.Outcome, f.P = NotLooked, nan
		f.Say, f.Close = "{name}: our loaded height is not in the transporter's file", "give {field}: height of the load above the road"
	case limit.State == route.Known:
		f.P = chance(demand, limit.Value, se)
		f.Outcome = judgeAt(f.P, safePassAt)
		f.Say = "{name}: clear height {limit}, ours {have} and a margin of {margin}"
		f.Do = "go round, or lower the load"
	case limit.State == route.Unreadable:
		f.Outcome, f.P, f.Capacity = NotLooked, nan, nan
		f.Say = "{name}: a posted height cannot be read: \"{text}\""
	default:
		f.Outcome, f.P, f.Capacity = NotLooked, nan, nan
		f.Say = "{name}, {length} long, has no figure for its clear height"
	}
	return f
}

// overSag adds what a sag or a crest under a structure takes of its height. A
// tunnel is carried straight, so that only its ends may tell one; where heights
// do not resolve it the question says how to measure.
func (s *Situation) overSag(f Finding) Finding {
	if math.IsNaN(f.Demand) {
		return f
	}
	loss, se, ok := s.sagLoss(f.At)
	if !ok {
		f.Close += "; on a sag measure it along a string from support to support ({chord} apart), for the heights do not tell one"
		front, rear := s.longestChord()
		f.Q = append(f.Q, Quantity{Name: "chord", Value: rear - front, Unit: Metre})
		return f
	}
	f.Demand += loss
	f.SE = math.Hypot(f.SE, se)
	f.Q = append(f.Q, Quantity{Name: "sag", Value: loss, SE: se, Unit: Metre})
	for i := range f.Q {
		if f.Q[i].Name == "need" {
			f.Q[i].Value = f.Demand + safeSide*f.SE
		}
	}
	if loss >= 0.005 { // what is printed
		f.Say += ", and {sag} for the shape of the road under it"
	}
	if !math.IsNaN(f.P) {
		f.P = chance(f.Demand, f.Capacity, f.SE)
		f.Outcome = judgeAt(f.P, safePassAt)
	}
	return f
}

// longestChord are the supports of the unit that spans most.
func (s *Situation) longestChord() (front, rear float64) {
	for i := range s.Train.Units {
		if a, b := s.supportsOf(i); b-a > rear-front {
			front, rear = a, b
		}
	}
	return front, rear
}
