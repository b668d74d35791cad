package check

import (
	"math"

	"drawbar/route"
)

// Step is one named value of the way a check came to its answer.
type Step struct {
	Check string
	Name  string
	Value float64
	Unit  Unit
	How   string // formula or source, in words
}

// Sink takes what the checks find. With Explain set it keeps the steps of the
// very same run; otherwise a step costs one branch.
type Sink struct {
	Explain  bool
	Findings []Finding
	Passed   []Finding // comparisons that passed, so that what was looked at is seen
	Steps    []Step
	Uses     []Use // answers that stand at a question, and what became of them
	check    string
}

// Place takes one finding.
func (k *Sink) Place(f Finding) {
	f.Check = k.check
	if f.Outcome == Pass {
		k.Passed = append(k.Passed, f)
		return
	}
	k.Findings = append(k.Findings, f)
}

// Step keeps a step when someone asked for it.
func (k *Sink) Step(name string, value float64, unit Unit, how string) {
	if k.Explain {
		k.Steps = append(k.Steps, Step{k.check, name, value, unit, how})
	}
}

// runs joins neighbouring stations that do not pass into findings. Runs nearer
// to each other than gapM are one, with the worst outcome of the two: a crew
// does not unhook between two failures a few metres apart.
type runs struct {
	gapM  float64
	open  bool
	at    route.Stretch
	worst reading
	emit  func(at route.Stretch, worst reading)
}

// reading is what a check found at one station.
type reading struct {
	i                    int // station
	s                    float64
	demand, capacity     float64
	varDemand, varSupply float64
	p, pBest             float64 // on the worst and on the best the ground may be
	outcome              Outcome
	suspect              bool // the height rather shows a structure than the road
}

func (r *reading) se() float64 { return math.Sqrt(r.varDemand + r.varSupply) }

// worse orders readings: the outcome first, then the probability.
func (r *reading) worse(b *reading) bool {
	if r.outcome != b.outcome {
		return r.outcome > b.outcome
	}
	return r.p < b.p
}

// add takes the reading of the next station.
func (g *runs) add(r reading, lengthM float64) {
	if r.outcome == Pass {
		return
	}
	half := lengthM / 2
	if g.open && r.s-half-g.at.ToM > g.gapM {
		g.close()
	}
	if !g.open {
		g.open, g.worst = true, r
		g.at = route.Stretch{FromM: r.s - half, ToM: r.s + half}
		return
	}
	g.at.ToM = r.s + half
	if r.worse(&g.worst) {
		g.worst = r
	}
}

// close ends the run at hand.
func (g *runs) close() {
	if g.open {
		g.emit(g.at, g.worst)
	}
	g.open = false
}
