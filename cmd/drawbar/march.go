package main

import (
	"errors"

	"drawbar/route/check"
	"drawbar/vehicle/traction"
)

// march are the terms of time and fuel, nil when nobody asked.
func (o *checkOptions) march() (*check.MarchTerms, error) {
	switch {
	case !o.totals && o.marchKmh != 0 && !o.train.momentum && o.restMin == 0:
		return nil, errors.New("--march-speed is for time and fuel, for a run and for rests: give --totals, --momentum or --rest-every too")
	case o.totals && o.explain != "":
		return nil, errors.New("--explain looks at one place only: leave out --totals, or run twice")
	case o.restMin != 0 && o.explain != "":
		return nil, errors.New("--explain looks at one place only: leave out --rest-every, or run twice")
	case !o.totals:
		return nil, nil
	case o.marchKmh == 0:
		return &check.MarchTerms{CapMS: check.DefaultMarchMS}, nil
	}
	return &check.MarchTerms{CapMS: o.marchKmh / 3.6, Given: true}, nil
}

// tellIdle tells of a measure that may count nowhere.
func (t *trainFlags) tellIdle(std stdio, weather string) {
	if w := traction.Weather(weather); t.measure != "" && w != traction.Snow && w != traction.Ice {
		note(std, "--measure "+t.measure, []string{"counts only where a way is tagged as snow or ice: the ground is taken as " + weather})
	}
}
