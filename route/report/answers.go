package report

import (
	"fmt"

	"drawbar/route/check"
	"drawbar/route/known"
	"drawbar/route/verdict"
)

// jAnswer is an answer that stands at a question, and what became of it.
type jAnswer struct {
	Row    string `json:"row"`
	Check  string `json:"check"`
	FromM  num    `json:"from_m"`
	ToM    num    `json:"to_m"`
	Says   string `json:"says"`
	Who    string `json:"who"`
	Effect string `json:"effect"`
	Why    string `json:"why"`
}

// jIdle is an answer that fitted no question.
type jIdle struct {
	Row   string `json:"row"`
	Check string `json:"check"`
	Who   string `json:"who"`
}

// effect says what became of an answer.
func effect(u *check.Use) string {
	switch u.Reach {
	case known.Passes:
		return "passes"
	case known.Fails:
		return "fails"
	}
	return "does not close it"
}

// answers are those that stand at questions of the route: who answers for
// what.
func (t *text) answers(r *verdict.Result) {
	for i := range r.Answers {
		u := &r.Answers[i]
		s := fmt.Sprintf("%s at %s: %s, %s: %s", u.Check, t.u.Chainage(u.At.FromM), short(u.Answer.Says(), nameWidth), short(u.Answer.Who(), 2*nameWidth), effect(u))
		if u.Why != "" {
			s += ", " + short(u.Why, sayingWidth)
		}
		t.wrap("  answered: ", "    ", s)
	}
}

// idle are answers that fitted no question: a slip of place or of check.
func (t *text) idle(run *Run) {
	if len(run.Idle) == 0 {
		return
	}
	t.line("")
	t.line("answers that fit no question (look at their place and check):")
	for _, i := range run.Idle {
		t.wrap("  ", "    ", short(i.Row, nameWidth)+": "+short(i.Check, nameWidth)+", "+short(i.Who, 2*nameWidth))
	}
}

func jsonAnswers(r *verdict.Result) []jAnswer {
	out := []jAnswer{}
	for i := range r.Answers {
		u := &r.Answers[i]
		out = append(out, jAnswer{u.Answer.Row, u.Check, metres(u.At.FromM), metres(u.At.ToM), u.Answer.Says(), u.Answer.Who(), effect(u), u.Why})
	}
	return out
}
