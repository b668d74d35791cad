package loadeffect

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"
)

// Reference is a published load: one or more trains, of which the worst counts.
type Reference struct {
	Name     string
	Variants []Variant
	// Dynamics: the figures contain dynamic amplification. A static train is
	// compared with such a load only side by side, never by a ratio.
	Dynamics         bool
	Lanes            int
	Standing, Source string
}

// Variant is a train with or beside a uniform lane load.
type Variant struct {
	Train       Train
	LaneNM      float64 // N/m over the whole span
	LaneMomentN float64 // concentrated, with the lane load, for moment
	LaneShearN  float64 // and for shear
	Together    bool    // lane load with the axles, not instead of them
}

// Simple is the largest effect of the reference on a simple span, m. Where a lane
// load acts together with axles their maxima are added, as the printed tables do.
func (r *Reference) Simple(spanM float64) (e Effect) {
	for i := range r.Variants {
		v := &r.Variants[i]
		axles, lane := Simple(v.Train, spanM), uniform(v.LaneNM, spanM)
		lane = lane.Plus(Effect{v.LaneMomentN * spanM / 4, v.LaneShearN})
		if v.Together {
			e = e.Most(axles.Plus(lane))
			continue
		}
		e = e.Most(axles.Most(lane))
	}
	return e
}

// MassKg is the mass of its heaviest train.
func (r *Reference) MassKg() (kg float64) {
	for i := range r.Variants {
		kg = max(kg, r.Variants[i].Train.MassKg())
	}
	return kg
}

// Unverified reports whether the load is from memory.
func (r *Reference) Unverified() bool { return r.Standing == "memory" }

//go:embed references.csv
var referencesCSV string

//go:embed classes.csv
var classesCSV string

var references = sync.OnceValue(func() []Reference {
	out, err := ReadReferences(strings.NewReader(referencesCSV))
	if err != nil {
		panic("references.csv: " + err.Error()) // a fault of the program, held by a test
	}
	return out
})

// References are the loads of this package, in the order of its data file. The
// list is shared: do not change it.
func References() []Reference { return references() }

// ReferenceNamed is one of them; false when there is none of the name.
func ReferenceNamed(name string) (*Reference, bool) {
	for i := range references() {
		if r := &references()[i]; r.Name == name {
			return r, true
		}
	}
	return nil, false
}

var referenceColumns = []string{"name", "axles_kn", "gaps_m", "lane_kn_m", "lane_moment_kn", "lane_shear_kn", "together", "dynamics", "lanes", "standing", "source"}

const mostAxles = 60 // of one reference train; choice

// ReadReferences reads loads in the format of references.csv: comments begin with
// #, the first row names the columns. Rows of one name are one reference and must
// agree on dynamics, lanes and standing.
func ReadReferences(r io.Reader) (out []Reference, err error) {
	rows, err := table(r, referenceColumns)
	if err != nil {
		return nil, err
	}
	at := map[string]int{}
	for _, row := range rows {
		one, err := reference(row.cells)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", row.line, err)
		}
		i, ok := at[one.Name]
		if !ok {
			at[one.Name] = len(out)
			out = append(out, one)
			continue
		}
		if o := &out[i]; o.Dynamics != one.Dynamics || o.Lanes != one.Lanes || o.Standing != one.Standing {
			return nil, fmt.Errorf("line %d: %s differs from its other rows in dynamics, lanes or standing", row.line, one.Name)
		}
		out[i].Variants = append(out[i].Variants, one.Variants...)
	}
	return out, nil
}

func reference(c []string) (r Reference, err error) {
	if r.Name = c[0]; r.Name == "" {
		return r, fmt.Errorf("name is missing")
	}
	var v Variant
	if v.Train, err = trainOf(c[1], c[2]); err != nil {
		return r, fmt.Errorf("%s: %w", r.Name, err)
	}
	for i, p := range []*float64{&v.LaneNM, &v.LaneMomentN, &v.LaneShearN} {
		if *p, err = number(c[3+i], 0, 1e4); err != nil {
			return r, fmt.Errorf("%s: %s: %w", r.Name, referenceColumns[3+i], err)
		}
		*p *= 1000
	}
	for i, p := range []*bool{&v.Together, &r.Dynamics} {
		if c[6+i] != "yes" && c[6+i] != "no" {
			return r, fmt.Errorf("%s: %s must be yes or no, is %q", r.Name, referenceColumns[6+i], c[6+i])
		}
		*p = c[6+i] == "yes"
	}
	if r.Lanes, err = strconv.Atoi(c[8]); err != nil || r.Lanes < 1 || r.Lanes > 20 {
		return r, fmt.Errorf("%s: lanes must be 1 to 20, is %q", r.Name, c[8])
	}
	switch r.Standing, r.Source = c[9], c[10]; r.Standing {
	case "given", "read", "derived", "memory", "choice":
	default:
		return r, fmt.Errorf("%s: standing must be given, read, derived, memory or choice, is %q", r.Name, r.Standing)
	}
	if r.Source == "" {
		return r, fmt.Errorf("%s: source is missing", r.Name)
	}
	r.Variants = []Variant{v}
	return r, nil
}

// trainOf reads loads in kN and gaps in m, NxV for N alike.
func trainOf(loads, gaps string) (t Train, err error) {
	l, err := repeated(loads)
	if err != nil {
		return t, fmt.Errorf("axles_kn: %w", err)
	}
	g, err := repeated(gaps)
	if err != nil {
		return t, fmt.Errorf("gaps_m: %w", err)
	}
	if len(l) == 0 || len(l) > mostAxles || len(g) != len(l)-1 {
		return t, fmt.Errorf("needs 1 to %d axles and a gap between each two, has %d and %d", mostAxles, len(l), len(g))
	}
	x := 0.0
	for i := range l {
		if i > 0 {
			x += g[i-1]
		}
		t.AtM, t.LoadN = append(t.AtM, x), append(t.LoadN, 1000*l[i])
	}
	return t, nil
}

func repeated(s string) (out []float64, err error) {
	for _, word := range strings.Fields(s) {
		times := 1
		if n, v, ok := strings.Cut(word, "x"); ok {
			if times, err = strconv.Atoi(n); err != nil || times < 1 || times > mostAxles {
				return nil, fmt.Errorf("%q must begin with 1 to %d times", word, mostAxles)
			}
			word = v
		}
		v, err := number(word, 1e-3, 1e4)
		if err != nil {
			return nil, err
		}
		for range times {
			if out = append(out, v); len(out) > mostAxles {
				return nil, fmt.Errorf("more than %d values", mostAxles)
			}
		}
	}
	return out, nil
}

func number(s string, least, most float64) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= least && v <= most) {
		return 0, fmt.Errorf("must be a number from %g to %g, is %q", least, most, s)
	}
	return v, nil
}

type tableRow struct {
	line  int
	cells []string
}

func table(r io.Reader, columns []string) (out []tableRow, err error) {
	c := csv.NewReader(r)
	c.Comment, c.FieldsPerRecord, c.TrimLeadingSpace = '#', len(columns), true
	for first := true; ; first = false {
		cells, err := c.Read()
		if err == io.EOF {
			if first {
				return nil, fmt.Errorf("is empty: its first row names the columns %s", strings.Join(columns, ","))
			}
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		line, _ := c.FieldPos(0)
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
			if first && cells[i] != columns[i] {
				return nil, fmt.Errorf("line %d: column %d must be %s, is %q", line, i+1, columns[i], cells[i])
			}
		}
		if !first {
			out = append(out, tableRow{line, cells})
		}
	}
}

var classes = sync.OnceValue(func() (out []ClassRow) {
	rows, err := table(strings.NewReader(classesCSV), []string{"class", "track_ft", "wheeled_st", "wheeled_standing", "single_axle_st"})
	if err != nil {
		panic("classes.csv: " + err.Error()) // a fault of the program, held by a test
	}
	for _, r := range rows {
		var v [5]float64
		for _, i := range []int{0, 1, 2, 4} {
			if v[i], err = number(r.cells[i], 0, 1e3); err != nil {
				panic("classes.csv: " + err.Error())
			}
		}
		out = append(out, ClassRow{Class: v[0], Tracked: Patch{v[0] * 2000 * poundN, v[1] * footM}, WheeledKg: v[2] * shortTonKg,
			Standing: r.cells[3], SingleAxleKg: v[4] * shortTonKg})
	}
	return out
})

// Classes are the hypothetical vehicles of the load classes, by rising class. The
// list is shared: do not change it. Tracked.LengthM and SingleAxleKg are from
// memory.
func Classes() []ClassRow { return classes() }

// ImpactShare is the impact of the AASHTO Standard Specifications 3.8 on a loaded
// length, m: 50/(L + 125) of L in feet, at most 0.30. The most is read at second
// hand, the formula from memory.
func ImpactShare(lengthM float64) float64 { return math.Min(50/(lengthM/footM+125), 0.30) }
