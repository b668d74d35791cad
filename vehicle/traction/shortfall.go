package traction

import (
	"math"

	"drawbar/vehicle"
)

// fill takes what holds at the limit from the forces there.
func (l *Limit) fill(d *demand, s *vehicle.Forces, units []float64) {
	l.NeedN, l.UnitN, l.AvailN = s.NeedN, units, sum(units)
	l.GripN, l.EffortN = d.mu*s.DrivenN, d.effort.sumN
	for i := range d.c.Units {
		if d.c.Units[i].ByBar {
			l.BarN = math.Max(l.BarN, s.HitchH[i])
		}
	}
	lifts := "no support lifts before"
	if l.Lifts != "" {
		lifts = l.Lifts + " carries nothing beyond it"
	}
	l.Steps = append([]Step{
		{"gross combination mass", d.c.GrossKg, "kg", "units and loads"},
		{"adhesion coefficient", d.mu, "1", "surface"},
		{"rolling coefficient", d.f, "1", "surface"},
	}, d.effort.steps...)
	l.Steps = append(l.Steps,
		Step{"grade by grip alone", l.GripGrade, "1", "adhesion times driven load equals the pull needed"},
		Step{"grade by effort alone", l.EffortGrade, "1", "effort of the engines equals the pull needed"},
		Step{"grade by lift", l.LiftGrade, "1", lifts},
		Step{"load on driven axles", s.DrivenN, "N", "statics on the limiting grade"},
		Step{"grip", l.GripN, "N", "adhesion coefficient times load on driven axles"},
		Step{"effort", l.EffortN, "N", "sum of the engines"},
		Step{"pull needed", l.NeedN, "N", "m (g sin + a) + f m g cos on the limiting grade"},
		Step{"largest grade", l.GradeRatio, "1", "decided by " + l.Decides},
	)
}

// Assist is what a train lacks on a grade and what puts it right.
type Assist struct {
	NeedN   float64 // pull needed at steady crawl
	AvailN  float64 // smaller of grip and effort, summed over the engines
	GripN   float64
	EffortN float64
	// BarN is what a helper must give at the bar after moving itself; 0 when
	// the train manages alone.
	BarN float64
	// SpareN is what the train has in hand, negative: what it lacks.
	SpareN float64
	// MinHelperKg is the least mass of a helper, all wheels driven, that gives
	// BarN by grip on the same surface; +Inf when no mass does.
	MinHelperKg float64
	Steps       []Step
}

// Shortfall says what a helper must give at the bar for the train to climb a
// grade at steady crawl on adhesion mu and rolling coefficient f, and how heavy
// an all-wheel driven helper must be at least:
//
//	S = need - min(grip, effort);  m = S / (g (mu cos - sin - f cos))
//
// Derived. That the bar's height moves load on the train's driven wheels is
// left out; couple the two and ask Climb for the exact answer.
func Shortfall(c *vehicle.Combination, gradeRatio, mu, f float64) Assist {
	d := demand{c: c, mu: mu, f: f, effort: crawl(c)}
	s, units := d.at(gradeRatio)
	a := Assist{NeedN: s.NeedN, AvailN: sum(units), GripN: mu * s.DrivenN, EffortN: d.effort.sumN}
	a.SpareN = a.AvailN - a.NeedN
	a.BarN = math.Max(0, -a.SpareN)
	left := HelperPull(1, gradeRatio, mu, f)
	switch {
	case a.BarN == 0:
	case left <= 0:
		a.MinHelperKg = math.Inf(1)
	default:
		a.MinHelperKg = a.BarN / left
	}
	a.Steps = append(PullNeeded(c, gradeRatio, f).Steps,
		Step{"load on driven axles", s.DrivenN, "N", "statics on this grade"},
		Step{"grip", a.GripN, "N", "adhesion coefficient times load on driven axles"},
		Step{"effort", a.EffortN, "N", "sum of the engines"},
		Step{"pull at hand", a.AvailN, "N", "smaller of grip and effort, by engine"},
		Step{"wanted at the bar", a.BarN, "N", "pull needed less pull at hand"},
		Step{"left at the bar of a helper's kilogram", left, "N/kg", "g (mu cos - sin - f cos)"},
		Step{"least helper mass", a.MinHelperKg, "kg", "wanted at the bar over the line above"})
	return a
}

// HelperPull is what an all-wheel driven helper of a mass has left at the bar
// by grip on a grade after moving itself, newtons: m g (mu cos - sin - f cos).
// Negative: it does not even climb alone.
func HelperPull(massKg, gradeRatio, mu, f float64) float64 {
	return massKg * vehicle.G * (mu*cos(gradeRatio) - sin(gradeRatio) - f*cos(gradeRatio))
}
