package verdict

import (
	"drawbar/route"
	"drawbar/route/known"
)

// knownOn places the answers on a way, and lets those that say what its surface
// is speak before anything is judged.
func (j *Judge) knownOn(way *route.Alignment) (*route.Alignment, []known.Placed, []known.Placed) {
	placed := known.Place(way, j.Answers)
	var surfaces []known.Placed
	for _, p := range placed {
		for _, v := range p.Values {
			if v.Key != "surface" || p.AsPoint || p.Expired(j.Today) {
				continue
			}
			surfaces = append(surfaces, p)
			way = way.Amend(p.On, func(t *route.Tags) { t.Surface, t.Tracktype, t.Smoothness = v.Text, "", "" })
		}
	}
	return way, placed, surfaces
}

// Question is one open question of a route: a finding of the train alone, or of
// the pair while a helper is hooked on.
type Question struct {
	Finding int    // into Findings, or into the assist's
	Assist  int    // into Plan.Assists, -1 for the train alone
	Helper  string // of the assist
	Verdict Verdict
	// Standing: a matter of the whole way.
	Standing bool
}

// hardest is the order in which questions are asked when nothing else tells
// them apart: what takes longest to answer, or what most likely turns the train
// back, first. Choice.
var hardest = map[string]int{"bridge": 0, "structures": 1, "crossing": 2, "overhead": 3, "access": 4, "posting": 5, "ford": 6, "bend": 7, "hang-up": 8, "climb": 9, "void": 10}

// Questions are all open ones of a result, hardest first, those of the whole
// way last.
func (res *Result) Questions() []Question {
	var out []Question
	open, standing := res.Open()
	for _, i := range open {
		out = append(out, Question{Finding: i, Assist: -1, Verdict: res.word(i)})
	}
	for k := range res.Plan.Assists {
		a := &res.Plan.Assists[k]
		for _, i := range a.Asked() {
			out = append(out, Question{Finding: i, Assist: k, Helper: a.Helper, Verdict: Alone(&a.Findings[i])})
		}
	}
	sortQuestions(res, out)
	for _, i := range standing {
		out = append(out, Question{Finding: i, Assist: -1, Verdict: Go, Standing: true})
	}
	return out
}
