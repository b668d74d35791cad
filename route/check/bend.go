package check

import (
	"errors"
	"math"

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
	// plainRadiusM: wider bends need no steering that a lorry has not got.
	plainRadiusM = 25.0
	// lineErrorM is the standard error of a swept width from the drawing of the
	// line.
	lineErrorM = 0.3
	// sweepStepM is the step the train is drawn along by: the width is then right
	// to 14 mm (TestSweepStep), far inside lineErrorM.
	sweepStepM = 1.0
	// mostSweptM is where a swept width stops meaning one: measured across a
	// bend, a train that cuts over the inside has no width there.
	mostSweptM = 12.0
)

// widestOf is the widest carriageway to expect of a highway class, metres, used
// only to say where to look; a bend never fails by it. Choices.
var widestOf = map[string]float64{
	"motorway": 15, "trunk": 12, "primary": 11, "secondary": 9, "tertiary": 8,
	"unclassified": 7, "residential": 8, "service": 6, "track": 5,
}

const widestElse = 7

// laneM is the width of an ordinary lane, metres. Choice.
const laneM = 3.5

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
	count, widest := 0, 0.0
	for _, at := range tight(s.Way, s.Train.LengthM) {
		if !at.Overlaps(s.reach()) {
			continue
		}
		f, known := s.oneBend(&trace, at)
		switch {
		case known || f.Outcome != Pass:
			k.Place(f)
		default:
			count++
			widest = max(widest, f.Demand)
		}
	}
	if count > 0 {
		f := standing(s, "{count} tight bends sweep up to {most} where no width is tagged", "measure the width at the tightest of them", 1)
		if count == 1 {
			f.Say, f.Close = "a tight bend sweeps {most} where no width is tagged", "measure the width there"
		}
		f.Q = append(f.Q, Quantity{Name: "count", Value: float64(count), Unit: Count}, Quantity{Name: "most", Value: widest, Unit: Metre})
		k.Place(f)
	}
}

// tight finds the stretches where the way turns more than a circle of
// tightRadiusM would over overM, joined when nearer than a train. None is
// shorter than overM unless the way is: a corner drawn as one vertex is a
// place where a train turns, not a point.
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
		at := route.Stretch{FromM: a.ChainageM[j], ToM: a.ChainageM[i]}
		if lack := overM - at.LengthM(); lack > 0 {
			at = route.Stretch{FromM: max(at.FromM-lack/2, 0), ToM: min(at.ToM+lack/2, a.LengthM())}
		}
		if n := len(out); n > 0 && at.FromM-out[n-1].ToM < joinM {
			out[n-1].ToM = max(out[n-1].ToM, at.ToM)
			continue
		}
		out = append(out, at)
	}
	return out
}

// passage is what came of following the train through a bend.
type passage struct {
	sweptM   float64 // infinite unless it got through
	atM      float64 // chainage of it
	folds    bool
	locked   bool    // drawn tighter than the tractor steers
	lockless bool    // the file does not say how far it steers
	radiusM  float64 // of the tightest circle that the steering axle is asked to follow
}

// over reports a swept width that has stopped meaning one.
func (p *passage) over() bool { return p.sweptM > mostSweptM && !math.IsInf(p.sweptM, 1) }

// need is the width to ask for.
func (p *passage) need() float64 {
	if p.over() {
		return mostSweptM
	}
	return p.sweptM
}

// passageOf follows the train from a length before the bend until all of it is
// a length past it, and takes the strip swept up to a length past the bend:
// what lies beyond is another bend's.
func (s *Situation) passageOf(trace *sweep.Trace, at route.Stretch) passage {
	lead := s.Train.LengthM
	around := clip(route.Stretch{FromM: at.FromM - lead, ToM: at.ToM + 2*lead}, route.Stretch{FromM: 0, ToM: s.Way.LengthM()})
	p := passage{sweptM: math.Inf(1), atM: (at.FromM + at.ToM) / 2}
	if trace.Follow(rounded(s.Way.Plane(around)), s.sweep, sweep.Options{StepM: sweepStepM}) != nil {
		return p
	}
	w := sweep.Window{ToM: at.ToM + lead - around.FromM}
	if trace.Fold == nil {
		w.ToM = min(w.ToM, trace.CoveredM)
	}
	sw, err := sweep.SweptWidth(trace, w)
	p.radiusM = math.Inf(1)
	if len(trace.Peaks) > 0 && trace.Peaks[0].AngleRad != 0 {
		p.radiusM = trace.Links[0].LengthM / math.Sin(math.Min(math.Abs(trace.Peaks[0].AngleRad), math.Pi/2))
	}
	p.folds, p.locked, p.lockless = errors.Is(err, sweep.ErrFolds), trace.Lock == sweep.LockExceeded, trace.Lock == sweep.LockUnknown
	if err == nil {
		p.sweptM, p.atM = sw.WidthM, min(around.FromM+sw.WidthAtM, s.Way.LengthM())
	}
	return p
}

// oneBend follows the train through one stretch; known says whether the width
// there is.
func (s *Situation) oneBend(trace *sweep.Trace, at route.Stretch) (f Finding, known bool) {
	p := s.passageOf(trace, at)
	width, class := s.widthIn(at)
	known = width.State == route.Known
	turn, all := turned(s.Way, at)
	side := "left"
	switch {
	case math.Abs(turn) < all/2:
		side, turn = "reverse", all // to one side and back
	case turn < 0:
		side = "right"
	}
	f = Finding{At: at, WorstM: min(max(p.atM, at.FromM), at.ToM), Unit: Metre, Demand: p.need(), Capacity: nan, P: nan,
		Close: "look at the bend on foot: passes where a train of this length is known to have got round",
		Do:    "go round; or widen the bend, shunt with a guide on foot, or steer the trailer by hand if it can be",
		Q: []Quantity{
			{Name: "need", Value: p.need(), Unit: Metre},
			{Name: "wide", Value: p.need() + oneSided*lineErrorM, Unit: AtLeastM},
			{Name: "width", Value: width.Value, Unit: Metre},
			{Name: "side", Text: side, Unit: Literal},
			{Name: "turn", Value: math.Abs(turn) * 180 / math.Pi, Unit: Degree},
		}}
	switch {
	case math.IsInf(p.sweptM, 1) && !p.folds:
		f.Outcome = NotLooked
		f.Say = "{side} bend of {turn}: the line cannot be followed as drawn"
		f.Close = "look at the bend on foot, or draw the line again"
	case known:
		knownBend(&f, &p, width.Value)
		if f.Outcome == Pass && p.lockless && p.radiusM < plainRadiusM {
			f.Outcome, f.P = NotLooked, nan
			f.Say = "{side} bend of {turn}: how far the tractor steers is not in its file"
			f.Close = "give {field} in the transporter's file"
			f.Q = append(f.Q, Quantity{Name: "field", Text: lockField, Unit: Literal})
		}
	case f.Demand > class || (width.State == route.Unreadable && f.Demand > laneM):
		askedBend(&f, &p)
	}
	return f, known
}

// knownBend compares with the width of the way: only here can a bend pass or
// fail. What cuts over the inside has no width that could pass.
func knownBend(f *Finding, p *passage, widthM float64) {
	f.Capacity, f.SE = widthM, lineErrorM
	f.P = chance(f.Demand, widthM, lineErrorM)
	f.Outcome = judge(f.P)
	f.Say = "{side} bend of {turn}: the train sweeps {need}, the way is {width} wide"
	if !p.over() && !p.folds {
		f.Close = "measure the width at the bend: passes with {wide}"
	}
	switch {
	case p.folds:
		f.Say = "{side} bend of {turn}: the train folds up before it is through"
	case p.over():
		f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; the way is {width} wide"
		if f.Outcome != Fail {
			f.Outcome, f.P = NotLooked, nan
		}
	case f.Outcome == Pass && p.locked:
		f.Outcome, f.P = NotLooked, nan
		f.Say = "{side} bend of {turn}: drawn tighter than the tractor steers"
		f.Close = "look at the bend: passes where the tractor gets round without shunting"
	}
}

// askedBend words a bend that needs more width than its class of road has,
// where none is tagged.
func askedBend(f *Finding, p *passage) {
	f.Outcome = NotLooked
	switch {
	case p.folds:
		f.Say = "{side} bend of {turn}: by the line as drawn the train folds up; no width is tagged"
	case p.over():
		f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; no width is tagged"
	default:
		f.Say = "{side} bend of {turn}: the train sweeps {need}, more than this class of road is wide; no width is tagged"
		f.Close = "measure the width at the bend: passes with {wide}"
		switch {
		case p.locked:
			f.Say += "; it is drawn tighter than the tractor steers"
			f.Close = "measure the width at the bend, and see how tight it is: passes with {wide} where the tractor gets round without shunting"
		case p.lockless:
			f.Close = "measure the width at the bend, and give {field} in the transporter's file: passes with {wide} if it steers that far"
			f.Q = append(f.Q, Quantity{Name: "field", Text: lockField, Unit: Literal})
		}
	}
}

// lockField is the field that says how far the foremost unit steers.
const lockField = "units[0].turn_outer_radius_m"

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
		case l.Tags.WidthM.State == route.Unreadable || width.State == route.Unreadable:
			width = route.Limit{State: route.Unreadable}
		case l.Tags.WidthM.State != route.Known || width.State != route.Known:
			width = route.Limit{}
		case l.Tags.WidthM.Value < width.Value:
			width = l.Tags.WidthM
		}
	}
	return width, class
}

// turned is the turn over a stretch, left positive, and the sum of all turns to
// either side.
func turned(a *route.Alignment, at route.Stretch) (rad, all float64) {
	for i, c := range a.ChainageM {
		if c >= at.FromM && c <= at.ToM {
			rad += a.TurnRad[i]
			all += math.Abs(a.TurnRad[i])
		}
	}
	return rad, all
}
