package check

import (
	"drawbar/route"
	"drawbar/route/structure"
)

// culvert asks about pipes under the way. What a pipe carries depends on its
// cover and state, which no load effect of a beam says.
func culvert(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		q := s.bridgeNeeds(p)
		decided := false
		for _, c := range s.bridgeLimits(p.Feature) {
			if c.l.State == route.Known {
				decided = decided || c.enough
				k.Place(s.bridgeFinding(p, c, q))
			}
		}
		if decided {
			return
		}
		f := about(p, q[1:]...) // the name stands there already
		f.Say = "a culvert under the way by {source}; what it carries is not known"
		f.Close = "ask the road's owner: passes if rated for {axleneed} on an axle and {group} on {axles} axles over {spread}; look at cover and cracks"
		k.Place(f)
	}, structure.Culvert)
}

// unbridged asks about watercourses and railways that the way crosses and no
// source says how.
func unbridged(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		f := about(p, s.bridgeNeeds(p)[1:]...)
		f.Say = "crossing without a structure: {what} {name} by {source}, and no bridge, tunnel, ford or level crossing is tagged"
		f.Close = "find out what is there and its limit: a bridge or culvert passes if rated for {grossneed} gross, {axleneed} on an axle (class {classneed}); a ford by its depth and bed"
		k.Place(f)
	}, structure.Unbridged)
}
