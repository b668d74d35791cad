package valley

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

// TIFF field types (TIFF 6.0, section 2).
const (
	tiffASCII  = 2
	tiffShort  = 3
	tiffLong   = 4
	tiffDouble = 12
)

// Tags: TIFF 6.0 section 8 and 19; GeoTIFF 1.1 (OGC 19-008r4); the last two are
// private tags registered for GDAL, described with its GTiff driver.
const (
	tagImageWidth      = 256
	tagImageLength     = 257
	tagBitsPerSample   = 258
	tagCompression     = 259
	tagPhotometric     = 262
	tagStripOffsets    = 273
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagPlanarConfig    = 284
	tagSampleFormat    = 339
	tagPixelScale      = 33550
	tagTiepoint        = 33922
	tagGeoKeys         = 34735
	tagMetadata        = 42112
	tagNodata          = 42113
)

const rowsPerStrip = 20 // 48 kB a strip

// metadata gives GDAL what TIFF has no tag for: scale, offset and unit.
var metadata = fmt.Sprintf(`<GDALMetadata>
  <Item name="DESCRIPTION" sample="0" role="description">bare ground, invented</Item>
  <Item name="OFFSET" sample="0" role="offset">%d</Item>
  <Item name="SCALE" sample="0" role="scale">%g</Item>
  <Item name="UNITTYPE" sample="0" role="unittype">m</Item>
</GDALMetadata>
`, OffsetM, ScaleM)

// entry is a field of the image file directory with its value as bytes.
type entry struct {
	tag, kind uint16
	count     int
	value     []byte
}

var little = binary.LittleEndian

func shorts(tag uint16, values ...uint16) entry {
	var b []byte
	for _, v := range values {
		b = little.AppendUint16(b, v)
	}
	return entry{tag, tiffShort, len(values), b}
}

func longs(tag uint16, values ...uint32) entry {
	var b []byte
	for _, v := range values {
		b = little.AppendUint32(b, v)
	}
	return entry{tag, tiffLong, len(values), b}
}

func doubles(tag uint16, values ...float64) entry {
	var b []byte
	for _, v := range values {
		b = little.AppendUint64(b, math.Float64bits(v))
	}
	return entry{tag, tiffDouble, len(values), b}
}

func ascii(tag uint16, text string) entry {
	return entry{tag, tiffASCII, len(text) + 1, append([]byte(text), 0)}
}

// geotiff is the raster as an uncompressed little-endian GeoTIFF of strips:
// header, directory, values of the directory, strips.
func geotiff(cells []int16) []byte {
	const strips = Rows / rowsPerStrip
	const stripBytes = rowsPerStrip * Cols * 2
	entries := directory(make([]uint32, strips), stripBytes)
	dataAt := headerBytes(entries)
	offsets := make([]uint32, strips)
	for i := range offsets {
		offsets[i] = uint32(dataAt + i*stripBytes)
	}
	b := header(directory(offsets, stripBytes))
	b = slices.Grow(b, len(cells)*2)
	for _, c := range cells {
		b = little.AppendUint16(b, uint16(c))
	}
	return b
}

// directory is the entries in order of tag.
func directory(offsets []uint32, stripBytes uint32) []entry {
	counts := slices.Repeat([]uint32{stripBytes}, len(offsets))
	return []entry{
		shorts(tagImageWidth, Cols),
		shorts(tagImageLength, Rows),
		shorts(tagBitsPerSample, 16),
		shorts(tagCompression, 1), // none
		shorts(tagPhotometric, 1), // black is zero
		longs(tagStripOffsets, offsets...),
		shorts(tagSamplesPerPixel, 1),
		shorts(tagRowsPerStrip, rowsPerStrip),
		longs(tagStripByteCounts, counts...),
		shorts(tagPlanarConfig, 1),
		shorts(tagSampleFormat, 2), // signed
		doubles(tagPixelScale, CellM, CellM, 0),
		doubles(tagTiepoint, 0, 0, 0, WestM, SouthM+Rows*CellM, 0),
		shorts(tagGeoKeys,
			1, 1, 0, 4, // version 1, revision 1.0, four keys
			1024, 0, 1, 1, // GTModelType: projected
			1025, 0, 1, 1, // GTRasterType: a pixel is an area
			3072, 0, 1, 32600+Zone, // ProjectedCRS: WGS 84 / UTM north
			3076, 0, 1, 9001, // ProjLinearUnits: metre
		),
		ascii(tagMetadata, metadata),
		ascii(tagNodata, fmt.Sprint(Void)),
	}
}

const (
	fileHeadBytes = 8
	entryBytes    = 12
)

// headerBytes is the length of everything before the strips.
func headerBytes(entries []entry) int {
	n := fileHeadBytes + 2 + len(entries)*entryBytes + 4
	for _, e := range entries {
		if len(e.value) > 4 {
			n += len(e.value) + len(e.value)%2
		}
	}
	return n
}

// header is the file head, the directory and the values that do not fit into
// it, each on an even offset.
func header(entries []entry) []byte {
	b := little.AppendUint16([]byte("II"), 42)
	b = little.AppendUint32(b, fileHeadBytes)
	b = little.AppendUint16(b, uint16(len(entries)))
	var values []byte
	valuesAt := fileHeadBytes + 2 + len(entries)*entryBytes + 4
	for _, e := range entries {
		b = little.AppendUint16(b, e.tag)
		b = little.AppendUint16(b, e.kind)
		b = little.AppendUint32(b, uint32(e.count))
		if len(e.value) <= 4 {
			b = append(b, e.value...)
			b = append(b, make([]byte, 4-len(e.value))...)
			continue
		}
		b = little.AppendUint32(b, uint32(valuesAt+len(values)))
		values = append(values, e.value...)
		values = append(values, make([]byte, len(e.value)%2)...)
	}
	b = little.AppendUint32(b, 0) // no further directory
	return append(b, values...)
}
