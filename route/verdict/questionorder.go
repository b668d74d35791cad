package verdict

import (
	"cmp"
	"math"
	"slices"

	"drawbar/route/check"
)

// Of is the finding that a question asks about.
func (q Question) Of(res *Result) *check.Finding {
	if q.Assist >= 0 {
		return &res.Plan.Assists[q.Assist].Findings[q.Finding]
	}
	return &res.Findings[q.Finding]
}

// sortQuestions puts the hardest first: by the kind of question, then the less
// likely to pass, then the more it asks of the place, then by chainage.
func sortQuestions(res *Result, list []Question) {
	rank := func(f *check.Finding) int {
		if r, ok := hardest[f.Check]; ok {
			return r
		}
		return len(hardest)
	}
	slices.SortStableFunc(list, func(a, b Question) int {
		f, g := a.Of(res), b.Of(res)
		return cmp.Or(cmp.Compare(rank(f), rank(g)), cmp.Compare(likely(f), likely(g)), cmp.Compare(triage(g), triage(f)), cmp.Compare(f.At.FromM, g.At.FromM))
	})
}

// likely is the chance to pass; even odds where there is none.
func likely(f *check.Finding) float64 {
	if math.IsNaN(f.P) {
		return 0.5
	}
	return f.P
}

// triage is how much worse this train is to a bridge than an ordinary lorry,
// where a finding says so; else how long the structure is.
func triage(f *check.Finding) float64 {
	length := 0.0
	for _, q := range f.Q {
		switch q.Name {
		case "triage", "ratio":
			return 1000 * q.Value
		case "span":
			length = q.Value
		}
	}
	return length
}
