package main

import (
	"fmt"
	"math"
	"os"

	"drawbar/route/report"
	"drawbar/vehicle"
	"drawbar/vehicle/loadeffect"
)

// sheetSpansM are the spans of the sheet, metres.
var sheetSpansM = []float64{5, 10, 15, 20, 30, 40}

// sheetReferences are what the sheet compares with.
var sheetReferences = []string{"legal lorry", "HS20", "LM1"}

// referencesOf are those of a file, at most three, or of the program without one.
func referencesOf(file string) (out []loadeffect.Reference, err error) {
	if file == "" {
		for _, name := range sheetReferences {
			if r, ok := loadeffect.ReferenceNamed(name); ok {
				out = append(out, *r)
			}
		}
		return out, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if out, err = loadeffect.ReadReferences(f); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if n := len(out); n == 0 || n > len(sheetReferences) {
		return nil, fmt.Errorf("%s: has %d references: keep 1 to %d", file, n, len(sheetReferences))
	}
	return out, nil
}

// loads are the figures of a train that an owner of a bridge asks for.
func loads(c *vehicle.Combination, refs []loadeffect.Reference) *report.Loads {
	t := loadeffect.Of(c)
	l := &report.Loads{Classes: []report.LoadClass{
		{Name: "expedient, wheeled", Value: loadeffect.Expedient(c.GrossKg, false), Source: "0.85 of its short tons, FM 3-34.170 E-11 (read)"}}}
	if a := loadeffect.TrackedClass(t); !math.IsInf(a.Class, 1) {
		by := "moment"
		if a.Shear {
			by = "shear"
		}
		l.Classes = append(l.Classes, report.LoadClass{Name: "by effects against the tracked family", Value: a.Class, Unverified: true,
			Source: "largest by " + by + ", spans 10 to 100 m; lengths of track from memory, unverified; the wheeled family's axle spacings are not known"})
	}
	heaviest := 0.0
	for _, a := range c.Axles {
		heaviest = max(heaviest, a.Kg)
	}
	if class := loadeffect.AxleClass(heaviest); !math.IsInf(class, 1) {
		l.Classes = append(l.Classes, report.LoadClass{Name: "by its heaviest axle", Value: class, Unverified: true, Source: "largest single axle of each class, from memory, unverified"})
	}
	for _, span := range sheetSpansM {
		e := loadeffect.Simple(t, span)
		row := report.LoadRow{SpanM: span, MomentNm: e.MomentNm, ShearN: e.ShearN}
		for i := range refs {
			r := &refs[i]
			o := r.Simple(span)
			q := report.LoadRatio{Name: r.Name, Moment: e.MomentNm / o.MomentNm, Shear: e.ShearN / o.ShearN,
				TheirMomentNm: o.MomentNm, TheirShN: o.ShearN, Dynamics: r.Dynamics, Unverified: r.Unverified()}
			if r.Dynamics {
				q.Moment, q.Shear = math.NaN(), math.NaN()
			}
			row.Ratios = append(row.Ratios, q)
		}
		l.Rows = append(l.Rows, row)
	}
	l.Groups, l.Over, l.All = groupRows(t)
	return l
}

// groupRows are the worst axle group of each number of axles.
func groupRows(t loadeffect.Train) (out []report.GroupRow, over, all int) {
	worst := make([]*loadeffect.Group, len(t.AtM)+1)
	gs := loadeffect.GroupsB(t)
	for i := range gs {
		g := &gs[i]
		if all++; g.Ratio() > 1 {
			over++
		}
		if n := g.Last - g.First + 1; worst[n] == nil || g.Ratio() > worst[n].Ratio() {
			worst[n] = g
		}
	}
	for _, g := range worst[1:] {
		out = append(out, report.GroupRow{First: g.First + 1, Last: g.Last + 1, LengthM: g.LengthM, MassKg: g.MassKg, AllowedKg: g.AllowedKg})
	}
	return out, over, all
}
