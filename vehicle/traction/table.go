package traction

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"drawbar/vehicle"
)

// Measure is what is done against snow and ice.
type Measure string

// The measures.
const (
	NoMeasure Measure = ""
	Chains    Measure = "chains" // on every driven wheel
	Grit      Measure = "grit"   // laid under all wheels
)

// Measures are those that can be chosen.
func Measures() []Measure { return []Measure{Chains, Grit} }

// ErrMeasure is returned for a measure that is none of Measures.
var ErrMeasure = errors.New("measure must be chains or grit")

// cell names a row of a table.
type cell struct {
	name    string
	weather Weather
	measure Measure
}

// Table holds grip and rolling by surface and weather. It is immutable: With and
// WithMeasure return another. [DefaultTable] is the published one.
type Table struct {
	rows    map[cell]row
	names   []string // firm ones first, then those somebody added
	measure Measure
	given   []given
}

// given is a row that somebody gave, in the order of the file.
type given struct {
	cell cell
	mu   Value // its design value
}

// DefaultTable is the table from published figures where there are any, each
// value with its source and standing.
func DefaultTable() *Table {
	t := &Table{rows: map[cell]row{}, names: strings.Fields("asphalt concrete paving wood metal compacted gravel earth grass sand mud snow ice")}
	for name, byWeather := range roads() {
		for w, r := range byWeather {
			t.rows[cell{name, w, NoMeasure}] = r
		}
	}
	for c, r := range map[cell]row{
		{"snow", Snow, NoMeasure}: snowRow, {"ice", Ice, NoMeasure}: iceRow,
		{"snow", Snow, Chains}: chainsSnow, {"ice", Ice, Chains}: chainsIce,
		{"snow", Snow, Grit}: gritSnow, {"ice", Ice, Grit}: gritIce,
	} {
		t.rows[c] = r
	}
	return t
}

// With is the table with the rows of a file in the place of its own, or added
// to them. A row with a name that is new here counts where a way's surface tag
// says that name. The errors are those of the file's Check.
func (t *Table) With(s vehicle.SurfacesSpec) (*Table, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	out := &Table{rows: map[cell]row{}, names: slices.Clone(t.names), measure: t.measure, given: slices.Clone(t.given)}
	for c, r := range t.rows {
		out.rows[c] = r
	}
	for _, r := range s.Rows {
		c := cell{r.Name, Weather(r.Weather), Measure(r.Measure)}
		standing := r.Standing
		if standing == "" {
			standing = "given"
		}
		spread := func(p *vehicle.SpreadSpec) Range {
			v := func(x *float64) Value { return Value{*x, r.Source, standing} }
			return Range{v(p.Low), v(p.Design), v(p.High)}
		}
		out.rows[c] = row{spread(r.Mu), spread(r.Roll)}
		out.given = append(out.given, given{c, out.rows[c].mu.Design})
		if !slices.Contains(out.names, r.Name) {
			out.names = append(out.names, r.Name)
		}
	}
	return out, nil
}

// WithMeasure is the table with something done against snow and ice: where
// either lies the row for that measure counts. Elsewhere nothing changes.
// ErrMeasure for a measure that is none.
func (t *Table) WithMeasure(m Measure) (*Table, error) {
	if m != NoMeasure && !slices.Contains(Measures(), m) {
		return nil, fmt.Errorf("%w, is %q", ErrMeasure, m)
	}
	out := *t
	out.measure = m
	return &out, nil
}

// Named returns the row of the table for a surface by its own name, not an
// OpenStreetMap value. False when there is none or the weather is unknown.
func (t *Table) Named(name string, w Weather) (Surface, bool) {
	c := cell{name, w, NoMeasure}
	switch {
	case name == "ice" || w == Ice:
		c = cell{"ice", Ice, t.measure}
	case name == "snow" || w == Snow:
		c = cell{"snow", Snow, t.measure}
	}
	r, ok := t.rows[c]
	return Surface{Name: c.name, Weather: w, Measure: c.measure, Mu: r.mu, Roll: r.roll}, ok && knownWeather(w)
}

func knownWeather(w Weather) bool { return w == Dry || w == Wet || w == Snow || w == Ice }

// Surfaces returns every surface of the table in a weather, firm ones first.
// ErrWeather for a weather that is none.
func (t *Table) Surfaces(w Weather) ([]Surface, error) {
	if !knownWeather(w) {
		return nil, fmt.Errorf("%w, is %q", ErrWeather, w)
	}
	var out []Surface
	for _, n := range t.names {
		s, ok := t.Named(n, w)
		if !ok || (len(out) > 0 && out[len(out)-1].Name == s.Name) {
			continue // snow and ice cover all alike
		}
		out = append(out, s)
	}
	return out, nil
}

// Rows returns all rows, by surface, then weather, then measure.
func (t *Table) Rows() (out []Surface) {
	for _, name := range t.names {
		for _, w := range []Weather{Dry, Wet, Snow, Ice} {
			for _, m := range append([]Measure{NoMeasure}, Measures()...) {
				if r, ok := t.rows[cell{name, w, m}]; ok {
					out = append(out, Surface{Name: name, Weather: w, Measure: m, Mu: r.mu, Roll: r.roll})
				}
			}
		}
	}
	return out
}

// Assumed lists the rows that somebody gave, each with its design grip and
// source, and what a measure rests on.
func (t *Table) Assumed() (out []vehicle.Assumption) {
	for _, g := range t.given {
		s := Surface{Name: g.cell.name, Weather: g.cell.weather, Measure: g.cell.measure}
		out = append(out, vehicle.Assumption{Key: "surfaces." + strings.ReplaceAll(s.Label(), " ", "_") + "." + string(s.Weather), Value: g.mu.V, Unit: "1",
			Source: "design grip of a row given in place of the table's: " + g.mu.Source, Standing: g.mu.Standing})
	}
	switch t.measure {
	case Chains:
		out = append(out, vehicle.Assumption{Key: "measure.chains", Value: 1, Unit: "1", Standing: "choice",
			Source: "on every driven wheel, a helper's too; counts on snow and ice only, rolling as without"})
	case Grit:
		out = append(out, vehicle.Assumption{Key: "measure.grit", Value: 1, Unit: "1", Standing: "choice",
			Source: "laid fresh under all wheels wherever snow or ice lies, and not yet blown off; counts on snow and ice only"})
	}
	return out
}
