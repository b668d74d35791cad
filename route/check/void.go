package check

import "drawbar/route"

// void reports the parts of the way without height: no climb can be judged
// there.
func void(s *Situation, k *Sink) {
	missing, why := s.Profile.MissingStretches()
	for i, m := range missing {
		if !m.Overlaps(s.Window) {
			continue
		}
		g := s.groundOf(s.Way.LegsIn(m)[0].Tags)
		f := Finding{At: clip(m, s.Window), WorstM: m.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Grade,
			Outcome: NotLooked,
			Say:     "no height for {length} ({why}): climbs there are not judged",
			Close:   "walk it: passes where the grade under the train is at most {limit} on {surface}; or give a raster that covers it",
			Q: []Quantity{
				{Name: "length", Value: m.LengthM(), Unit: Metre},
				{Name: "why", Text: why[i].String(), Unit: Literal},
				{Name: "limit", Value: g.worst.climb.passGrade(), Unit: Grade},
				{Name: "surface", Text: label(g.worst.surface), Unit: Literal},
			}}
		k.Place(f)
	}
}

// clip cuts a stretch to a window.
func clip(s, window route.Stretch) route.Stretch {
	return route.Stretch{FromM: max(s.FromM, window.FromM), ToM: min(s.ToM, window.ToM)}
}
