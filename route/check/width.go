package check

import (
	"math"

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
