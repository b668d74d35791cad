package report

import (
	"drawbar/route/check"
	"drawbar/route/verdict"
)

func jsonFinding(f *check.Finding, v verdict.Verdict) jFinding {
	standing := f.Standing
	word := new(string)
	if *word = v.String(); standing {
		word = nil
	}
	out := jFinding{Check: f.Check, FromM: metres(f.At.FromM), ToM: metres(f.At.ToM), WorstM: metres(f.WorstM),
		Outcome: f.Outcome.String(), Verdict: word, Standing: standing,
		Demand: ratio(f.Demand), Capacity: ratio(f.Capacity), SE: ratio(f.SE), Unit: string(f.Unit), Chance: num{f.P, 4},
		Say:       SI.Sentence(f),
		DecidedBy: []jShare{}, RestsOn: list(f.Rests), Unverified: f.Unverified, Quantities: []jQuantity{}}
	if out.AnsweredBy = f.By; asksToKnow(f) {
		out.Needs = f.Needs.String()
		out.ToKnow = SI.Fill(f.Close, f.Q)
	}
	if asksToDo(f) {
		out.ToDo = SI.Fill(f.Do, f.Q)
	}
	for _, d := range f.Decides {
		out.DecidedBy = append(out.DecidedBy, jShare{d.Name, num{d.Value, 3}})
	}
	for _, q := range f.Q {
		out.Quantities = append(out.Quantities, jsonQuantity(q))
	}
	return out
}

func jsonQuantity(q check.Quantity) jQuantity {
	if q.Unit == check.Literal {
		return jQuantity{Name: q.Name, Unit: string(q.Unit), Text: q.Text}
	}
	v, se := ratio(q.Value), ratio(q.SE)
	j := jQuantity{Name: q.Name, Unit: string(q.Unit), Value: &v}
	if q.SE > 0 {
		j.SE = &se
	}
	return j
}
