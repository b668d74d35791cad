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
}

// NoReturnM is the distance behind the halt on which there is no sure place to
// stop.
func (h Halt) NoReturnM() float64 { return h.Before - h.AtM }

// haltClearM is how far before the place the train stops at least: room to walk
// round it. Choice.
const haltClearM = 20.0

// halts finds the last halting place before every stretch that needs a second
// tow, a detour or an answer: no steeper than secondtow.LevelRatio, clear of
// structures, and a place where the train surely starts again.
func (res *Result) halts(s *check.Situation) (out []Halt) {
	for i := range res.Segments {
		seg := &res.Segments[i]
		if seg.Verdict < Unknown || seg.At.FromM <= 0 {
			continue
		}
		h := Halt{Before: seg.At.FromM, Why: seg.Verdict, AtM: math.NaN(), Grade: math.NaN(), StartP: math.NaN()}
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
