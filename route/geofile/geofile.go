// Package geofile reads routes from GeoJSON and writes GeoJSON, strictly and
// in pure Go.
//
// Read are GeoJSON documents (RFC 7946), GeoJSON text sequences (RFC 8142) and
// one GeoJSON object a line. Each LineString or MultiLineString feature is a
// route; features that share a "route" property are pieces of one route in the
// order of their numeric "seq" property (in a sequence they stand together).
// Properties are OpenStreetMap keys with OpenStreetMap value syntax; all other
// properties and members are let be.
//
// Longitudes of a [route.Route] read here are continuous: where a line crosses
// the 180 degree meridian they run on past 180 (or below -180) instead of
// jumping, and [WriteFeatures] turns them back into -180..180.
//
// The package reads no other coordinate system than WGS84 longitude, latitude
// and never fetches anything.
package geofile

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"drawbar/route"

	"github.com/tidwall/gjson"
)

// Limits of the reader. Both are choices of this package.
const (
	// DefaultMaxBytes is the largest document, or the largest record of a
	// sequence, that is read unless Options say otherwise: 256 MiB. A document
	// is held in memory as a whole, a sequence one record at a time.
	DefaultMaxBytes = 256 << 20
	// MaxDepth is the deepest nesting of arrays and objects that is parsed.
	// A MultiLineString in a collection needs 8; the rest is for foreign members.
	MaxDepth = 100
)

// Options of a reader. The zero value is ready to use.
type Options struct {
	// MaxBytes bounds a document or a record of a sequence, bytes; 0 means
	// DefaultMaxBytes. The length of a whole sequence is not bounded.
	MaxBytes int64

	// other takes features that are no lines.
	other func(feature int, v gjson.Result)
}

// Record is what one route of a file came to: a route, or the error that made
// it unusable. Exactly one of the two is set.
type Record struct {
	Route *route.Route
	Err   error // an *Error
}

// ReadFile reads the routes of the file at path; see [Read]. Messages carry
// the base name of the file only.
func ReadFile(path string, o Options) ([]Record, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &Error{File: filepath.Base(path), Reason: "cannot be opened: " + cause(err), Err: err}
	}
	defer f.Close()
	return Read(f, filepath.Base(path), o)
}

// Read reads all routes from r, in the order in which they first appear. The
// name stands for the file in messages and in Route.File; its extension
// (.geojsonl, .geojsons, .geojsonseq, .ndjson) announces a sequence.
//
// The error is for faults of the file as a whole and is an *[Error]; faults of
// one route are in its Record, and the others are read all the same. Records
// that were read before a fault of the whole file come along with the error.
func Read(r io.Reader, name string, o Options) ([]Record, error) {
	var all []Record
	err := Each(r, name, o, func(rec Record) error {
		all = append(all, rec)
		return nil
	})
	return all, err
}

// Each is Read for files that need not fit in memory: it hands over each
// record as soon as it is complete, which for a sequence is after its last
// line. An error of yield ends the reading and is returned as it is.
func Each(r io.Reader, name string, o Options, yield func(Record) error) error {
	if o.MaxBytes <= 0 {
		o.MaxBytes = DefaultMaxBytes
	}
	rd := &reader{file: filepath.Base(name), max: o.MaxBytes, yield: yield, other: o.other, ids: map[string]int{}, closed: map[string]bool{}}
	if err := rd.run(bufio.NewReaderSize(r, 1<<16)); err != nil {
		return err
	}
	return rd.summary()
}

// reader is the state of one reading.
type reader struct {
	file  string
	max   int64
	yield func(Record) error
	other func(feature int, v gjson.Result)

	notes    []string        // about the file, for every route
	feature  int             // features met so far
	ids      map[string]int  // route IDs given, with the last suffix tried
	closed   map[string]bool // route properties whose pieces are complete (sequences)
	routes   int             // records that are routes
	faults   int             // records with another fault than ErrNotRoutes
	notLines []string        // what the features that are no lines were
}

// sequenceExts announce one GeoJSON object a record.
var sequenceExts = []string{".geojsonl", ".geojsons", ".geojsonseq", ".ndjson"}

func (r *reader) run(br *bufio.Reader) error {
	head, err := br.Peek(512)
	if len(head) == 0 {
		if err != nil && !errors.Is(err, io.EOF) {
			return r.ioFault(err)
		}
		return r.fault(ErrNotJSON, "the file is empty", "")
	}
	if what, hint := foreign(head); what != "" {
		return r.fault(ErrNotJSON, "this is "+what+", not GeoJSON text", hint)
	}
	if bytes.HasPrefix(head, utf8BOM) {
		r.notes = append(r.notes, "the file starts with a UTF-8 byte order mark, which was skipped")
		br.Discard(len(utf8BOM))
		head = head[len(utf8BOM):]
	}
	ext := strings.ToLower(filepath.Ext(r.file))
	marked := bytes.HasPrefix(bytes.TrimLeft(head, jsonSpace), []byte{recordSeparator})
	if marked || slices.Contains(sequenceExts, ext) {
		return r.sequence(br, marked)
	}
	return r.document(br)
}

// document reads a file that holds one GeoJSON object, or, found out late,
// one a line.
func (r *reader) document(br io.Reader) error {
	data, err := io.ReadAll(io.LimitReader(br, r.max+1))
	if err != nil {
		return r.ioFault(err)
	}
	if int64(len(data)) > r.max {
		return r.tooLarge("the document")
	}
	fault := checkText(data)
	if fault != nil && fault.trailing && severalLines(data) {
		r.notes = append(r.notes, "read as one GeoJSON object a line")
		return r.sequence(bufio.NewReader(bytes.NewReader(data)), false)
	}
	if fault != nil {
		return fault.asError(r.file, 0)
	}
	pieces, ferr := r.object(string(data))
	if ferr != nil {
		return ferr
	}
	return r.emitGroups(pieces)
}

// emitGroups yields the routes of a document, pieces of one route together,
// in the order of first appearance.
func (r *reader) emitGroups(pieces []*piece) error {
	at := map[string]int{}
	var groups [][]*piece
	for _, p := range pieces {
		if i, ok := at[p.route]; ok && p.route != "" {
			groups[i] = append(groups[i], p)
			continue
		}
		at[p.route] = len(groups)
		groups = append(groups, []*piece{p})
	}
	for _, g := range groups {
		if err := r.emit(g); err != nil {
			return err
		}
	}
	return nil
}

// emit yields the record of one group of pieces.
func (r *reader) emit(group []*piece) error {
	rt, ferr := r.build(group)
	if ferr != nil {
		if errors.Is(ferr, ErrNotRoutes) {
			r.notLines = append(r.notLines, group[0].kind)
		} else {
			r.faults++
		}
		return r.yield(Record{Err: ferr})
	}
	r.routes++
	return r.yield(Record{Route: rt})
}

// summary is the fault of a file that has no line at all.
func (r *reader) summary() error {
	if r.routes > 0 || r.faults > 0 {
		return nil
	}
	if len(r.notLines) == 0 {
		return r.fault(ErrNotRoutes, "no feature in the file", "an empty file is not a passable way")
	}
	kinds := slices.Clone(r.notLines)
	slices.Sort(kinds)
	kinds = slices.Compact(kinds)
	return r.fault(ErrNotRoutes, fmt.Sprintf("no line among %s, only %s", count(len(r.notLines), "feature"), strings.Join(kinds, ", ")),
		"a route is a LineString or a MultiLineString; points are not joined")
}
