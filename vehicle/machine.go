package vehicle

import (
	"fmt"
	"math"
)

// MachineSpec is a disabled machine as its file says it: what a recovery or a
// loading needs of it. Distances along run backwards from its front end.
type MachineSpec struct {
	Kind        string   `yaml:"kind"` // machine
	Name        string   `yaml:"name"`
	Note        string   `yaml:"note"`
	MassKg      *float64 `yaml:"mass_kg"`
	MassKnown   string   `yaml:"mass_known"`
	MassErrorKg *float64 `yaml:"mass_error_kg"` // 95 % half-width

	LengthM *float64 `yaml:"length_m"`
	WidthM  *float64 `yaml:"width_m"`
	HeightM *float64 `yaml:"height_m"`

	CGXM      *float64 `yaml:"cg_x_m"`
	CGHeightM *float64 `yaml:"cg_height_m"`

	ClearanceM *float64       `yaml:"ground_clearance_m"`
	Track      *TrackSpec     `yaml:"track"`
	TowPoints  []TowPointSpec `yaml:"tow_points"`
}

// TrackSpec is what a tracked machine stands on.
type TrackSpec struct {
	FrontXM    *float64 `yaml:"front_x_m"` // front of the contact behind the front end
	LengthM    *float64 `yaml:"contact_length_m"`
	WidthM     *float64 `yaml:"width_m"`
	GaugeM     *float64 `yaml:"gauge_m"` // centre to centre
	Wheels     *int     `yaml:"road_wheels"`
	ShoeAreaM2 *float64 `yaml:"shoe_area_m2"`
}

// TowPointSpec is where a rope, chain or bar may be hooked on.
type TowPointSpec struct {
	Name    string   `yaml:"name"`
	XM      *float64 `yaml:"x_m"`
	YM      *float64 `yaml:"y_m"` // off the middle, left positive
	HeightM *float64 `yaml:"height_m"`
	RatedKN *float64 `yaml:"rated_kn"`
}

// Check returns what is missing or impossible in a machine's file, one
// [FieldError] each, joined; nil when it can be used. Mass and outer size must
// be given, all else may be.
func (m MachineSpec) Check() error {
	var f fields
	if m.Kind != "machine" {
		f.fail("kind", "must be machine, is %q", m.Kind)
	}
	if m.Name == "" {
		f.fail("name", "is missing: give the machine a name")
	}
	mass := f.required("mass_kg", m.MassKg, spanMass)
	if _, ok := massKnown[m.MassKnown]; !ok && m.MassKnown != "" {
		f.fail("mass_known", "must be weighed, plate or estimated, is %q", m.MassKnown)
	}
	if e := f.optional("mass_error_kg", m.MassErrorKg, spanError); e >= mass {
		f.fail("mass_error_kg", "must be below mass_kg (%g kg)", mass)
	}
	length := f.required("length_m", m.LengthM, spanSize)
	width := f.required("width_m", m.WidthM, spanSize)
	height := f.required("height_m", m.HeightM, spanSize)
	f.inside("cg_x_m", m.CGXM, span{0, length, "m"})
	f.inside("cg_height_m", m.CGHeightM, span{0.05, height, "m"})
	f.inside("ground_clearance_m", m.ClearanceM, span{0, height, "m"})
	m.checkTrack(&f, length, width)
	m.checkTowPoints(&f, length, width, height)
	return f.err()
}

// inside is optional within the machine's own size; an unknown size judges nothing.
func (f *fields) inside(path string, p *float64, s span) float64 {
	if math.IsNaN(s.high) {
		s.high = spanSize.high
	}
	if p != nil && *p >= s.low && *p > s.high {
		f.fail(path, "lies outside the machine: must be at most %g %s, is %g", s.high, s.unit, *p)
		return math.NaN()
	}
	return f.optional(path, p, s)
}

func (m MachineSpec) checkTrack(f *fields, length, width float64) {
	t := m.Track
	if t == nil {
		return
	}
	l := f.inside("track.contact_length_m", t.LengthM, span{0.1, length, "m"})
	w := f.inside("track.width_m", t.WidthM, span{0.05, width / 2, "m"})
	f.inside("track.gauge_m", t.GaugeM, span{0.3, width, "m"})
	f.inside("track.front_x_m", t.FrontXM, span{0, length, "m"})
	f.optional("track.shoe_area_m2", t.ShoeAreaM2, span{0.001, 5, "m2"})
	if t.Wheels != nil && (*t.Wheels < 2 || *t.Wheels > 64) {
		f.fail("track.road_wheels", "must be between 2 and 64, is %d", *t.Wheels)
	}
	if t.LengthM == nil || t.WidthM == nil {
		f.fail("track", "needs contact_length_m and width_m")
	}
	if given(l) && t.FrontXM != nil && *t.FrontXM+l > length {
		f.fail("track.front_x_m", "with contact_length_m reaches beyond length_m (%g m)", length)
	}
	if given(w) && t.GaugeM != nil && *t.GaugeM+w > width+1e-9 {
		f.fail("track.gauge_m", "with the track's width_m is wider than the machine (%g m)", width)
	}
}

func (m MachineSpec) checkTowPoints(f *fields, length, width, height float64) {
	for i, p := range m.TowPoints {
		at := fmt.Sprintf("tow_points[%d]", i)
		if p.Name == "" {
			f.fail(at+".name", "is missing: front left, rear right")
		}
		if p.XM == nil {
			f.fail(at+".x_m", "is missing")
		}
		f.inside(at+".x_m", p.XM, span{0, length, "m"})
		f.inside(at+".y_m", p.YM, span{-width / 2, width / 2, "m"})
		f.inside(at+".height_m", p.HeightM, span{0.05, height, "m"})
		f.optional(at+".rated_kn", p.RatedKN, spanForce)
	}
}
