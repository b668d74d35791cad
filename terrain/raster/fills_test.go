//go:build cgo

package raster

import (
	"errors"
	"slices"
	"testing"

	"github.com/airbusgeo/godal"
)

// What may fill cells without data, where the file does not say; in metres.
func TestFills(t *testing.T) {
	nodata := func(t *testing.T, ds *godal.Dataset) { must(t, ds.SetNoData(-9999)) }
	scaled := func(t *testing.T, ds *godal.Dataset) { must(t, ds.SetScaleOffset(0.1, -200)) }
	cell := func(int, int) float64 { return 100 }
	for name, c := range map[string]struct {
		l     layout
		o     Options
		fills []float64
		step  float64
	}{
		"float32":           {layout{kind: godal.Float32, cell: cell}, Options{}, []float64{0}, 0},
		"float32 with tag":  {layout{kind: godal.Float32, cell: cell, finish: nodata}, Options{}, []float64{0}, 0},
		"int16 with tag":    {layout{kind: godal.Int16, cell: cell, finish: nodata}, Options{}, []float64{0}, 1},
		"byte":              {layout{kind: godal.Byte, cell: cell}, Options{}, []float64{0, 255}, 1},
		"int16 in feet":     {layout{kind: godal.Int16, cell: cell}, Options{Unit: "ft"}, []float64{0, -32768 * 0.3048, 32767 * 0.3048}, 0.3048},
		"uint16, decimetre": {layout{kind: godal.UInt16, cell: cell, finish: scaled}, Options{}, []float64{-200, 65535*0.1 - 200}, 0.1},
	} {
		c.l.gt, c.l.crs = north10, "EPSG:32632"
		s := openTest(t, c.l.write(t), c.o).Sources()[0]
		if !slices.Equal(s.Fills, c.fills) || s.StepM != c.step {
			t.Errorf("%s: fills %v step %g, want %v and %g", name, s.Fills, s.StepM, c.fills, c.step)
		}
	}
}

// A unit asked for against the file's own word is refused: one of the two is
// wrong by a factor of three.
func TestUnitAgainstTheFile(t *testing.T) {
	l := layout{gt: north10, crs: "EPSG:25832+5783", cell: func(int, int) float64 { return 100 }}
	path := l.write(t)
	for unit, want := range map[string]bool{"ft": true, "m": false, "": false} {
		r, err := Open(path, Options{Unit: unit})
		if got := errors.Is(err, ErrUnit); got != want {
			t.Errorf("unit %q: %v", unit, err)
		}
		if err == nil {
			must(t, r.Close())
		}
	}
}
