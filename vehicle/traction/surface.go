package traction

import (
	"fmt"

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
	Measure Measure // taken against snow or ice; "" elsewhere
	Mu      Range   // peak adhesion, force over normal load, rubber tyres
	Roll    Range   // rolling resistance over normal load, truck tyres
	// From says what led to it: "surface=asphalt", "highway=track without
	// surface: one of 6".
	From string
}

// Label is the name, with the measure taken where there is one: "ice with
// chains".
func (s Surface) Label() string {
	if s.Measure == NoMeasure {
		return s.Name
	}
	return s.Name + " with " + string(s.Measure)
}

// Assumed lists the values of the surface: design, low and high of adhesion and
// rolling. All of them bear on how sure a climb is.
func (s Surface) Assumed() (out []vehicle.Assumption) {
	name := s.Name
	if s.Measure != NoMeasure {
		name += "." + string(s.Measure)
	}
	add := func(what string, v Value) {
		out = append(out, vehicle.Assumption{Key: fmt.Sprintf("surface.%s.%s.%s", name, s.Weather, what),
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
	tNoon     = "Noon 1994, quoted"
	tTruck    = "Gillespie's table, trucks"
	tTractor  = "Gillespie's table, tractors"
	tRadial   = "heavy truck radial on good pavement"
	tWong11   = "Wong Table 1.1, car tyres"
	tSink     = "2 % and 1.5 % for each inch of penetration"
	tOwn      = "common practice, no source"
	tBelow    = "a tenth below the lowest published"
	tWetSame  = "the same table's wet value"

	tChains = "steel chains on all driven wheels, common figures"
	tGrit   = "well gritted road, common figures"
	// Abstract read: traction tests of trucks on ice and packed snow in 1993
	// and 1994 (Navin, Macnabb, Nicolletti, SAE 1996): 75 g/m2 of winter
	// aggregate add 15 % on ice, 150 g/m2 add 30 %.
	// The same abstract: trucks on bare ice about 0.04.
	// The same: straight trucks pull 0.15 on packed snow at -6 degrees.
	tNavinSnow = "trucks pulling on packed snow, tests of 1993-94, abstract"
	tNavin     = "trucks on bare ice, tests of 1993-94, abstract"
	tGritLight = "bare ice and 15 %: 75 g/m2 of aggregate, tests of 1993-94"
	tGritHeavy = "bare ice and 30 %: 150 g/m2 of aggregate, tests of 1993-94"
	tGritNone  = "bare packed snow: no gain is sure"
	tGritSnow  = "packed snow and 15 %, the lesser gain measured on ice"
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

// roads holds adhesion and rolling by surface and weather. Snow and ice cover
// every surface alike and stand as surfaces of their own.
func roads() map[string]map[Weather]row {
	return map[string]map[Weather]row{
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
}

var (
	mudRow = row{
		Range{choice(0.10, tOwn), read(0.15, tTraction+", 0.15-0.40, its lower end"), read(0.40, tTraction)},
		Range{choice(0.150, tOwn), memory(0.250, "Wong Table 1.1, field 0.10-0.35"), memory(0.350, "Wong Table 1.1, field 0.10-0.35")},
	}
	snowRow = row{Range{read(0.15, tNavinSnow), memory(0.20, tTaborek), read(0.35, tDryWet)}, rollSnow}
	iceRow  = row{Range{read(0.04, tNavin), read(0.07, tTraction), read(0.15, tDryWet)}, rollPaved}

	// Rolling resistance under a measure is that of the bare row: nobody
	// published another.
	chainsSnow = row{Range{memory(0.25, tChains), memory(0.30, tChains), memory(0.45, tChains)}, rollSnow}
	chainsIce  = row{Range{memory(0.12, tChains), memory(0.18, tChains), memory(0.30, tChains)}, rollPaved}
	gritSnow   = row{Range{choice(0.15, tGritNone), choice(0.23, tGritSnow), memory(0.40, tGrit)}, rollSnow}
	gritIce    = row{Range{derive(0.046, tGritLight), derive(0.091, tGritHeavy), memory(0.25, tGrit)}, rollPaved}
)
