package osm

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/ways"
)

const data = "../../../../shared/data"

func needData(t testing.TB) {
	t.Helper()
	if _, err := os.Stat(data); err != nil {
		t.Skipf("no folder of real data beside the repository: %v", err)
	}
}

// TestBadInputs: every file of the group does what its manifest asks.
func TestBadInputs(t *testing.T) {
	needData(t)
	list, err := os.ReadFile(data + "/badinputs/MANIFEST.tsv")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(list)) {
		f := strings.Split(line, "\t")
		if !strings.HasPrefix(f[0], "osm/") {
			continue
		}
		seen++
		x, err := Read(filepath.Join(data, "badinputs", f[0]), nil)
		notes := 0
		if err == nil {
			notes = len(x.Notes)
			if n := ways.NewNetwork(x.Ways).Pieces(); n > 1 {
				notes++ // the command says so
			}
		}
		switch {
		case f[3] == "REJECT" && err == nil,
			f[3] == "WARN" && (err != nil || notes == 0),
			f[3] == "ACCEPT" && (err != nil || notes > 0):
			t.Errorf("%s: %s, got error %v and notes %v", f[0], f[3], err, x)
		}
		if err != nil && !strings.HasPrefix(err.Error(), filepath.Base(f[0])+": ") {
			t.Errorf("%s: the error does not name the file: %v", f[0], err)
		}
		t.Logf("%s: %s: %v", f[0], f[3], err)
		if x != nil {
			for _, n := range x.Notes {
				t.Log("   ", n)
			}
		}
	}
	if seen != 10 {
		t.Errorf("%d files of the group, want 10", seen)
	}
}

func TestXML(t *testing.T) {
	const file = `<?xml version="1.0"?><osm version="0.6">
<node id="1" lat="40" lon="-27"/><node id="2" lat="40.001" lon="-27"><tag k="barrier" v="lift_gate"/></node><node id="3" lat="40.002" lon="-27"/>
<way id="7"><nd ref="1"/><nd ref="2"/><nd ref="3"/><tag k="highway" v="track"/><tag k="maxweight" v="12"/></way>
<way id="8"><nd ref="1"/><nd ref="3"/><tag k="building" v="yes"/></way></osm>`
	x, err := Read(write(t, "a.osm", []byte(file)), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(x.Ways) != 1 || x.Ways[0].Tags.MaxMassKg.Value != 12000 || len(x.Ways[0].Points) != 1 || x.Ways[0].Points[0].Vertex != 1 {
		t.Fatalf("got %+v", x.Ways)
	}
	if x, err = Read(write(t, "a.osm", []byte(file)), func(_, lat float64) bool { return lat > 40.0015 }); err != nil || len(x.Ways[0].Line) != 3 {
		t.Errorf("a way near is not whole: %+v, %v", x, err)
	}
	if x, err = Read(write(t, "a.osm", []byte(file)), func(_, lat float64) bool { return lat > 41 }); err != nil || len(x.Ways) != 0 {
		t.Errorf("a way far off is kept: %+v, %v", x, err)
	}
}

func write(t testing.TB, name string, b []byte) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return p
}

// Files that must be refused, with the place.
func TestRefused(t *testing.T) {
	head := blob("OSMHeader", nil, 0)
	bomb := make([]byte, maxBlob+10)
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	_, _ = w.Write(bomb)
	_ = w.Close()
	for name, b := range map[string][]byte{
		"empty.osm":          nil,
		"cut.pbf":            head[:len(head)-1],
		"no header.pbf":      blob("OSMData", nil, 0),
		"bomb.pbf":           append(bytes.Clone(head), blob("OSMData", field(nil, 3, z.Bytes()), 1)...),
		"huge blob.pbf":      {0, 0, 0, 4, 0x18, 0xff, 0xff, 0x7f},
		"huge header.pbf":    {0xff, 0xff, 0xff, 0xff, 0},
		"no index.pbf":       append(bytes.Clone(head), blob("OSMData", field(nil, 1, field(nil, 2, field(field(field(field(nil, 1, []byte{2}, 2), 8, []byte{2}), 9, []byte{2}), 10, []byte{9, 9, 0}))), 1)...),
		"short lats.pbf":     append(bytes.Clone(head), blob("OSMData", field(nil, 1, field(nil, 2, field(nil, 2, field(field(field(nil, 1, []byte{2, 2}), 8, []byte{2}), 9, []byte{2, 2})))), 1)...),
		"unknown need.pbf":   blob("OSMHeader", field(nil, 1, field(nil, 4, []byte("Nonsense"))), 1),
		"huge id.osm":        []byte(`<osm><node id="99999999999999999999" lat="1" lon="1"/></osm>`),
		"outside.osm":        []byte(`<osm><node id="1" lat="91" lon="1"/></osm>`),
		"not a number.osm":   []byte(`<osm><node id="1" lat="NaN" lon="1"/></osm>`),
		"other.osm":          []byte(`<gpx></gpx>`),
		"deep.osm":           []byte("<osm>" + strings.Repeat("<a>", 1000)),
		"long token.osm":     []byte(`<osm><node id="` + strings.Repeat("1", 2*maxToken)),
		"crossed.osm":        []byte(`<osm><node id="1" lat="1" lon="1"></way></osm>`),
		"entities.osm":       []byte(`<!DOCTYPE a [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><osm>&b;</osm>`),
		"compressed.osm.pbf": {0x1f, 0x8b, 8, 0},
	} {
		_, err := Read(write(t, name, b), nil)
		if err == nil || !strings.HasPrefix(err.Error(), name+": ") {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Log(err)
	}
	if _, err := Read(filepath.Join(t.TempDir(), "none.osm"), nil); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a file that is not there: %v", err)
	}
}

// field appends a field with a length to a message.
func field(b []byte, n int, data []byte, _ ...int) []byte {
	b = binary.AppendUvarint(b, uint64(n)<<3|2)
	b = binary.AppendUvarint(b, uint64(len(data)))
	return append(b, data...)
}

// blob frames a blob; one without content is raw and empty.
func blob(kind string, body []byte, _ int) []byte {
	if body == nil {
		body = field(nil, 1, nil)
	}
	h := field(nil, 1, []byte(kind))
	h = binary.AppendUvarint(append(h, 0x18), uint64(len(body)))
	b := binary.BigEndian.AppendUint32(nil, uint32(len(h)))
	return append(append(b, h...), body...)
}

// FuzzPBF: no block ends the program.
func FuzzPBF(f *testing.F) {
	f.Add(field(nil, 2, field(nil, 2, field(field(field(nil, 1, []byte{2}), 8, []byte{2}), 9, []byte{2}))))
	f.Add(field(field(nil, 1, field(nil, 1, []byte("highway"))), 2, field(nil, 3, field(field(field(nil, 2, []byte{0}), 3, []byte{0}), 8, []byte{2, 2}))))
	f.Fuzz(func(t *testing.T, b []byte) {
		_ = block(b, visitor{
			node: func(_ int64, _, _ float64, tags func() map[string]string) error { tags(); return nil },
			way:  func(int64, []int64, map[string]string) error { return nil },
		})
	})
}

// The whole country is read, and its network is that of the edges made from the
// same file by other software: 87 bridge edges, 3 tunnel edges.
func TestCountry(t *testing.T) {
	needData(t)
	x, err := Read(data+"/network/liechtenstein-2013-08-03.osm.pbf", nil)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[ways.Kind]int{}
	bridges, points := 0, 0
	for _, w := range x.Ways {
		kinds[w.Kind]++
		points += len(w.Points)
		if w.Kind == ways.Road && w.Tags.Bridge != "" {
			bridges++
		}
	}
	t.Log(len(x.Ways), kinds, bridges, points, x.Notes)
	if kinds[ways.Road] < 1000 || kinds[ways.Water] == 0 || kinds[ways.Rail] == 0 || points == 0 || bridges < 60 {
		t.Errorf("%v ways, %d bridges, %d points", kinds, bridges, points)
	}
}

// FuzzXML: no text ends the program.
func FuzzXML(f *testing.F) {
	f.Add([]byte(`<osm><node id="1" lat="1" lon="1"><tag k="a" v="b"/></node><way id="2"><nd ref="1"/></way></osm>`))
	f.Fuzz(func(t *testing.T, b []byte) {
		_ = scanXML(bytes.NewReader(b), visitor{
			node: func(_ int64, _, _ float64, tags func() map[string]string) error { tags(); return nil },
			way:  func(int64, []int64, map[string]string) error { return nil },
		})
	})
}

// Values of the reference on bridges, section 5, through a file: what stands on
// the way is what the value syntax of geofile makes of it.
func TestLimits(t *testing.T) {
	for _, c := range []struct {
		key, value string
		state      route.LimitState
		want       float64
	}{
		{"maxweight", "7.5", route.Known, 7500}, {"maxweight", "8 st", route.Known, 7257.478}, {"maxweight", "25100 lbs", route.Known, 11385.168},
		{"maxweight", "3500 kg", route.Known, 3500}, {"maxweight", "12t", route.Known, 12000}, {"maxweight", "0,6", route.Unreadable, 0},
		{"maxweight", "10 T", route.Unreadable, 0}, {"maxweight", "1e3", route.Unreadable, 0}, {"maxweight", "none", route.None, 0}, {"maxweight", "unsigned", route.Absent, 0},
		{"maxheight", "16'8&quot;", route.Known, 5.08}, {"maxheight", "6'7&quot;", route.Known, 2.0066}, {"maxheight", "8'", route.Known, 2.4384},
		{"maxheight", "16 ft", route.Known, 4.8768}, {"maxheight", "350 cm", route.Known, 3.5}, {"maxheight", "13'13&quot;", route.Unreadable, 0},
		{"maxheight", "default", route.Absent, 0}, {"maxheight", "below_default", route.Unreadable, 0}, {"maxheight", "7ft6in", route.Unreadable, 0},
	} {
		x, err := Read(write(t, "v.osm", []byte(`<osm><node id="1" lat="1" lon="1"/><node id="2" lat="1.001" lon="1"/><way id="3"><nd ref="1"/><nd ref="2"/><tag k="highway" v="track"/><tag k="`+c.key+`" v="`+c.value+`"/></way></osm>`)), nil)
		if err != nil {
			t.Fatal(err)
		}
		l := x.Ways[0].Tags.MaxMassKg
		if c.key == "maxheight" {
			l = x.Ways[0].Tags.MaxHeightM
		}
		if l.State != c.state || math.Abs(l.Value-c.want) > 1e-3 {
			t.Errorf("%s=%s: %+v, want %v %g", c.key, c.value, l, c.state, c.want)
		}
	}
}
