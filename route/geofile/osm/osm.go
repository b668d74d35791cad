// Package osm reads the ways of OpenStreetMap extracts, PBF and XML, in pure Go.
//
// The file is read two or three times and only what lies near is kept, so that a
// country fits in memory. Every length and index of the file is held against what
// is there before it is used: extracts come from anywhere. A general reader
// serves as an independent check in the tests; it is not used here because it
// ends the program on some damaged blocks and unpacks without bound.
package osm

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/structure"
	"drawbar/route/ways"

	"github.com/paulmach/orb"
)

// What a fault is about, for callers that branch on it with errors.Is.
var (
	ErrNotOSM = errors.New("not an OpenStreetMap extract that can be read")
	ErrCut    = errCut // a file that ends too early, or a damaged part of it
	errNotOSM = ErrNotOSM
	errEmpty  = fmt.Errorf("%w: the file is empty", ErrNotOSM)
)

// maxVertices is how many vertices of ways are kept, about 2 GB of memory. Choice.
const maxVertices = 20_000_000

// Extract are the ways of a file.
type Extract struct {
	Ways  []*ways.Way
	Notes []string // what was left out or cannot be read
}

// Is reports whether a file name or its first bytes are those of an extract.
func Is(name string, head []byte) bool {
	low := strings.ToLower(name)
	return strings.HasSuffix(low, ".pbf") || strings.HasSuffix(low, ".osm") ||
		bytes.Contains(head[:min(len(head), 64)], []byte("OSMHeader")) || bytes.Contains(head, []byte("<osm"))
}

// Read reads the ways of an extract that have a node where near reports true; nil
// is everywhere. Errors name the file, and the byte or line.
func Read(path string, near func(lon, lat float64) bool) (*Extract, error) {
	x := &extract{near: near, at: map[int64]orb.Point{}, points: map[int64]structure.Feature{}, notes: map[string]int{}}
	if err := x.read(path); err != nil {
		var pe *os.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		return nil, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return x.build(), nil
}

// rawWay is a way before its nodes are known.
type rawWay struct {
	id   int64
	refs []int64
	tags map[string]string
}

type extract struct {
	near   func(lon, lat float64) bool
	at     map[int64]orb.Point
	points map[int64]structure.Feature
	ways   []rawWay
	count  int
	notes  map[string]int // order of first appearance
}

func (x *extract) note(text string) {
	if _, ok := x.notes[text]; !ok {
		x.notes[text] = len(x.notes)
	}
}

func (x *extract) read(path string) error {
	scan := func(v visitor) error {
		f, err := os.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		br := bufio.NewReaderSize(f, 1<<16)
		head, err := br.Peek(512)
		if len(head) == 0 && (err == nil || errors.Is(err, io.EOF)) {
			return errEmpty
		}
		switch {
		case bytes.HasPrefix(head, []byte("\x1f\x8b")), bytes.HasPrefix(head, []byte("BZh")):
			return fmt.Errorf("%w: it is compressed as a whole (unpack it first)", ErrNotOSM)
		case bytes.HasPrefix(bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n"), []byte("<")):
			if bytes.HasPrefix(head, []byte("\xef\xbb\xbf")) {
				_, _ = br.Discard(3)
			}
			return scanXML(br, v)
		}
		return scanPBF(br, v)
	}
	if err := scan(visitor{node: x.nearNode}); err != nil {
		return err
	}
	wanted := map[int64]bool{}
	if err := scan(visitor{way: func(id int64, refs []int64, tags map[string]string) error { return x.way(id, refs, tags, wanted) }}); err != nil {
		return err
	}
	if x.near == nil || len(wanted) == 0 {
		return nil
	}
	return scan(visitor{node: func(id int64, lon, lat float64, _ func() map[string]string) error {
		if wanted[id] {
			return x.put(id, lon, lat)
		}
		return nil
	}})
}

// put keeps the place of a node.
func (x *extract) put(id int64, lon, lat float64) error {
	if !(lon >= -180 && lon <= 180 && lat >= -90 && lat <= 90) {
		return fmt.Errorf("%w: node %d lies at longitude %g, latitude %g", ErrNotOSM, id, lon, lat)
	}
	x.at[id] = orb.Point{lon, lat}
	return nil
}

// nearNode keeps a node near the routes, and what stands there.
func (x *extract) nearNode(id int64, lon, lat float64, tags func() map[string]string) error {
	if x.near != nil && lon == lon && lat == lat && !x.near(lon, lat) {
		return nil
	}
	if len(x.at) >= maxVertices {
		return fmt.Errorf("%w: more than %d nodes lie near the routes (cut a smaller extract)", ErrNotOSM, maxVertices)
	}
	if err := x.put(id, lon, lat); err != nil {
		return err
	}
	kv := tags()
	if len(kv) == 0 || !concerns(kv) {
		return nil
	}
	f, notes, ok := geofile.StructureOf(kv)
	for _, n := range notes {
		x.note(fmt.Sprintf("node %d: %s", id, n))
	}
	if ok {
		x.points[id] = f
	}
	return nil
}

// concerns spares most nodes the reading of their tags.
func concerns(kv map[string]string) bool {
	for k := range kv {
		switch k {
		case "barrier", "railway", "ford", "man_made", "bridge", "tunnel", "highway":
			return true
		}
		if strings.HasPrefix(k, "max") {
			return true
		}
	}
	return false
}

// wayKeys make a way one that is followed or crossed.
var wayKeys = []string{"highway", "railway", "waterway", "power", "aerialway"}

func (x *extract) way(id int64, refs []int64, tags map[string]string, wanted map[int64]bool) error {
	if !slices.ContainsFunc(wayKeys, func(k string) bool { return tags[k] != "" }) || tags["area"] == "yes" {
		return nil
	}
	if !slices.ContainsFunc(refs, func(r int64) bool { _, ok := x.at[r]; return ok }) {
		return nil
	}
	if x.count += len(refs); x.count > maxVertices {
		return fmt.Errorf("%w: the ways near the routes have more than %d vertices (cut a smaller extract)", ErrNotOSM, maxVertices)
	}
	for _, r := range refs {
		if _, ok := x.at[r]; !ok {
			wanted[r] = true
		}
	}
	x.ways = append(x.ways, rawWay{id, slices.Clone(refs), tags})
	return nil
}

// build makes ways of what was read.
func (x *extract) build() *Extract {
	out := &Extract{}
	for _, w := range x.ways {
		tags, notes := geofile.TagsOf(w.tags)
		for _, n := range notes {
			x.note(fmt.Sprintf("way %d: %s", w.id, n))
		}
		parts := x.parts(w)
		if len(parts) == 0 {
			x.note(fmt.Sprintf("way %d%s has no length: left out", w.id, bridgeWord(tags)))
		}
		for _, p := range parts {
			made := geofile.WayOf(tags)
			made.ID, made.Name = fmt.Sprintf("way %d", w.id), tags.Name
			made.Line, made.Nodes = p.line, p.ids
			for v, id := range p.ids {
				if f, ok := x.points[id]; ok {
					made.Points = append(made.Points, ways.Point{Vertex: v, Feature: f})
				}
			}
			out.Ways = append(out.Ways, made)
		}
	}
	out.Notes = x.told()
	return out
}

func bridgeWord(t route.Tags) string {
	if t.Bridge != "" {
		return " (a bridge)"
	}
	return ""
}

// mostNotes is how many notes are told. Choice.
const mostNotes = 10

func (x *extract) told() []string {
	list := slices.SortedFunc(maps.Keys(x.notes), func(a, b string) int { return x.notes[a] - x.notes[b] })
	if len(list) > mostNotes {
		list = append(list[:mostNotes], fmt.Sprintf("and %d more of the kind", len(list)-mostNotes))
	}
	return list
}

// part is a run of the nodes of a way that are there.
type part struct {
	line orb.LineString
	ids  []int64
}

// parts breaks a way where a node is missing and drops repeated ones.
func (x *extract) parts(w rawWay) (out []part) {
	var p part
	flush := func() {
		if len(p.ids) > 1 {
			out = append(out, p)
		}
		p = part{}
	}
	for _, id := range w.refs {
		at, ok := x.at[id]
		if !ok {
			x.note(fmt.Sprintf("way %d: node %d is not in the file: the way is broken there", w.id, id))
			flush()
			continue
		}
		if n := len(p.ids); n > 0 {
			if p.ids[n-1] == id {
				x.note(fmt.Sprintf("way %d: node %d stands twice in a row", w.id, id))
				continue
			}
			if p.line[n-1] == at { // another node on the same spot: the way meets others at both
				x.note(fmt.Sprintf("way %d: nodes %d and %d lie on one spot", w.id, p.ids[n-1], id))
			}
			if far(p.line[n-1], at) {
				x.note(fmt.Sprintf("way %d: nodes %d and %d lie more than %d km apart: broken there", w.id, p.ids[n-1], id, maxEdgeKm))
				flush()
			}
		}
		p.line, p.ids = append(p.line, at), append(p.ids, id)
	}
	flush()
	return slices.DeleteFunc(out, func(p part) bool {
		return !slices.ContainsFunc(p.line, func(q orb.Point) bool { return q != p.line[0] })
	})
}

// maxEdgeKm is the longest edge of a way that is believed. Choice: ferries and
// power lines over straits are shorter.
const maxEdgeKm = 50

func far(a, b orb.Point) bool { return route.Distance(a, b) > maxEdgeKm*1000 }
