package geofile_test

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
)

// read reads text under the name valley.geojson.
func read(t *testing.T, text string) ([]geofile.Record, error) {
	t.Helper()
	return geofile.Read(strings.NewReader(text), "some/where/valley.geojson", geofile.Options{})
}

// one reads text that must hold exactly one good route.
func one(t *testing.T, text string) *route.Route {
	t.Helper()
	recs, err := read(t, text)
	if err != nil || len(recs) != 1 || recs[0].Err != nil {
		t.Fatalf("want one route, got %d records, %v, %v\n%s", len(recs), err, recs, text)
	}
	checkRoute(t, recs[0].Route)
	return recs[0].Route
}

// checkRoute holds a route against what route.Route promises.
func checkRoute(t *testing.T, r *route.Route) {
	t.Helper()
	n := len(r.Line)
	if n < 2 || r.ID == "" || len(r.Pieces) == 0 || (r.Z != nil && len(r.Z) != n) {
		t.Fatalf("route %q: %d vertices, %d heights, %d pieces", r.ID, n, len(r.Z), len(r.Pieces))
	}
	for i, p := range r.Line[1:] {
		if p == r.Line[i] || math.Abs(p[0]-r.Line[i][0]) > 180 {
			t.Fatalf("route %q: vertices %d and %d are %v %v", r.ID, i, i+1, r.Line[i], p)
		}
	}
	at := 0
	for i, p := range r.Pieces {
		if p.First != at || p.Last <= p.First {
			t.Fatalf("route %q: piece %d from %d to %d, want from %d", r.ID, i, p.First, p.Last, at)
		}
		at = p.Last
	}
	if at != n-1 {
		t.Fatalf("route %q: pieces end at %d of %d", r.ID, at, n-1)
	}
}

func line(coords string) string {
	return `{"type":"Feature","properties":{"name":"t"},"geometry":{"type":"LineString","coordinates":` + coords + `}}`
}

func withProps(props string) string {
	return `{"type":"Feature","properties":` + props + `,"geometry":{"type":"LineString","coordinates":[[9.5,47.1],[9.51,47.1]]}}`
}

func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

// piece is a feature of a route from x to y thousandths of a degree east.
func piece(props string, x, y float64) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{%s},"geometry":{"type":"LineString","coordinates":[[%.6f,47.1],[%.6f,47.1]]}}`,
		props, 9.5+x/1000, 9.5+y/1000)
}

// The texts are part of what people rely on: place, reason, what to do.
func TestErrorTexts(t *testing.T) {
	for _, c := range []struct {
		text, want string
		is         error
	}{
		{``, `valley.geojson: the file is empty`, geofile.ErrNotJSON},
		{`  `, `valley.geojson: not JSON: nothing but white space`, geofile.ErrNotJSON},
		{`[1,2]`, `valley.geojson: the text is an array, not a GeoJSON object`, geofile.ErrNotGeoJSON},
		{`{"type":"Feature",}`, `valley.geojson: not JSON: unexpected '}' at line 1, byte 19 (JSON allows no comma before a closing bracket)`, geofile.ErrNotJSON},
		{"{\n// way\n}", `valley.geojson: not JSON: unexpected '/' at line 2, byte 3 (JSON has no comments)`, geofile.ErrNotJSON},
		{`{"type":"Fea`, `valley.geojson: not JSON: the text ends inside a value (is the file cut off?)`, geofile.ErrNotJSON},
		{line(`[[9.5,NaN],[9.6,47]]`), `valley.geojson: not JSON: unexpected 'N' at line 1, byte 97 (NaN and Infinity are not JSON)`, geofile.ErrNotJSON},
		{"{\"a\":\"Tr\xfcbbach\"}", `valley.geojson: not UTF-8 at line 1, byte 9 (save it as UTF-8; Latin-1?)`, geofile.ErrNotJSON},
		{"\xff\xfe{\x00", `valley.geojson: this is UTF-16 text, not GeoJSON text (save it as UTF-8)`, geofile.ErrNotJSON},
		{"\x1f\x8b\x08", `valley.geojson: this is gzip compressed data, not GeoJSON text (unpack it first)`, geofile.ErrNotJSON},
		{`<gpx>`, `valley.geojson: this is XML (GPX or KML?), not GeoJSON text (convert it to GeoJSON)`, geofile.ErrNotJSON},
		{`{"type":"Topology","objects":{}}`, `valley.geojson: this is TopoJSON, not GeoJSON (convert it to GeoJSON)`, geofile.ErrNotGeoJSON},
		{`{"type":"feature"}`, `valley.geojson: type "feature" is unknown (upper and lower case count: "Feature")`, geofile.ErrNotGeoJSON},
		{`{"type":"Feature","type":"Feature"}`, `valley.geojson: member "type" stands twice`, geofile.ErrNotGeoJSON},
		{`{"type":"FeatureCollection","features":{}}`, `valley.geojson: the FeatureCollection has no array "features"`, geofile.ErrNotGeoJSON},
		{collection(), `valley.geojson: no feature in the file (an empty file is not a passable way)`, geofile.ErrNotRoutes},
		{`{"type":"Point","coordinates":[9,47]}`, `valley.geojson: no line among 1 feature, only Point (a route is a LineString or a MultiLineString; points are not joined)`, geofile.ErrNotRoutes},
		{`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:2056"}},"features":[]}`,
			`valley.geojson: the coordinates are in "EPSG:2056" (reproject to WGS84 longitude/latitude)`, geofile.ErrNotWGS84},
		{`{"type":"FeatureCollection","crs":{"type":"link","properties":{"href":"http://x"}},"features":[]}`,
			`valley.geojson: the coordinate system is a link to "http://x", which is not followed (reproject to WGS84 longitude/latitude)`, geofile.ErrNotWGS84},
		{`{"type":"FeatureCollection","crs":null,"features":[]}`,
			`valley.geojson: the member "crs" is null, which says that the coordinate system is unknown (leave it out if the coordinates are WGS84 longitude/latitude)`, geofile.ErrNotWGS84},

		{line(`[[9,47],[12,95]]`), `valley.geojson: feature 1, position 2: latitude 95 is outside -90..90 (are longitude and latitude swapped?)`, geofile.ErrPosition},
		{line(`[[9,47],[190,47]]`), `valley.geojson: feature 1, position 2: longitude 190 is outside -180..180 (wrap longitudes to -180..180)`, geofile.ErrPosition},
		{line(`[[2756762.12,1214874.7],[2756763,1214875]]`), `valley.geojson: feature 1, position 1: 2756762.12, 1214874.7 is not longitude/latitude (metres of a projection? reproject to WGS84 longitude/latitude)`, geofile.ErrNotWGS84},
		{line(`[[9,47],[9]]`), `valley.geojson: feature 1, position 2: the position has 1 ordinate, longitude and latitude are needed`, geofile.ErrPosition},
		{line(`[[9,47],[9,null]]`), `valley.geojson: feature 1, position 2: ordinate 2 is null, not a number`, geofile.ErrPosition},
		{line(`[[9,47],["9",47]]`), `valley.geojson: feature 1, position 2: ordinate 1 is text, not a number`, geofile.ErrPosition},
		{line(`[[9,47],[9.1,47,null]]`), `valley.geojson: feature 1, position 2: ordinate 3 is null, not a number`, geofile.ErrPosition},
		{line(`[[9,47],[9.1,47,5,"t"]]`), `valley.geojson: feature 1, position 2: ordinate 4 is text, not a number`, geofile.ErrPosition},
		{line(`[[9,47],[9,1e400]]`), `valley.geojson: feature 1, position 2: ordinate 2 (1e400) is too large for a number`, geofile.ErrPosition},
		{line(`[9,47]`), `valley.geojson: feature 1, position 1: the position is a number, not an array`, geofile.ErrPosition},
		{line(`[[9,47]]`), `valley.geojson: feature 1: a line of 1 position (RFC 7946 asks for two or more)`, geofile.ErrLength},
		{line(`[]`), `valley.geojson: feature 1: a line of 0 positions (RFC 7946 asks for two or more)`, geofile.ErrLength},
		{line(`"x"`), `valley.geojson: feature 1: the member "coordinates" is text, not an array`, geofile.ErrNotGeoJSON},
		{line(`[[9,47],[9,47],[9,47]]`), `valley.geojson: feature 1: a line of length zero (all its positions are the same)`, geofile.ErrLength},
		{line(`[[9,47],[9.001,47],[9.002,47],[9.003,47],[47,9]]`), `valley.geojson: feature 1, position 5: a leap of 5539.4 km from the vertex before (are longitude and latitude swapped from there on?)`, geofile.ErrLeap},
		{line(`[[0,89],[180,89]]`), `valley.geojson: feature 1, position 2: a leap of 222.4 km from the vertex before (over the pole, or a fault of the coordinates?)`, geofile.ErrLeap},
		{line(`[[0,89],[0,89.95]]`), `valley.geojson: feature 1, position 2: the line runs over the pole (no road does; is it a fault of the coordinates?)`, geofile.ErrLeap},
		{withProps(`[]`), `valley.geojson: feature 1: the properties are an array, not an object`, geofile.ErrNotGeoJSON},
		{withProps(`{"maxweight":3,"maxweight":7}`), `valley.geojson: feature 1: property "maxweight" stands twice (which one is meant?)`, geofile.ErrNotGeoJSON},
		{withProps(`{"route":true}`), `valley.geojson: feature 1: the property "route" is true or false, neither text nor number`, geofile.ErrPieces},
		{collection(`null`), `valley.geojson: feature 1: the feature is null, not an object`, geofile.ErrNotGeoJSON},
		{`{"type":"Feature","bbox":[1,2,3],"properties":{},"geometry":null}`, `valley.geojson: feature 1: the member "bbox" is not 4 or 6 numbers (correct it or leave it out)`, geofile.ErrNotGeoJSON},
		{`{"type":"Feature","features":[],"properties":{},"geometry":null}`, `valley.geojson: feature 1: a Feature must not have a member "features" (RFC 7946 section 7.1)`, geofile.ErrNotGeoJSON},
		{`{"type":"Feature","id":{},"properties":{},"geometry":null}`, `valley.geojson: feature 1: the id is an object, neither text nor number`, geofile.ErrNotGeoJSON},
		{`{"type":"LineString","properties":{},"coordinates":[[9,47],[9.1,47]]}`, `valley.geojson: feature 1: a geometry must not have a member "properties" (RFC 7946 section 7.1)`, geofile.ErrNotGeoJSON},
		{`{"type":"MultiLineString","coordinates":[[[9,47],[9.1,47]],[[9.1,47],[9.1,97]]]}`,
			`valley.geojson: feature 1, part 2, position 2: latitude 97 is outside -90..90 (are longitude and latitude swapped?)`, geofile.ErrPosition},
		{`{"type":"MultiLineString","coordinates":[]}`, `valley.geojson: feature 1: a MultiLineString without parts`, geofile.ErrLength},
		{`{"type":"MultiLineString","coordinates":[[[9.5,47],[9.6,47]],[[9.4,47],[9.5,47]]]}`,
			`valley.geojson: feature 1: a gap of 15.2 km between part 1 of feature 1 and part 2 of feature 1 (they would join in this order: part 2 of feature 1, part 1 of feature 1)`, geofile.ErrGap},

		{collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A"`, 1, 2)),
			`valley.geojson: feature 2: a piece of route "A" without the property "seq" (number the pieces in the order of travel)`, geofile.ErrPieces},
		{collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A","seq":1.0`, 1, 2)),
			`valley.geojson: feature 2: seq 1.0 of route "A" is taken by feature 1 already (number the pieces in the order of travel)`, geofile.ErrPieces},
		{collection(piece(`"route":"A","seq":"first"`, 0, 1)), `valley.geojson: feature 1: the property "seq" (first) is not a number`, geofile.ErrPieces},
		{collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A","seq":2`, 3, 2)),
			`valley.geojson: feature 2: a gap of 151.4 m between feature 1 and feature 2 (draw the missing piece, or make them routes of their own)`, geofile.ErrGap},
		{collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A","seq":2`, 2, 1)),
			`valley.geojson: feature 2: a gap of 75.7 m between feature 1 and feature 2 (they would join in this order: feature 1, feature 2 reversed)`, geofile.ErrGap},
		{collection(piece(`"route":"A","seq":1`, 0, 1), strings.Replace(piece(`"route":"A","seq":2`, 1, 2), `"Feature"`, `"Featre"`, 1)),
			`valley.geojson: feature 2: type "Featre" does not belong here (expected "Feature")`, geofile.ErrNotGeoJSON},
	} {
		recs, err := read(t, c.text)
		if err == nil && len(recs) == 1 {
			err = recs[0].Err
		}
		var ge *geofile.Error
		if err == nil || err.Error() != c.want || !errors.Is(err, c.is) || !errors.As(err, &ge) {
			t.Errorf("%.120s\n got %v\nwant %s (%v)", c.text, err, c.want, c.is)
		}
	}
}

func TestNotes(t *testing.T) {
	fine := `[[9.5,47.1],[9.501,47.1],[9.502,47.1]]`
	for _, c := range []struct{ text, want string }{
		{line(fine), ""},
		{"\xef\xbb\xbf" + line(fine), "the file starts with a UTF-8 byte order mark, which was skipped"},
		{line(`[[9.5,47.1],[9.5,47.1],[9.501,47.1],[9.501,47.1]]`), "dropped 2 repeated positions, each at the place of the one before"},
		{line(`[[9.5,47.1,1],[9.5,47.1,2],[9.501,47.1,3]]`), "dropped 1 repeated position, each at the place of the one before (1 with another height)"},
		{line(`[[9.5,47.1,400],[9.501,47.1]]`), "mixed 2D and 3D: 1 of 2 positions have no height"},
		{line(`[[9.5,47.1,0],[9.501,47.1,0.0]]`), "all heights are 0: they look filled in, not measured"},
		{line(`[[9.5,47.1,400,7],[9.501,47.1,401,8]]`), "ordinates beyond the third were ignored at 2 positions"},
		{line(`[[9.5,47.1,400],[9.501,47.1,-9999]]`), "1 height at or below -9999 m taken as missing"},
		{line(`[[9.5,47.1,400],[9.501,47.1,12000]]`), "1 height outside -500..9000 m: are they metres?"},
		{line(`[[179.9,10],[-179.9,10.1]]`), "the line crosses the 180 degree meridian: its longitudes run on past it"},
		{line(`[[9.5,47.1],[9.5002,47.1],[9.5004,47.1],[9.5204,47.1]]`), "leap of 1.5 km between vertex 3 and 4: is this a recording spike?"},
		{line(`[[100,2],[101,3],[102,4]]`), "neighbouring vertices are up to 157.2 km apart: this is no line of a road"},
		{withProps(`{"maxweight":"10 T"}`), "property maxweight (10 T) cannot be read"},
		{withProps(`{"incline":"up"}`), ""},
		{withProps(`{"oneway":"reversible"}`), "property oneway (reversible) is not yes, no or -1: taken as no"},
		{withProps(`{"layer":"1;2"}`), "property layer (1;2) is not a small whole number: ignored"},
		{withProps(`{"surface":["gravel"]}`), "property surface is an array, not text: not read"},
		{withProps(`{"maxweight:conditional":"7.5 @ (wet)"}`), "property maxweight:conditional holds under conditions: not evaluated"},
		{`{"type":"Feature","geometry":{"type":"LineString","coordinates":` + fine + `}}`, `the feature has no member "properties"`},
		{`{"type":"LineString","crs":{"type":"name","properties":{"name":"EPSG:4326"}},"coordinates":` + fine + `}`,
			"the file carries the old member crs (EPSG:4326), read as longitude, latitude"},
		{`{"type":"MultiLineString","coordinates":[[[9.5,47.1],[9.501,47.1]],[[9.501001,47.1],[9.502,47.1]]]}`,
			"closed a gap of 0.08 m before part 2 of feature 1"},
	} {
		got := strings.Join(one(t, c.text).Notes, " | ")
		if got != c.want {
			t.Errorf("%s\n got %q\nwant %q", c.text, got, c.want)
		}
	}
}

func TestHeights(t *testing.T) {
	r := one(t, line(`[[9.5,47.1,400.25],[9.501,47.1],[9.502,47.1,-9999]]`))
	if r.Z[0] != 400.25 || !math.IsNaN(r.Z[1]) || !math.IsNaN(r.Z[2]) {
		t.Errorf("Z = %v", r.Z)
	}
	if r := one(t, line(`[[9.5,47.1],[9.501,47.1]]`)); r.Z != nil {
		t.Errorf("Z = %v of a 2D line", r.Z)
	}
	// The height of a repeated position is not lost.
	if r := one(t, line(`[[9.5,47.1],[9.5,47.1,7],[9.501,47.1,8]]`)); r.Z[0] != 7 {
		t.Errorf("Z = %v", r.Z)
	}
}

func TestPieces(t *testing.T) {
	r := one(t, collection(
		piece(`"route":"A","seq":2,"bridge":"yes","name":"High Street"`, 1, 2),
		piece(`"route":"A","seq":1,"name":"High Street"`, 0, 1),
		piece(`"route":"A","seq":10,"surface":"gravel","name":"High Street"`, 2, 3)))
	want := []route.Piece{{First: 0, Last: 1}, {First: 1, Last: 2}, {First: 2, Last: 3}}
	for i, p := range r.Pieces {
		if p.First != want[i].First || p.Last != want[i].Last {
			t.Errorf("piece %d: %d..%d", i, p.First, p.Last)
		}
	}
	if r.ID != "A" || r.Name != "High Street" || r.Pieces[1].Tags.Bridge != "yes" || r.Pieces[0].Tags.Mapped || !r.Pieces[1].Tags.Mapped ||
		r.Pieces[2].Tags.Mapped || r.Line[0][0] != 9.5 {
		t.Errorf("%+v", r)
	}
}

// The start of a snapped piece takes the place of the end before it: no
// vertex is left over that would look like a kink.
func TestSmallGapLeavesNoKink(t *testing.T) {
	r := one(t, collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A","seq":2`, 1.005, 2)))
	if len(r.Line) != 3 || r.Line[1][0] != 9.501 {
		t.Errorf("line %v", r.Line)
	}
}

func TestAntimeridian(t *testing.T) {
	for text, want := range map[string][]float64{
		`[[179.9,10],[-179.9,10.1],[-179.8,10.1]]`: {179.9, 180.1, 180.2},
		`[[-179.9,10],[179.9,10.1]]`:               {-179.9, -180.1},
		`[[179.9,10],[-179.95,10],[179.95,10]]`:    {179.9, 180.05, 179.95},
		`[[179.9,10],[180,10],[-180,10.1]]`:        {179.9, 180, 180},
	} {
		r := one(t, line(text))
		for i, p := range r.Line {
			if math.Abs(p[0]-want[i]) > 1e-9 {
				t.Errorf("%s: %v", text, r.Line)
			}
		}
	}
	// A line cut there, as RFC 7946 section 3.1.9 asks for, is one line.
	r := one(t, `{"type":"MultiLineString","coordinates":[[[179.9,10],[180,10.1]],[[-180,10.1],[-179.9,10.2]]]}`)
	if len(r.Line) != 3 || r.Line[2][0] != 180.1 {
		t.Errorf("%v", r.Line)
	}
}

func TestIDs(t *testing.T) {
	long := strings.Repeat("ä", 200)
	recs, err := read(t, collection(
		piece(`"name":"x"`, 0, 1), piece(`"name":"x"`, 0, 1), piece(`"name":"x#2"`, 0, 1), piece(``, 0, 1),
		piece(`"name":"`+long+`"`, 0, 1), piece(`"name":"\u001b[31mred\u202e"`, 0, 1),
		`{"type":"Feature","id":7,"properties":{"name":"x"},"geometry":{"type":"LineString","coordinates":[[9,47],[9.001,47]]}}`,
		piece(`"name":"x"`, 0, 1)))
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, r := range recs {
		ids = append(ids, r.Route.ID)
	}
	want := []string{"x", "x#2", "x#2#2", "valley.geojson#4", strings.Repeat("ä", 60), "\ufffd[31mred\ufffd", "7", "x#3"}
	if !slices.Equal(ids, want) {
		t.Errorf("got  %q\nwant %q", ids, want)
	}
}

// One bad feature does not hide the others.
func TestBadFeatureAmongGood(t *testing.T) {
	recs, err := read(t, collection(line(`[[9,47],[9.001,47]]`), line(`[[9,97],[9.001,47]]`),
		`{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[9,47]}}`, line(`[[9,47],[9.002,47]]`)))
	if err != nil || len(recs) != 4 || recs[0].Route == nil || recs[3].Route == nil {
		t.Fatalf("%v %v", recs, err)
	}
	if !errors.Is(recs[1].Err, geofile.ErrPosition) || !errors.Is(recs[2].Err, geofile.ErrNotRoutes) {
		t.Errorf("%v, %v", recs[1].Err, recs[2].Err)
	}
}

func TestTags(t *testing.T) {
	r := one(t, withProps(`{"highway":"track","surface":"gravel","tracktype":"grade2","smoothness":"bad","name":"Mill Lane",
		"bridge":"viaduct","tunnel":"no","ford":false,"layer":"1","oneway":"-1",
		"maxweight":16,"maxweightrating:hgv":"26","maxaxleload":"8","maxbogieweight":"12 t","maxheight":"4.1","maxheight:physical":"3.95",
		"maxwidth":"none","maxlength":"default","width":4.5,"depth":"0.3","bridge:span":"12;15.5;12","bridge:structure":"Arch","bridge:material":"stone","bridge:spans":3,"incline":"-8%",
		"mlc":"60","mlc:wheeled":"50","bridge:load_class1":70,"maxspeed":30,"x":{"y":[1]}}`))
	got := r.Pieces[0].Tags
	want := route.Tags{Mapped: true, Highway: "track", Surface: "gravel", Tracktype: "grade2", Smoothness: "bad", Name: "Mill Lane",
		Bridge: "viaduct", Layer: 1, Oneway: "-1", BridgeStructure: "arch", BridgeMaterial: "stone", BridgeSpans: 3,
		MaxMassKg:       route.Limit{Value: 16000, State: known, Raw: "16"},
		MaxRatedMassKg:  route.Limit{Value: 26000, State: known, Raw: "26"},
		MaxAxleKg:       route.Limit{Value: 8000, State: known, Raw: "8"},
		MaxBogieKg:      route.Limit{Value: 12000, State: known, Raw: "12 t"},
		MaxHeightM:      route.Limit{Value: 3.95, State: known, Raw: "3.95"},
		MaxWidthM:       route.Limit{State: none, Raw: "none"},
		MaxLengthM:      route.Limit{State: absent, Raw: "default"},
		WidthM:          route.Limit{Value: 4.5, State: known, Raw: "4.5"},
		DepthM:          route.Limit{Value: 0.3, State: known, Raw: "0.3"},
		SpanM:           route.Limit{Value: 15.5, State: known, Raw: "12;15.5;12"},
		InclineRatio:    route.Limit{Value: -0.08, State: known, Raw: "-8%"},
		ClassWheeled:    route.Limit{Value: 50, State: known, Raw: "50"},
		ClassWheeledOne: route.Limit{Value: 70, State: known, Raw: "70"},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("\n got %+v\nwant %+v", got, want)
	}
	if len(r.Notes) != 0 {
		t.Errorf("notes %q", r.Notes)
	}
}

// Whatever cannot be read of a limit stays a limit.
func TestLimitsOfSeveralKeys(t *testing.T) {
	for _, c := range []struct {
		props string
		want  route.Limit
	}{
		{`{}`, route.Limit{}},
		{`{"maxheight":null}`, route.Limit{}},
		{`{"maxheight:signed":"no"}`, route.Limit{Raw: "unsigned"}},
		{`{"maxheight":"none","maxheight:physical":"4.4"}`, route.Limit{Value: 4.4, State: known, Raw: "4.4"}},
		{`{"maxheight":"4","maxheight:physical":"low"}`, route.Limit{State: unreadable, Raw: "low; 4"}},
		{`{"maxheight":"4","maxheight:forward":"5"}`, route.Limit{Value: 4, State: known, Raw: "4"}},
		{`{"maxheight":"4","maxheight:conditional":"3 @ (wet)"}`, route.Limit{State: unreadable, Raw: "3 @ (wet); 4"}},
		{`{"maxheight":true}`, route.Limit{State: unreadable, Raw: "true"}},
		{`{"maxheight":{"a":1}}`, route.Limit{State: unreadable, Raw: `{"a":1}`}},
		{`{"maxheight":-4}`, route.Limit{State: unreadable, Raw: "-4"}},
		{`{"maxheight":1e12}`, route.Limit{State: unreadable, Raw: "1e12"}},
	} {
		if got := one(t, withProps(c.props)).Pieces[0].Tags.MaxHeightM; got != c.want {
			t.Errorf("%s: %+v, want %+v", c.props, got, c.want)
		}
	}
}

func TestImpliedOneway(t *testing.T) {
	for props, want := range map[string]string{
		`{}`: "", `{"oneway":true}`: "yes", `{"oneway":"yes"}`: "yes", `{"oneway":"no","junction":"roundabout"}`: "",
		`{"junction":"roundabout"}`: "yes", `{"highway":"motorway"}`: "yes", `{"oneway":-1}`: "-1",
	} {
		if got := one(t, withProps(props)).Pieces[0].Tags.Oneway; got != want {
			t.Errorf("%s: %q, want %q", props, got, want)
		}
	}
}
