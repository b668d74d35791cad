package verdict

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/route/structure"
)

// Halt is the last place to stop before something that may turn the train back,
// or that another crew must clear first. Behind it there is no sure stop.
type Halt struct {
	Before float64 // chainage of what it stands before
	Why    Verdict
	// AtM is where the foremost axle stops; NaN where there is no such place from
	// the start of the way on.
	AtM    float64
	Grade  float64 // under the train there
	StartP float64 // P(starts there again)
	// Turn is the last side way before it that is long enough to back into, wide
	// enough where its width is tagged; AtM is NaN where there is none, or where no
	// ways of the area are known (Result.WaysKnown).
	Turn structure.Side
	// PassAtM is the last place where a tagged width lets another vehicle by; NaN
	// where there is none.
	PassAtM float64
}

// NoReturnM is the distance behind the halt on which there is no sure place to
// stop.
func (h Halt) NoReturnM() float64 { return h.Before - h.AtM }

// haltClearM is how far before the place the train stops at least: room to walk
// round it. Choice.
const haltClearM = 20.0

// passingM is the width that another vehicle takes beside the train: a truck of
// 2.55 m and room to see between. Choice.
const passingM = 3.0

// halts finds the last halting place before every stretch that needs a second
// tow, a detour or an answer: no steeper than secondtow.LevelRatio, clear of
// structures, and a place where the train surely starts again.
func (res *Result) halts(s *check.Situation, around *structure.Around) (out []Halt) {
	var sides []structure.Side
	if around != nil {
		sides, res.WaysKnown = around.Sides(s.Way), true
	}
	for i := range res.Segments {
		seg := &res.Segments[i]
		if seg.Verdict < Unknown && !res.mindful(seg) || seg.At.FromM <= 0 {
			continue
		}
		h := Halt{Turn: lastTurn(s, sides, seg.At.FromM), PassAtM: lastPass(s, seg.At.FromM), Before: seg.At.FromM, Why: seg.Verdict, AtM: math.NaN(), Grade: math.NaN(), StartP: math.NaN()}
		c := s.Profile.ChainageM
		for k := len(c) - 1; k >= 0; k-- {
			if c[k] > seg.At.FromM-haltClearM || !mayHalt(s, k) {
				continue
			}
			h.AtM, h.Grade, h.StartP = c[k], s.TrainGrade.Value[k], s.StartChance(k)
			break
		}
		out = append(out, h)
	}
	return out
}

// mindful reports a caution that one should not drive into unprepared: a tight
// bend, or a climb without a stop.
func (res *Result) mindful(seg *Segment) bool {
	for _, i := range seg.Findings {
		if f := &res.Findings[i]; f.Outcome == check.Caution && (f.Check == "bend" || f.Check == "start" || f.Check == "climb") {
			return true
		}
	}
	return false
}

// lastTurn is the last side way before a place that the train can be backed into.
func lastTurn(s *check.Situation, sides []structure.Side, before float64) structure.Side {
	for k := len(sides) - 1; k >= 0; k-- {
		if d := sides[k]; d.AtM < before && d.LengthM >= s.Train.LengthM && !(d.WidthM < s.Train.WidthM) {
			return d
		}
	}
	return structure.Side{AtM: math.NaN(), WidthM: math.NaN()}
}

// lastPass is the last place before another where the carriageway is tagged wide
// enough for another vehicle over the length of the train.
func lastPass(s *check.Situation, before float64) float64 {
	at := math.NaN()
	for _, l := range s.Way.Legs {
		if w := l.Tags.WidthM; w.State == route.Known && w.Value >= s.Train.WidthM+passingM && l.At.FromM+s.Train.LengthM <= min(l.At.ToM, before) {
			at = min(l.At.ToM, before)
		}
	}
	return at
}

// mayHalt reports whether the train may stop with its foremost axle at a station
// and surely go on.
func mayHalt(s *check.Situation, k int) bool {
	g := s.TrainGrade.Value[k]
	if math.IsNaN(g) || math.Abs(g) > secondtow.LevelRatio || !(s.StartChance(k) >= check.PassAt) || !s.MayPark(k) {
		return false
	}
	at := s.Profile.ChainageM[k]
	under := route.Stretch{FromM: max(at-s.Train.LengthM, 0), ToM: at}
	for _, p := range s.Structures {
		if p.Feature.Kind != structure.Overhead && p.At.Overlaps(under) {
			return false
		}
	}
	return true
}

// Rest is a place to stop for a look at lashings, tyres and brakes.
type Rest struct {
	AtM    float64 // NaN where there is none between the last one and DueM
	DueM   float64 // where the train is when it is due
	DueS   float64 // since the start, driving only
	StartP float64
}

// rests finds a place to stop for every span of driving: the last before it is
// due where the train may halt, not before the one before.
func rests(s *check.Situation, trip *check.Trip, everyS float64) (out []Rest) {
	last := 0.0
	for due := everyS; ; due += everyS {
		at, ok := trip.WhereAt(due)
		if !ok {
			return out
		}
		r := Rest{AtM: math.NaN(), DueM: at, DueS: due, StartP: math.NaN()}
		c := s.Profile.ChainageM
		for k := sort.SearchFloat64s(c, at) - 1; k >= 0 && c[k] > last; k-- {
			if mayHalt(s, k) {
				r.AtM, r.StartP = c[k], s.StartChance(k)
				break
			}
		}
		last = at
		out = append(out, r)
	}
}
