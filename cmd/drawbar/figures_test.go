package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// TestFigures prints the figures of whole runs that the documents quote. It
// gates nothing: a machine at other work is slower. Only with DRAWBAR_FIGURES.
func TestFigures(t *testing.T) {
	if os.Getenv("DRAWBAR_FIGURES") == "" {
		t.Skip("figures are measured with DRAWBAR_FIGURES=1, as make bench does")
	}
	needData(t)
	bin := filepath.Join(t.TempDir(), "drawbar")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	train := []string{"--transporter", repo + "/samples/transporter-112t.yaml", "--dem", tile}
	valley := dataDir + "/roads/li_ruggell_vaduz.geojson"
	many := dataDir + "/network/li_300.geojsonseq"
	rows := []string{fmt.Sprintf("%-52s %8s %8s", "median of 3 runs", "seconds", "MB")}
	add := func(name string, in string, c ...string) {
		s, mb := measure(t, in, c)
		rows = append(rows, fmt.Sprintf("%-52s %8.3f %8.0f", name, s, mb))
	}
	add("drawbar version", "", bin, "version")
	add("check, 12.4 km on a raster of 2.9 MB", "", slices.Concat([]string{bin, "check", valley}, train)...)
	add("check --both, the same", "", slices.Concat([]string{bin, "check", valley, "--both"}, train)...)
	add("profile, the same", "", bin, "profile", valley, "--dem", tile)
	add("profile --raw, the same", "", bin, "profile", valley, "--dem", tile, "--raw")
	add("check, 300 routes (3363 km)", "", slices.Concat([]string{bin, "check", many, "--format", "csv"}, train)...)
	add("check --workers 1, the same", "", slices.Concat([]string{bin, "check", many, "--format", "csv", "--workers", "1"}, train)...)

	r := inside("profile", valley, "--dem", tile, "--raw")
	if r.code != exitOK {
		t.Fatal(r.err)
	}
	var points strings.Builder
	lon, lat := column(t, r.out, "lon"), column(t, r.out, "lat")
	for i := range lon {
		fmt.Fprintf(&points, "%.7f %.7f\n", lon[i], lat[i])
	}
	if oracle, err := exec.LookPath("gdallocationinfo"); err == nil {
		add(fmt.Sprintf("gdallocationinfo, its %d points, nearest cell", len(lon)), points.String(), oracle, "-valonly", "-wgs84", tile)
	} else {
		rows = append(rows, "gdallocationinfo is not installed")
	}
	t.Log("\n" + strings.Join(rows, "\n"))
}

// measure runs a command three times: median of the seconds, most memory in MB
// (of 2^20 bytes). Runs that end with 1 or a signal fail the test.
func measure(t *testing.T, in string, args []string) (seconds, mb float64) {
	t.Helper()
	var took []time.Duration
	for range 3 {
		c := exec.CommandContext(t.Context(), args[0], args[1:]...)
		c.Stdin = strings.NewReader(in)
		r := finished(t, c)
		if !slices.Contains([]int{exitOK, exitSecondTow, exitDetour, exitUnknown}, r.code) || r.out == "" {
			t.Fatalf("%v: exit status %d: %s", args, r.code, clip(r.err))
		}
		took = append(took, r.took)
		mb = max(mb, float64(r.maxRSS)/(1<<20))
	}
	slices.Sort(took)
	return took[len(took)/2].Seconds(), mb
}
