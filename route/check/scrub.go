package check

import (
	"math"

	"drawbar/route"
)

// Scrub of tyres in a curve: the axles of a close group that does not steer
// cannot all roll towards the middle of the curve and slide a little sideways. As
// a share of the load on such groups, on curves tighter than tightRadiusM.
// Memory, unverified: 0.5 to 1 % of the load on radii under 50 m; steered lines
// much less.
const (
	scrubLow  = 0.005
	scrubHigh = 0.010
	scrubKey  = "climb.scrub"
)

// scrubShare is the load on close groups that do not steer, over the gross mass.
func (s *Setup) scrubShare() float64 {
	load, c := 0.0, s.Train
	for i := 0; i < len(c.Axles); {
		j, kg := i, 0.0
		for j < len(c.Axles) && c.Axles[j].Unit == c.Axles[i].Unit && c.Axles[j].Group == c.Axles[i].Group {
			kg += c.Axles[j].Kg
			j++
		}
		u := &c.Units[c.Axles[i].Unit]
		steers := u.Steerable.Ratio > 0 || (u.Power != nil && c.Axles[i].Group == 0)
		if j-i > 1 && !steers {
			load += kg
		}
		i = j
	}
	return load / c.GrossKg
}

// layScrub marks the stations where the train stands in a tight bend.
func (s *Situation) layScrub() {
	bends := tight(s.Way, 0)
	if len(bends) == 0 {
		return
	}
	s.scrubs = make([]bool, len(s.Profile.ChainageM))
	k := 0
	for i, c := range s.Profile.ChainageM {
		under := s.under(c)
		for k < len(bends) && bends[k].ToM < under.FromM {
			k++
		}
		s.scrubs[i] = k < len(bends) && bends[k].Overlaps(route.Stretch{FromM: under.FromM, ToM: under.ToM + 1e-6})
	}
}

// scrubbed is a capacity less what scrub takes of it.
func (c *capacity) scrubbed(share float64) capacity {
	out := *c
	out.shift = -share * (scrubLow + scrubHigh) / 2
	out.grade += out.shift
	out.scrub = square(share * (scrubHigh - scrubLow) / 2 / oneSided)
	out.rests = append(c.rests[:len(c.rests):len(c.rests)], scrubKey)
	return out
}

// scrubAt reports whether scrub is counted at a station.
func (s *Situation) scrubAt(i int) bool {
	return s.scrubs != nil && s.scrubs[i] && !math.IsNaN(s.scrub) && s.scrub > 0
}
