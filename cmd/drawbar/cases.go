package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/vehicle"
)

// oneCase is a train under a state of the ground, in the directions it is to be
// judged.
type oneCase struct {
	solo     *check.Setup
	yard     *secondtow.Yard
	empty    bool
	reversed []bool
}

// several reports whether the flags ask for more than one train, state of the
// ground or load.
func (o *checkOptions) several() bool {
	return len(o.train.transporters) > 1 || len(o.when) > 1 || o.trip
}

// cases are the trains under the states of the ground, in the order of the
// flags. A trip is the way out empty and the way back loaded.
func (o *checkOptions) cases() (out []oneCase, err error) {
	if len(o.when) > 0 && o.train.weather != "" {
		return nil, errors.New("give --when or --weather, not both")
	}
	states := o.when
	if len(states) == 0 {
		states = []string{o.train.weather}
	}
	directions := []bool{false}
	if o.both {
		directions = []bool{false, true}
	}
	for _, file := range o.train.transporters {
		train, err := loadAs("transporter", file)
		if err != nil {
			return nil, err
		}
		for _, state := range states {
			t := o.train
			t.weather = state
			if !o.trip {
				c, err := t.caseOf(train, directions)
				if err != nil {
					return nil, err
				}
				out = append(out, c)
				continue
			}
			trip, err := t.tripOf(train, file)
			if err != nil {
				return nil, err
			}
			out = append(out, trip...)
		}
	}
	return out, nil
}

// caseOf is a train with the helpers at hand coupled to it.
func (t *trainFlags) caseOf(train *vehicle.Combination, reversed []bool) (oneCase, error) {
	solo, yard, err := t.couple(train)
	return oneCase{solo: solo, yard: yard, reversed: reversed}, err
}

// tripOf is the way out empty and the way back loaded.
func (t *trainFlags) tripOf(train *vehicle.Combination, file string) ([]oneCase, error) {
	empty := train
	for u := range train.Units {
		if train.Units[u].LoadKg > 0 && train.Units[u].Kind != vehicle.Tractor { // ballast stays
			c, err := empty.Reload(u, 0, 0)
			if err != nil {
				return nil, fmt.Errorf("%s: empty, %w", filepath.Base(file), err)
			}
			empty = c
		}
	}
	if empty == train {
		return nil, fmt.Errorf("%s: no unit but a tractor carries a load, so there is no way out empty", filepath.Base(file))
	}
	out, err := t.caseOf(empty, []bool{false})
	if err != nil {
		return nil, err
	}
	out.empty = true
	back, err := t.caseOf(train, []bool{true})
	return []oneCase{out, back}, err
}

// runCases judges every route in every case and prints the table of them.
func (o *checkOptions) runCases(ctx context.Context, j *verdict.Judge, cases []oneCase, list []work, std stdio) error {
	m := &report.Matrix{Tool: tool()}
	for _, c := range cases {
		one := *j
		one.Solo, one.Yard = c.solo, c.yard
		for _, reverse := range c.reversed {
			for _, rec := range judgeAll(ctx, &one, list, []bool{reverse}, verdict.Options{}, o.workers) {
				m.Cells = append(m.Cells, report.Cell{Record: rec, Train: c.solo.Train.Name, Empty: c.empty, Weather: c.solo.Weather,
					GrossKg: c.solo.Train.GrossKg, Reversed: reverse})
			}
		}
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	write := map[string]func(io.Writer, *report.Matrix) error{"json": report.MatrixJSON, "csv": report.MatrixCSV}[o.format]
	if write == nil {
		write = func(w io.Writer, m *report.Matrix) error { return report.MatrixText(w, m, report.Units(o.units)) }
	}
	if err := write(std.out, m); err != nil {
		return err
	}
	return finish(&report.Run{Records: m.Records()}, o.require, std)
}

// refuseInMatrix says which flags have no meaning for several cases.
func (o *checkOptions) refuseInMatrix() error {
	switch {
	case o.segments != "":
		return errors.New("--segments writes one train under one state of the ground: leave it out, or run once for each")
	case len(o.ask) > 0 || o.enquiry != "":
		return errors.New("--ask and --enquiry are for one train under one state of the ground: leave them out, or run once for each")
	case o.explain != "":
		return errors.New("--explain looks at one train under one state of the ground: run it for one")
	case o.totals:
		return errors.New("--totals is for one train under one state of the ground: run it for one")
	case o.trip && o.both:
		return errors.New("--trip says the directions: out in the order of the file, back against it; leave out --both")
	}
	for i, w := range o.when {
		switch {
		case !slices.Contains(flagWords("weather"), w):
			return fmt.Errorf("--when must list %s, has %q", strings.Join(flagWords("weather"), ", "), w)
		case slices.Contains(o.when[:i], w):
			return fmt.Errorf("--when lists %s twice", w)
		}
	}
	for i, file := range o.train.transporters {
		if slices.Contains(o.train.transporters[:i], file) {
			return fmt.Errorf("--transporter names %s twice", file)
		}
	}
	return nil
}
