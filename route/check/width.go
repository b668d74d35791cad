package check

import (
	"math"
	"strings"

	"drawbar/route"
)

// width compares the widest part of the train with the tagged width of the
// way: what overhangs the carriageway must be looked at. It is no failure, for
// the wheels may still have room; but it is never a pass.
func width(s *Situation, k *Sink) {
	have := s.Train.WidthM
	var at route.Stretch
	narrowest := nan
	flush := func() {
		if at.LengthM() > 0 {
			k.Place(s.widthFinding(clip(at, s.reach()), narrowest))
		}
		at, narrowest = route.Stretch{}, nan
	}
	untagged := 0.0
	for _, l := range s.Way.LegsIn(s.Window) {
		w := l.Tags.WidthM
		if w.State != route.Known {
			untagged += clip(l.At, s.Window).LengthM()
		}
		if w.State != route.Known || w.Value >= have || math.IsNaN(have) {
			flush()
			continue
		}
		if at.LengthM() == 0 {
			at = l.At
		}
		at.ToM = l.At.ToM
		if !(narrowest < w.Value) {
			narrowest = w.Value
		}
	}
	flush()
	switch share := untagged / s.Window.LengthM(); {
	case math.IsNaN(have):
		f := standing(s, "the train's width is not in its file", "give {field}", 1)
		f.Q = append(f.Q, Quantity{Name: "field", Text: s.Train.Lacks("width"), Unit: Literal})
		k.Place(f)
	case share > 0:
		k.Place(standing(s, "no width is tagged on {share} of the length", "drive the way and note where it is narrow", share))
	}
}

func (s *Situation) widthFinding(at route.Stretch, widthM float64) Finding {
	have := s.Train.WidthM
	return Finding{At: at, WorstM: at.FromM, Demand: have, Capacity: widthM, P: nan, Unit: Metre, Outcome: NotLooked,
		Say:   "the way is {width} wide, the train {have}: it hangs over by {over} in all",
		Close: "look at both edges on foot: passes where the wheels have firm ground and nothing stands within the overhang",
		Q: []Quantity{
			{Name: "width", Value: widthM, Unit: Metre},
			{Name: "have", Value: have, Unit: Metre},
			{Name: "over", Value: have - widthM, Unit: Metre},
		}}
}

// roughest are smoothness values at which a low-bed cannot be taken for able
// to pass. OpenStreetMap meaning, from memory: for vehicles with off-road
// wheels or none at all.
var roughest = []string{"very_bad", "horrible", "very_horrible", "impassable"}

// access reports tags that say the way is not meant for us: one-way streets
// against the direction travelled, and surfaces tagged as hardly passable.
func access(s *Situation, k *Sink) {
	for _, l := range s.Way.LegsIn(s.Window) {
		at := clip(l.At, s.Window)
		base := Finding{At: at, WorstM: at.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked,
			Q: []Quantity{{Name: "name", Text: named(l.Tags.Name), Unit: Literal}, {Name: "smooth", Text: l.Tags.Smoothness, Unit: Literal}}}
		if l.Tags.Oneway == "-1" {
			f := base
			f.Say = "{name} is one-way against us"
			f.Close = "ask the road's authority to close it to others for the passage"
			k.Place(f)
		}
		for _, r := range roughest {
			if strings.EqualFold(l.Tags.Smoothness, r) {
				f := base
				f.Say = "{name} is tagged smoothness {smooth}: not for wheels on the road"
				f.Close = "walk it with the ground clearance in hand"
				k.Place(f)
			}
		}
	}
}

// rating reports axles that carry more than the file says they may.
func rating(s *Situation, k *Sink) {
	over, at, kg, rated := 0, 0, 0.0, 0.0
	for i, a := range s.Train.Axles {
		if a.Kg > a.RatedKg {
			over++
			if a.Kg-a.RatedKg > kg-rated || over == 1 {
				at, kg, rated = i+1, a.Kg, a.RatedKg
			}
		}
	}
	if over == 0 {
		return
	}
	k.Place(Finding{At: s.Window, WorstM: s.Window.FromM, Demand: kg, Capacity: rated, P: nan, Unit: Kg, Outcome: NotLooked,
		Say:   "{count} axles carry more than their rating in the file; axle {axle} carries {kg}, rated {rated}",
		Close: "move or lighten the load, or get the maker's word: passes with every axle within its rating",
		Q: []Quantity{{Name: "count", Value: float64(over), Unit: Count}, {Name: "axle", Value: float64(at), Unit: Count},
			{Name: "kg", Value: kg, Unit: Kg}, {Name: "rated", Value: rated, Unit: Kg}}})
}
