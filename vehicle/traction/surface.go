package traction

import (
	"fmt"
	"strings"

	"drawbar/vehicle"
)

// Weather is what lies on the road.
type Weather string

// The weathers. Snow is packed snow, Ice is bare ice.
const (
	Dry  Weather = "dry"
	Wet  Weather = "wet"
	Snow Weather = "snow"
	Ice  Weather = "ice"
)

// Value is a number with where it is from and how far it can be trusted: read,
// derived, memory (unverified) or choice.
type Value struct {
	V        float64
	Source   string
	Standing string
}

// Range is a number known within limits. Design is what a verdict is made
// with; for adhesion it is the lower published table, for rolling the value of
// the published table for trucks where there is one.
type Range struct{ Low, Design, High Value }

// Surface is what wheels stand on in a weather.
type Surface struct {
	Name    string // asphalt, concrete, paving, metal, wood, compacted, gravel, earth, grass, sand, mud, snow, ice
	Weather Weather
	Mu      Range // peak adhesion, force over normal load, rubber tyres
	Roll    Range // rolling resistance over normal load, truck tyres
	// From says what led to it: "surface=asphalt", "highway=track without
	// surface: one of 6".
	From string
}

// Assumed lists the values of the surface: design, low and high of adhesion and
// rolling. All of them bear on how sure a climb is.
func (s Surface) Assumed() (out []vehicle.Assumption) {
	add := func(what string, v Value) {
		out = append(out, vehicle.Assumption{Key: fmt.Sprintf("surface.%s.%s.%s", s.Name, s.Weather, what),
			Value: v.V, Unit: "1", Source: v.Source, Standing: v.Standing})
	}
	add("mu", s.Mu.Design)
	add("mu.low", s.Mu.Low)
	add("mu.high", s.Mu.High)
	add("roll", s.Roll.Design)
	add("roll.low", s.Roll.Low)
	add("roll.high", s.Roll.High)
	return out
}

// Sources of the table.
const (
	tTraction = "traction table, rubber tyres"
	tDryWet   = "second table, dry and wet"
	tTaborek  = "Wong after Taborek, peak"
	tSlide    = "Wong after Taborek, sliding"
	tNoon     = "Noon 1994, quoted"
	tTruck    = "Gillespie's table, trucks"
	tTractor  = "Gillespie's table, tractors"
	tRadial   = "heavy truck radial on good pavement"
	tWong11   = "Wong Table 1.1, car tyres"
	tSink     = "2 % and 1.5 % for each inch of penetration"
	tOwn      = "common practice, no source"
	tBelow    = "a tenth below the lowest published"
	tWetSame  = "the same table's wet value"
)

func read(v float64, source string) Value   { return Value{v, source, "read"} }
func memory(v float64, source string) Value { return Value{v, source, "memory"} }
func derive(v float64, source string) Value { return Value{v, source, "derived"} }
func choice(v float64, source string) Value { return Value{v, source, "choice"} }

type row struct{ mu, roll Range }

// Rolling resistance of firm roads does not hang on dry or wet.
var (
	rollPaved  = Range{memory(0.008, tRadial), read(0.012, tTruck), read(0.020, tTractor)}
	rollPaving = Range{read(0.012, tTruck), read(0.020, tTractor), memory(0.025, tWong11)}
	rollPacked = Range{read(0.012, tTruck), memory(0.020, tWong11), derive(0.035, tSink)}
	rollGravel = Range{memory(0.020, tWong11), derive(0.035, tSink), derive(0.080, tSink)}
	rollSnow   = Range{choice(0.020, tOwn), choice(0.030, tOwn), derive(0.050, tSink)}
)

// table holds adhesion and rolling by surface and weather. Snow and ice cover
// every surface alike and stand as surfaces of their own.
var table = map[string]map[Weather]row{
	"asphalt": {
		Dry: {Range{read(0.45, tWetSame), read(0.50, tTraction), read(0.80, tDryWet)}, rollPaved},
		Wet: {Range{choice(0.40, tBelow), read(0.45, tTraction), memory(0.70, tTaborek)}, rollPaved},
	},
	"concrete": {
		Dry: {Range{choice(0.63, tBelow), read(0.70, tTraction), read(0.90, tDryWet)}, rollPaved},
		Wet: {Range{choice(0.45, tBelow), read(0.50, tDryWet), memory(0.80, tTaborek)}, rollPaved},
	},
	"paving": {
		Dry: {Range{choice(0.40, tOwn), memory(0.50, tOwn), memory(0.70, tOwn)}, rollPaving},
		Wet: {Range{choice(0.25, tOwn), memory(0.35, tOwn), memory(0.50, tOwn)}, rollPaving},
	},
	"wood": {
		Dry: {Range{choice(0.40, tOwn), memory(0.50, tOwn), memory(0.70, tOwn)}, rollPaving},
		Wet: {Range{choice(0.15, tOwn), memory(0.25, tOwn), memory(0.40, tOwn)}, rollPaving},
	},
	"metal": {
		Dry: {Range{choice(0.30, tOwn), memory(0.40, tOwn), memory(0.60, tOwn)}, rollPaved},
		Wet: {Range{choice(0.12, tOwn), memory(0.20, tOwn), memory(0.35, tOwn)}, rollPaved},
	},
	"compacted": {
		Dry: {Range{read(0.40, tWetSame), read(0.50, tTraction), read(0.70, tDryWet)}, rollPacked},
		Wet: {Range{choice(0.36, tBelow), read(0.40, tTraction), read(0.50, tDryWet)}, rollPacked},
	},
	"gravel": {
		Dry: {Range{read(0.40, tWetSame), read(0.50, tTraction), read(0.70, tDryWet)}, rollGravel},
		Wet: {Range{choice(0.36, tBelow), read(0.40, tTraction), read(0.50, tDryWet)}, rollGravel},
	},
	"earth": {
		Dry: {Range{choice(0.45, tBelow), read(0.50, tTraction), memory(0.68, tTaborek)},
			Range{derive(0.035, tSink), read(0.060, tTruck), derive(0.080, tSink)}},
		Wet: {Range{choice(0.15, "lower end of the second table"), derive(0.20, "second table 0.15-0.25, its middle"), memory(0.55, tTaborek)},
			Range{derive(0.050, tSink), derive(0.080, tSink), derive(0.110, tSink)}},
	},
	"grass": {
		Dry: {Range{choice(0.30, tOwn), memory(0.40, tOwn), memory(0.55, tOwn)},
			Range{derive(0.050, tSink), derive(0.080, tSink), derive(0.110, tSink)}},
		Wet: {Range{choice(0.15, tOwn), read(0.20, tNoon), choice(0.30, tOwn)},
			Range{derive(0.050, tSink), memory(0.100, "Wong Table 1.1, field 0.10-0.35"), derive(0.125, tSink)}},
	},
	"sand": {
		Dry: {Range{choice(0.20, tOwn), memory(0.25, tOwn), memory(0.40, tOwn)},
			Range{choice(0.150, tOwn), read(0.250, tTruck), choice(0.300, tOwn)}},
		Wet: {Range{choice(0.20, tOwn), memory(0.30, tOwn), memory(0.50, tOwn)},
			Range{choice(0.100, tOwn), choice(0.150, tOwn), read(0.250, tTruck)}},
	},
	"mud": {
		Dry: mudRow, Wet: mudRow,
	},
}

var (
	mudRow = row{
		Range{choice(0.10, tOwn), read(0.15, tTraction+", 0.15-0.40, its lower end"), read(0.40, tTraction)},
		Range{choice(0.150, tOwn), memory(0.250, "Wong Table 1.1, field 0.10-0.35"), memory(0.350, "Wong Table 1.1, field 0.10-0.35")},
	}
	snowRow = row{Range{memory(0.15, tSlide), memory(0.20, tTaborek), read(0.35, tDryWet)}, rollSnow}
	iceRow  = row{Range{read(0.05, tDryWet), read(0.07, tTraction), read(0.15, tDryWet)}, rollPaved}
)

// names in the order in which sets of surfaces are returned.
var names = strings.Fields("asphalt concrete paving wood metal compacted gravel earth grass sand mud snow ice")

// Named returns the row of the table for a surface by its own name, not an
// OpenStreetMap value. False when there is none or the weather is unknown.
func Named(name string, w Weather) (Surface, bool) {
	switch {
	case name == "ice" || w == Ice:
		return Surface{Name: "ice", Weather: w, Mu: iceRow.mu, Roll: iceRow.roll}, knownWeather(w)
	case name == "snow" || w == Snow:
		return Surface{Name: "snow", Weather: w, Mu: snowRow.mu, Roll: snowRow.roll}, knownWeather(w)
	}
	r, ok := table[name][w]
	return Surface{Name: name, Weather: w, Mu: r.mu, Roll: r.roll}, ok
}

func knownWeather(w Weather) bool { return w == Dry || w == Wet || w == Snow || w == Ice }

// Surfaces returns every surface of the table in a weather, firm ones first.
// ErrWeather for a weather that is none.
func Surfaces(w Weather) ([]Surface, error) {
	if !knownWeather(w) {
		return nil, fmt.Errorf("%w, is %q", ErrWeather, w)
	}
	var out []Surface
	for _, n := range names {
		s, ok := Named(n, w)
		if !ok || (len(out) > 0 && out[len(out)-1].Name == s.Name) {
			continue // snow and ice cover all alike
		}
		out = append(out, s)
	}
	return out, nil
}
