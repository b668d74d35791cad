// Package raster reads heights from any raster GDAL opens: any coordinate
// system, any direction of rows and columns, rotated or sheared, with or
// without data everywhere.
//
// [Open] refuses what GDAL opens without a word but what would give wrong
// heights: no coordinate system, a geotransform that cannot be inverted,
// pictures, complex cells, a VRT that reads arbitrary bytes, itself, or the
// network. Nothing here ever goes to the network, and no file is written.
//
// Heights are full resolution, bilinear between cell centres, in metres above
// the raster's own datum; no vertical transformation is made. The horizontal
// one, from WGS84, is the one PROJ holds best where the point lies. Where it
// knows none between two datums it takes their longitudes and latitudes as
// equal, and cannot be asked whether it did. For the same reason no vertical
// transformation is made: the binding does not tell a sound operation from a
// rough ("ballpark") one that leaves heights as they are. [OpenAll] refuses
// rasters whose known vertical datums differ instead.
//
// This is the only room under terrain that needs GDAL. A program built without
// cgo compiles, and Open tells it what is missing.
package raster

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
)

// Options say how a raster is to be read. The zero value asks the file.
type Options struct {
	// Unit of the heights: "m", "ft" (0.3048 m), "us-ft" (1200/3937 m), or ""
	// for what the file says. It overrides the file.
	Unit string
	// Product names a row of terrain.Products, "" for a guess from the format
	// and the cell size.
	Product string
	// LE90M is the absolute LE90 of the heights in metres, 0 when not known.
	LE90M float64
	// CE90M is its horizontal error in metres, 90 % circular, 0 when not known.
	CE90M float64
	// CorrM is the correlation length of their error in metres, 0 when not known.
	CorrM float64
	// CacheBytes bounds the memory for decoded blocks, of all rasters together
	// in OpenAll; 0 means 256 MiB. It changes no result.
	CacheBytes int64
	// Band with the heights, counted from 1; 0 means the first, which is
	// refused when the file marks it as a colour of a picture.
	Band int
}

const defaultCacheBytes = 256 << 20

func (o Options) cacheBytes() int64 {
	if o.CacheBytes <= 0 {
		return defaultCacheBytes
	}
	return o.CacheBytes
}

// Conditions a caller may branch on, with errors.Is.
var (
	ErrNotFound     = fmt.Errorf("no such raster: %w", fs.ErrNotExist)
	ErrNotRaster    = errors.New("not a raster this build can read")
	ErrNoCRS        = errors.New("no usable coordinate system")
	ErrGeotransform = errors.New("no usable geotransform")
	ErrUnit         = errors.New("unit of the heights not clear")
	ErrOption       = errors.New("option that cannot be")
	ErrNoHeights    = errors.New("cells hold no heights")
	ErrRefused      = errors.New("refused for safety")
	ErrRead         = errors.New("cells cannot be read")
	ErrNoGDAL       = errors.New("this build has no GDAL")
)

// Error says which raster failed at what, why, and what to do about it.
type Error struct {
	File   string // as the caller named it
	Op     string // "open" or "read"
	Reason string
	Hint   string // what to do, "" when nothing is known
	Err    error  // one of the sentinels of this package
}

// Error gives the base name of the file, so that a message is the same
// wherever the file lies; the hint stands on a second line.
func (e *Error) Error() string {
	s := fmt.Sprintf("%s: %s: %s", filepath.Base(e.File), e.Op, e.Reason)
	if e.Hint != "" {
		s += "\n" + e.Hint
	}
	return s
}

// Unwrap gives the sentinel.
func (e *Error) Unwrap() error { return e.Err }

// refuse is an Error without file and operation, which Open adds.
func refuse(sentinel error, hint, format string, args ...any) *Error {
	return &Error{Reason: fmt.Sprintf(format, args...), Hint: hint, Err: sentinel}
}

// Format is a raster format that heights come in.
type Format struct {
	Driver string // GDAL's short name
	Name   string
	Read   bool // this build can read it
}

// Libraries are the versions of the libraries behind this package, "" where
// they do not tell.
type Libraries struct{ GDAL string }
