package report

import (
	"fmt"
	"strings"

	"drawbar/route/verdict"
)

// looked says where structures were looked for, when it was elsewhere than in the
// route's own tags.
func (t *text) looked(r *verdict.Result) {
	if len(r.Looked.Sources) < 2 {
		return
	}
	var parts []string
	for _, s := range r.Looked.Sources {
		parts = append(parts, fmt.Sprintf("%s (%s) on %s of the length", short(s.Name, nameWidth), s.For, percent(s.LengthM/r.Way.LengthM())))
	}
	t.wrap("  ", "    ", "looked for structures in: "+strings.Join(parts, "; "))
}
