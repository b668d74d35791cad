package report

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// Columns of a step: its name, its value, how it came about.
const (
	stepNameWidth  = 36
	stepValueWidth = 14
)

// Explain writes the steps behind one place, the findings last, at most 80
// columns wide.
func Explain(w io.Writer, r *verdict.Result, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	last := ""
	for _, s := range r.Steps {
		if s.Check != last {
			t.line("%s", s.Check)
			last = s.Check
		}
		name := clean(short(s.Name, stepNameWidth))
		t.wrap(fmt.Sprintf("  %-*s %*s  ", stepNameWidth, name, stepValueWidth, stepValue(s)), strings.Repeat(" ", 10), short(s.How, sayingWidth))
	}
	for i := range r.Findings {
		f := &r.Findings[i]
		if !f.Standing {
			t.wrap("", "  ", f.Check+": "+f.Outcome.String()+": "+t.sentence(f))
		}
	}
	return t.w.Flush()
}

// stepValue prints a step with enough figures to follow the sum by hand.
func stepValue(s check.Step) string {
	switch {
	case s.Unit == check.Literal:
		return ""
	case math.IsNaN(s.Value):
		return "unknown"
	case s.Unit == check.Grade:
		return plain(100*s.Value, 3) + " %"
	case s.Unit == check.Chain:
		return plain(s.Value, 1) + " m"
	case s.Unit == "1" || s.Unit == check.Share:
		return fmt.Sprintf("%.4g", s.Value)
	}
	return fmt.Sprintf("%.6g %s", s.Value, s.Unit)
}
