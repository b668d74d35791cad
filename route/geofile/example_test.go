package geofile_test

import (
	"fmt"
	"os"
	"strings"

	"github.com/paulmach/orb"

	"drawbar/route/geofile"
)

func ExampleRead() {
	const text = `{"type":"FeatureCollection","features":[
	{"type":"Feature","properties":{"route":"quarry","seq":2,"bridge":"yes","maxweight":"16"},
	 "geometry":{"type":"LineString","coordinates":[[9.501,47.1],[9.502,47.1]]}},
	{"type":"Feature","properties":{"route":"quarry","seq":1,"surface":"asphalt"},
	 "geometry":{"type":"LineString","coordinates":[[9.5,47.1],[9.501,47.1]]}},
	{"type":"Feature","properties":{"name":"broken"},
	 "geometry":{"type":"LineString","coordinates":[[9.5,47.1],[12,95]]}}]}`
	recs, err := geofile.Read(strings.NewReader(text), "valley.geojson", geofile.Options{})
	if err != nil {
		fmt.Println(err)
	}
	for _, r := range recs {
		if r.Err != nil {
			fmt.Println(r.Err)
			continue
		}
		for _, p := range r.Route.Pieces {
			fmt.Printf("%s: vertex %d to %d, bridge %q, limit %g kg\n", r.Route.ID, p.First, p.Last, p.Tags.Bridge, p.Tags.MaxMassKg.Value)
		}
	}
	// Output:
	// quarry: vertex 0 to 1, bridge "", limit 0 kg
	// quarry: vertex 1 to 2, bridge "yes", limit 16000 kg
	// valley.geojson: feature 3, position 2: latitude 95 is outside -90..90 (are longitude and latitude swapped?)
}

func ExampleParseLengthM() {
	for _, s := range []string{"4.1", `13'6"`, "350 cm", "below_default"} {
		l := geofile.ParseLengthM(s)
		fmt.Printf("%-13s %d %.4f m\n", s, l.State, l.Value)
	}
	// Output:
	// 4.1           2 4.1000 m
	// 13'6"         2 4.1148 m
	// 350 cm        2 3.5000 m
	// below_default 3 0.0000 m
}

func ExampleWriteFeatures() {
	at := orb.Point{9.5209, 47.141}
	err := geofile.WriteFeatures(os.Stdout, []geofile.Feature{{
		Point:      &at,
		Properties: []geofile.Property{{Key: "kind", Value: "bridge"}, {Key: "at_m", Value: 420.5}},
	}})
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"type":"FeatureCollection","written_by":"drawbar","features":[
	// {"type":"Feature","properties":{"kind":"bridge","at_m":420.5},"geometry":{"type":"Point","coordinates":[9.5209,47.141]}}
	// ]}
}
