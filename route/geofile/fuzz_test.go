package geofile_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"drawbar/route/geofile"
)

// FuzzRead: whatever comes, no panic; each route keeps the promises of
// route.Route and is the same line when written and read again.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		line(`[[9.5,47.1],[9.501,47.1,3],[9.502,47.2]]`), line(`[[179.9,10],[-179.9,10.1]]`), collection(), withProps(`{"maxweight":"7.5","route":"A"}`),
		collection(piece(`"route":"A","seq":1`, 0, 1), piece(`"route":"A","seq":2`, 1, 2)),
		"\x1e" + piece(``, 0, 1) + "\n\x1e" + piece(``, 0, 1),
		piece(``, 0, 1) + "\n" + piece(``, 0, 1) + "\nx",
		`{"type":"MultiLineString","coordinates":[[[9.5,47],[9.6,47]],[[9.4,47],[9.5,47]]]}`, "\xef\xbb\xbf{}", `{"type":"Topology"}`,
	} {
		f.Add([]byte(s), true)
		f.Add([]byte(s), false)
	}
	f.Fuzz(func(t *testing.T, data []byte, sequence bool) {
		name := "f.geojson"
		if sequence {
			name = "f.geojsonl"
		}
		recs, err := geofile.Read(bytes.NewReader(data), name, geofile.Options{})
		if err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
		for _, r := range recs {
			if (r.Route == nil) == (r.Err == nil) {
				t.Fatalf("record %+v", r)
			}
			if r.Route != nil {
				checkRoute(t, r.Route)
				checkRoundTrip(t, r.Route.Line)
			}
		}
	})
}

// A line across anywhere is written and read as itself.
func TestRoundTripProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		at := orb.Point{rapid.Float64Range(-180, 180).Draw(rt, "lon"), rapid.Float64Range(-80, 80).Draw(rt, "lat")}
		if rapid.Bool().Draw(rt, "near the meridian") {
			at[0] = 180
		}
		l := orb.LineString{at}
		for range rapid.IntRange(1, 30).Draw(rt, "n") {
			at[0] += rapid.Float64Range(-0.01, 0.01).Draw(rt, "dx")
			at[1] += rapid.Float64Range(-0.01, 0.01).Draw(rt, "dy")
			l = append(l, at)
		}
		checkRoundTrip(rt, l)
	})
}

// tester is what testing.T and rapid.T share.
type tester interface {
	Helper()
	Fatalf(string, ...any)
}

// checkRoundTrip holds what is read back against the line: every vertex is
// there within half of the seventh decimal, in order; others only where the
// line was cut at the meridian. Vertices that the seventh decimal cannot tell
// apart are one.
func checkRoundTrip(t tester, l orb.LineString) {
	t.Helper()
	var b bytes.Buffer
	if err := geofile.WriteFeatures(&b, []geofile.Feature{{Line: l}}); err != nil {
		t.Fatalf("%v: %v", l, err)
	}
	recs, err := geofile.Read(&b, "again.geojson", geofile.Options{})
	if err != nil || len(recs) != 1 {
		t.Fatalf("%v: %v", l, err)
	}
	if recs[0].Err != nil {
		if tooShort(l) || strings.Contains(recs[0].Err.Error(), "pole") || strings.Contains(recs[0].Err.Error(), "a leap") && nearLeap(l) {
			return
		}
		t.Fatalf("%v: %v", l, recs[0].Err)
	}
	again := recs[0].Route.Line
	k := -1
	for i, p := range l {
		if k >= 0 && near(again[k], p) {
			continue
		}
		for k++; k < len(again) && !near(again[k], p); k++ {
			if math.Abs(math.Abs(math.Mod(again[k][0], 360))-180) > 1e-9 {
				t.Fatalf("vertex %d: a vertex %v that was not there\n%v\n%v", i, again[k], l, again)
			}
		}
		if k == len(again) {
			t.Fatalf("vertex %d %v is lost\n%v\n%v", i, p, l, again)
		}
	}
}

// halfDecimal is half of the seventh decimal, and what floats near 180 add.
const halfDecimal = 5e-8 + 1e-12

// near compares a written position with its original, modulo whole turns.
func near(a, b orb.Point) bool {
	return math.Abs(math.Remainder(a[0]-b[0], 360)) <= halfDecimal && math.Abs(a[1]-b[1]) <= halfDecimal
}

// tooShort reports whether rounding may leave nothing of the line.
func tooShort(l orb.LineString) bool {
	for _, p := range l {
		if math.Abs(p[0]-l[0][0]) > 2*halfDecimal || math.Abs(p[1]-l[0][1]) > 2*halfDecimal {
			return false
		}
	}
	return true
}

// nearLeap reports whether a step is so near to a threshold of the reader that
// the seventh decimal decides.
func nearLeap(l orb.LineString) bool {
	for i, p := range l[1:] {
		if d := math.Abs(p[0] - l[i][0]); math.Abs(d-90) < 1e-6 || d > 0.5 {
			return true
		}
	}
	return false
}
