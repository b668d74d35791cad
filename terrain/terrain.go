// Package terrain says how high the ground is, how well that is known, and
// why it is not known where it is not.
//
// A [Surface] judges: full resolution only, each answer depends on its own
// point alone. Rasters live in terrain/raster; [Grid] and [Func] are surfaces
// in memory for tests and examples; a [Stack] is several surfaces as one, the
// finest first. [Beside] reads the shape of the ground across a line, and
// [Source.HillsideSEM] says what that does to the height of the line.
package terrain

import (
	"context"

	"github.com/paulmach/orb"
)

// Why says why a sample has no height.
type Why uint8

// Reasons. Only Valid has a height.
const (
	Valid       Why = iota
	Void            // a cell the interpolation needs has no data
	Edge            // inside the raster but outside the outermost cell centres
	OffRaster       // outside every raster
	Implausible     // a height no ground on Earth has
)

// String names the reason as reports print it.
func (w Why) String() string {
	switch w {
	case Valid:
		return ""
	case Void:
		return "void"
	case Edge:
		return "raster edge"
	case OffRaster:
		return "off raster"
	case Implausible:
		return "implausible height"
	}
	return "unknown reason"
}

// Sample is the height at one point.
type Sample struct {
	ZM     float64 // metres above the source's datum; NaN unless Why is Valid
	Source uint8   // index into Surface.Sources
	Why    Why
}

// Kind says what a raster's heights are heights of.
type Kind string

// Kinds of surface.
const (
	KindUnknown      Kind = "unknown"
	KindSurfaceModel Kind = "surface model" // roofs, trees and bridge decks are in it
	KindTerrainModel Kind = "terrain model" // bare ground
)

// Source describes one raster and its error.
type Source struct {
	Name   string // base name of the file
	Datum  string // vertical datum, "unknown" when the file does not say
	Kind   Kind
	CellM  float64 // ground size of a cell: the geometric mean of its sides at the raster's middle
	SEM    float64 // standard error of a height relative to its neighbourhood, metres
	CorrM  float64 // correlation length of that error, metres: rho(d) = exp(-d/CorrM)
	CE90M  float64 // horizontal error: 90 % of cells are nearer than this to where they should be, metres; 0 not known
	Driver string  // "GTiff", "SRTMHGT" ...
	CRS    string  // "EPSG:32632", or a name when there is no code
	Unit   string  // vertical unit read: "m", "ft", "US survey ft", "unknown (taken as m)"
	Notes  []string
	// Fills are heights that may stand where the file has no data: its zero, and
	// the ends of its type where it declares neither a value nor a mask for such
	// cells. With StepM 0 any height that does not change may be one. nil when none
	// is to be feared.
	Fills []float64
	// StepM is the step of the stored heights, metres; 0 for real numbers.
	StepM float64
	// Assumed lists what was taken because neither file nor user said.
	Assumed []Assumption
}

// Assumption is route.Assumption, declared again because terrain imports
// nothing of ours.
type Assumption struct {
	Key      string
	Unit     string
	Source   string
	Standing string
	Value    float64
}

// Surface gives heights for verdicts: full resolution only. out[i] depends on
// pts[i] alone, never on its neighbours in the call, on the cache or on other
// goroutines. It is safe for concurrent use. pts are longitude, latitude in
// degrees WGS84; len(out) must be len(pts). The error is for a surface that
// cannot be read at all, or a cancelled context, not for a point without
// height.
type Surface interface {
	Elevations(ctx context.Context, pts []orb.Point, out []Sample) error
	Sources() []Source
}
