package specfile_test

import (
	"errors"
	"strings"
	"testing"

	"drawbar/vehicle/specfile"
)

const goodRow = `kind: surfaces
rows:
  - name: gravel
    weather: wet
    mu: {low: 0.30, design: 0.36, high: 0.45}
    roll: {low: 0.02, design: 0.03, high: 0.06}
    source: pull test, 2 March
`

// Each row changes a good file and gives the first line of the complaint.
func TestReadSurfacesRefuses(t *testing.T) {
	if _, err := specfile.ReadSurfaces(strings.NewReader(goodRow), "s.yaml"); err != nil {
		t.Fatal(err)
	}
	again := goodRow[strings.Index(goodRow, "  - name"):]
	for _, r := range []struct{ name, old, new, want string }{
		{"unknown key", "source:", "sorce:", `s.yaml:7:5: rows[0]: unknown key "sorce"; did you mean source?`},
		{"unknown key within", "design: 0.36", "mean: 0.36", `s.yaml:5:21: rows[0].mu: unknown key "mean"; known here: low, design, high`},
		{"another kind", "kind: surfaces", "kind: helper", `s.yaml:1:1: kind: must be surfaces, is "helper"`},
		{"above 1.2", "high: 0.45", "high: 45", "s.yaml:5:35: rows[0].mu.high: must be between 0 and 1.2 of the load, is 45: check the unit"},
		{"just above", "high: 0.45", "high: 1.2001", "must be between 0 and 1.2 of the load"},
		{"below 0", "low: 0.02", "low: -0.02", "s.yaml:6:12: rows[0].roll.low: must not be negative"},
		{"out of order", "low: 0.30", "low: 0.40", "s.yaml:5:5: rows[0].mu: must be in order: low 0.4, design 0.36, high 0.45"},
		{"no low", "low: 0.30, ", "", "s.yaml:5:5: rows[0].mu.low: is missing"},
		{"no rolling", "    roll: {low: 0.02, design: 0.03, high: 0.06}\n", "", "s.yaml:3:5: rows[0].roll: is missing: give low, design and high"},
		{"no source", "    source: pull test, 2 March\n", "", "rows[0].source: is missing: somebody answers for a row"},
		{"no name", "name: gravel", "note: x", `unknown key "note"`},
		{"upper case", "name: gravel", "name: Gravel", `s.yaml:3:5: rows[0].name: must be a value of a surface tag, lower case without blanks, is "Gravel"`},
		{"list of values", "name: gravel", "name: gravel;sand", "must be a value of a surface tag"},
		{"no weather", "weather: wet", "weather: foggy", `s.yaml:4:5: rows[0].weather: must be dry, wet, snow or ice, is "foggy"`},
		{"gravel under snow", "weather: wet", "weather: snow", "rows[0].weather: snow covers every surface alike: name the row snow"},
		{"wet ice", "name: gravel", "name: ice", "rows[0].weather: must be ice for the row ice"},
		{"chains on gravel", "weather: wet", "weather: wet\n    measure: chains", "s.yaml:5:5: rows[0].measure: counts on snow and ice only: take it out"},
		{"spikes", "weather: wet", "weather: wet\n    measure: spikes", `rows[0].measure: must be chains or grit, is "spikes"`},
		{"standing", "weather: wet", "weather: wet\n    standing: read", `rows[0].standing: must be given or memory, is "read"`},
		{"twice", goodRow, goodRow + again, "s.yaml:8:5: rows[1]: is the row of rows[0] again: keep one of the two"},
		{"no rows", goodRow, "kind: surfaces\n", "rows: is missing: list at least one row"},
		{"decimal comma", "low: 0.30", "low: 0,30", "rows[0].mu: a key that is not a plain word"},
		{"text", "low: 0.30", "low: firm", "rows[0].mu.low: "},
	} {
		t.Run(r.name, func(t *testing.T) {
			text := strings.Replace(goodRow, r.old, r.new, 1)
			if text == goodRow {
				t.Fatal("nothing changed")
			}
			_, err := specfile.ReadSurfaces(strings.NewReader(text), "s.yaml")
			var e *specfile.Error
			if !errors.As(err, &e) {
				t.Fatalf("error %v, want a *specfile.Error", err)
			}
			if first, _, _ := strings.Cut(err.Error(), "\n"); !strings.Contains(first, r.want) {
				t.Errorf("got  %s\nwant %s", first, r.want)
			}
		})
	}
}

// The sample is read, and its ends may be 0 and 1.2.
func TestReadSurfaces(t *testing.T) {
	s, err := specfile.ReadSurfacesFile(sample("surfaces.yaml"))
	if err != nil || len(s.Rows) != 2 || *s.Rows[0].Mu.Design != 0.60 || s.Rows[1].Standing != "memory" {
		t.Errorf("%+v, %v", s, err)
	}
	text := strings.NewReplacer("low: 0.30", "low: 0", "high: 0.45", "high: 1.2").Replace(goodRow)
	if _, err := specfile.ReadSurfaces(strings.NewReader(text), "s.yaml"); err != nil {
		t.Error(err)
	}
}
