package check

import "drawbar/route"

// Narrowed is the setup for one question only, which is cheap to ask: climbs at a
// crawl, or descents. Everything else about it is left uncomputed and must not be
// asked.
func (s *Setup) Narrowed(down bool) *Setup {
	n := *s
	n.only = []motion{crawling}
	if down {
		n.only = []motion{retarding, braking}
	}
	n.options = map[string]*option{}
	for name, o := range s.options {
		n.options[name] = &option{surface: o.surface}
	}
	return &n
}

// Probe puts a narrowed setup on the way of s for stations on a stretch only;
// others must not be asked.
func (s *Situation) Probe(set *Setup, at route.Stretch) *Situation {
	n := &Situation{Setup: set, Way: s.Way, Profile: s.Profile, Structures: s.Structures, Looked: s.Looked, Window: at}
	off, w := trainWeights(set.Train)
	n.Profile.Linear(off, w, &n.TrainGrade)
	n.suspects = s.suspects
	n.layGrounds()
	n.layScrub()
	return n
}

// narrow computes what a narrowed setup asks of a surface.
func (s *Setup) narrow(o *option) {
	for _, m := range s.only {
		switch m {
		case crawling:
			s.climbOn(o)
		case retarding:
			s.retardOn(o)
		case braking:
			s.brakeOn(o)
		}
	}
}
