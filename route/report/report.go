// Package report lays out what people and programs read: text for a terminal,
// JSON, CSV, segments as GeoJSON, the steps behind one place. It holds no
// physics, no geometry of the way and no judgement: layout, labels, units.
package report

import (
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/verdict"
)

// Run is one run of the program: what it read, what it took for granted, and a
// record for every route in the order of the input.
type Run struct {
	Tool     Tool
	Inputs   []Input
	Settings []Setting
	Train    Train
	Sources  []Source
	Records  []Record
	Coupled  []Train // of each helper with the train, in the order of Train.Helpers
	Today    string  // day of the run where answers were given, 2024-03-02
	Idle     []Idle  // answers that fitted no question
}

// Idle is an answer that fitted no question, and who gave it.
type Idle struct{ Row, Check, Who string }

// Tool names what made a report.
type Tool struct{ Version, Go, GDAL, PROJ string }

// Input is a file that was read.
type Input struct {
	Role   string // route, dem, transporter, helper, surfaces, structures, known
	Name   string // base name
	Bytes  int64
	SHA256 string // hex; empty for files beyond the limit, then Print is set
	Print  string // fingerprint: "size+ends:" and hex
}

// Setting is a choice of the user's that bears on the result.
type Setting struct{ Name, Value string }

// Train is the combination in figures.
type Train struct {
	Name, Level              string
	GrossKg, GrossSEKg       float64
	LengthM, WidthM, HeightM float64
	Axles                    int
	AxleKg, PairKg, Class    float64 // heaviest axle and pair of axles; load class
	Line                     []Axle  // front to rear
	Helpers                  []string
	Weather                  string // state of the ground
}

// Axle is one axle of a train, for those who reckon bridges.
type Axle struct {
	Unit            string
	AheadM          float64 // to the axle before it; 0 for the foremost
	Kg              float64
	Tyres           int     // 0 when not given
	TyreWidthM, AtM float64 // NaN when not given; AtM from the foremost axle
}

// Source is a raster in words.
type Source struct {
	Name, Driver, CRS, Datum, Kind, Unit string
	CellM, SEM, CorrM                    float64
}

// Record is one route in one direction: a result or the reason why there is
// none.
type Record struct {
	ID, File string
	Result   *verdict.Result
	Err      error
}

// Worst is the most severe verdict, and whether any record is an error.
func (r *Run) Worst() (worst verdict.Verdict, failed bool) {
	for _, rec := range r.Records {
		if rec.Err != nil {
			failed = true
			continue
		}
		worst = max(worst, rec.Result.Verdict)
	}
	return worst, failed
}

// Uncovered reports whether a check of one of the names was not covered on any
// route.
func (r *Run) Uncovered(names []string) bool {
	for _, rec := range r.Records {
		if rec.Result == nil {
			continue
		}
		for _, f := range rec.Result.Findings {
			if f.Standing && slices.Contains(names, f.Check) {
				return true
			}
		}
	}
	return false
}

// Assumed is the union over all routes, sorted by key.
func (r *Run) Assumed() (out []route.Assumption) {
	for _, rec := range r.Records {
		if rec.Result != nil {
			out = append(out, rec.Result.Assumed...)
		}
	}
	slices.SortStableFunc(out, func(a, b route.Assumption) int { return strings.Compare(a.Key, b.Key) })
	return slices.Compact(out)
}

// direction says which way a route was travelled.
func direction(r *verdict.Result) string {
	if r.Way.Reversed {
		return "reverse"
	}
	return "forward"
}
