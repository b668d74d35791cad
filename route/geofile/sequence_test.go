package geofile_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"drawbar/route/geofile"
)

// outcome is a record in a word: the route's ID, or "!" and the feature.
func outcome(recs []geofile.Record) string {
	var out []string
	for _, r := range recs {
		var ge *geofile.Error
		if errors.As(r.Err, &ge) {
			out = append(out, fmt.Sprintf("!%d", ge.Feature))
		} else {
			out = append(out, r.Route.ID)
		}
	}
	return strings.Join(out, " ")
}

func TestSequences(t *testing.T) {
	a, b, c := piece(`"name":"a"`, 0, 1), piece(`"name":"b"`, 0, 1), piece(`"name":"c"`, 0, 1)
	broken := strings.Replace(b, "[", "[[", 1)
	r1, r2, r3 := piece(`"route":"R","seq":1`, 0, 1), piece(`"route":"R","seq":2`, 1, 2), piece(`"route":"R","seq":3`, 2, 3)
	for _, s := range []struct{ what, name, text, want string }{
		{"one a line", "x.geojsonl", a + "\n" + b + "\n" + c + "\n", "a b c"},
		{"blank lines, CRLF, no end", "x.ndjson", "\r\n\n" + a + "\r\n\r\n" + b, "a b"},
		{"record separators", "x.geojson", "\x1e" + a + "\n\x1e" + b + "\n", "a b"},
		{"record over lines", "x.geojsonseq", "\x1e" + strings.ReplaceAll(a, ",", ",\n") + "\n\x1e" + b + "\n", "a b"},
		{"found by its lines", "x.geojson", a + "\n" + b + "\n", "a b"},
		{"byte order mark", "x.geojsons", "\xef\xbb\xbf" + a + "\n" + b, "a b"},
		{"a bad record", "x.geojsonl", a + "\n" + broken + "\n" + c, "a !2 c"},
		{"cut off", "x.geojsonl", a + "\n" + b[:40], "a !2"},
		{"collection in it", "x.geojsonl", collection(a, b) + "\n" + c, "a b c"},
		{"pieces together", "x.geojsonl", r1 + "\n" + r2 + "\n" + a + "\n", "R a"},
		{"pieces out of order", "x.geojsonl", r2 + "\n" + r1 + "\n", "R"},
		{"pieces apart", "x.geojsonl", r1 + "\n" + a + "\n" + r2 + "\n", "R a !3"},
		{"pieces around a bad record", "x.geojsonl", r1 + "\n" + r2 + "\n" + broken + "\n" + a, "!1 !3 a"},
		{"pieces after a bad record", "x.geojsonl", broken + "\n" + r2 + "\n" + r3 + "\n" + a, "!1 !2 a"},
		{"bad piece", "x.geojsonl", r1 + "\n" + strings.Replace(r2, "47.1", "97.1", 1) + "\n" + a, "!2 a"},
		{"not lines", "x.geojsonl", a + "\n" + `{"type":"Point","coordinates":[1,2]}`, "a !2"},
	} {
		recs, err := geofile.Read(iotest.OneByteReader(strings.NewReader(s.text)), s.name, geofile.Options{})
		if got := outcome(recs); err != nil || got != s.want {
			t.Errorf("%s: %q, %v, want %q", s.what, got, err, s.want)
		}
	}
}

// An endless sequence is handed over record by record.
func TestEachStreams(t *testing.T) {
	text := piece(`"name":"a"`, 0, 1) + "\n"
	pr, pw := io.Pipe()
	go func() {
		for {
			if _, err := io.WriteString(pw, text); err != nil {
				return
			}
		}
	}()
	stop, n := errors.New("enough"), 0
	err := geofile.Each(pr, "x.geojsonl", geofile.Options{}, func(geofile.Record) error {
		if n++; n == 1000 {
			return stop
		}
		return nil
	})
	pr.Close()
	if !errors.Is(err, stop) || n != 1000 {
		t.Errorf("%d records, %v", n, err)
	}
}

func TestLimits(t *testing.T) {
	a := piece(`"name":"a"`, 0, 1)
	o := geofile.Options{MaxBytes: int64(len(a))}
	if recs, err := geofile.Read(strings.NewReader(a), "x.geojson", o); err != nil || len(recs) != 1 {
		t.Errorf("at the limit: %v", err)
	}
	if _, err := geofile.Read(strings.NewReader(a+" "), "x.geojson", o); !errors.Is(err, geofile.ErrTooLarge) {
		t.Errorf("document: %v", err)
	}
	recs, err := geofile.Read(strings.NewReader(a+"\n"+a+"   \n"), "x.geojsonl", o)
	if !errors.Is(err, geofile.ErrTooLarge) || len(recs) != 0 {
		t.Errorf("record: %d, %v", len(recs), err)
	}
	for _, open := range []string{"[", `{"a":`} {
		deep := strings.Repeat(open, 1_000_000)
		if _, err := geofile.Read(strings.NewReader(deep), "x.geojson", geofile.Options{}); !errors.Is(err, geofile.ErrTooLarge) {
			t.Errorf("depth: %v", err)
		}
	}
}

func TestReadFaults(t *testing.T) {
	broken := errors.New("the disk is gone")
	text := piece(`"name":"a"`, 0, 1) + "\n" + piece(`"name":"b"`, 0, 1) + "\n"
	r := io.MultiReader(strings.NewReader(text), iotest.ErrReader(broken))
	recs, err := geofile.Read(r, "x.geojsonl", geofile.Options{})
	if !errors.Is(err, broken) || outcome(recs) != "a" {
		t.Errorf("%q, %v", outcome(recs), err)
	}
	if _, err := geofile.Read(iotest.ErrReader(broken), "x.geojson", geofile.Options{}); !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
	_, err = geofile.ReadFile("no/such/file.geojson", geofile.Options{})
	if err == nil || err.Error() != "file.geojson: cannot be opened: no such file or directory" {
		t.Errorf("%v", err)
	}
}
