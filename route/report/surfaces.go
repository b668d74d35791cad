package report

import (
	"bufio"
	"fmt"
	"io"
)

// SurfaceRow is one row of the table of grip and rolling resistance.
type SurfaceRow struct {
	Name    string // with the measure taken: ice with chains
	Weather string
	Grip    [3]SurfaceValue // low, design, high; shares of the load
	Rolling [3]SurfaceValue
}

// SurfaceValue is a value with where it is from and how far to trust it.
type SurfaceValue struct {
	V                float64
	Source, Standing string
}

// Surfaces writes the table, at most 80 columns.
func Surfaces(w io.Writer, rows []SurfaceRow) error {
	t := &text{w: bufio.NewWriter(w)}
	t.wrap("", "", "Grip and rolling resistance as shares of the load on the wheels: low, design, high, each with its source and standing. "+
		"A verdict is made with design. Values from memory are unverified.")
	for _, r := range rows {
		t.line("%-18s %-5s grip %-16s  rolling %s", short(r.Name, 18), r.Weather, three(r.Grip), three(r.Rolling))
		t.sources("grip", r.Grip)
		t.sources("rolling", r.Rolling)
	}
	return t.w.Flush()
}

func three(v [3]SurfaceValue) string {
	return fmt.Sprintf("%.3g %.3g %.3g", v[0].V, v[1].V, v[2].V)
}

func (t *text) sources(what string, v [3]SurfaceValue) {
	words := ""
	if v[0].Source == v[1].Source && v[1].Source == v[2].Source && v[0].Standing == v[1].Standing && v[1].Standing == v[2].Standing {
		t.wrap("    "+what+": ", "      ", fmt.Sprintf("%s (%s)", short(v[0].Source, sayingWidth), v[0].Standing))
		return
	}
	for i, one := range v {
		if i > 0 {
			words += "; "
		}
		words += fmt.Sprintf("%s (%s)", short(one.Source, sayingWidth), one.Standing)
	}
	t.wrap("    "+what+": ", "      ", words)
}
