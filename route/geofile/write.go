package geofile

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"
)

// Feature is a feature to be written: a line or a point, one of the two.
type Feature struct {
	// Line has two or more vertices, degrees; longitudes are continuous and
	// may run past +-180, as those of a route.Route do.
	Line       orb.LineString
	Point      *orb.Point
	Properties []Property // written in this order
}

// Property is one member of a feature's properties. Value is nil, a bool, a
// string, an int, an int64, a float64, a []string, a []float64 or a
// []Property (an object).
type Property struct {
	Key   string
	Value any
}

// head begins every file written here. The foreign member (RFC 7946 section 6.1)
// tells such a file, which may be written anew, from somebody's own.
const head = `{"type":"FeatureCollection","written_by":"drawbar",`

// WrittenHere reports whether a file begins as WriteFeatures begins one.
func WrittenHere(r io.Reader) bool {
	begin := make([]byte, len(head))
	_, err := io.ReadFull(r, begin)
	return err == nil && string(begin) == head
}

// WriteFeatures writes a GeoJSON FeatureCollection (RFC 7946), one feature a
// line. Coordinates have up to 7 decimals (about 1 cm), longitudes are within
// -180..180, and a line that crosses the 180 degree meridian is cut there into
// a MultiLineString (RFC 7946 section 3.1.9). Same features, same bytes.
//
// A line shorter than the last decimal comes out as one of equal positions.
// NaN, infinities, latitudes beyond +-90, a line of less than two vertices and
// a key that stands twice are errors that name the feature; what was written
// up to there is of no use then.
func WriteFeatures(w io.Writer, fs []Feature) error {
	bw := bufio.NewWriter(w)
	bw.WriteString(head + `"features":[`)
	var buf []byte
	for i, f := range fs {
		var err error
		if buf, err = appendFeature(buf[:0], f); err != nil {
			return fmt.Errorf("feature %d to be written: %w", i+1, err)
		}
		sep := "\n"
		if i > 0 {
			sep = ",\n"
		}
		bw.WriteString(sep)
		bw.Write(buf)
	}
	bw.WriteString("\n]}\n")
	return bw.Flush()
}

func appendFeature(b []byte, f Feature) ([]byte, error) {
	b = append(b, `{"type":"Feature","properties":`...)
	b, err := appendObject(b, f.Properties)
	if err != nil {
		return nil, err
	}
	b = append(b, `,"geometry":`...)
	switch {
	case f.Point != nil && f.Line != nil:
		return nil, fmt.Errorf("both a line and a point: %w", ErrNotGeoJSON)
	case f.Point != nil:
		b, err = appendPoint(b, *f.Point)
	case len(f.Line) < 2:
		return nil, fmt.Errorf("neither a point nor a line of two vertices: %w", ErrNotGeoJSON)
	default:
		b, err = appendLine(b, f.Line)
	}
	return append(b, '}'), err
}

func appendPoint(b []byte, p orb.Point) ([]byte, error) {
	if err := checkPoint(p); err != nil {
		return nil, err
	}
	b = append(b, `{"type":"Point","coordinates":`...)
	b = appendPosition(b, p, window(p[0]))
	return append(b, '}'), nil
}

// checkPoint refuses what no text can hold.
func checkPoint(p orb.Point) error {
	// Longitudes beyond a million degrees have lost their seventh decimal.
	if !(math.Abs(p[0]) <= 1e6) || !(math.Abs(p[1]) <= 90) {
		return fmt.Errorf("%g, %g is not longitude/latitude: %w", p[0], p[1], ErrPosition)
	}
	return nil
}

// stretch is a part of a line between two crossings of the meridian; turns is
// what must be taken off its longitudes, in whole turns.
type stretch struct {
	line  orb.LineString
	turns float64
}

// visible reports whether the written stretch has any length.
func (s stretch) visible() bool {
	first := appendPosition(nil, s.line[0], s.turns)
	return slices.ContainsFunc(s.line, func(p orb.Point) bool {
		return !bytes.Equal(first, appendPosition(nil, p, s.turns))
	})
}

// window is how many whole turns p's longitude is away from -180..180.
func window(lon float64) float64 { return math.Ceil((lon - 180) / 360) }

// fits reports whether the longitude is within a window, both edges included.
func fits(lon, turns float64) bool { return lon >= 360*turns-180 && lon <= 360*turns+180 }

// cutLine cuts a line where it crosses the 180 degree meridian.
func cutLine(line orb.LineString) []stretch {
	first := window(line[0][0])
	if !fits(line[1][0], first) && line[0][0] == 360*first+180 {
		first++ // starts on the edge and leaves to the east
	}
	cur := stretch{turns: first, line: orb.LineString{line[0]}}
	var all []stretch
	for _, p := range line[1:] {
		a := cur.line[len(cur.line)-1]
		for !fits(p[0], cur.turns) {
			way := math.Copysign(1, p[0]-360*cur.turns)
			edge := 360*cur.turns + 180*way
			cross := orb.Point{edge, a[1] + (p[1]-a[1])*(edge-a[0])/(p[0]-a[0])}
			if a[0] != edge {
				cur.line = append(cur.line, cross)
			} else {
				cross = a
			}
			if len(cur.line) > 1 {
				all = append(all, cur)
			}
			cur = stretch{turns: cur.turns + way, line: orb.LineString{cross}}
			a = cross
		}
		cur.line = append(cur.line, p)
	}
	return append(all, cur)
}

func appendLine(b []byte, line orb.LineString) ([]byte, error) {
	for i, p := range line {
		if err := checkPoint(p); err != nil {
			return nil, fmt.Errorf("vertex %d: %w", i+1, err)
		}
	}
	parts := cutLine(line)
	if slices.ContainsFunc(parts, stretch.visible) {
		// What is beside the meridian by less than the last decimal is no part.
		parts = slices.DeleteFunc(parts, func(s stretch) bool { return !s.visible() })
	} else {
		parts = parts[:1]
	}
	if len(parts) == 1 {
		b = append(b, `{"type":"LineString","coordinates":`...)
		b = appendPositions(b, parts[0])
		return append(b, '}'), nil
	}
	b = append(b, `{"type":"MultiLineString","coordinates":[`...)
	for i, s := range parts {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendPositions(b, s)
	}
	return append(b, "]}"...), nil
}

func appendPositions(b []byte, s stretch) []byte {
	b = append(b, '[')
	for i, p := range s.line {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendPosition(b, p, s.turns)
	}
	return append(b, ']')
}

func appendPosition(b []byte, p orb.Point, turns float64) []byte {
	b = append(b, '[')
	b = appendFixed(b, p[0]-360*turns)
	b = append(b, ',')
	b = appendFixed(b, p[1])
	return append(b, ']')
}

// appendFixed writes up to 7 decimals, no zeros behind, no minus before zero.
func appendFixed(b []byte, x float64) []byte {
	start := len(b)
	b = strconv.AppendFloat(b, x, 'f', 7, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b[start:]) == "-0" {
		b = append(b[:start], '0')
	}
	return b
}
