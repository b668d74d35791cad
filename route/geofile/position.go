package geofile

import (
	"fmt"
	"math"
	"strconv"

	"github.com/tidwall/gjson"
)

// vertex is a position as the file has it.
type vertex struct {
	lon, lat float64 // degrees
	z        float64 // metres as the file says, NaN if none
	pos      int32   // 1-based in its line or part
	part     int32   // 1-based part of a MultiLineString, 0 in a LineString
}

// Bounds of the third ordinate, metres. Below voidM a height is a raster's
// mark for "no data" written out (-9999, -32768): a custom of the trade, from
// memory. Outside lowM..highM no road lies (Dead Sea -430 m, highest passes
// below 6000 m; memory), so the unit or the source is in doubt.
const (
	voidM = -9999
	lowM  = -500
	highM = 9000
)

// census counts what is odd about the positions of one feature.
type census struct {
	flat, withZ, voids, zeros, extra, odd int
}

// lines reads the coordinates of a LineString or MultiLineString.
func (r *reader) lines(p *piece, c gjson.Result, kind string) *Error {
	if !c.IsArray() {
		return r.at(ErrNotGeoJSON, `the member "coordinates" is `+jsonKind(c)+", not an array", "")
	}
	var n census
	if kind == "LineString" {
		vs, ferr := r.positions(c, 0, &n)
		if ferr != nil {
			return ferr
		}
		p.parts = [][]vertex{vs}
		p.countNotes(n)
		return nil
	}
	var ferr *Error
	c.ForEach(func(_, part gjson.Result) bool {
		no := len(p.parts) + 1
		if !part.IsArray() {
			ferr = r.at(ErrNotGeoJSON, "the part is "+jsonKind(part)+", not an array of positions", "")
			ferr.Part = no
			return false
		}
		var vs []vertex
		vs, ferr = r.positions(part, no, &n)
		p.parts = append(p.parts, vs)
		return ferr == nil
	})
	if ferr == nil && len(p.parts) == 0 {
		return r.at(ErrLength, "a MultiLineString without parts", "")
	}
	p.countNotes(n)
	return ferr
}

// positions reads one array of positions; part is 0 for a LineString.
func (r *reader) positions(c gjson.Result, part int, n *census) ([]vertex, *Error) {
	// A position takes 20 bytes or so: a guess that spares growing.
	vs := make([]vertex, 0, len(c.Raw)/24+2)
	var reason, hint string
	kind := ErrPosition
	c.ForEach(func(_, pos gjson.Result) bool {
		v := vertex{z: math.NaN(), pos: int32(len(vs) + 1), part: int32(part)}
		if reason = v.read(pos, n); reason == "" {
			reason, hint, kind = v.outOfRange()
		}
		vs = append(vs, v)
		return reason == ""
	})
	ferr := r.at(kind, reason, hint)
	ferr.Part = part
	switch {
	case reason != "":
		ferr.Position = len(vs)
		return nil, ferr
	case len(vs) < 2:
		ferr.Err, ferr.Hint = ErrLength, "RFC 7946 asks for two or more"
		ferr.Reason = fmt.Sprintf("a line of %s", count(len(vs), "position"))
		return nil, ferr
	}
	return vs, nil
}

// read fills v from a JSON array of two or more numbers; the answer is the
// fault, "" if there is none.
func (v *vertex) read(pos gjson.Result, n *census) string {
	if !pos.IsArray() {
		return "the position is " + jsonKind(pos) + ", not an array"
	}
	k, fault := 0, ""
	pos.ForEach(func(_, o gjson.Result) bool {
		k++
		switch {
		case o.Type != gjson.Number:
			fault = fmt.Sprintf("ordinate %d is %s, not a number", k, jsonKind(o))
			return false
		case math.IsInf(o.Num, 0) || math.IsNaN(o.Num):
			fault = fmt.Sprintf("ordinate %d (%s) is too large for a number", k, shortText(o.Raw))
			return false
		}
		switch k {
		case 1:
			v.lon = o.Num
		case 2:
			v.lat = o.Num
		case 3:
			v.z = o.Num
		}
		return true
	})
	switch {
	case fault != "":
		return fault
	case k < 2:
		return fmt.Sprintf("the position has %s, longitude and latitude are needed", count(k, "ordinate"))
	case k > 3:
		n.extra++
	}
	n.height(v)
	return ""
}

// height counts and cleans the third ordinate.
func (n *census) height(v *vertex) {
	switch z := v.z; {
	case math.IsNaN(z):
		n.flat++
		return
	case z <= voidM:
		v.z = math.NaN()
		n.voids++
	case z == 0:
		n.zeros++
	case z < lowM || z > highM:
		n.odd++
	}
	n.withZ++
}

// outOfRange holds a position against the ranges of WGS84 degrees.
func (v *vertex) outOfRange() (reason, hint string, kind error) {
	lon, lat := math.Abs(v.lon), math.Abs(v.lat)
	switch {
	case lon <= 180 && lat <= 90:
		return "", "", ErrPosition
	case lon > 540 || lat > 540:
		return fmt.Sprintf("%s, %s is not longitude/latitude", degrees(v.lon), degrees(v.lat)),
			"metres of a projection? reproject to WGS84 longitude/latitude", ErrNotWGS84
	case lat > 90 && lon <= 90:
		return fmt.Sprintf("latitude %s is outside -90..90", degrees(v.lat)),
			"are longitude and latitude swapped?", ErrPosition
	case lat > 90:
		return fmt.Sprintf("latitude %s is outside -90..90", degrees(v.lat)), "", ErrPosition
	default:
		return fmt.Sprintf("longitude %s is outside -180..180", degrees(v.lon)),
			"wrap longitudes to -180..180", ErrPosition
	}
}

func (p *piece) countNotes(n census) {
	all := n.flat + n.withZ
	// A height that stands for "no data" was a third ordinate all the same.
	p.mixed = n.flat > 0 && n.flat < all
	if p.mixed {
		p.addNote(fmt.Sprintf("mixed 2D and 3D: %d of %d positions have no height", n.flat, all))
	}
	if n.withZ > 0 && n.zeros == n.withZ {
		p.addNote("all heights are 0: they look filled in, not measured")
	}
	if n.voids > 0 {
		p.addNote(fmt.Sprintf("%s at or below %d m taken as missing", count(n.voids, "height"), voidM))
	}
	if n.odd > 0 {
		p.addNote(fmt.Sprintf("%s outside %d..%d m: are they metres?", count(n.odd, "height"), lowM, highM))
	}
	if n.extra > 0 {
		p.addNote(fmt.Sprintf("ordinates beyond the third were ignored at %s", count(n.extra, "position")))
	}
}

func degrees(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// count words a number of things: "1 position", "3 positions".
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return strconv.Itoa(n) + " " + thing + "s"
}
