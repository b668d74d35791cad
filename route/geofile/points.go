package geofile

import (
	"fmt"
	"io"
	"strconv"

	"github.com/tidwall/gjson"
)

// Point is a feature of a file of answers: its properties as text, and where it
// stands, degrees. Null and empty properties are left out.
type Point struct {
	Feature    int // counted from 1
	Lon, Lat   string
	Properties map[string]string
}

// mostPoints is the largest file of points read, bytes. Choice.
const mostPoints = 16 << 20

// ReadPoints reads a FeatureCollection (RFC 7946) of points. Errors name the
// feature; any of them is the whole file's: an answer that is not read would be
// lost.
func ReadPoints(r io.Reader, name string) ([]Point, error) {
	data, err := io.ReadAll(io.LimitReader(r, mostPoints+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(data) > mostPoints {
		return nil, fmt.Errorf("%s: longer than %d MiB", name, mostPoints>>20)
	}
	if fault := checkText(data); fault != nil {
		return nil, fault.asError(name, 0)
	}
	doc := gjson.ParseBytes(data)
	if doc.Get("type").String() != "FeatureCollection" || !doc.Get("features").IsArray() {
		return nil, fmt.Errorf("%s: %w: it must be a FeatureCollection of points", name, ErrNotGeoJSON)
	}
	var out []Point
	for i, f := range doc.Get("features").Array() {
		p, err := pointOf(f)
		if err != nil {
			return nil, fmt.Errorf("%s: feature %d: %w", name, i+1, err)
		}
		p.Feature = i + 1
		out = append(out, p)
	}
	return out, nil
}

func pointOf(f gjson.Result) (p Point, err error) {
	at := f.Get("geometry.coordinates").Array()
	if f.Get("geometry.type").String() != "Point" || len(at) < 2 || at[0].Type != gjson.Number || at[1].Type != gjson.Number {
		return p, fmt.Errorf("%w: its geometry is no point", ErrNotGeoJSON)
	}
	p = Point{Lon: number7(at[0].Num), Lat: number7(at[1].Num), Properties: map[string]string{}}
	props := f.Get("properties")
	m, twice := members(props)
	if twice != "" {
		return p, fmt.Errorf("%w: property %q stands twice", ErrNotGeoJSON, twice)
	}
	for k, v := range m {
		switch {
		case v.IsArray() || v.IsObject():
			return p, fmt.Errorf("%w: property %q is %s, must be text or a number", ErrNotGeoJSON, k, jsonKind(v))
		case v.Type == gjson.Number:
			p.Properties[k] = strconv.FormatFloat(v.Num, 'f', -1, 64)
		case v.Type != gjson.Null && v.String() != "":
			p.Properties[k] = scalarText(v)
		}
	}
	return p, nil
}

// number7 writes a coordinate to about a centimetre.
func number7(v float64) string { return strconv.FormatFloat(v, 'f', 7, 64) }
