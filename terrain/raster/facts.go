//go:build cgo

package raster

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
)

// cellKind says in what Go type cells are kept.
type cellKind uint8

const (
	cellsNarrow cellKind = iota // exact in float32
	cellsWide                   // need float64
)

// GDAL's numbers of cell types that godal v0.0.18 does not name.
// Source: enum GDALDataType in gdal.h, read.
const (
	gdtUInt64 = godal.DataType(12)
	gdtInt64  = godal.DataType(13)
)

// Flags of GDALGetMaskFlags. Source: gdal.h, read.
const (
	maskAllValid = 1
	maskNoData   = 8
)

// largestTile is the largest tile of a file, in bytes of decoded cells, that
// is decoded. A choice: GDAL holds one such tile a goroutine.
const largestTile = 512 << 20

func (f *facts) note(format string, args ...any) {
	f.notes = append(f.notes, fmt.Sprintf(format, args...))
}

func (f *facts) readCells(ds *godal.Dataset) error {
	b := ds.Bands()[f.band-1]
	f.shape = b.Structure()
	switch f.shape.DataType {
	case godal.Byte, godal.Int8, godal.Int16, godal.UInt16, godal.Float32:
		f.kind = cellsNarrow
	case godal.Int32, godal.UInt32, godal.Float64, gdtInt64, gdtUInt64:
		f.kind = cellsWide
	default:
		return refuse(ErrNoHeights, "translate the band to Float32 if it does hold heights", "its cells are complex or of a type not known (%d)", int(f.shape.DataType))
	}
	if len(b.ColorTable().Entries) > 0 {
		return refuse(ErrNoHeights, "name another band with --dem-band, or take the raster it was painted from", "its cells are indices into a colour table")
	}
	if f.shape.SizeX < 2 || f.shape.SizeY < 2 {
		return refuse(ErrNoHeights, "take a larger cut", "it has %d x %d cells; nothing can be interpolated", f.shape.SizeX, f.shape.SizeY)
	}
	if tile := 8 * float64(f.shape.BlockSizeX) * float64(f.shape.BlockSizeY); tile > 8*largestTile {
		return refuse(ErrRefused, "rewrite it: gdal_translate -co TILED=YES", "its tiles of %d x %d cells are too large to decode", f.shape.BlockSizeX, f.shape.BlockSizeY)
	}
	if s := f.shape; s.Scale == 0 || math.IsNaN(s.Scale+s.Offset) || math.IsInf(s.Scale+s.Offset, 0) {
		return refuse(ErrNoHeights, "repair it: gdal_translate -a_scale 1 -a_offset 0", "the band's scale %v and offset %v give no heights", s.Scale, s.Offset)
	}
	f.readVoids(b)
	f.readAlpha(ds)
	f.readCoding(ds, b)
	return nil
}

func (f *facts) readVoids(b godal.Band) {
	if f.shape.DataType != gdtInt64 && f.shape.DataType != gdtUInt64 {
		f.nodata, f.hasVoid = b.NoData()
	}
	flags := b.MaskFlags()
	f.masked = flags&(maskAllValid|maskNoData) == 0
	if f.masked {
		f.note("cells outside its mask have no data")
	}
}

// readAlpha finds an alpha band that GDAL's mask does not speak of: it takes
// only bands of 8 and 16 bits for one.
func (f *facts) readAlpha(ds *godal.Dataset) {
	if f.masked {
		return
	}
	for i, b := range ds.Bands() {
		if i+1 != f.band && b.ColorInterp() == godal.CIAlpha {
			f.alpha = i + 1
			f.note("cells whose alpha (band %d) is 0 have no data", f.alpha)
			return
		}
	}
}

// typeEnds are the largest and smallest numbers of the integer types, often
// found where there is no data.
var typeEnds = map[godal.DataType][]float64{
	godal.Byte: {255}, godal.Int8: {-128, 127}, godal.Int16: {math.MinInt16, math.MaxInt16}, godal.UInt16: {math.MaxUint16},
	godal.Int32: {math.MinInt32, math.MaxInt32}, godal.UInt32: {math.MaxUint32},
}

// fills are the heights that may stand for missing cells, and the step of the
// heights, both in metres.
func (f *facts) fills() (fills []float64, stepM float64) {
	if f.shape.DataType != godal.Float32 && f.shape.DataType != godal.Float64 {
		stepM = math.Abs(f.shape.Scale) * f.unit.metres
	}
	raws := []float64{0} // holes filled with zeros stand in files that declare their voids, too
	if !f.hasVoid && !f.masked && f.alpha == 0 {
		raws = append(raws, typeEnds[f.shape.DataType]...)
	}
	for _, raw := range raws {
		fills = append(fills, (raw*f.shape.Scale+f.shape.Offset)*f.unit.metres)
	}
	return fills, stepM
}

// readWideNoData takes the nodata value of 64-bit integers, which the usual
// call does not give, from the description.
func (f *facts) readWideNoData(text string) {
	if v, err := strconv.ParseFloat(strings.TrimSpace(text), 64); err == nil {
		f.nodata, f.hasVoid = v, true
	}
}

func (f *facts) readCoding(ds *godal.Dataset, b godal.Band) {
	structure := godal.Domain("IMAGE_STRUCTURE")
	f.signed = f.shape.DataType == godal.Byte && b.Metadata("PIXELTYPE", structure) == "SIGNEDBYTE"
	coding := ds.Metadata("COMPRESSION", structure)
	switch {
	case strings.Contains(coding, "JPEG") && !strings.Contains(strings.ToLower(ds.Metadata("COMPRESSION_REVERSIBILITY", structure)), "lossless"):
		f.note("lossy compression %s: grades over a few cells are not to be trusted", coding)
	case strings.HasPrefix(coding, "LERC"):
		f.note("compression %s may be lossy", coding)
		if z, err := strconv.ParseFloat(ds.Metadata("MAX_Z_ERROR", structure), 64); err == nil && z > 0 {
			f.lerc = z
			f.note("heights rounded within %v units by %s", z, coding)
		}
	}
	if f.shape.DataType == godal.Byte {
		f.note("8-bit cells: at most 256 different heights")
		if len(ds.Bands()) > 2 {
			f.note("several bands of 8 bits are more often a picture than heights")
		}
	}
	f.sparse = f.driver == "GTiff" && !f.hasVoid && !f.masked
	if f.driver == "VRT" && !f.hasVoid {
		f.note("a VRT without a nodata value: gaps between its sources read as 0")
	}
}

const crsHint = "say which it is: gdal_edit.py -a_srs EPSG:n, or gdal_translate -a_srs EPSG:n"

func (f *facts) readPlace(ds *godal.Dataset) error {
	gt, err := ds.GeoTransform(quiet())
	if err != nil {
		hint := geotransformHint
		if n := len(ds.GCPs()); n > 0 {
			hint = "it has control points: warp it with gdalwarp"
		}
		return refuse(ErrGeotransform, hint, "it has no geotransform")
	}
	f.gt = gt
	if f.inv, err = f.gt.inverse(); err != nil {
		return err
	}
	wkt, err := ds.SpatialRef().WKT(quiet())
	if err != nil || wkt == "" {
		return refuse(ErrNoCRS, crsHint, "it does not say its coordinate system")
	}
	var ok bool
	if f.crs, ok = readCRS(wkt); !ok {
		return refuse(ErrNoCRS, crsHint, "its coordinate system cannot be understood")
	}
	if f.crs.down {
		return refuse(ErrNoHeights, "turn the sign and drop the vertical system first", "its vertical axis points down: depths, not heights")
	}
	f.to, err = f.transform(true)
	return err
}

// transform makes the transformation from WGS84 to the raster's horizontal
// system, or back. No vertical part takes part in it.
func (f *facts) transform(toRaster bool) (*godal.Transform, error) {
	log := quiet()
	wgs84, err := godal.NewSpatialRefFromEPSG(4326, log)
	if err != nil {
		return nil, refuse(ErrNoCRS, "check that PROJ finds its proj.db", "PROJ does not know WGS84: %v", err)
	}
	defer wgs84.Close()
	own, err := godal.NewSpatialRefFromWKT(f.crs.horizontal, log)
	if err != nil {
		return nil, refuse(ErrNoCRS, crsHint, "its coordinate system %q cannot be used: %v", f.crs.label, err)
	}
	defer own.Close()
	from, to := wgs84, own
	if !toRaster {
		from, to = own, wgs84
	}
	t, err := godal.NewTransform(from, to, log)
	if err != nil {
		return nil, refuse(ErrNoCRS, crsHint, "nothing leads from WGS84 to its coordinate system %q: %v", f.crs.label, err)
	}
	return t, nil
}

// Cells outside these sides, in metres, are of no raster of heights but of a
// coordinate system that does not belong to its numbers. A choice.
const (
	smallestCellM = 0.01
	largestCellM  = 200e3
)

// cellSize is the geometric mean of the ground sides of a cell at the middle of
// the raster, metres.
func (f *facts) cellSize() (float64, error) {
	back, err := f.transform(false)
	if err != nil {
		return 0, err
	}
	defer back.Close()
	midCol, midRow := float64(f.shape.SizeX)/2, float64(f.shape.SizeY)/2
	var x, y [4]float64
	for i, d := range [4][2]float64{{-0.5, 0}, {0.5, 0}, {0, -0.5}, {0, 0.5}} {
		x[i], y[i] = f.gt.at(midCol+d[0], midRow+d[1])
	}
	hint := "its coordinate system may not be the right one; " + crsHint
	err = back.TransformEx(x[:], y[:], nil, nil)
	if sum := x[0] + x[1] + x[2] + x[3] + y[0] + y[1] + y[2] + y[3]; err != nil || math.IsNaN(sum) || math.IsInf(sum, 0) || math.Abs(y[0]) > 90 || math.Abs(x[0]) > 540 {
		return 0, refuse(ErrGeotransform, hint, "its middle is not on the Earth")
	}
	east, north := terrain.MetresPerDegree(y[0])
	side := func(i, j int) float64 {
		return math.Hypot(math.Remainder(x[j]-x[i], 360)*east, (y[j]-y[i])*north)
	}
	cellM := math.Sqrt(side(0, 1) * side(2, 3))
	if !(cellM >= smallestCellM && cellM <= largestCellM) {
		return 0, refuse(ErrGeotransform, hint, "its cells would be %.3g m on the ground", cellM)
	}
	return cellM, nil
}
