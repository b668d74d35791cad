package check

import (
	"drawbar/route"
	"drawbar/route/structure"
)

// ford compares the depth of each ford with the wading depth of the train. Even
// a shallow one is a caution: bed and flood are known only on the spot.
func ford(s *Situation, k *Sink) {
	for _, p := range s.Structures {
		if p.Feature.Kind == structure.Ford && p.At.Overlaps(s.reach()) {
			k.Place(s.fordFinding(p))
			s.fordExit(k, p)
		}
	}
}

func (s *Situation) fordFinding(p structure.Placed) Finding {
	wades, unit, lacks := s.wading()
	d := p.Feature.DepthM
	f := Finding{At: p.At, WorstM: p.At.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Metre, Outcome: NotLooked,
		Say:   "{name}: depth and bed are not known",
		Close: "probe it on foot: passes on a firm bed up to {wades} deep, the least any unit wades ({unit})",
		Q: []Quantity{
			{Name: "name", Text: named(p.Feature.Name), Unit: Literal},
			{Name: "depth", Value: d.Value, Unit: Metre},
			{Name: "wades", Value: wades, Unit: Metre},
			{Name: "field", Text: lacks, Unit: Literal},
			{Name: "unit", Text: unit, Unit: Literal},
		}}
	switch {
	case lacks != "":
		f.Close = "give {field} in the transporter's file, and probe the ford on foot: depth and a firm bed"
		if d.State == route.Known {
			f.Say = "{name}: {depth} deep by its tag; how deep the train wades is not in its file"
		}
	case d.State == route.Known:
		f.Demand, f.Capacity, f.P = d.Value, wades, chance(d.Value, wades, 0)
		f.Say = "{name}: {depth} deep by its tag, {unit} wades {wades}, the least of all units"
		if f.Outcome = judge(f.P); f.Outcome == Pass {
			f.Outcome = Caution
		}
		f.Do = "probe depth and bed on foot on the day; brakes may be wet on the far side"
		if f.Outcome == Fail {
			f.Do = "go round, or wait for lower water"
		}
	}
	return f
}

// wading is the least wading depth of all units and the unit that has it, and the
// field that is missing when one of them has none.
func (s *Setup) wading() (m float64, unit, lacks string) {
	m = nan
	for _, u := range s.Train.Units {
		if !(u.WadingM >= m) {
			m, unit = u.WadingM, u.Name
		}
	}
	return m, unit, s.Train.Lacks("ford")
}
