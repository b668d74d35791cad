package secondtow

import (
	"errors"
	"strings"
	"sync"

	"drawbar/route/check"
	"drawbar/vehicle"
)

// Member is one helper of a Hitch.
type Member struct {
	Helper string
	Behind bool // behind the train, pushing or holding back; else ahead, on the bar
	helper *Helper
	atM    float64 // its foremost axle ahead of the train's, negative behind
}

// Hitch is one way in which helpers are coupled to the train: one ahead or behind,
// two ahead, or one at each end.
type Hitch struct {
	Members []Member // front to rear
	AheadM  float64  // the foremost axle of all before the train's

	couple func() (*check.Setup, error) // once
}

// Setup is the coupled train, nil where it cannot be coupled.
func (h *Hitch) Setup() *check.Setup {
	s, err := h.couple()
	if err != nil {
		return nil
	}
	return s
}

// Name says who helps, and from where.
func (h *Hitch) Name() string {
	var names []string
	for _, m := range h.Members {
		if m.Behind {
			names = append(names, m.Helper+" behind")
			continue
		}
		names = append(names, m.Helper)
	}
	return strings.Join(names, " and ")
}

// Situation puts the coupled train on the way of the train alone.
func (h *Hitch) Situation(s *check.Situation) *check.Situation {
	return check.NewSituation(h.Setup(), s.Way, s.Profile, s.Structures, s.Looked).Knowing(s.Answers, s.Today)
}

// behind reports whether a helper stands behind the train.
func (h *Hitch) behind() bool { return h.Members[len(h.Members)-1].Behind }

// hitches are all ways of coupling one helper and two, singles first, in the
// order of the yard. They are made when first asked for.
func (y *Yard) hitches() []*Hitch {
	y.once.Do(func() {
		for i := range y.Helpers {
			h := &y.Helpers[i]
			y.all = append(y.all, &Hitch{Members: []Member{{Helper: h.Name, helper: h, atM: h.AheadM}}, AheadM: h.AheadM,
				couple: func() (*check.Setup, error) { return h.Coupled, nil }})
			if h.fitsBehind() {
				y.all = append(y.all, two(nil, h))
			}
		}
		for i := range y.Helpers {
			for k := range y.Helpers {
				if a, b := &y.Helpers[i], &y.Helpers[k]; i != k && b.fitsBehind() {
					y.all = append(y.all, two(a, b))
				}
				if i < k {
					y.all = append(y.all, tandem(&y.Helpers[i], &y.Helpers[k]))
				}
			}
		}
	})
	return y.all
}

// fitsBehind reports whether the couplings are rated for the helper behind.
func (h *Helper) fitsBehind() bool {
	j := vehicle.JointOf(h.train, h.machine)
	return j.PushN > 0 && !h.bar.Rope || j.HoldN > 0
}

// pushes and holds report whether a hitch may push a train, and hold it back.
func (h *Hitch) pushes() bool {
	for _, m := range h.Members {
		if !m.Behind || vehicle.JointOf(m.helper.train, m.helper.machine).PushN > 0 && !m.helper.bar.Rope {
			return true
		}
	}
	return false
}

func (h *Hitch) holds() bool {
	for _, m := range h.Members {
		if m.Behind && vehicle.JointOf(m.helper.train, m.helper.machine).HoldN > 0 {
			return true
		}
		if !m.Behind && vehicle.JointOf(m.helper.machine, m.helper.train).PushN > 0 && !m.helper.bar.Rope {
			return true
		}
	}
	return false
}

// two is one helper behind and perhaps one ahead.
func two(ahead, behind *Helper) *Hitch {
	h := &Hitch{}
	if ahead != nil {
		h.AheadM = ahead.AheadM
		h.Members = append(h.Members, Member{Helper: ahead.Name, helper: ahead, atM: ahead.AheadM})
	}
	h.Members = append(h.Members, Member{Helper: behind.Name, Behind: true, helper: behind})
	c, err := vehicle.CoupleBehind(behind.train, behind.machine, behind.bar)
	if err == nil {
		h.Members[len(h.Members)-1].atM = -c.Axles[len(behind.train.Axles)].AtM
		if ahead != nil {
			c, err = vehicle.Couple(ahead.machine, c, ahead.bar)
		}
	}
	h.coupled(c, err, behind.set)
	return h
}

// tandem is two helpers ahead, the first of them next to the train.
func tandem(near, lead *Helper) *Hitch {
	h := &Hitch{}
	c, err := vehicle.Couple(near.machine, near.train, near.bar)
	if err == nil {
		c, err = vehicle.Couple(lead.machine, c, lead.bar)
	}
	if err == nil {
		h.AheadM = c.Axles[len(lead.machine.Axles)+len(near.machine.Axles)].AtM
		h.Members = []Member{{Helper: lead.Name, helper: lead, atM: h.AheadM}, {Helper: near.Name, helper: near, atM: near.AheadM}}
	}
	h.coupled(c, err, near.set)
	return h
}

var errCouple = errors.New("cannot be coupled")

func (h *Hitch) coupled(c *vehicle.Combination, err error, set check.Settings) {
	h.couple = sync.OnceValues(func() (*check.Setup, error) {
		if err != nil || c == nil {
			return nil, errors.Join(errCouple, err)
		}
		return check.NewSetup(c, set)
	})
}

// unlocks are the fields that would let the helpers push, or hold back, from
// behind.
func (y *Yard) unlocks(hold bool) (out []string) {
	seen := map[string]bool{}
	for i := range y.Helpers {
		j := vehicle.JointOf(y.Helpers[i].train, y.Helpers[i].machine)
		field := j.PushField
		if hold {
			field = j.HoldField
		}
		if field != "" && !seen[field] {
			seen[field] = true
			out = append(out, field)
		}
	}
	return out
}
