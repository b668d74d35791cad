package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/profile"
)

// Choices of the edge check.
const (
	// softM: a wheel so near to the edge may break it, metres.
	softM = 0.5
	// fallsAway is a slope beyond the edge from which it may give way, rise over run.
	fallsAway = -0.5
)

func edgeAssumed() []route.Assumption {
	return []route.Assumption{
		{Key: "edge.near_m", Value: softM, Unit: "m", Source: "bodies so near to the edge of the way may break it", Standing: "choice"},
		{Key: "edge.slope", Value: fallsAway, Unit: "1", Source: "ground beyond the edge that falls more than this lets it give way", Standing: "choice"},
	}
}

// edge warns where the train comes near the edge of the way and the ground beyond
// falls away. It needs a raster that shows the ground beside the road and the width
// of the way; elsewhere it is a matter of walking it, said once.
func edge(s *Situation, k *Sink) {
	p := s.Profile
	decided := 0.0
	var g [2]runs
	for side, name := range [2]string{"left", "right"} {
		g[side] = runs{gapM: s.Train.LengthM}
		g[side].emit = func(at route.Stretch, w reading) {
			slope := p.LeftSlope[w.i]
			if name == "right" {
				slope = p.RightSlope[w.i]
			}
			k.Place(s.edgeFinding(at, &w, name, slope))
		}
	}
	from, to := s.inWindow()
	leg := 0
	for i := from; i < to; i++ {
		c := p.ChainageM[i]
		for leg+1 < len(s.Way.Legs) && s.Way.Legs[leg].At.ToM < c {
			leg++
		}
		width := s.Way.Legs[leg].Tags.WidthM
		if width.State != route.Known {
			continue
		}
		left, right, ok := s.sideReach(route.Stretch{FromM: c, ToM: c})
		if !ok { // folds, or its outline is not known: bends and width ask
			left, right = s.Train.WidthM/2, s.Train.WidthM/2
		}
		if max(left, right) <= width.Value/2-softM {
			decided += s.spacing(i)
			continue
		}
		// Beyond the edge of a wider way the ground is not read near enough.
		if p.LeftSlope == nil || width.Value/2 > profile.BankFromM+softM || math.IsNaN(p.LeftSlope[i]) || math.IsNaN(p.RightSlope[i]) {
			continue
		}
		decided += s.spacing(i)
		slope := [2]float64{p.LeftSlope[i], p.RightSlope[i]}
		for side, reach := range [2]float64{left, right} {
			r := reading{i: i, s: c, demand: reach, capacity: width.Value / 2, p: nan, outcome: Caution}
			if slope[side] <= fallsAway && !(reach <= width.Value/2-softM) {
				g[side].add(r, s.spacing(i))
			}
		}
	}
	g[0].close()
	g[1].close()
	if share := decided / s.Window.LengthM(); share < 0.999 {
		f := standing(s, "ground that falls away beside the way is looked for on {decided} of the length", "walk the edges where the ground falls away; or give a ground raster with cells up to 2.5 m and the width of the way", 1-share)
		f.Q = append(f.Q, Quantity{Name: "decided", Value: share, Unit: Share})
		k.Place(f)
	}
}

// edgeFinding words one stretch of a soft edge.
func (s *Situation) edgeFinding(at route.Stretch, w *reading, side string, slope float64) Finding {
	return Finding{At: clip(at, route.Stretch{ToM: s.Way.LengthM()}), WorstM: w.s, Demand: w.demand, Capacity: w.capacity, P: nan, PBest: nan, Unit: Metre, Outcome: Caution,
		Say: "soft edge on the {side}: the train comes to {free} from the edge, and the ground beyond falls by {slope}",
		Do:  "walk it; keep to the hill side, a guide on foot watching the outer wheels",
		Q: []Quantity{{Name: "side", Text: side, Unit: Literal}, {Name: "free", Value: max(w.capacity-w.demand, 0), Unit: Metre},
			{Name: "slope", Value: -slope, Unit: Grade}}}
}
