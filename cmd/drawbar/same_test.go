package main

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// sample are the flags of the invented valley.
func sample(more ...string) []string {
	return append([]string{"--dem", repo + "/samples/valley.tif", "--transporter", repo + "/samples/transporter-112t.yaml",
		"--helper", repo + "/samples/helper-40t.yaml"}, more...)
}

// TestWorkers wants the same bytes whatever the number of workers, and from
// one run to the next.
func TestWorkers(t *testing.T) {
	for _, format := range []string{"json", "csv", "text"} {
		var want outcome
		for i, n := range []string{"1", "8", "3", "1"} {
			r := inside(append([]string{"check", repo + "/samples/routes.geojson", "--both", "--format", format, "--workers", n}, sample()...)...)
			if r.code != exitDetour {
				t.Fatalf("exit status %d: %s", r.code, r.err)
			}
			if i == 0 {
				want = r
			}
			if r.out != want.out || r.err != want.err {
				t.Errorf("%s: another output with %s workers", format, n)
			}
		}
	}
}

// TestOrder shuffles the features of a file: each route keeps its record.
func TestOrder(t *testing.T) {
	data, err := os.ReadFile(repo + "/samples/routes.geojson")
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]json.RawMessage
	var features []json.RawMessage
	unmarshal(t, data, &file)
	unmarshal(t, file["features"], &features)
	want := records(t, repo+"/samples/routes.geojson")
	r := rand.New(rand.NewPCG(1, 2))
	for range 3 {
		r.Shuffle(len(features), func(i, j int) { features[i], features[j] = features[j], features[i] })
		if file["features"], err = json.Marshal(features); err != nil {
			t.Fatal(err)
		}
		data, err := json.Marshal(file)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "routes.geojson")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		got := records(t, path)
		if len(got) != len(want) {
			t.Fatalf("%d routes, want %d", len(got), len(want))
		}
		for id, rec := range want {
			if got[id] != rec {
				t.Errorf("%s: another record when the file is in another order", id)
			}
		}
	}
}

func unmarshal(t *testing.T, data []byte, to any) {
	t.Helper()
	if err := json.Unmarshal(data, to); err != nil {
		t.Fatal(err)
	}
}

// records are the routes of a report by id, as text.
func records(t *testing.T, file string) map[string]string {
	t.Helper()
	r := inside(append([]string{"check", file, "--format", "json"}, sample()...)...)
	if !slices.Contains([]int{exitOK, exitSecondTow, exitDetour, exitUnknown}, r.code) {
		t.Fatalf("exit status %d: %s", r.code, r.err)
	}
	var report struct{ Routes []json.RawMessage }
	unmarshal(t, []byte(r.out), &report)
	out := map[string]string{}
	for _, rec := range report.Routes {
		var is struct{ ID string }
		unmarshal(t, rec, &is)
		out[is.ID] = string(rec)
	}
	return out
}
