package report_test

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"drawbar/route/report"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// readSchema compiles schema.json. Strict, every object that lists its fields
// takes no other: a field that the schema does not describe is a fault then,
// though the schema itself lets fields be added.
func readSchema(t *testing.T) *jsonschema.Schema { return readSchemaOf(t, "schema.json") }

func readSchemaOf(t *testing.T, file string) *jsonschema.Schema {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	closeObjects(doc)
	c := jsonschema.NewCompiler()
	if err := c.AddResource(file, doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// closeObjects lets no object take fields beside those listed.
func closeObjects(v any) {
	switch x := v.(type) {
	case map[string]any:
		if _, ok := x["properties"].(map[string]any); ok {
			x["additionalProperties"] = false
		}
		for _, y := range x {
			closeObjects(y)
		}
	case []any:
		for _, y := range x {
			closeObjects(y)
		}
	}
}

func document(t *testing.T, run *report.Run) (map[string]any, []byte) {
	t.Helper()
	var b bytes.Buffer
	if err := report.JSON(&b, run); err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	return doc, b.Bytes()
}

// TestSchema holds what is written against schema.json: a run made by hand and
// real ones.
func TestSchema(t *testing.T) {
	s := readSchema(t)
	for name, run := range map[string]*report.Run{"by hand": byHand(t), "judged": judged(t), "hostile": hostile(t), "nothing": {}} {
		doc, _ := document(t, run)
		if err := s.Validate(doc); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSchemaFindsFaults spoils a document in ways the schema must see.
func TestSchemaFindsFaults(t *testing.T) {
	s := readSchema(t)
	for name, spoil := range map[string]func(map[string]any){
		"other version":  func(d map[string]any) { d["schema"] = "drawbar.check/2" },
		"lacks routes":   func(d map[string]any) { delete(d, "routes") },
		"a new field":    func(d map[string]any) { d["extra"] = 1.0 },
		"wrong type":     func(d map[string]any) { d["train"].(map[string]any)["axles"] = "11" },
		"half an axle":   func(d map[string]any) { d["train"].(map[string]any)["axles"] = 10.5 },
		"unknown word":   func(d map[string]any) { d["routes"].([]any)[0].(map[string]any)["verdict"] = "fine" },
		"chance above 1": func(d map[string]any) { firstFinding(d)["chance"] = 1.5 },
		"negative index": func(d map[string]any) { d["routes"].([]any)[0].(map[string]any)["open"] = []any{-1.0} },
	} {
		doc, _ := document(t, byHand(t))
		spoil(doc)
		if s.Validate(doc) == nil {
			t.Errorf("%s: no fault found", name)
		}
	}
}

func firstFinding(d map[string]any) map[string]any {
	for _, r := range d["routes"].([]any) {
		if fs, ok := r.(map[string]any)["findings"].([]any); ok && len(fs) > 0 {
			return fs[0].(map[string]any)
		}
	}
	return nil
}

// TestFields pins the list of all fields: what a program may rely on.
func TestFields(t *testing.T) {
	seen := map[string]bool{}
	for _, run := range []*report.Run{byHand(t), judged(t)} {
		doc, _ := document(t, run)
		fields(doc, "", seen)
	}
	var list []string
	for p := range seen {
		list = append(list, p)
	}
	slices.Sort(list)
	golden(t, "fields.txt", []byte(strings.Join(list, "\n")+"\n"))
}

func fields(v any, path string, seen map[string]bool) {
	switch x := v.(type) {
	case map[string]any:
		for k, y := range x {
			seen[path+"."+k] = true
			fields(y, path+"."+k, seen)
		}
	case []any:
		for _, y := range x {
			fields(y, path+"[]", seen)
		}
	}
}

// A matrix of judged routes, one of them faulty, holds its own schema; the text
// is at most 80 columns wide whatever the names.
func TestMatrixSchema(t *testing.T) {
	s := readSchemaOf(t, "matrix.schema.json")
	m := &report.Matrix{}
	for _, run := range []*report.Run{judged(t), hostile(t)} {
		for _, rec := range run.Records {
			m.Cells = append(m.Cells, report.Cell{Record: rec, Train: run.Train.Name, GrossKg: 112000, Weather: "wet"},
				report.Cell{Record: rec, Train: strings.Repeat("very long ", 9), Empty: true, GrossKg: 49000, Weather: "snow", Reversed: true})
		}
	}
	var b bytes.Buffer
	if err := report.MatrixJSON(&b, m); err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	if err := s.Validate(doc); err != nil {
		t.Error(err)
	}
	b.Reset()
	if err := report.MatrixText(&b, m, report.US); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(b.String()) {
		if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}
