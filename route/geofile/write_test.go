package geofile_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"drawbar/route/geofile"
)

func write(t *testing.T, fs ...geofile.Feature) string {
	t.Helper()
	var b bytes.Buffer
	if err := geofile.WriteFeatures(&b, fs); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestWriteFeatures(t *testing.T) {
	p := orb.Point{-0.00000001, 47}
	got := write(t,
		geofile.Feature{Line: orb.LineString{{9.5, 47.1}, {9.123456789, 47.10000001}},
			Properties: []geofile.Property{{"route", "A<b>\"\n"}, {"n", 3}, {"big", int64(1) << 60}, {"x", 0.1}, {"y", 100000000.0},
				{"tiny", 1e-12}, {"zero", math.Copysign(0, -1)}, {"ok", true}, {"none", nil}, {"words", []string{"a", "b"}},
				{"figures", []float64{1, 2.5}}, {"sub", []geofile.Property{{"k", "v"}}}}},
		geofile.Feature{Point: &p})
	want := `{"type":"FeatureCollection","written_by":"drawbar","features":[
{"type":"Feature","properties":{"route":"A<b>\"\n","n":3,"big":1152921504606846976,"x":0.1,"y":100000000,"tiny":1e-12,"zero":0,"ok":true,"none":null,"words":["a","b"],"figures":[1,2.5],"sub":{"k":"v"}},"geometry":{"type":"LineString","coordinates":[[9.5,47.1],[9.1234568,47.1]]}},
{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[0,47]}}
]}
`
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := write(t); got != "{\"type\":\"FeatureCollection\",\"written_by\":\"drawbar\",\"features\":[\n]}\n" {
		t.Errorf("nothing: %q", got)
	}
}

func TestWriteCutsAtTheMeridian(t *testing.T) {
	for _, c := range []struct {
		line orb.LineString
		want string
	}{
		{orb.LineString{{179, 10}, {181, 12}}, `"MultiLineString","coordinates":[[[179,10],[180,11]],[[-180,11],[-179,12]]]`},
		{orb.LineString{{-179, 10}, {-181, 12}}, `"MultiLineString","coordinates":[[[-179,10],[-180,11]],[[180,11],[179,12]]]`},
		{orb.LineString{{179, 10}, {180, 11}, {181, 12}}, `"MultiLineString","coordinates":[[[179,10],[180,11]],[[-180,11],[-179,12]]]`},
		{orb.LineString{{179, 10}, {180, 11}, {179, 12}}, `"LineString","coordinates":[[179,10],[180,11],[179,12]]`},
		{orb.LineString{{180, 10}, {181, 10}}, `"LineString","coordinates":[[-180,10],[-179,10]]`},
		{orb.LineString{{-180, 10}, {-179, 10}}, `"LineString","coordinates":[[-180,10],[-179,10]]`},
		{orb.LineString{{-180, 10}, {-181, 10}}, `"LineString","coordinates":[[180,10],[179,10]]`},
		{orb.LineString{{369.5, 10}, {369.6, 10}}, `"LineString","coordinates":[[9.5,10],[9.6,10]]`},
		{orb.LineString{{179, 10}, {181, 10}, {179, 10}}, `"MultiLineString","coordinates":[[[179,10],[180,10]],[[-180,10],[-179,10],[-180,10]],[[180,10],[179,10]]]`},
	} {
		got := write(t, geofile.Feature{Line: c.line})
		want := "{\"type\":\"FeatureCollection\",\"written_by\":\"drawbar\",\"features\":[\n{\"type\":\"Feature\",\"properties\":{},\"geometry\":{\"type\":" + c.want + "}}\n]}\n"
		if got != want {
			t.Errorf("%v\n got %s\nwant %s", c.line, got, want)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	p := orb.Point{1, 2}
	l := orb.LineString{{1, 2}, {3, 4}}
	prop := func(v any) []geofile.Property { return []geofile.Property{{"k", v}} }
	for what, f := range map[string]geofile.Feature{
		"nothing":      {},
		"both":         {Line: l, Point: &p},
		"one vertex":   {Line: l[:1]},
		"NaN":          {Line: orb.LineString{{1, 2}, {math.NaN(), 2}}},
		"infinity":     {Line: orb.LineString{{1, 2}, {3, math.Inf(1)}}},
		"latitude":     {Line: orb.LineString{{1, 2}, {3, 91}}},
		"far away":     {Line: orb.LineString{{1, 2}, {1e300, 2}}},
		"NaN property": {Line: l, Properties: prop(math.NaN())},
		"inf in list":  {Line: l, Properties: prop([]float64{math.Inf(-1)})},
		"type":         {Line: l, Properties: prop(map[string]int{})},
		"twice":        {Line: l, Properties: append(prop(1), prop(2)...)},
	} {
		if err := geofile.WriteFeatures(new(bytes.Buffer), []geofile.Feature{f}); err == nil {
			t.Errorf("%s: no error", what)
		}
	}
}
