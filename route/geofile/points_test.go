package geofile_test

import (
	"strings"
	"testing"

	"drawbar/route/geofile"
)

// Properties come as text, numbers without exponent, empty ones not at all.
func TestReadPoints(t *testing.T) {
	got, err := geofile.ReadPoints(strings.NewReader(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"answer":4.55,"by":"R. Hale","x":null,"y":""},"geometry":{"type":"Point","coordinates":[10.5,47,3]}}]}`), "a.geojson")
	if err != nil || len(got) != 1 || got[0].Lon != "10.5000000" || got[0].Lat != "47.0000000" || len(got[0].Properties) != 2 || got[0].Properties["answer"] != "4.55" {
		t.Errorf("%+v, %v", got, err)
	}
	for text, want := range map[string]string{
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}}]}`: "feature 1: ",
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"a":1,"a":2},"geometry":{"type":"Point","coordinates":[1,2]}}]}`:   "twice",
		`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"a":[1]},"geometry":{"type":"Point","coordinates":[1,2]}}]}`:       "an array",
		`{"type":"Point","coordinates":[1,2]}`: "FeatureCollection",
		`{"type":`:                             "a.geojson",
	} {
		if _, err := geofile.ReadPoints(strings.NewReader(text), "a.geojson"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

// FuzzReadPoints: no file makes the reader panic, and every point has its place.
func FuzzReadPoints(f *testing.F) {
	f.Add(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"answer":4.55},"geometry":{"type":"Point","coordinates":[10.5,47]}}]}`)
	f.Add(`{"type":"FeatureCollection","features":[null,1,{}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		points, err := geofile.ReadPoints(strings.NewReader(text), "f.geojson")
		for _, p := range points {
			if err == nil && (p.Lon == "" || p.Lat == "") {
				t.Fatalf("%+v", p)
			}
		}
	})
}
