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
	"time"

	"drawbar/route"
	"drawbar/route/profile"
)

// knownHead are the columns of a file of measured grades: percent, rise over
// run, positive climbing in the order of the route's file; error_pct is the 95 %
// half-width of the measurement.
var knownHead = []string{"route", "from_m", "to_m", "grade_pct", "error_pct", "by", "when"}

// mostKnown is the largest such file in bytes. Choice.
const mostKnown = 16 << 20

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
	limited := &io.LimitedReader{R: f, N: mostKnown + 1}
	r := csv.NewReader(limited)
	r.Comment = '#'
	head, err := r.Read()
	if limited.N <= 0 {
		return nil, fmt.Errorf("%s: %w: longer than %d MiB", name, errKnown, mostKnown>>20)
	}
	if err != nil || !slices.Equal(head, knownHead) {
		return nil, fmt.Errorf("%s: %w: the first line must be %s", name, errKnown, strings.Join(knownHead, ","))
	}
	known := map[string][]profile.Reading{}
	for {
		row, err := r.Read()
		if limited.N <= 0 {
			return nil, fmt.Errorf("%s: %w: longer than %d MiB", name, errKnown, mostKnown>>20)
		}
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
		if err != nil || strings.Trim(row[i+1], "+-.0123456789") != "" || !(x > -1e6 && x < 1e6) {
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
	case strings.TrimSpace(row[5]) == "" || row[6] == "":
		return profile.Reading{}, errors.New("by and when must be given: somebody answers for a measurement")
	}
	day, err := time.Parse(time.DateOnly, row[6])
	if err != nil {
		return profile.Reading{}, fmt.Errorf("when must be a day as 2024-03-02, is %q", row[6])
	}
	if time.Until(day) > 24*time.Hour { // a day ahead is another time zone
		return profile.Reading{}, fmt.Errorf("when is %s, which is yet to come", row[6])
	}
	return profile.Reading{At: route.Stretch{FromM: v[0], ToM: v[1]}, GradeRatio: v[2] / 100, SE: v[3] / 100 / 1.96, Measured: true, By: row[5] + ", " + row[6]}, nil
}
