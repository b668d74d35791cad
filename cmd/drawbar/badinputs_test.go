package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"
)

// Limits of one run on a bad input.
const (
	mostTime  = 10 * time.Second
	mostBytes = 1 << 30
	// largeFile is the size from which a file gets a process of its own, so
	// that its memory can be measured.
	largeFile = 100 << 10
)

// notOurs are files for which the manifest asks what this command cannot meet
// or need not: by name, with the reason. An exception that holds no more fails.
var notOurs = map[string]string{
	"geojson/hint_excessive_precision_truncated.geojson": "a legal line, but at 100 E 2 N, off the raster of this test; route/geofile tests that it is read",
	"route/weight_huge.geojson":                          "gross_t is a figure of the transporter, not a tag of the way; left alone like any other property",
}

// saidInReport are files whose warning is a finding instead of a note.
var saidInReport = map[string]string{
	"route/out_and_back.geojson": `bend of 180\s+deg`,
	"route/right_angle.geojson":  `bend of 90\s+deg`,
}

// badInput is a line of the manifest.
type badInput struct{ path, verdict string }

func badInputs(t *testing.T) (list []badInput) {
	t.Helper()
	for line := range strings.Lines(fileText(t, dataDir+"/badinputs/MANIFEST.tsv")) {
		f := strings.Split(line, "\t")
		switch group, _, _ := strings.Cut(f[0], "/"); group {
		case "json", "geojson", "route":
			list = append(list, badInput{f[0], f[3]})
		}
	}
	return list
}

// TestBadInputs feeds every bad route file to check: no panic, not over 10 s
// or 1 GB, and what the manifest wants of the whole command.
func TestBadInputs(t *testing.T) {
	needData(t)
	counts, used := map[string]int{}, map[string]bool{}
	var slowest, largest string
	var longest time.Duration
	var most int64
	for _, b := range badInputs(t) {
		r := judgeBad(t, b)
		if r.took > longest {
			longest, slowest = r.took, b.path
		}
		if r.maxRSS > most {
			most, largest = r.maxRSS, b.path
		}
		sound(t, b, r)
		why := met(b, r)
		reason, excused := notOurs[b.path]
		used[b.path] = true
		switch {
		case why == "" && excused:
			t.Errorf("%s: an exception that is none (any more)", b.path)
		case why != "" && !excused:
			t.Errorf("%s: %s: %s\nexit status %d\n%s", b.path, b.verdict, why, r.code, clip(r.err))
		case excused:
			t.Logf("%s: %s excused: %s", b.path, b.verdict, reason)
			counts[b.verdict+" excused"]++
			continue
		}
		counts[fmt.Sprintf("%s exit %d", b.verdict, r.code)]++
	}
	for name := range notOurs {
		if !used[name] {
			t.Errorf("%s: an exception without a file", name)
		}
	}
	t.Logf("%d files: %v", len(used), counts)
	t.Logf("slowest %s %.2f s, largest of those in a process of their own %s %d MB", slowest, longest.Seconds(), largest, most>>20)
}

// judgeBad runs check on a file: in this process where it is small, else in
// one of its own.
func judgeBad(t *testing.T, b badInput) outcome {
	t.Helper()
	path := filepath.Join(dataDir, "badinputs", b.path)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"check", path, "--dem", tile, "--transporter", repo + "/samples/transporter-112t.yaml"}
	if info.Size() > largeFile || b.verdict == "LIMIT" {
		return child(t, ".", nil, args...)
	}
	done := make(chan outcome, 1)
	go func() { done <- inside(args...) }()
	select {
	case r := <-done:
		return r
	case <-time.After(2 * mostTime):
		t.Fatalf("%s: still running after %v", b.path, 2*mostTime)
		return outcome{}
	}
}

// sound is what holds for every run, whatever the file.
func sound(t *testing.T, b badInput, r outcome) {
	t.Helper()
	if r.took > mostTime && !raceDetector || // which makes all ten times slower
		r.maxRSS > mostBytes {
		t.Errorf("%s: %v, %d MB", b.path, r.took, r.maxRSS>>20)
	}
	switch r.code {
	case exitOK, exitSecondTow, exitDetour, exitUnknown:
	case exitError:
		if !strings.Contains(r.err, "drawbar: ") {
			t.Errorf("%s: exit status 1 and no message", b.path)
		}
	default:
		t.Errorf("%s: exit status %d\n%s", b.path, r.code, clip(r.err))
	}
	for _, text := range []string{r.out, r.err} {
		if strings.Contains(text, "panic:") || r.code != exitError && match(`\b(NaN|[+-]?Inf)\b`, text) == nil {
			t.Errorf("%s: prints panic, NaN or Inf:\n%s", b.path, clip(text))
		}
		if bad := rawText(text); bad != "" {
			t.Errorf("%s: prints %s", b.path, bad)
		}
	}
}

// rawText finds what must not reach a terminal: bytes that are no UTF-8,
// control characters, characters that turn the direction of the text.
func rawText(text string) string {
	if !utf8.ValidString(text) {
		return "bytes that are no UTF-8"
	}
	for _, r := range text {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			return fmt.Sprintf("%U", r)
		}
	}
	return ""
}

// met says why a run is not what the manifest wants, "" when it is.
func met(b badInput, r outcome) string {
	switch b.verdict {
	case "REJECT":
		if r.code != exitError {
			return "taken without an error"
		}
	case "ACCEPT":
		if r.code == exitError {
			return "refused"
		}
	case "WARN":
		said := saidInReport[b.path]
		switch {
		case r.code == exitError:
		case said != "" && match(said, r.out) != nil:
			return "taken, and the report does not say " + said
		case said == "" && !noted(r.err):
			return "taken without a note"
		}
	case "EITHER", "LIMIT":
	default:
		return "no such verdict"
	}
	return ""
}

// noted reports whether there is a note on a route: every run here has the
// same ones on the raster.
func noted(text string) bool {
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "drawbar: note: ") && !strings.HasPrefix(line, "drawbar: note: "+filepath.Base(tile)) {
			return true
		}
	}
	return false
}
