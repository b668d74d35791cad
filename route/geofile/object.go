package geofile

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/tidwall/geojson"
	"github.com/tidwall/gjson"

	"drawbar/route"
)

// piece is one feature as read: a route of its own, or a piece of one.
type piece struct {
	feature int
	kind    string // "LineString", or what else it was
	route   string // the "route" property, "" if none
	seq     float64
	seqText string // the "seq" property as written, "" if none
	id      string // feature id
	name    string
	tags    route.Tags
	parts   [][]vertex
	mixed   bool     // 2D and 3D positions
	notes   []string // about this feature
	// fileNotes are about the file or collection.
	fileNotes []string
	err       *Error
	unread    bool // not even its properties could be read
}

// strict is how the second reading of each feature is done: every position in
// range, no extension of the format.
var strict = &geojson.ParseOptions{RequireValid: true, DisableCircleType: true}

// members splits a JSON object; twice names a key that stands twice.
func members(v gjson.Result) (m map[string]gjson.Result, twice string) {
	m = map[string]gjson.Result{}
	v.ForEach(func(key, val gjson.Result) bool {
		k := key.String()
		if _, ok := m[k]; ok && twice == "" {
			twice = k
		}
		m[k] = val
		return true
	})
	return m, twice
}

// forbidden members by the kind of object: RFC 7946 section 7.1, from memory.
var forbidden = map[string][]string{
	"Feature":           {"coordinates", "geometries", "features"},
	"FeatureCollection": {"coordinates", "geometries", "geometry", "properties"},
	"geometry":          {"geometry", "properties", "features"},
}

// object reads one GeoJSON object, whatever it is, into features. The text
// must have passed checkText. An error is for the object as a whole.
func (r *reader) object(text string) ([]*piece, *Error) {
	v := gjson.Parse(text)
	if !v.IsObject() {
		return nil, r.fault(ErrNotGeoJSON, "the text is "+jsonKind(v)+", not a GeoJSON object", "")
	}
	m, twice := members(v)
	if twice != "" {
		return nil, r.fault(ErrNotGeoJSON, fmt.Sprintf("member %q stands twice", shortText(twice)), "")
	}
	typ := m["type"]
	if typ.Type != gjson.String || !slices.Contains(geoJSONTypes, typ.String()) {
		ferr := r.typeFault(typ, "FeatureCollection")
		ferr.Feature = 0
		return nil, ferr
	}
	if typ.String() != "FeatureCollection" {
		return []*piece{r.single(v, m)}, nil
	}
	if ferr := r.common(m, "FeatureCollection"); ferr != nil {
		ferr.Feature = 0
		return nil, ferr
	}
	var about piece // the collection
	if ferr := r.crs(&about, m); ferr != nil {
		ferr.Feature = 0
		return nil, ferr
	}
	if !m["features"].IsArray() {
		return nil, r.fault(ErrNotGeoJSON, `the FeatureCollection has no array "features"`, "")
	}
	var pieces []*piece
	m["features"].ForEach(func(_, f gjson.Result) bool {
		fm, twice := map[string]gjson.Result(nil), ""
		if f.IsObject() {
			fm, twice = members(f)
		}
		p := r.member(f, fm, twice)
		p.fileNotes = append(p.fileNotes, about.fileNotes...)
		pieces = append(pieces, p)
		return true
	})
	return pieces, nil
}

// single reads a document that is one Feature or one geometry.
func (r *reader) single(v gjson.Result, m map[string]gjson.Result) *piece {
	if m["type"].String() == "Feature" {
		return r.member(v, m, "")
	}
	r.feature++
	p := &piece{feature: r.feature}
	if p.err = r.geometry(p, m); p.err == nil {
		p.err = r.secondLock(p, v)
	}
	return p
}

// member reads one feature.
func (r *reader) member(v gjson.Result, m map[string]gjson.Result, twice string) *piece {
	r.feature++
	p := &piece{feature: r.feature}
	// Whatever is wrong with it, a feature stays with its route, so that the
	// other pieces do not pass for the whole.
	if rt := v.Get("properties.route"); rt.Type == gjson.String || rt.Type == gjson.Number {
		p.route = scalarText(rt)
	}
	switch {
	case !v.IsObject():
		p.err = r.at(ErrNotGeoJSON, "the feature is "+jsonKind(v)+", not an object", "")
	case twice != "":
		p.err = r.at(ErrNotGeoJSON, fmt.Sprintf("member %q stands twice", shortText(twice)), "")
	case m["type"].String() != "Feature" || m["type"].Type != gjson.String:
		p.err = r.typeFault(m["type"], "Feature")
	default:
		p.err = r.featureMembers(p, m)
	}
	if p.err == nil {
		p.err = r.secondLock(p, v)
	}
	if r.other != nil && p.err != nil && errors.Is(p.err, ErrNotRoutes) && m["geometry"].IsObject() {
		r.other(p.feature, v)
	}
	return p
}

// secondLock is an independent strict parse of what the reader took: it is
// laxer about positions, but may know a fault that the reader does not. Lines
// with 2D before 3D positions it refuses, though RFC 7946 does not forbid
// them: those rest on the reader's own checks, and are noted.
func (r *reader) secondLock(p *piece, v gjson.Result) *Error {
	if p.mixed {
		return nil
	}
	if _, err := geojson.Parse(v.Raw, strict); err != nil {
		return r.at(ErrNotGeoJSON, "no valid GeoJSON: "+err.Error(), "")
	}
	return nil
}

// featureMembers reads properties first, so that a feature with a bad line
// still belongs to its route.
func (r *reader) featureMembers(p *piece, m map[string]gjson.Result) *Error {
	if err := r.properties(p, m); err != nil {
		return err
	}
	if err := r.common(m, "Feature"); err != nil {
		return err
	}
	if err := r.crs(p, m); err != nil {
		return err
	}
	if id := m["id"]; id.Exists() {
		if id.Type != gjson.String && id.Type != gjson.Number {
			return r.at(ErrNotGeoJSON, "the id is "+jsonKind(id)+", neither text nor number", "")
		}
		p.id = scalarText(id)
	}
	g := m["geometry"]
	switch {
	case !g.Exists():
		return r.at(ErrNotGeoJSON, `the feature has no member "geometry"`, "")
	case g.Type == gjson.Null:
		p.kind = "features without geometry"
		return r.at(ErrNotRoutes, "the feature has no geometry", "")
	case !g.IsObject():
		return r.at(ErrNotGeoJSON, "the geometry is "+jsonKind(g)+", not an object", "")
	}
	gm, twice := members(g)
	if twice != "" {
		return r.at(ErrNotGeoJSON, fmt.Sprintf("member %q of the geometry stands twice", shortText(twice)), "")
	}
	return r.geometry(p, gm)
}

// common checks what every object has: no member of another kind, a bbox
// (which is not used) of the right form.
func (r *reader) common(m map[string]gjson.Result, kind string) *Error {
	for _, k := range forbidden[kind] {
		if m[k].Exists() {
			return r.at(ErrNotGeoJSON, fmt.Sprintf("a %s must not have a member %q", kind, k), "RFC 7946 section 7.1")
		}
	}
	box := m["bbox"]
	if !box.Exists() {
		return nil
	}
	n, numbers := 0, box.IsArray()
	box.ForEach(func(_, v gjson.Result) bool {
		n++
		numbers = numbers && v.Type == gjson.Number
		return true
	})
	if !numbers || (n != 4 && n != 6) {
		return r.at(ErrNotGeoJSON, `the member "bbox" is not 4 or 6 numbers`, "correct it or leave it out")
	}
	return nil
}

// geometry reads a LineString or a MultiLineString and refuses all else by
// name.
func (r *reader) geometry(p *piece, m map[string]gjson.Result) *Error {
	typ := m["type"]
	if typ.Type != gjson.String {
		return r.typeFault(typ, "LineString")
	}
	p.kind = shortText(typ.String())
	switch typ.String() {
	case "LineString", "MultiLineString":
	case "Point", "MultiPoint", "Polygon", "MultiPolygon":
		return r.at(ErrNotRoutes, "a "+p.kind+" is not a route", "draw the way as a LineString")
	case "GeometryCollection":
		return r.at(ErrNotRoutes, "a GeometryCollection is not a route", "write each line as a feature of its own")
	default:
		return r.typeFault(typ, "LineString")
	}
	if ferr := r.common(m, "geometry"); ferr != nil {
		return ferr
	}
	if ferr := r.crs(p, m); ferr != nil {
		return ferr
	}
	return r.lines(p, m["coordinates"], typ.String())
}

// geoJSONTypes are the nine types of RFC 7946 section 1.4.
var geoJSONTypes = []string{"Feature", "FeatureCollection", "Point", "MultiPoint", "LineString", "MultiLineString",
	"Polygon", "MultiPolygon", "GeometryCollection"}

// typeFault words a type that is missing, misspelt or of another format.
func (r *reader) typeFault(typ gjson.Result, want string) *Error {
	switch s := typ.String(); {
	case !typ.Exists():
		return r.at(ErrNotGeoJSON, `no member "type"`, "expected "+strconv.Quote(want))
	case typ.Type != gjson.String:
		return r.at(ErrNotGeoJSON, `the member "type" is `+jsonKind(typ)+", not text", "expected "+strconv.Quote(want))
	case s == "Topology":
		return r.at(ErrNotGeoJSON, "this is TopoJSON, not GeoJSON", "convert it to GeoJSON")
	default:
		for _, k := range geoJSONTypes {
			if strings.EqualFold(k, s) && k != s {
				return r.at(ErrNotGeoJSON, fmt.Sprintf("type %q is unknown", shortText(s)),
					"upper and lower case count: "+strconv.Quote(k))
			}
		}
		return r.at(ErrNotGeoJSON, fmt.Sprintf("type %q does not belong here", shortText(s)), "expected "+strconv.Quote(want))
	}
}

func (p *piece) addNote(n string) {
	if n != "" {
		p.notes = append(p.notes, n)
	}
}

// jsonKind names what a JSON value is.
func jsonKind(v gjson.Result) string {
	switch {
	case !v.Exists():
		return "missing"
	case v.IsArray():
		return "an array"
	case v.IsObject():
		return "an object"
	case v.Type == gjson.Null:
		return "null"
	case v.Type == gjson.String:
		return "text"
	case v.Type == gjson.Number:
		return "a number"
	default:
		return "true or false"
	}
}

// scalarText is a JSON string or number as text, clean.
func scalarText(v gjson.Result) string {
	if v.Type == gjson.String {
		return cleanText(v.String())
	}
	return v.Raw
}
