package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"drawbar/route/known"
	"drawbar/route/report"
)

// errFilled is returned for a file of questions that somebody has written
// answers into: it is not written over.
var errFilled = errors.New("it holds answers")

// htmlHead begins every page written here.
const htmlHead = "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"generator\" content=\"drawbar\">"

// askWriter is how the questions are written, by the ending of a file's name.
func askWriter(file string, u report.Units) (func(io.Writer, *report.Run) error, error) {
	switch ext := strings.ToLower(filepath.Ext(file)); {
	case ext == ".csv":
		return report.AskCSV, nil
	case isGeoJSON(file):
		return report.AskGeoJSON, nil
	case ext == ".html" || ext == ".htm":
		return func(w io.Writer, r *report.Run) error { return report.Reconnaissance(w, r, u) }, nil
	}
	return nil, fmt.Errorf("--ask %s: the name must end in .csv, .geojson or .html", file)
}

// askTarget looks at the place of a file of questions: one that drawbar wrote
// may be written anew as long as nobody has filled it in.
func askTarget(file string, inputs []string) (target, error) {
	var filled bool
	t, err := targetThat(file, inputs, func(r io.Reader) bool {
		begin, err := io.ReadAll(io.LimitReader(r, mostKnown))
		if err != nil {
			return false
		}
		if bytes.HasPrefix(begin, []byte(htmlHead)) {
			return true
		}
		if bytes.HasPrefix(begin, []byte("<")) {
			return false
		}
		rows, err := knownRows(bytes.NewReader(begin), file)
		for _, row := range rows {
			filled = filled || !row.Empty() || row.IsGrade()
		}
		return err == nil && !filled && bytes.Contains(begin[:min(len(begin), 200)], []byte("rank"))
	})
	if filled {
		return t, fmt.Errorf("%s: %w: name another file, or remove it first", file, errFilled)
	}
	return t, err
}

// askTargets looks at the places of all files of questions before the work.
func (o *checkOptions) askTargets(args []string) error {
	if o.enquiry != "" && !strings.HasSuffix(strings.ToLower(o.enquiry), ".html") {
		return fmt.Errorf("--enquiry %s: the name must end in .html", o.enquiry)
	}
	seen := map[string]bool{o.segments: o.segments != ""}
	for _, f := range append(o.ask[:len(o.ask):len(o.ask)], o.enquiry) {
		if f == "" {
			continue
		}
		if seen[filepath.Clean(f)] {
			return fmt.Errorf("%s is named twice as an output", f)
		}
		seen[filepath.Clean(f)] = true
		if _, err := askTarget(f, o.inputs(args)); err != nil {
			return err
		}
		if f != o.enquiry {
			if _, err := askWriter(f, report.SI); err != nil {
				return err
			}
		}
	}
	return nil
}

// writeAsked writes the files of questions.
func (o *checkOptions) writeAsked(r *report.Run, inputs []string) error {
	put := func(file string, write func(io.Writer, *report.Run) error) error {
		t, err := askTarget(file, o.inputs(inputs))
		if err != nil {
			return err
		}
		return t.write(func(w io.Writer) error { return write(w, r) })
	}
	if !judged(r) {
		return nil
	}
	for _, f := range o.ask {
		write, err := askWriter(f, report.Units(o.units))
		if err != nil {
			return err
		}
		if err := put(f, write); err != nil {
			return err
		}
	}
	if o.enquiry == "" {
		return nil
	}
	return put(o.enquiry, func(w io.Writer, r *report.Run) error { return report.Enquiry(w, r, report.Units(o.units)) })
}

// idleOf are the answers that fitted no question of any route, and tells them.
func idleOf(r *report.Run, answers []*known.Answer, std stdio) (out []report.Idle) {
	used := map[*known.Answer]bool{}
	for _, rec := range r.Records {
		if rec.Result == nil {
			continue
		}
		for _, u := range rec.Result.Answers {
			used[u.Answer] = true
		}
	}
	for _, a := range answers {
		if !used[a] {
			out = append(out, report.Idle{Row: a.Row, Check: a.Check, Who: a.Who()})
			note(std, a.Row, []string{"this answer fits no question: look at its place and its check"})
		}
	}
	return out
}
