package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/known"
	"drawbar/route/profile"
)

// errKnown is wrapped by every error about measured grades.
var errKnown = errors.New("file of measured grades")

// mostKnown is the largest file of answers in bytes. Choice.
const mostKnown = 16 << 20

// told is what a file of answers holds: measured mean grades by the id of their
// route, and answers to open questions. A file may hold both.
type told struct {
	grades  map[string][]profile.Reading
	answers []*known.Answer
	blank   int // rows nobody filled in
}

// today is the day of the run: given, or that of the clock.
func (g *groundFlags) today() (string, error) {
	if g.date == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	if _, err := time.Parse(time.DateOnly, g.date); err != nil {
		return "", fmt.Errorf("--date must be a day as 2024-03-02, is %q", g.date)
	}
	return g.date, nil
}

// readKnown reads a file of answers, CSV or GeoJSON by its name. Who answered,
// and when, stands in the report.
func readKnown(file, today string) (told, error) {
	out := told{grades: map[string][]profile.Reading{}}
	f, err := os.Open(file)
	if err != nil {
		return out, err
	}
	defer f.Close()
	rows, err := knownRows(f, file)
	if err != nil {
		return out, err
	}
	day, _ := time.Parse(time.DateOnly, today)
	latest := day.AddDate(0, 0, 1).Format(time.DateOnly) // a day ahead is another time zone
	for _, r := range rows {
		switch {
		case r.IsGrade():
			reading, err := knownGrade(r, latest)
			if err != nil {
				return out, fmt.Errorf("%s: %w: %w", r.Where, errKnown, err)
			}
			out.grades[r.Cell["route"]] = append(out.grades[r.Cell["route"]], reading)
		case r.Empty():
			out.blank++
		default:
			a, err := r.Parse(latest)
			if err != nil {
				return out, err
			}
			out.answers = append(out.answers, a)
		}
	}
	return out, nil
}

func knownRows(f io.Reader, file string) ([]known.Row, error) {
	name := filepath.Base(file)
	if !isGeoJSON(file) {
		return known.ReadCSV(f, name)
	}
	points, err := geofile.ReadPoints(f, name)
	if err != nil {
		return nil, err
	}
	var rows []known.Row
	for _, p := range points {
		r, err := known.RowOf(fmt.Sprintf("%s: feature %d", name, p.Feature), p.Properties)
		if err != nil {
			return nil, err
		}
		r.Cell["lon"], r.Cell["lat"] = p.Lon, p.Lat
		rows = append(rows, r)
	}
	return rows, nil
}

func isGeoJSON(file string) bool {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".geojson", ".json":
		return true
	}
	return false
}

// knownGrade reads a measured mean grade: percent, rise over run, positive
// climbing in the order of the route's file; error_pct is the 95 % half-width.
func knownGrade(r known.Row, latest string) (profile.Reading, error) {
	var v [4]float64
	for i, column := range []string{"from_m", "to_m", "grade_pct", "error_pct"} {
		x, err := r.Number(column)
		if err != nil {
			return profile.Reading{}, err
		}
		v[i] = x
	}
	by, when := r.Cell["by"], r.Cell["when"]
	switch {
	case !(v[0] >= 0 && v[1] > v[0]):
		return profile.Reading{}, fmt.Errorf("from_m %g to to_m %g is no stretch", v[0], v[1])
	case !(v[2] > -60 && v[2] < 60):
		return profile.Reading{}, fmt.Errorf("grade_pct must be within -60..60, is %g", v[2])
	case !(v[3] >= 0.1 && v[3] <= 20):
		return profile.Reading{}, fmt.Errorf("error_pct must be within 0.1..20, is %g: how far off may the measurement be, nineteen times in twenty", v[3])
	case by == "" || when == "":
		return profile.Reading{}, errors.New("by and when must be given: somebody answers for a measurement")
	}
	if _, err := time.Parse(time.DateOnly, when); err != nil {
		return profile.Reading{}, fmt.Errorf("when must be a day as 2024-03-02, is %q", when)
	}
	if when > latest {
		return profile.Reading{}, fmt.Errorf("when is %s, which is yet to come", when)
	}
	return profile.Reading{At: route.Stretch{FromM: v[0], ToM: v[1]}, GradeRatio: v[2] / 100, SE: v[3] / 100 / 1.96, Measured: true, By: by + ", " + when}, nil
}
