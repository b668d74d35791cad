package main

import (
	"drawbar/route/report"
	"drawbar/vehicle/specfile"
	"drawbar/vehicle/traction"

	"github.com/spf13/cobra"
)

// tableFlags say which grip and rolling resistance count.
type tableFlags struct {
	file    string
	measure string
}

func (t *tableFlags) add(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&t.file, "surfaces", "", "YAML `FILE` of grip and rolling rows in place of those that formats --surfaces prints")
	f.StringVar(&t.measure, "measure", "", "`MEASURE` taken on snow and ice, nowhere else: chains or grit")
}

// table is the published one with what the flags change.
func (t *tableFlags) table() (*traction.Table, error) {
	table := traction.DefaultTable()
	if t.file != "" {
		rows, err := specfile.ReadSurfacesFile(t.file)
		if err != nil {
			return nil, err
		}
		if table, err = table.With(rows); err != nil {
			return nil, err
		}
	}
	return table.WithMeasure(traction.Measure(t.measure))
}

// idle says when a measure cannot count, "" when it may.
func (t *tableFlags) idle(weather string) string {
	w := traction.Weather(weather)
	if t.measure == "" || w == traction.Snow || w == traction.Ice {
		return ""
	}
	return "counts only where a way is tagged as snow or ice: the ground is taken as " + weather
}

// surfaceRows are the rows of a table for the report.
func surfaceRows(t *traction.Table) (out []report.SurfaceRow) {
	three := func(r traction.Range) [3]report.SurfaceValue {
		return [3]report.SurfaceValue{report.SurfaceValue(r.Low), report.SurfaceValue(r.Design), report.SurfaceValue(r.High)}
	}
	for _, s := range t.Rows() {
		out = append(out, report.SurfaceRow{Name: s.Label(), Weather: string(s.Weather), Grip: three(s.Mu), Rolling: three(s.Roll)})
	}
	return out
}
