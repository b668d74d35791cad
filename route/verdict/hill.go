package verdict

import (
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
)

// Hill is a climb, or a descent, as a crew finds it on the spot: no raster and
// no map.
type Hill struct {
	GradeRatio float64 // rise over run, negative going down
	GradeSE    float64 // standard error of that
	LengthM    float64 // of the steep part
	HeightM    float64 // above the sea at its foot, for engines that lose pull in thin air
	Tags       route.Tags
}

// levelM is the level way before and behind a hill, in lengths of the train: it
// stands on the level before and after. Choice.
const levelM = 2.0

// Hill judges a hill between two level pieces of the same ground by the same
// checks as a route. What no raster and no map is needed for is judged; the
// other checks say that they were not made.
func (j *Judge) Hill(h Hill) (*Result, error) {
	level := levelM * j.Solo.Train.LengthM
	h.Tags.Mapped = true
	way, err := route.Align(route.Straight("hill", []float64{level, h.LengthM, level}, []route.Tags{h.Tags, h.Tags, h.Tags}))
	if err != nil {
		return nil, err
	}
	c := way.ChainageM
	p := profile.Given(h.HeightM, profile.Pitch{LengthM: c[1]}, profile.Pitch{LengthM: c[2] - c[1], GradeRatio: h.GradeRatio, SE: h.GradeSE}, profile.Pitch{LengthM: c[3] - c[2]})
	placed, seen := structure.Place(way)
	s := check.NewSituation(j.Solo, way, p, placed, seen)
	return j.judge(s, Options{Keep: true}), nil
}

// Weakest is the station on a stretch where the climb is least sure, -1 when no
// grade is known there. The result must have kept its situation.
func (res *Result) Weakest(at route.Stretch) int {
	best, least := -1, math.Inf(1)
	for i, s := range res.Profile.ChainageM {
		if s < at.FromM-1e-6 || s > at.ToM+1e-6 || math.IsNaN(res.TrainGrade[i]) {
			continue
		}
		if spare := res.Situation.Climb(i).Spare(); spare < least {
			best, least = i, spare
		}
	}
	return best
}

// SteepestDown is the station on a stretch where the grade under the train falls
// most, -1 when none is known.
func (res *Result) SteepestDown(at route.Stretch) int {
	best, least := -1, math.Inf(1)
	for i, s := range res.Profile.ChainageM {
		if g := res.TrainGrade[i]; s >= at.FromM-1e-6 && s <= at.ToM+1e-6 && g < least {
			best, least = i, g
		}
	}
	return best
}
