package secondtow

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle/traction"
)

// Place is where the train may stand to hook a helper on or cast it off.
type Place struct {
	AtM            float64 // chainage of the train's foremost axle
	AwayM          float64 // from the stretch
	HoldP          float64 // P(it stays parked), NaN where the file does not say how it is parked
	StartP         float64 // P(it starts alone), NaN where there is no height
	GradeRatio     float64 // under the train
	HelperRatio    float64 // mean grade of the way that the helper stands on, ahead or behind
	StraightM      float64 // of straight way about it
	WidthM         float64 // of the way as tagged, NaN where it is not
	OnStructure    bool    // bridge, tunnel or ford under it
	MoreS          float64 // what it takes beyond a good place
	station, order int
}

// sure reports whether nothing stands against the place.
func (p *Place) sure() bool {
	return !p.OnStructure && p.StartP >= check.PassAt && !(p.HoldP < check.HoldAt)
}

// Choices of what makes a good place.
const (
	straightTurnRad = 10 * math.Pi / 180 // a straight turns by no more
	besideM         = 1.0                // to walk beside the train, both sides together
	shownPlaces     = 3                  // as many are listed
	// doubtS ranks a place that is not sure behind every sure one; it is no time.
	doubtS = 1e5
)

// places ranks the stations before the stretch (dir -1) or behind it (+1), best
// first: sure ones by what they cost in time, then the others. None is left out
// up to LookM, the next failing stretch or the limit; there is always one. The
// helper stands behind the train, or ahead of it.
func places(s *check.Situation, at route.Stretch, dir int, limitM, coupledM float64, behind bool) (out []Place) {
	c := s.Profile.ChainageM
	from, edge := 0, at.FromM
	if dir < 0 {
		for from < len(c)-1 && c[from+1] < at.FromM {
			from++
		}
	} else {
		from, edge = len(c)-1, at.ToM
		for from > 0 && c[from-1] > at.ToM {
			from--
		}
	}
	for i := from; i >= 0 && i < len(c) && math.Abs(c[i]-edge) <= LookM; i += dir {
		if i != from && (fails(s, i) || (limitM-c[i])*float64(dir) < 0) {
			break
		}
		out = append(out, placeAt(s, i, math.Abs(c[i]-edge), coupledM, behind))
	}
	rank := func(p *Place) float64 {
		r := p.AwayM*(1/CoupledMS+WalkS) + p.MoreS
		if !p.sure() {
			r += doubtS
			if p.OnStructure || math.IsNaN(p.StartP) {
				r += doubtS
			} else {
				r += doubtS * (1 - p.StartP)
			}
		}
		return r
	}
	slices.SortStableFunc(out, func(a, b Place) int { return cmp.Compare(rank(&a), rank(&b)) })
	for i := range out {
		out[i].order = i
	}
	return out
}

// fails reports a station that the train does not surely get over alone.
func fails(s *check.Situation, i int) bool {
	return s.ClimbOutcome(i) == check.Fail || s.DescentOutcome(i) == check.Fail
}

func placeAt(s *check.Situation, i int, awayM, coupledM float64, behind bool) Place {
	at := s.Profile.ChainageM[i]
	p := Place{AtM: at, AwayM: awayM, station: i, HoldP: s.ParkChance(i), StartP: s.StartChance(i), GradeRatio: s.TrainGrade.Value[i],
		StraightM: straightAbout(s.Way, at, s.Train.LengthM), WidthM: widthAt(s, at), OnStructure: onStructure(s, at)}
	from := at
	if behind {
		from = max(at-coupledM, 0)
	}
	p.HelperRatio = rise(s, from, coupledM-s.Train.LengthM)
	if math.Abs(p.GradeRatio) > LevelRatio || math.Abs(p.HelperRatio) > LevelRatio {
		p.MoreS += SteepS
	}
	if p.StraightM < coupledM {
		p.MoreS += CrookedS
	}
	if p.WidthM < s.Train.WidthM+besideM {
		p.MoreS += NarrowS
	}
	if p.HoldP < check.HoldAt {
		p.MoreS += UnparkedS
	}
	return p
}

// rise is the mean grade of the way from a place on; NaN without height there.
func rise(s *check.Situation, at, lengthM float64) float64 {
	c, z := s.Profile.ChainageM, s.Profile.ZM
	i := sort.SearchFloat64s(c, at-1e-6)
	k := min(sort.SearchFloat64s(c, at+lengthM), len(c)-1)
	if k <= i {
		return 0
	}
	return (z[k] - z[i]) / (c[k] - c[i])
}

// straightAbout is the length of way about a train that turns by no more than a
// straight may, counted from the middle of the train both ways.
func straightAbout(a *route.Alignment, at, lengthM float64) float64 {
	middle := max(at-lengthM/2, 0)
	c := a.ChainageM
	k := sort.SearchFloat64s(c, middle)
	ahead, turn := k, 0.0
	for ahead < len(c)-1 {
		if turn += a.TurnRad[ahead]; math.Abs(turn) > straightTurnRad {
			break
		}
		ahead++
	}
	back := k - 1
	turn = 0
	for back > 0 {
		if turn += a.TurnRad[back]; math.Abs(turn) > straightTurnRad {
			break
		}
		back--
	}
	return c[min(ahead, len(c)-1)] - c[max(back, 0)]
}

// widthAt is the least tagged width under the train, NaN where none is tagged.
func widthAt(s *check.Situation, at float64) float64 {
	w := math.NaN()
	for _, l := range s.Way.LegsIn(route.Stretch{FromM: max(at-s.Train.LengthM, 0), ToM: at}) {
		if t := l.Tags.WidthM; t.State == route.Known && !(w <= t.Value) {
			w = t.Value
		}
	}
	return w
}

func onStructure(s *check.Situation, at float64) bool {
	for _, p := range s.Structures {
		if at >= p.At.FromM && at-s.Train.LengthM <= p.At.ToM {
			return true
		}
	}
	return false
}

// best are the first places of a ranking.
func best(all []Place, chosen int) []Place {
	out := []Place{all[chosen]}
	for i := 0; i < len(all) && len(out) < shownPlaces; i++ {
		if i != chosen && apart(out, &all[i]) {
			out = append(out, all[i])
		}
	}
	return out
}

// apart keeps the shown places a few lengths from each other: three stations of one
// lay-by are one place.
func apart(shown []Place, p *Place) bool {
	const leastM = 50.0 // choice
	for i := range shown {
		if math.Abs(shown[i].AtM-p.AtM) < leastM {
			return false
		}
	}
	return true
}

// steepestPull is the pull that moves the train on its hardest place of a stretch,
// and where, newtons.
func steepestPull(s *check.Situation, over route.Stretch) (needN, atM float64) {
	atM = over.FromM
	for i, c := range s.Profile.ChainageM {
		if c < over.FromM || c > over.ToM || math.IsNaN(s.TrainGrade.Value[i]) {
			continue
		}
		if n := traction.PullNeeded(s.Train, s.TrainGrade.Value[i], s.RollAt(i)).SumN; n > needN {
			needN, atM = n, c
		}
	}
	return needN, atM
}
