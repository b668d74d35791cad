package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"drawbar/route"

	"pgregory.net/rapid"
)

// TestUnique wants different ids whatever the ids of the files, the first of
// each kept.
func TestUnique(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ids := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "a (2)", "a (3)", "a (2) (2)", "b"}), 0, 12).Draw(t, "ids")
		list := []work{{err: errors.New("unread")}}
		for _, id := range ids {
			list = append(list, work{route: &route.Route{ID: id}})
		}
		first := slices.Clone(list[1:])
		unique(list)
		seen := map[string]bool{}
		for i, w := range list[1:] {
			if seen[w.route.ID] {
				t.Fatalf("%v: %q twice", ids, w.route.ID)
			}
			if seen[w.route.ID] = true; !strings.HasPrefix(w.route.ID, ids[i]) || first[i].route.ID != ids[i] {
				t.Fatalf("%v: %q became %q, the route of the reader %q", ids, ids[i], w.route.ID, first[i].route.ID)
			}
		}
	})
}

func TestParsePlace(t *testing.T) {
	// A foot is 0.3048 m, a mile 1609.344 m, both exact (source: international
	// yard and pound agreement of 1959).
	for text, want := range map[string]float64{"4.2km": 4200, "350m": 350, "350 m": 350, "0km": 0, "1mi": 1609.344, "1000ft": 304.8} {
		if got, err := parseLength("--explain", text); err != nil || got != want {
			t.Errorf("%s: %g, %v, want %g", text, got, err, want)
		}
	}
	for _, text := range []string{"4", "km", "-1km", "NaNm", "Infm", "1e9km", "4.2 miles", "4,2km", "4.2KM"} {
		if got, err := parseLength("--explain", text); err == nil {
			t.Errorf("%s: taken as %g m", text, got)
		}
	}
}

// TestEdits holds the distance to what any distance obeys.
func TestEdits(t *testing.T) {
	word := rapid.StringMatching(`[a-d]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		ab := edits(a, b)
		if (ab == 0) != (a == b) || ab != edits(b, a) || edits(a, c) > ab+edits(b, c) || ab > max(len(a), len(b)) {
			t.Fatalf("edits(%q, %q) = %d", a, b, ab)
		}
	})
	// derived by hand: k to s, e to i, g put in
	if d := edits("kitten", "sitting"); d != 3 {
		t.Errorf("kitten to sitting: %d edits, want 3", d)
	}
}

// TestInputOf identifies files by their bytes, and large ones by their ends.
func TestInputOf(t *testing.T) {
	small := filepath.Join(t.TempDir(), "small")
	if err := os.WriteFile(small, []byte("abc"), 0o600); err != nil {
		t.Fatal(err)
	}
	// source: FIPS 180-2, appendix B.1 (memory; sha256sum gives the same)
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	if in := inputOf("route", small); in.SHA256 != abc || in.Bytes != 3 || in.Name != "small" || in.Print != "" {
		t.Errorf("%+v", in)
	}
	large := filepath.Join(t.TempDir(), "large")
	if err := os.WriteFile(large, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	const size = hashLimit + 1
	if err := os.Truncate(large, size); err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(append([]byte("67108865\n"), bytes.Repeat([]byte{0}, 2<<20)...))
	if in := inputOf("dem", large); in.SHA256 != "" || in.Print != "size+first+last-MiB:"+hex.EncodeToString(sum[:]) {
		t.Errorf("%+v", in)
	}
	for _, none := range []string{"-", t.TempDir(), "none"} {
		if in := inputOf("route", none); in.SHA256 != "" || in.Bytes != 0 {
			t.Errorf("%s: %+v", none, in)
		}
	}
}

// TestFullDisk wants an error where the output cannot be written.
func TestFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("this system has no /dev/full")
	}
	defer full.Close()
	for _, args := range [][]string{
		{"version"}, {"formats"}, {"transporter", repo + "/samples/helper-40t.yaml"},
		{"profile", repo + "/samples/routes.geojson", "--route", "lakeside", "--dem", repo + "/samples/valley.tif"},
		append([]string{"check", repo + "/samples/routes.geojson"}, sample()...),
		append([]string{"check", repo + "/samples/routes.geojson", "--format", "json"}, sample()...),
		append([]string{"check", repo + "/samples/routes.geojson", "--format", "csv"}, sample()...),
		append([]string{"check", repo + "/samples/routes.geojson", "--explain", "1km"}, sample()...),
	} {
		var errs strings.Builder
		if code := run(args, strings.NewReader(""), full, &errs); code != exitError || !strings.Contains(errs.String(), "no space left") {
			t.Errorf("%v: exit status %d, %s", args, code, errs.String())
		}
	}
}
