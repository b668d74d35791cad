package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestScripts runs testdata/script/*.txtar with the program as the command
// drawbar and $SAMPLES the folder of samples. Besides the usual commands:
//
//	status N drawbar ARG...   must exit with N
//	geojson N FILE            a FeatureCollection of N or more LineStrings
func TestScripts(t *testing.T) {
	samples, err := filepath.Abs(repo + "/samples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:   "testdata/script",
		Setup: func(e *testscript.Env) error { e.Setenv("SAMPLES", samples); return nil },
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status":  scriptStatus,
			"geojson": func(ts *testscript.TestScript, _ bool, a []string) { scriptGeoJSON(t, ts, a) },
		},
	})
}

func scriptStatus(ts *testscript.TestScript, _ bool, a []string) {
	if len(a) < 2 || a[1] != "drawbar" {
		ts.Fatalf("usage: status N drawbar ARG...")
	}
	got := 0
	if err := ts.Exec(a[1], a[2:]...); err != nil {
		e, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = e.ExitCode()
	}
	if strconv.Itoa(got) != a[0] {
		ts.Fatalf("exit status %d, want %s", got, a[0])
	}
}

func scriptGeoJSON(t *testing.T, ts *testscript.TestScript, a []string) {
	if len(a) != 2 {
		ts.Fatalf("usage: geojson N FILE")
	}
	if err := geoJSON(t, a[0], ts.ReadFile(a[1])); err != nil {
		ts.Fatalf("%v", err)
	}
}

// geoJSON checks what RFC 7946 says of a FeatureCollection of lines.
func geoJSON(t *testing.T, least, text string) error {
	n, err := strconv.Atoi(least)
	if err != nil {
		t.Fatal(err)
	}
	var c struct {
		Type     string
		Features []struct {
			Type     string
			Geometry struct {
				Type        string
				Coordinates [][]float64
			}
			Properties map[string]any
		}
	}
	if err := json.Unmarshal([]byte(text), &c); err != nil {
		return err
	}
	if c.Type != "FeatureCollection" || len(c.Features) < n {
		return fmt.Errorf("%s of %d features", c.Type, len(c.Features))
	}
	for i, f := range c.Features {
		if f.Type != "Feature" || f.Geometry.Type != "LineString" || len(f.Geometry.Coordinates) < 2 || f.Properties["verdict"] == nil {
			return fmt.Errorf("feature %d: %+v", i, f)
		}
		for _, p := range f.Geometry.Coordinates {
			if len(p) < 2 || p[0] < -180 || p[0] > 180 || p[1] < -90 || p[1] > 90 {
				return fmt.Errorf("feature %d: position %v", i, p)
			}
		}
	}
	return nil
}
