//go:build !cgo

package raster

import (
	"context"
	"strings"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Raster is a raster open for reading. This build cannot open any.
type Raster struct{}

// Open always fails in this build, with ErrNoGDAL.
func Open(path string, _ Options) (*Raster, error) {
	return nil, &Error{File: path, Op: "open", Err: ErrNoGDAL, Reason: ErrNoGDAL.Error(),
		Hint: "build with CGO_ENABLED=1 and libgdal-dev"}
}

// Elevations implements terrain.Surface.
func (*Raster) Elevations(context.Context, []orb.Point, []terrain.Sample) error { return ErrNoGDAL }

// Sources implements terrain.Surface.
func (*Raster) Sources() []terrain.Source { return nil }

// Close does nothing in this build.
func (*Raster) Close() error { return nil }

// Formats are none in this build.
func Formats() []Format { return nil }

// Versions are empty in this build.
func Versions() Libraries { return Libraries{} }

// Set is several rasters as one. This build cannot open any.
type Set struct{ Raster }

// OpenAll always fails in this build, with ErrNoGDAL.
func OpenAll(paths []string, _ Options) (*Set, error) {
	return nil, &Error{File: strings.Join(paths, " "), Op: "open", Err: ErrNoGDAL, Reason: ErrNoGDAL.Error(),
		Hint: "build with CGO_ENABLED=1 and libgdal-dev"}
}
