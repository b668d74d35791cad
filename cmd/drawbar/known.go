package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"
	"drawbar/route/profile"
)

// knownHead are the columns of a file of measured grades: percent, rise over
// run, positive climbing in the order of the route's file; error_pct is the 95 %
// half-width of the measurement.
var knownHead = []string{"route", "from_m", "to_m", "grade_pct", "error_pct", "by", "when"}

// errKnown is wrapped by every error about such a file.
var errKnown = errors.New("file of measured grades")

// readKnown reads measured grades, by the id of their route. Who measured, and
// when, stands in the report.
func readKnown(file string) (map[string][]profile.Reading, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	name := filepath.Base(file)
	r := csv.NewReader(f)
	r.Comment = '#'
	head, err := r.Read()
	if err != nil || !slices.Equal(head, knownHead) {
		return nil, fmt.Errorf("%s: %w: the first line must be %s", name, errKnown, strings.Join(knownHead, ","))
	}
	known := map[string][]profile.Reading{}
	for {
		row, err := r.Read()
		if err == io.EOF {
			return known, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w: %w", name, errKnown, err)
		}
		line, _ := r.FieldPos(0)
		reading, err := knownRow(row)
		if err != nil {
			return nil, fmt.Errorf("%s:%d: %w: %w", name, line, errKnown, err)
		}
		known[row[0]] = append(known[row[0]], reading)
	}
}

func knownRow(row []string) (profile.Reading, error) {
	var v [4]float64
	for i := range v {
		x, err := strconv.ParseFloat(row[i+1], 64)
		if err != nil || !(x > -1e6 && x < 1e6) {
			return profile.Reading{}, fmt.Errorf("%s must be a number, is %q", knownHead[i+1], row[i+1])
		}
		v[i] = x
	}
	switch {
	case !(v[0] >= 0 && v[1] > v[0]):
		return profile.Reading{}, fmt.Errorf("from_m %g to to_m %g is no stretch", v[0], v[1])
	case !(v[2] > -60 && v[2] < 60):
		return profile.Reading{}, fmt.Errorf("grade_pct must be within -60..60, is %g", v[2])
	case !(v[3] >= 0.1 && v[3] <= 20):
		return profile.Reading{}, fmt.Errorf("error_pct must be within 0.1..20, is %g: how far off may the measurement be, nineteen times in twenty", v[3])
	case row[5] == "" || row[6] == "":
		return profile.Reading{}, errors.New("by and when must be given: somebody answers for a measurement")
	}
	return profile.Reading{At: route.Stretch{FromM: v[0], ToM: v[1]}, GradeRatio: v[2] / 100, SE: v[3] / 100 / 1.96, Measured: true, By: row[5] + ", " + row[6]}, nil
}
