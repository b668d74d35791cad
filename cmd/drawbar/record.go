package main

import (
	"strconv"

	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/terrain"
)

// describe fills in what the report says of the run.
func describe(r *report.Run, o *checkOptions, files []string, solo *check.Setup, yard *secondtow.Yard, surface terrain.Surface) {
	r.Tool = tool()
	r.Train = trainOf(solo, yard)
	r.Coupled = coupledTrains(yard)
	for _, s := range surface.Sources() {
		r.Sources = append(r.Sources, report.Source{Name: s.Name, Driver: s.Driver, CRS: s.CRS, Datum: s.Datum,
			Kind: string(s.Kind), Unit: s.Unit, CellM: s.CellM, SEM: s.SEM, CorrM: s.CorrM})
	}
	for _, f := range files {
		r.Inputs = append(r.Inputs, inputOf("route", f))
	}
	for _, d := range o.ground.dem {
		r.Inputs = append(r.Inputs, inputOf("dem", d))
	}
	r.Inputs = append(r.Inputs, inputOf("transporter", o.train.transporters[0]))
	for _, h := range o.train.helpers {
		r.Inputs = append(r.Inputs, inputOf("helper", h))
	}
	if o.train.surfaces != "" {
		r.Inputs = append(r.Inputs, inputOf("surfaces", o.train.surfaces))
	}
	if o.ground.ways != "" {
		r.Inputs = append(r.Inputs, inputOf("ways", o.ground.ways))
	}
	if o.ground.over != "" {
		r.Inputs = append(r.Inputs, inputOf("structures", o.ground.over))
	}
	if o.ground.known != "" {
		day, _ := o.ground.today() // read once already
		defer func() { r.Settings = append(r.Settings, report.Setting{Name: "date", Value: day}) }()
		r.Inputs = append(r.Inputs, inputOf("known", o.ground.known))
	}
	r.Settings = []report.Setting{
		{Name: "weather", Value: solo.Weather},
		{Name: "measure", Value: o.train.measure},
		{Name: "totals", Value: strconv.FormatBool(o.totals)},
		{Name: "march_speed_kmh", Value: strconv.FormatFloat(o.marchKmh, 'g', -1, 64)},
		{Name: "both", Value: strconv.FormatBool(o.both)},
		{Name: "height_margin_m", Value: strconv.FormatFloat(solo.HeightMarginM, 'g', -1, 64)},
		{Name: "dem_unit", Value: o.ground.unit},
		{Name: "dem_band", Value: strconv.Itoa(o.ground.band)},
		{Name: "dem_le90_m", Value: strconv.FormatFloat(o.ground.le90M, 'g', -1, 64)},
		{Name: "dem_product", Value: o.ground.product},
		{Name: "z", Value: o.ground.z},
		{Name: "line_error_m", Value: strconv.FormatFloat(o.ground.lineM, 'g', -1, 64)},
		{Name: "no_class_prior", Value: strconv.FormatBool(o.ground.anyClass)},
		{Name: "step_m", Value: strconv.FormatFloat(o.ground.stepM, 'g', -1, 64)},
		{Name: "carry_m", Value: strconv.FormatFloat(o.ground.carryM, 'g', -1, 64)},
	}
}

// trainOf is the train and what is at hand in figures.
func trainOf(solo *check.Setup, yard *secondtow.Yard) report.Train {
	c := solo.Train
	t := report.Train{Name: c.Name, Level: c.Level, GrossKg: c.GrossKg, GrossSEKg: c.GrossSEKg,
		LengthM: c.LengthM, WidthM: c.WidthM, HeightM: c.HeightM, Axles: len(c.Axles), Weather: solo.Weather}
	size := solo.Sizes()
	t.AxleKg, t.PairKg, t.Class = size.AxleKg, size.PairKg, size.Class
	for i, a := range c.Axles {
		x := report.Axle{Unit: c.Units[a.Unit].Name, Kg: a.Kg, Tyres: a.Tyres, TyreWidthM: a.TyreWidthM, AtM: a.AtM}
		if i > 0 {
			x.AheadM = a.AtM - c.Axles[i-1].AtM
		}
		t.Line = append(t.Line, x)
	}
	if yard == nil {
		return t
	}
	for _, h := range yard.Helpers {
		t.Helpers = append(t.Helpers, h.Name)
	}
	return t
}

// coupledTrains are each helper with the train, for the pages that ask.
func coupledTrains(yard *secondtow.Yard) (out []report.Train) {
	for _, h := range yard.Helpers {
		t := trainOf(h.Coupled, nil)
		t.Name = h.Name + " with its train"
		out = append(out, t)
	}
	return out
}
