package report

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route/check"
	"drawbar/route/geofile"
	"drawbar/route/known"
	"drawbar/route/verdict"
)

// CSV writes one line a segment: route, direction, chainages in metres,
// verdict, the deciding check, its sentence and advice, the helper.
func CSV(w io.Writer, run *Run) error {
	c := csv.NewWriter(w)
	if err := c.Write([]string{"route", "direction", "from_m", "to_m", "verdict", "unknown_besides", "check", "chance", "say", "to_do", "to_know", "helper", "not_covered", "error"}); err != nil {
		return err
	}
	for _, rec := range run.Records {
		if rec.Err != nil {
			if err := c.Write(safe([]string{rec.ID, "", "", "", "", "", "", "", "", "", "", "", "", rec.Err.Error()})); err != nil {
				return err
			}
			continue
		}
		for i := range rec.Result.Segments {
			if err := c.Write(safe(csvSegment(rec.Result, &rec.Result.Segments[i]))); err != nil {
				return err
			}
		}
	}
	c.Flush()
	return c.Error()
}

// safe makes the cells of a row such that no spreadsheet runs what a file named.
func safe(row []string) []string {
	for i := range row {
		row[i] = known.Cell(row[i])
	}
	return row
}

func csvSegment(r *verdict.Result, s *verdict.Segment) []string {
	row := []string{r.Way.Route.ID, direction(r), fixed(s.At.FromM, 1), fixed(s.At.ToM, 1), s.Verdict.String(), strconv.FormatBool(s.Unknown), "", "", "", "", "", "", strings.Join(NotCovered(r), " "), ""}
	if len(s.Findings) > 0 {
		f := &r.Findings[s.Findings[0]]
		row[6], row[7], row[8] = f.Check, fixed(f.P, 3), SI.Sentence(f)
		row[9], row[10] = advice(f)
	}
	if s.Assist >= 0 {
		row[11] = r.Plan.Assists[s.Assist].Helper
	}
	return row
}

// advice is what to do and what to find out, where a finding calls for them.
func advice(f *check.Finding) (todo, toknow string) {
	if asksToDo(f) {
		todo = SI.Fill(f.Do, f.Q)
	}
	if asksToKnow(f) {
		toknow = SI.Fill(f.Close, f.Q)
	}
	return todo, toknow
}

// notCovered are the names of the checks that this data or this version cannot
// make on the route.
// NotCovered names the checks that have a standing question, in their order.
func NotCovered(r *verdict.Result) (names []string) {
	_, standing := r.Open()
	for _, i := range standing {
		if n := r.Findings[i].Check; !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
}

// fixed prints a number, empty when not known.
func fixed(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return plain(v, digits)
}

// Segments writes the segments of all routes as GeoJSON lines with their
// verdicts, in the order of the run.
func Segments(w io.Writer, run *Run) error {
	var fs []geofile.Feature
	for _, rec := range run.Records {
		if rec.Err != nil {
			continue
		}
		r := rec.Result
		for i := range r.Segments {
			s := &r.Segments[i]
			fs = append(fs, geofile.Feature{Line: r.Way.Slice(s.At), Properties: properties(r, s)})
		}
	}
	return geofile.WriteFeatures(w, fs)
}

func properties(r *verdict.Result, s *verdict.Segment) []geofile.Property {
	p := []geofile.Property{
		{Key: "route", Value: r.Way.Route.ID},
		{Key: "direction", Value: direction(r)},
		{Key: "from_m", Value: round(s.At.FromM, 2)},
		{Key: "to_m", Value: round(s.At.ToM, 2)},
		{Key: "verdict", Value: s.Verdict.String()},
		{Key: "unknown_besides", Value: s.Unknown},
		{Key: "not_covered", Value: NotCovered(r)},
	}
	if len(s.Findings) > 0 {
		f := &r.Findings[s.Findings[0]]
		p = append(p, geofile.Property{Key: "check", Value: f.Check}, geofile.Property{Key: "say", Value: SI.Sentence(f)})
		if todo, toknow := advice(f); todo != "" {
			p = append(p, geofile.Property{Key: "to_do", Value: todo})
		} else if toknow != "" {
			p = append(p, geofile.Property{Key: "to_know", Value: toknow})
		}
	}
	if s.Assist >= 0 {
		p = append(p, geofile.Property{Key: "helper", Value: r.Plan.Assists[s.Assist].Helper})
	}
	return p
}

func round(v float64, digits int) float64 {
	k := math.Pow10(digits)
	return math.Round(v*k) / k
}
