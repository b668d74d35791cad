package check

import (
	"errors"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle/sweep"
)

// Choices of the bend check, metres.
const (
	// tightRadiusM screens: wider bends are not followed.
	tightRadiusM = 60.0
	// overM is the length of way a turn is summed over for that.
	overM = 15.0
	// strayM is how far the steering axle may leave the drawn line at a corner
	// drawn as one vertex.
	strayM = 3.0
	// lineErrorM is the standard error of a swept width from the drawing of the
	// line.
	lineErrorM = 0.3
	// mostSweptM is where a swept width stops meaning one: measured across a
	// bend, a train that cuts over the inside has no width there.
	mostSweptM = 12.0
	// worstBends are reported one by one, the rest as a count.
	worstBends = 10
)

// widestOf is the widest carriageway to expect of a highway class, metres, used
// only to say where to look; a bend never fails by it. Choices.
var widestOf = map[string]float64{
	"motorway": 15, "trunk": 12, "primary": 11, "secondary": 9, "tertiary": 8,
	"unclassified": 7, "residential": 8, "service": 6, "track": 5,
}

const widestElse = 7

// bend follows the train through every tight bend and compares the width it
// sweeps with the width of the way. Only a known width can make a bend fail.
func bend(s *Situation, k *Sink) {
	if s.noSweep != nil {
		f := standing(s, "swept width in bends is not computed: {why}", "give the missing field in the transporter's file", 1)
		var lack *sweep.LackError
		why := s.noSweep.Error()
		if errors.As(s.noSweep, &lack) {
			why = lack.Field + " is missing"
		}
		f.Q = append(f.Q, Quantity{Name: "why", Text: why, Unit: Literal})
		k.Place(f)
		return
	}
	var trace sweep.Trace
	var asked []Finding
	count, widest := 0, 0.0
	for _, at := range tight(s.Way, s.Train.LengthM) {
		if !at.Overlaps(s.Window) {
			continue
		}
		f, known := s.oneBend(&trace, at)
		switch {
		case known && f.Outcome != Pass:
			k.Place(f)
		case !known && f.Outcome != Pass:
			asked = append(asked, f)
		case !known && !math.IsInf(f.Demand, 0):
			count++
			widest = max(widest, f.Demand)
		}
	}
	slices.SortStableFunc(asked, func(a, b Finding) int {
		switch {
		case a.Demand > b.Demand:
			return -1
		case a.Demand < b.Demand:
			return 1
		}
		return 0
	})
	for i, f := range asked {
		if i < worstBends {
			k.Place(f)
		} else {
			count++
			widest = max(widest, f.Demand)
		}
	}
	if count > 0 {
		f := standing(s, "{count} tight bends sweep up to {most} where no width is tagged", "measure the width at the tightest of them", 1)
		f.Q = append(f.Q, Quantity{Name: "count", Value: float64(count), Unit: Count}, Quantity{Name: "most", Value: widest, Unit: Metre})
		k.Place(f)
	}
}

// tight finds the stretches where the way turns more than a circle of
// tightRadiusM would over overM, joined when nearer than a train.
func tight(a *route.Alignment, joinM float64) (out []route.Stretch) {
	j, sum := 0, 0.0
	for i, t := range a.TurnRad {
		sum += t
		for a.ChainageM[i]-a.ChainageM[j] > overM {
			sum -= a.TurnRad[j]
			j++
		}
		if math.Abs(sum) < overM/tightRadiusM {
			continue
		}
		from, to := a.ChainageM[j], a.ChainageM[i]
		if n := len(out); n > 0 && from-out[n-1].ToM < joinM {
			out[n-1].ToM = to
			continue
		}
		out = append(out, route.Stretch{FromM: from, ToM: to})
	}
	return out
}

// oneBend follows the train through one stretch; known says whether the width
// there is.
func (s *Situation) oneBend(trace *sweep.Trace, at route.Stretch) (f Finding, known bool) {
	lead := s.Train.LengthM
	around := clip(route.Stretch{FromM: at.FromM - lead, ToM: at.ToM + 2*lead}, route.Stretch{FromM: 0, ToM: s.Way.LengthM()})
	width, class := s.widthIn(at)
	known = width.State == route.Known
	f = Finding{At: at, WorstM: (at.FromM + at.ToM) / 2, Unit: Metre, Capacity: width.Value, SE: lineErrorM, Demand: math.Inf(1)}
	side := "left"
	if turned(s.Way, at) < 0 {
		side = "right"
	}
	folds := false
	if err := trace.Follow(rounded(s.Way.Plane(around)), s.sweep, sweep.Options{}); err == nil {
		sw, err := sweep.SweptWidth(trace, sweep.Window{})
		f.Demand = sw.WidthM // infinite with an error: never a pass
		folds = errors.Is(err, sweep.ErrFolds)
		if err == nil {
			f.WorstM = min(around.FromM+sw.WidthAtM, s.Way.LengthM())
		}
	}
	over := f.Demand > mostSweptM && !math.IsInf(f.Demand, 1)
	if over {
		f.Demand = mostSweptM
	}
	f.P = chance(f.Demand, width.Value, lineErrorM)
	f.Q = []Quantity{
		{Name: "need", Value: f.Demand, Unit: Metre},
		{Name: "width", Value: width.Value, Unit: Metre},
		{Name: "side", Text: side, Unit: Literal},
		{Name: "turn", Value: math.Abs(turned(s.Way, at)) * 180 / math.Pi, Unit: Degree},
	}
	f.Say = "{side} bend of {turn}: the train sweeps {need}, the way is {width} wide"
	if over {
		f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; the way is {width} wide"
	}
	if folds {
		f.Say = "{side} bend of {turn}: the train folds up before it is through"
	}
	f.Close = "measure the width at the bend: passes with {need}"
	f.Do = "go round; or widen the bend, shunt with a guide on foot, or steer the trailer by hand if it can be"
	if math.IsInf(f.Demand, 1) && !folds {
		f.P, f.Outcome = nan, NotLooked
		f.Say = "{side} bend of {turn}: the line cannot be followed as drawn"
		f.Close = "look at the bend on foot, or draw the line again"
		return f, known
	}
	if known {
		f.Outcome = judge(f.P)
		if f.Outcome == Pass && trace.Lock == sweep.LockExceeded {
			f.Outcome = Undecided
			f.Say = "{side} bend of {turn}: drawn tighter than the tractor steers"
			f.Close = "look at the bend: passes where the tractor gets round without shunting"
		}
		return f, true
	}
	f.P = nan
	f.Capacity = nan
	if f.Demand > class {
		f.Outcome = NotLooked
		f.Say = "{side} bend of {turn}: the train sweeps {need}, more than this class of road is wide; no width is tagged"
		if over {
			f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; no width is tagged"
			f.Close = "look at the bend on foot: passes with {need} or more, where a train of this length is known to have got round"
		}
		if folds {
			f.Say = "{side} bend of {turn}: by the line as drawn the train folds up; no width is tagged"
			f.Close = "look at the bend on foot: passes where a train of this length is known to have got round"
		}
	}
	return f, false
}

// widthIn is the least tagged width on a stretch, absent when any part of it
// has none; class is the widest carriageway to expect there.
func (s *Situation) widthIn(at route.Stretch) (width route.Limit, class float64) {
	for i, l := range s.Way.LegsIn(at) {
		w, ok := widestOf[l.Tags.Highway]
		if !ok {
			w = widestElse
		}
		if i == 0 {
			width, class = l.Tags.WidthM, w
			continue
		}
		class = min(class, w)
		switch {
		case l.Tags.WidthM.State != route.Known || width.State != route.Known:
			width = route.Limit{}
		case l.Tags.WidthM.Value < width.Value:
			width = l.Tags.WidthM
		}
	}
	return width, class
}

// turned is the total turn over a stretch, left positive.
func turned(a *route.Alignment, at route.Stretch) (rad float64) {
	for i, c := range a.ChainageM {
		if c >= at.FromM && c <= at.ToM {
			rad += a.TurnRad[i]
		}
	}
	return rad
}
