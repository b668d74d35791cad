package main

import (
	"errors"

	"drawbar/route/check"
)

// march are the terms of time and fuel, nil when nobody asked.
func (o *checkOptions) march() (*check.MarchTerms, error) {
	const msPerKmh = 1 / 3.6
	switch {
	case !o.totals && o.marchKmh != 0:
		return nil, errors.New("--march-speed is for time and fuel: give --totals too")
	case o.totals && o.explain != "":
		return nil, errors.New("--explain looks at one place only: leave out --totals, or run twice")
	case !o.totals:
		return nil, nil
	case o.marchKmh == 0:
		return &check.MarchTerms{CapMS: check.DefaultMarchMS}, nil
	}
	return &check.MarchTerms{CapMS: o.marchKmh * msPerKmh, Given: true}, nil
}
