package vehicle

import (
	"fmt"
	"slices"
	"strings"
)

// SurfacesSpec are rows of grip and rolling resistance as a person wrote them,
// in the place of published ones.
type SurfacesSpec struct {
	Kind string           `yaml:"kind"` // surfaces
	Note string           `yaml:"note"`
	Rows []SurfaceRowSpec `yaml:"rows"`
}

// SurfaceRowSpec is one of them. Grip and rolling are shares of the load on the
// wheels.
type SurfaceRowSpec struct {
	Name     string      `yaml:"name"`    // as a surface tag says it: gravel
	Weather  string      `yaml:"weather"` // dry, wet, snow, ice
	Measure  string      `yaml:"measure"` // chains, grit; only on snow and ice
	Mu       *SpreadSpec `yaml:"mu"`
	Roll     *SpreadSpec `yaml:"roll"`
	Source   string      `yaml:"source"`   // who measured, where, when
	Standing string      `yaml:"standing"` // given, or memory; "" is given
}

// SpreadSpec is a value known within limits: 5 and 95 % points about the value
// that a verdict is made with.
type SpreadSpec struct {
	Low    *float64 `yaml:"low"`
	Design *float64 `yaml:"design"`
	High   *float64 `yaml:"high"`
}

// spanShareOfLoad is what grip and rolling may be. The upper end is a choice: no
// tyre on a road has more.
var spanShareOfLoad = span{0, 1.2, "of the load"}

// Check returns what is missing or impossible in the rows, one [FieldError]
// each, joined; nil when they can be used.
func (s SurfacesSpec) Check() error {
	var f fields
	if s.Kind != "surfaces" {
		f.fail("kind", "must be surfaces, is %q", s.Kind)
	}
	if len(s.Rows) == 0 {
		f.fail("rows", "is missing: list at least one row")
	}
	seen := map[string]int{}
	for i, r := range s.Rows {
		at := fmt.Sprintf("rows[%d]", i)
		r.check(&f, at)
		key := r.Name + " " + r.Weather + " " + r.Measure
		if first, twice := seen[key]; twice {
			f.fail(at, "is the row of rows[%d] again: keep one of the two", first)
			continue
		}
		seen[key] = i
	}
	return f.err()
}

// leastSpread is the least that low and high are apart, share of design. Choice.
const leastSpread = 0.05

// catchAll are surface values that say next to nothing: one row for them would
// speak for sand and rock alike.
var catchAll = []string{"unpaved", "paved", "ground", "unknown", "other"}

func (r SurfaceRowSpec) check(f *fields, at string) {
	const letters = "abcdefghijklmnopqrstuvwxyz0123456789_-"
	switch {
	case r.Name == "":
		f.fail(at+".name", "is missing: the value of the surface tag, as gravel")
	case len(r.Name) > 40 || strings.Trim(r.Name, letters) != "":
		f.fail(at+".name", "must be a value of a surface tag, lower case without blanks, is %.50q", r.Name)
	case slices.Contains(catchAll, r.Name):
		f.fail(at+".name", "%s may be anything: name what it is, and tag the way so", r.Name)
	}
	covered := r.Name == "snow" || r.Name == "ice"
	switch r.Weather {
	case "dry", "wet":
		if covered {
			f.fail(at+".weather", "must be %s for the row %s", r.Name, r.Name)
		}
	case "snow", "ice":
		if r.Name != r.Weather {
			f.fail(at+".weather", "%s covers every surface alike: name the row %s", r.Weather, r.Weather)
		}
	default:
		f.fail(at+".weather", "must be dry, wet, snow or ice, is %.50q", r.Weather)
	}
	switch {
	case r.Measure != "" && r.Measure != "chains" && r.Measure != "grit":
		f.fail(at+".measure", "must be chains or grit, is %.50q", r.Measure)
	case r.Measure != "" && !covered:
		f.fail(at+".measure", "counts on snow and ice only: take it out")
	}
	r.Mu.check(f, at+".mu")
	r.Roll.check(f, at+".roll")
	if strings.TrimSpace(r.Source) == "" {
		f.fail(at+".source", "is missing: somebody answers for a row, say who, where and when")
	}
	if r.Standing != "" && r.Standing != "given" && r.Standing != "memory" {
		f.fail(at+".standing", "must be given or memory, is %.50q", r.Standing)
	}
}

// check wants three values in order.
func (p *SpreadSpec) check(f *fields, at string) {
	if p == nil {
		f.fail(at, "is missing: give low, design and high")
		return
	}
	low, design, high := p.one(f, at+".low", p.Low), p.one(f, at+".design", p.Design), p.one(f, at+".high", p.High)
	switch {
	case low > design || design > high: // false where one is not a number
		f.fail(at, "must be in order: low %g, design %g, high %g", low, design, high)
	case high-low < design*leastSpread:
		f.fail(at, "has no spread (%g to %g): nobody knows it to the last digit; a pull test is good to a tenth", low, high)
	}
}

func (p *SpreadSpec) one(f *fields, at string, v *float64) float64 {
	if v == nil {
		f.fail(at, "is missing: low and high say how far off the design value may be")
	}
	return f.optional(at, v, spanShareOfLoad)
}
