package report

import (
	"bufio"
	"bytes"
	"fmt"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/verdict"
)

// Bridges nobody rated are one list, hardest first, ten rows and a count, with the
// words that a bridge is not rated here once.
func TestBridgeList(t *testing.T) {
	r := &verdict.Result{}
	for i := range 13 {
		r.Findings = append(r.Findings, check.Finding{Check: "bridge", Rank: 1 + i%3, Order: float64(i), Say: fmt.Sprintf("number %d.", i), Close: "ask",
			Outcome: check.NotLooked, At: route.Stretch{FromM: float64(100 * i), ToM: float64(100*i + 10)}})
	}
	var b bytes.Buffer
	x := &text{w: bufio.NewWriter(&b), u: SI}
	x.bridges(r)
	x.w.Flush()
	out := b.String()
	if strings.Count(out, "number ") != 10 || !strings.Contains(out, "13 bridges") || !strings.Contains(out, "and 3 more") || strings.Count(out, "does not rate") != 1 {
		t.Errorf("%s", out)
	}
	if first, next := strings.Index(out, "number 11."), strings.Index(out, "number 8."); first < 0 || next < first {
		t.Errorf("not hardest first:\n%s", out)
	}
}
