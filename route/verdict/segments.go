package verdict

import (
	"slices"

	"drawbar/route"
	"drawbar/route/secondtow"
)

// cut makes segments of the findings and the plan, and the route's verdict of
// the segments.
func (res *Result) cut(window route.Stretch) {
	marks := []float64{window.FromM, window.ToM}
	for i := range res.Findings {
		if f := &res.Findings[i]; !f.Standing {
			marks = append(marks, f.At.FromM, f.At.ToM)
		}
	}
	for _, a := range res.Plan.Assists {
		marks = append(marks, a.Over.FromM, a.Over.ToM)
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	open := 0.0
	for i := 1; i < len(marks); i++ {
		at := route.Stretch{FromM: marks[i-1], ToM: marks[i]}
		if at.FromM < window.FromM || at.ToM > window.ToM {
			continue
		}
		s := res.segment(at)
		if s.Unknown {
			open += at.LengthM()
		}
		res.add(s)
	}
	res.absorb()
	for i, s := range res.Segments {
		res.Verdict = max(res.Verdict, s.Verdict)
		res.sort(&res.Segments[i])
	}
	res.DecidedShare = 1 - open/window.LengthM()
}

// absorb joins a segment shorter than the shortest worth driving by itself to
// the worse of its neighbours where both are worse than it: between two
// questions there is no go of a few metres.
func (res *Result) absorb() {
	const leastM = 30.0 // about a train; choice
	var out []Segment
	for i, s := range res.Segments {
		n := len(out) - 1
		if n < 0 || i+1 == len(res.Segments) || s.At.LengthM() >= leastM {
			out = append(out, s)
			continue
		}
		before, after := &out[n], &res.Segments[i+1]
		switch {
		case before.Verdict <= s.Verdict || after.Verdict <= s.Verdict:
			out = append(out, s)
		case before.Verdict >= after.Verdict:
			before.take(s)
		default:
			after.take(s)
		}
	}
	res.Segments = out[:0]
	for _, s := range out {
		res.add(s)
	}
}

// take grows a segment over a neighbour.
func (s *Segment) take(n Segment) {
	s.At = route.Stretch{FromM: min(s.At.FromM, n.At.FromM), ToM: max(s.At.ToM, n.At.ToM)}
	s.Unknown = s.Unknown || n.Unknown
	for _, f := range n.Findings {
		if !slices.Contains(s.Findings, f) {
			s.Findings = append(s.Findings, f)
		}
	}
}

// segment judges one elementary stretch.
func (res *Result) segment(at route.Stretch) Segment {
	s := Segment{At: at, Assist: -1}
	for i, a := range res.Plan.Assists {
		if a.Over.Overlaps(at) {
			s.Assist, s.Verdict = i, SecondTow
			s.Unknown = s.Unknown || len(a.Asked()) > 0
		}
	}
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Standing || !f.At.Overlaps(at) {
			continue
		}
		s.Findings = append(s.Findings, i)
		s.Unknown = s.Unknown || (f.Open() && res.word(i) == Unknown)
		s.Verdict = max(s.Verdict, res.word(i))
	}
	return s
}

// word is the verdict that one finding gives its place. A climb that more
// likely fails than not at the design values, and that a helper at hand makes a
// pass, asks for the helper: waiting for certainty would leave the crew without
// an answer where a safe one is at hand.
func (res *Result) word(i int) Verdict {
	f := &res.Findings[i]
	v := Alone(f)
	if v == Detour || (v == Unknown && f.PBest < secondtow.TryBelow) {
		for _, a := range res.Plan.Assists {
			if slices.Contains(a.For, i) {
				return SecondTow
			}
		}
	}
	return v
}

// add appends a segment, or grows the last one where the verdict and the help
// stay the same: a crew reads stretches, each finding keeps its own place.
func (res *Result) add(s Segment) {
	if n := len(res.Segments); n > 0 {
		l := &res.Segments[n-1]
		if l.Verdict == s.Verdict && l.Assist == s.Assist {
			l.take(s)
			return
		}
	}
	res.Segments = append(res.Segments, s)
}

// sort puts the deciding finding of a segment first.
func (res *Result) sort(s *Segment) {
	slices.SortStableFunc(s.Findings, func(a, b int) int { return int(res.word(b)) - int(res.word(a)) })
}

// Open are the findings that are questions in the way, in order of chainage;
// Standing those that this data cannot answer anywhere.
func (res *Result) Open() (open, standing []int) {
	for i := range res.Findings {
		switch f := &res.Findings[i]; {
		case f.Standing:
			standing = append(standing, i)
		case f.Minor: // colours its place; a standing line counts it
		case f.Open() && res.word(i) == Unknown:
			open = append(open, i)
		}
	}
	slices.SortStableFunc(open, func(a, b int) int {
		switch x, y := res.Findings[a].At.FromM, res.Findings[b].At.FromM; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	return open, standing
}

// Word is the verdict that a finding alone gives its place.
func (res *Result) Word(i int) Verdict { return res.word(i) }
