package check

import (
	"cmp"
	"slices"

	"drawbar/route"
	"drawbar/route/known"
)

// Use is what became of an answer at one question.
type Use struct {
	Answer *known.Answer
	Check  string
	At     route.Stretch
	Reach  known.Reach
	Why    string // where it closes nothing
}

// atPlace are the checks whose questions are of one thing at one place.
var atPlace = []string{"bridge", "overhead", "ford", "bend", "crossing", "gate"}

// byOwner are the checks that only the owner of the way can answer, precedents
// those that a load which passed can.
var (
	byOwner    = []string{"bridge", "posting"}
	precedents = []string{"bridge", "overhead", "bend", "width", "posting", "access", "hang-up"}
)

// answer lets what people know override what the checks found, place by place.
// It runs last: a check knows nothing of it.
func (s *Situation) answer(k *Sink) {
	for i := range k.Findings {
		k.Findings[i].Needs = s.needsOf(&k.Findings[i])
	}
	if len(s.Answers) == 0 {
		return
	}
	for i := range k.Passed {
		k.Passed[i].Needs = s.needsOf(&k.Passed[i])
	}
	all := append(slices.Clone(k.Findings), k.Passed...)
	k.Findings, k.Passed = k.Findings[:0], k.Passed[:0]
	for i := range all {
		f := &all[i]
		s.answerOne(k, f, all)
		if f.Outcome == Pass {
			k.Passed = append(k.Passed, *f)
			continue
		}
		k.Findings = append(k.Findings, *f)
	}
}

// answerOne takes the answers that stand at a finding.
func (s *Situation) answerOne(k *Sink, f *Finding, all []Finding) {
	switch {
	case f.Standing:
		s.answerStanding(k, f)
		return
	case f.By != "": // it is an answer's own
		return
	}
	var best *Use
	for i := range s.Answers {
		p := &s.Answers[i]
		if p.Check != f.Check || !s.nearest(p, f, all) || p.How != known.Precedent && len(f.Needs) > 0 && !f.Needs.Touches(p.Answer) {
			continue
		}
		u := s.use(p, f)
		k.Uses = append(k.Uses, u)
		if best == nil || prefer(&u, best) {
			best = &u
		}
	}
	if best != nil {
		take(f, best)
	}
}

// nearest reports whether an answer stands at a finding and at no other of its
// check more nearly.
func (s *Situation) nearest(p *known.Placed, f *Finding, all []Finding) bool {
	one := slices.Contains(atPlace, f.Check)
	fits, off := p.Fits(f.At, one)
	if !fits || !p.AsPoint {
		return fits
	}
	for i := range all {
		if g := &all[i]; g.Check == f.Check && !g.Standing {
			if ok, nearer := p.Fits(g.At, one); ok && nearer < off {
				return false
			}
		}
	}
	return true
}

// use compares an answer with what a finding needs.
func (s *Situation) use(p *known.Placed, f *Finding) Use {
	u := Use{Answer: p.Answer, Check: f.Check, At: f.At}
	switch {
	case p.Expired(s.Today):
		u.Why = "it has expired"
	case p.How == known.Precedent && !slices.Contains(precedents, f.Check):
		u.Why = "a load that passed says nothing of this"
	case p.How == known.Precedent:
		ok, why := p.Passed.Covers(s.Load(), f.Check == "overhead" || f.Unit == Metre && f.Check == "posting")
		if u.Why = why; ok {
			u.Reach = known.Passes
		}
	case len(f.Needs) == 0:
		u.Why = "the transporter's file must say it"
	case p.How != known.Granted && slices.Contains(byOwner, f.Check) && !seen(f):
		u.Why = "its owner grants it in writing, nobody else"
	case p.How != known.Granted && f.Check == "access" && len(f.Needs) > 0 && f.Needs[0][0].Key == "granted":
		u.Why = "the owner of the way grants it in writing, nobody else"
	case p.How != known.Accepted && f.Check == "rating":
		u.Why = "somebody must accept it who answers for the train"
	default:
		u.Reach, u.Why = f.Needs.Compare(p.Answer)
	}
	return u
}

// seen reports a posting that can be read or measured on the spot.
func seen(f *Finding) bool {
	return f.Check == "posting" && len(f.Needs) > 0 && f.Needs[0][0].Key != "mass_kg" && f.Needs[0][0].Key != "axle_kg" && f.Needs[0][0].Key != "pair_kg" && f.Needs[0][0].Key != "class"
}

// prefer reports whether use u counts before v at the same question: what closes
// it before what does not, then the later day; of one day a grant before none,
// but the worse of two measurements.
func prefer(u, v *Use) bool {
	switch {
	case (u.Reach == known.Open) != (v.Reach == known.Open):
		return v.Reach == known.Open
	case u.Answer.When != v.Answer.When:
		return u.Answer.When > v.Answer.When
	case u.Reach == v.Reach:
		return false
	case u.Answer.How == known.Granted && v.Answer.How == known.Granted:
		return u.Reach == known.Passes
	}
	return u.Reach == known.Fails
}

// take lets an answer decide a finding.
func take(f *Finding, u *Use) {
	a := u.Answer
	f.Q = append(f.Q[:len(f.Q):len(f.Q)], Quantity{Name: "answered", Text: a.Says(), Unit: Literal},
		Quantity{Name: "who", Text: a.Who(), Unit: Literal}, Quantity{Name: "why", Text: u.Why, Unit: Literal}, Quantity{Name: "terms", Text: a.Terms, Unit: Literal})
	f.Say += "; {answered}, {who}"
	f.By = a.Who()
	switch u.Reach {
	case known.Open:
		f.Say += ": does not close it, {why}"
		return
	case known.Fails:
		f.Outcome, f.P, f.PBest, f.Remedy = Fail, 0, 0, NoRemedy
		f.Do = "go round; or have what stands in the way changed"
		if f.Check == "climb" || f.Check == "start" {
			f.Remedy = Pull
		}
		return
	}
	f.Outcome, f.P, f.PBest = Pass, nan, nan
	f.Rests, f.Unverified, f.Decides = nil, false, nil
	switch {
	case a.Terms != "":
		f.Outcome, f.Do = Caution, "keep to the conditions: {terms}"
	case a.How == known.Precedent:
		f.Outcome, f.Do = Caution, "drive as that load did: find out how; at walking pace, alone, in the middle"
	case f.Check == "rating":
		f.Outcome, f.Do = Caution, "axles over their rating, accepted: keep to what the maker says of speed and tyres"
	case f.Check == "ford":
		f.Outcome, f.Do = Caution, "probe depth and bed again on the day; brakes are wet on the far side"
	}
}

// answerStanding closes a matter of the whole way where answers cover it.
func (s *Situation) answerStanding(k *Sink, f *Finding) {
	covered, by := 0.0, ""
	var parts []route.Stretch
	for i := range s.Answers {
		p := &s.Answers[i]
		if p.Check != f.Check || p.AsPoint || !p.On.Overlaps(f.At) || !f.Needs.Touches(p.Answer) {
			continue
		}
		if _, soil := soilOf(p); soil && f.Check == "ground" {
			continue // placed already
		}
		u := s.use(p, f)
		k.Uses = append(k.Uses, u)
		if u.Reach == known.Fails { // a place of it that does not pass
			no := *f
			no.Standing, no.At = false, clip(p.On, f.At)
			no.WorstM = no.At.FromM
			take(&no, &u)
			k.Findings = append(k.Findings, no)
		}
		if u.Reach == known.Passes {
			parts = append(parts, clip(p.On, f.At))
			by = p.Who()
		}
	}
	slices.SortFunc(parts, func(a, b route.Stretch) int { return cmp.Compare(a.FromM, b.FromM) })
	to := f.At.FromM
	for _, p := range parts {
		covered += max(p.ToM-max(p.FromM, to), 0)
		to = max(to, p.ToM)
	}
	if covered < 0.99*f.At.LengthM() {
		return
	}
	f.Standing, f.Outcome, f.P, f.By = false, Pass, nan, by
	f.Say = "looked into on the whole way, {who}"
	f.Q = append(f.Q[:len(f.Q):len(f.Q)], Quantity{Name: "who", Text: by, Unit: Literal})
}
