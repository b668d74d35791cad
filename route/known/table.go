package known

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"

	"github.com/paulmach/orb"
)

// Columns that a file of questions carries and a file of answers may carry. The
// names of the first are what a question says; the program reads back Route to
// Lat and the columns of the answer.
var (
	PlaceColumns  = []string{"route", "direction", "check", "from_m", "to_m", "lon", "lat"}
	AskColumns    = []string{"rank", "verdict_now", "question", "ask", "passes_at", "needs", "train", "gross_kg", "axle_kg", "pair_kg", "class", "span_m", "moment_knm", "shear_kn", "train_height_m", "train_width_m", "train_length_m"}
	AnswerColumns = []string{"answer", "error", "how", "by", "when", "valid_until", "conditions", "passed_gross_kg", "passed_axle_kg", "passed_width_m", "passed_length_m", "passed_height_m", "within_m"}
	// GradeColumns are those of a measured mean grade.
	GradeColumns = []string{"grade_pct", "error_pct"}
)

// mostQuoted is the most of a name that an error quotes, bytes.
const mostQuoted = 60

// mostRows bounds a file of answers. Choice.
const mostRows = 100_000

// mostBytes is the largest file of answers. Choice.
const mostBytes = 16 << 20

// Row is one row of a file, by the name of its columns.
type Row struct {
	Where string // "answers.csv:12"
	Cell  map[string]string
}

// Columns are all columns a file may have.
func Columns() []string { return slices.Concat(PlaceColumns, AskColumns, AnswerColumns, GradeColumns) }

// ReadCSV reads the rows of a file of answers. Columns stand in any order; one
// that is not known is an error: an answer in it would be lost.
func ReadCSV(r io.Reader, name string) (out []Row, err error) {
	limited := &io.LimitedReader{R: r, N: mostBytes + 1}
	c := csv.NewReader(limited)
	c.Comment = '#'
	head, err := c.Read()
	if limited.N <= 0 {
		return nil, fmt.Errorf("%s: %w: longer than %d MiB", name, ErrAnswer, mostBytes>>20)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w: no first line with the names of its columns: %w", name, ErrAnswer, err)
	}
	head[0] = strings.TrimPrefix(head[0], "\ufeff") // spreadsheets put one there
	for i, h := range head {
		head[i] = strings.TrimSpace(h)
		if !slices.Contains(Columns(), head[i]) {
			return nil, fmt.Errorf("%s: %w: column %q is not known; known are %s", name, ErrAnswer, h[:min(len(h), mostQuoted)], strings.Join(Columns(), ", "))
		}
		if slices.Contains(head[:i], head[i]) {
			return nil, fmt.Errorf("%s: %w: column %q stands twice", name, ErrAnswer, head[i])
		}
	}
	for {
		rec, err := c.Read()
		switch {
		case limited.N <= 0:
			return nil, fmt.Errorf("%s: %w: longer than %d MiB", name, ErrAnswer, mostBytes>>20)
		case errors.Is(err, io.EOF):
			return out, nil
		case err != nil:
			return nil, fmt.Errorf("%s: %w: %w", name, ErrAnswer, err)
		case len(out) == mostRows:
			return nil, fmt.Errorf("%s: %w: more than %d rows", name, ErrAnswer, mostRows)
		}
		line, _ := c.FieldPos(0)
		row := Row{Where: name + ":" + strconv.Itoa(line), Cell: map[string]string{}}
		for i, h := range head {
			row.Cell[h] = Text(rec[i])
			if h != "route" { // the name of a route may begin with a blank
				row.Cell[h] = strings.TrimSpace(row.Cell[h])
			}
		}
		out = append(out, row)
	}
}

// RowOf makes a row of properties. A property that is no column is an error.
func RowOf(where string, props map[string]string) (Row, error) {
	r := Row{Where: where, Cell: map[string]string{}}
	for _, k := range slices.Sorted(maps.Keys(props)) {
		if !slices.Contains(Columns(), k) {
			return r, fmt.Errorf("%s: %w: property %q is not known; known are %s", where, ErrAnswer, k[:min(len(k), mostQuoted)], strings.Join(Columns(), ", "))
		}
		r.Cell[k] = strings.TrimSpace(props[k])
	}
	return r, nil
}

// Number reads a cell that must hold a plain number.
func (r Row) Number(column string) (float64, error) {
	v, err := parseNumber(r.Cell[column])
	if err != nil {
		return v, fmt.Errorf("%s must be a number, is %q", column, r.Cell[column])
	}
	return v, nil
}

// IsGrade reports a row that gives a measured mean grade and no more.
func (r Row) IsGrade() bool { return r.Cell["grade_pct"] != "" }

// Empty reports a row nobody filled in.
func (r Row) Empty() bool {
	for _, c := range []string{"answer", "passed_gross_kg", "how"} {
		if r.Cell[c] != "" {
			return false
		}
	}
	return true
}

// Parse makes an answer of a row. today is the day of the run, for answers from
// days to come; empty for no day.
func (r Row) Parse(today string) (*Answer, error) {
	a := &Answer{Row: r.Where, Route: r.Cell["route"], Direction: r.Cell["direction"], Check: r.Cell["check"],
		How: How(r.Cell["how"]), By: r.Cell["by"], When: r.Cell["when"], Until: r.Cell["valid_until"], Terms: r.Cell["conditions"]}
	err := errors.Join(a.place(r), a.person(today))
	if err == nil {
		err = a.content(r)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w: %w", r.Where, ErrAnswer, err)
	}
	return a, nil
}

// number reads a cell; absent is NaN.
func (r Row) number(column string, low, high float64) (float64, error) {
	text := r.Cell[column]
	if text == "" {
		return math.NaN(), nil
	}
	v, err := parseNumber(text)
	if err != nil {
		return v, fmt.Errorf("%s %w", column, err)
	}
	if !(v >= low && v <= high) {
		return math.NaN(), fmt.Errorf("%s must be within %g..%g, is %g", column, low, high, v)
	}
	return v, nil
}

func (a *Answer) place(r Row) error {
	from, e1 := r.number("from_m", 0, 1e8)
	to, e2 := r.number("to_m", 0, 1e8)
	lon, e3 := r.number("lon", -180, 180)
	lat, e4 := r.number("lat", -90, 90)
	within, e5 := r.number("within_m", 0.1, 1000)
	if err := errors.Join(e1, e2, e3, e4, e5); err != nil {
		return err
	}
	if a.WithinM = within; math.IsNaN(within) {
		a.WithinM = WithinM
	}
	if math.IsNaN(to) {
		to = from
	}
	a.Placed = !math.IsNaN(from) && a.Route != ""
	a.Pointed = !math.IsNaN(lon) && !math.IsNaN(lat)
	a.At, a.Point = route.Stretch{FromM: from, ToM: to}, orb.Point{lon, lat}
	switch {
	case !a.Placed && !a.Pointed:
		return errors.New("where is it? give route and from_m, or lon and lat")
	case a.Placed && to < from:
		return fmt.Errorf("from_m %g to to_m %g is no stretch", from, to)
	case a.Direction != "" && a.Direction != "forward" && a.Direction != "reverse":
		return fmt.Errorf("direction must be forward or reverse, is %q", a.Direction)
	case a.Check == "":
		return errors.New("check is empty: name what it answers, as the report does")
	}
	return nil
}

func (a *Answer) person(today string) error {
	switch {
	case !slices.Contains(hows, a.How):
		return fmt.Errorf("how must be measured, looked, granted, accepted or precedent, is %q", a.How)
	case a.By == "" || a.When == "":
		return errors.New("by and when must be given: somebody answers for it")
	case !validDay(a.When):
		return fmt.Errorf("when must be a day as 2024-03-02, is %q", a.When)
	case a.Until != "" && !validDay(a.Until):
		return fmt.Errorf("valid_until must be a day as 2024-03-02, is %q", a.Until)
	case today != "" && a.When > today:
		return fmt.Errorf("when is %s, which is yet to come on %s", a.When, today)
	}
	return nil
}

func (a *Answer) content(r Row) (err error) {
	if a.How == Precedent {
		return a.precedent(r)
	}
	if a.Values, err = parseValues(r.Cell["answer"]); err != nil {
		return err
	}
	if len(a.Values) == 0 {
		return errors.New("answer is empty")
	}
	half, err := r.number("error", 0, 1e6)
	if err != nil {
		return err
	}
	figure := slices.ContainsFunc(a.Values, func(v Value) bool { return !math.IsNaN(v.Number) })
	switch {
	case figure && a.How == Measured && !(half > 0):
		return errors.New("error must be given for a measured figure, above 0: how far off may it be, nineteen times in twenty")
	case math.IsNaN(half):
		half = 0
	}
	a.ErrorAbs = half
	return nil
}

func (a *Answer) precedent(r Row) error {
	var errs [5]error
	p := &a.Passed
	p.GrossKg, errs[0] = r.number("passed_gross_kg", 100, 1e6)
	p.AxleKg, errs[1] = r.number("passed_axle_kg", 100, 1e5)
	p.WidthM, errs[2] = r.number("passed_width_m", 0.3, 60)
	p.LengthM, errs[3] = r.number("passed_length_m", 0.3, 300)
	p.HeightM, errs[4] = r.number("passed_height_m", 0.3, 10)
	if err := errors.Join(errs[:]...); err != nil {
		return err
	}
	if math.IsNaN(p.GrossKg) {
		return errors.New("passed_gross_kg must be given for a precedent")
	}
	return nil
}
