package check

import (
	"slices"
	"strings"
)

// roughest are smoothness values at which a low-bed cannot be taken for able
// to pass. OpenStreetMap meaning, from memory: for vehicles with off-road
// wheels or none at all.
var roughest = []string{"very_bad", "horrible", "very_horrible", "impassable"}

// access asks about tags that say the way is not meant for us: closed to heavy
// vehicles or by permission, no road at all, one-way against the direction
// travelled, hardly passable. Neighbouring legs that say the same are one
// question.
func access(s *Situation, k *Sink) {
	first := len(k.Findings)
	for _, l := range s.Way.LegsIn(s.Window) {
		at := clip(l.At, s.Window)
		name := named(l.Tags.Name)
		ask := func(say, closing, what string) {
			for i := first; i < len(k.Findings); i++ {
				if p := &k.Findings[i]; p.Say == say && p.At.ToM == at.FromM && p.Q[0].Text == name && p.Q[1].Text == what {
					p.At.ToM = at.ToM
					return
				}
			}
			k.Place(Finding{At: at, WorstM: at.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked, Say: say, Close: closing,
				Q: []Quantity{{Name: "name", Text: name, Unit: Literal}, {Name: "what", Text: what, Unit: Literal}}})
		}
		if l.Tags.Access != "" {
			ask("{name} is tagged {what}", "get the permission of its owner or the road authority in writing; or go round", l.Tags.Access)
		}
		for _, d := range l.Tags.Doubts {
			ask("{name} is tagged {what}", "look at the place: passes where a road carries this train there; or go round", d)
		}
		if l.Tags.Oneway == "-1" {
			ask("{name} is one-way against us", "ask the road's authority to close it to others for the passage", "")
		}
		if slices.ContainsFunc(strings.Split(l.Tags.Smoothness, ";"), func(v string) bool {
			return slices.Contains(roughest, strings.ToLower(strings.TrimSpace(v)))
		}) {
			ask("{name} is tagged smoothness {what}: not for wheels on the road", "walk it with the ground clearance in hand", l.Tags.Smoothness)
		}
	}
}
