package secondtow

import (
	"math"

	"drawbar/route/check"
)

// Move is a helper on its way from the stretch it did to the next one.
type Move struct {
	Helper string
	FromM  float64 // where it was cast off, chainage of the train then
	ToM    float64 // where it is hooked on again
	// Passes: it must get by the halted train, from one end to the other, WaitS long.
	Passes bool
	WaitS  float64
	// AloneP is the least chance that it climbs that way by itself.
	AloneP float64
}

// leapfrog says of every assist which of its helpers come from an earlier one.
func (p *planner) leapfrog(as []Assist) {
	for i := range as {
		for _, m := range as[i].Members {
			for k := i - 1; k >= 0; k-- {
				if from := member(&as[k], m.Helper); from != nil {
					as[i].Moves = append(as[i].Moves, p.move(&as[k], &as[i], from, &m))
					break
				}
			}
		}
		for _, m := range as[i].Moves {
			as[i].TimeS += m.WaitS
		}
	}
}

func member(a *Assist, name string) *Member {
	for i := range a.Members {
		if a.Members[i].Helper == name {
			return &a.Members[i]
		}
	}
	return nil
}

func (p *planner) move(last, next *Assist, from, to *Member) Move {
	m := Move{Helper: to.Helper, FromM: last.Over.ToM, ToM: next.Over.FromM, Passes: from.Behind != to.Behind, AloneP: 1}
	if m.Passes {
		m.WaitS = PassS
	}
	c := p.solo(to.helper)
	for i, x := range c.Profile.ChainageM {
		if x < m.FromM || x > m.ToM+to.atM {
			continue
		}
		if c.ClimbOutcome(i) != check.Pass {
			m.AloneP = math.Min(m.AloneP, c.Climb(i).P)
		}
	}
	return m
}
