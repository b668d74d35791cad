package terrain

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// GridSpec lays out a [Grid] in longitude and latitude, degrees WGS84.
type GridSpec struct {
	LonDeg, LatDeg         float64     // centre of the first cell of the first row
	StepLonDeg, StepLatDeg float64     // from one cell to the next; negative runs west or south, never zero
	RowsZM                 [][]float64 // heights in metres, one slice a row, all of one length; NaN has no data
	Source                 Source      // CellM is filled in when zero
}

// Grid is a small raster in memory: a [Surface] for tests and examples.
type Grid struct {
	spec       GridSpec
	cols, rows int
}

// NewGrid checks the layout. It keeps RowsZM and does not copy it.
func NewGrid(spec GridSpec) (*Grid, error) {
	if len(spec.RowsZM) < 2 || len(spec.RowsZM[0]) < 2 {
		return nil, fmt.Errorf("terrain grid: fewer than 2 x 2 cells; nothing can be interpolated")
	}
	cols := len(spec.RowsZM[0])
	for i, row := range spec.RowsZM {
		if len(row) != cols {
			return nil, fmt.Errorf("terrain grid: row %d has %d cells, row 0 has %d", i, len(row), cols)
		}
	}
	for _, v := range []float64{spec.LonDeg, spec.LatDeg, 1 / spec.StepLonDeg, 1 / spec.StepLatDeg} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("terrain grid: origin and steps must be finite and the steps not zero")
		}
	}
	g := &Grid{spec: spec, cols: cols, rows: len(spec.RowsZM)}
	if g.spec.Source.CellM == 0 {
		midLat := spec.LatDeg + spec.StepLatDeg*float64(g.rows-1)/2
		east, north := MetresPerDegree(midLat)
		g.spec.Source.CellM = math.Sqrt(math.Abs(spec.StepLonDeg*east) * math.Abs(spec.StepLatDeg*north))
	}
	return g, nil
}

// Elevations implements [Surface]. A longitude may be given any number of full
// turns off; a grid of a full turn of longitude has no edge in the east and west.
func (g *Grid) Elevations(ctx context.Context, pts []orb.Point, out []Sample) error {
	return each(ctx, pts, out, g.sample)
}

// Sources implements [Surface].
func (g *Grid) Sources() []Source { return []Source{g.spec.Source} }

func (g *Grid) sample(p orb.Point) Sample {
	col := (p[0]-g.spec.LonDeg)/g.spec.StepLonDeg + 0.5
	row := (p[1]-g.spec.LatDeg)/g.spec.StepLatDeg + 0.5
	turn := 360 / math.Abs(g.spec.StepLonDeg)
	if col < 0 || col > float64(g.cols) {
		col -= turn * math.Floor(col/turn)
	}
	locate := Locate
	around := Around(g.cols, turn)
	if around {
		locate = LocateAround
	}
	s, why := locate(col, row, g.cols, g.rows)
	if why != Valid {
		return Sample{ZM: math.NaN(), Why: why}
	}
	right, below := min(s.Col+1, g.cols-1), min(s.Row+1, g.rows-1)
	if around && s.Col == g.cols-1 {
		right = 0
	}
	upper, lower := g.spec.RowsZM[s.Row], g.spec.RowsZM[below]
	z, why := s.Mix(upper[s.Col], upper[right], lower[s.Col], lower[right])
	return Sample{ZM: z, Why: why}
}

// Func is a [Surface] given by a formula: At gives the height in metres at a
// longitude and latitude in degrees WGS84, and false where there is none
// (Void). At must be safe for concurrent use.
type Func struct {
	At     func(lonDeg, latDeg float64) (zM float64, ok bool)
	Source Source
}

// Elevations implements [Surface].
func (f Func) Elevations(ctx context.Context, pts []orb.Point, out []Sample) error {
	return each(ctx, pts, out, f.sample)
}

// Sources implements [Surface].
func (f Func) Sources() []Source { return []Source{f.Source} }

func (f Func) sample(p orb.Point) Sample {
	z, ok := f.At(p[0], p[1])
	switch {
	case !ok || math.IsNaN(z):
		return Sample{ZM: math.NaN(), Why: Void}
	case implausible(z):
		return Sample{ZM: math.NaN(), Why: Implausible}
	}
	return Sample{ZM: z}
}

// each samples point by point and looks for a cancelled context now and then.
func each(ctx context.Context, pts []orb.Point, out []Sample, sample func(orb.Point) Sample) error {
	if len(pts) != len(out) {
		return fmt.Errorf("terrain: %d points but room for %d samples", len(pts), len(out))
	}
	for i, p := range pts {
		if i%4096 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		out[i] = sample(p)
	}
	return nil
}

// WGS84 ellipsoid. Source: NGA.STND.0036, exact by definition.
const (
	wgs84SemiMajorM = 6378137.0
	wgs84E2         = (2 - 1/298.257223563) / 298.257223563
)

// MetresPerDegree gives the length on the WGS84 ellipsoid of one degree of
// longitude and of one degree of latitude at a latitude in degrees: exact for
// an infinitely short step. It sizes cells; it is no measure of a route.
func MetresPerDegree(latDeg float64) (eastM, northM float64) {
	sin, cos := math.Sincos(latDeg * math.Pi / 180)
	w2 := 1 - wgs84E2*sin*sin
	eastM = wgs84SemiMajorM * cos / math.Sqrt(w2) * math.Pi / 180
	northM = wgs84SemiMajorM * (1 - wgs84E2) / (w2 * math.Sqrt(w2)) * math.Pi / 180
	return eastM, northM
}
