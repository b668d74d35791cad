package vehicle

import "math"

// Support is one place that carries a unit of a train.
type Support struct {
	Unit    int
	Group   int  // 0 front, 1 rear; a semi-trailer's only group is 0
	Kingpin bool // the front of a semi-trailer, on the unit ahead
}

// Lightest is the support that carries least under the given forces, and its
// load in newtons, normal to the road. At 0 it lifts; below 0 the train has
// left what these statics can say.
func (c *Combination) Lightest(f *Forces) (Support, float64) {
	at, least := Support{}, math.Inf(1)
	take := func(s Support, n float64) {
		if n < least {
			at, least = s, n
		}
	}
	for i := range c.Units {
		u := &c.Units[i]
		if u.Kind == SemiTrailer {
			take(Support{Unit: i, Kingpin: true}, f.HitchV[i])
		}
		for g := range u.GroupXM {
			take(Support{Unit: i, Group: g}, f.GroupN[i][g])
		}
	}
	return at, least
}

// SteerShare is the least load on the front axle group of a tractor or rigid
// over that unit's own weight, and the unit it is. +Inf for a train without
// one.
func (c *Combination) SteerShare(f *Forces) (unit int, share float64) {
	share = math.Inf(1)
	for i := range c.Units {
		u := &c.Units[i]
		if u.Kind != Tractor && u.Kind != Rigid {
			continue
		}
		if s := f.GroupN[i][0] / (u.MassKg * G); s < share {
			unit, share = i, s
		}
	}
	return unit, share
}

// SupportName names a support for people: "front axle group of tractor".
func (c *Combination) SupportName(s Support) string {
	u := &c.Units[s.Unit]
	name := groupName(*u, s.Group)
	if s.Kingpin {
		name = "kingpin"
	}
	return name + " of " + u.Name
}
