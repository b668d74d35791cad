package geofile

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"
	"drawbar/route/structure"

	"github.com/paulmach/orb"
	"github.com/tidwall/geojson"
	"github.com/tidwall/gjson"
)

// Structures is what a file of structures holds.
type Structures struct {
	Spots []structure.Spot
	Lands []structure.Land
	Lines []*route.Route // ways: those that are bridges may cross over a route
	Notes []string       // features that are no structure
}

// ReadStructures reads a file of structures: GeoJSON points, lines and polygons, or
// CSV with the columns lon and lat, WGS84 degrees; all other properties or columns
// are keys of OpenStreetMap. A record that cannot be read is an error of the file:
// it may be the structure that matters.
func ReadStructures(path string, o Options) (*Structures, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &Error{File: filepath.Base(path), Reason: "cannot be opened: " + cause(err), Err: err}
	}
	defer f.Close()
	name := filepath.Base(path)
	if strings.EqualFold(filepath.Ext(name), ".csv") {
		return structuresCSV(f, name)
	}
	return structuresGeoJSON(f, name, o)
}

func structuresGeoJSON(r io.Reader, name string, o Options) (*Structures, error) {
	s := &Structures{}
	var bad error
	o.other = func(feature int, v gjson.Result) {
		if err := s.feature(name, feature, v); err != nil && bad == nil {
			bad = err
		}
	}
	err := Each(r, name, o, func(rec Record) error {
		switch {
		case rec.Err == nil:
			s.lines(rec.Route)
		case !errors.Is(rec.Err, ErrNotRoutes):
			return rec.Err
		}
		return bad
	})
	if bad != nil {
		return nil, bad
	}
	if errors.Is(err, ErrNotRoutes) && len(s.Spots)+len(s.Lands)+len(s.Notes) > 0 {
		err = nil // points and areas alone are a file of structures
	}
	return s, err
}

// lines takes a line: a way, and a structure where its tags say so.
func (s *Structures) lines(r *route.Route) {
	s.Lines = append(s.Lines, r)
	for _, p := range r.Pieces {
		t := p.Tags
		if t.Other != "" || len(t.Doubts) > 0 {
			continue
		}
		f := structure.Feature{Name: t.Name, MaxMassKg: t.MaxMassKg, MaxAxleKg: t.MaxAxleKg, MaxBogieKg: t.MaxBogieKg, MaxHeightM: t.MaxHeightM,
			ClassWheeled: t.ClassWheeled, ClassWheeledOne: t.ClassWheeledOne, SpanM: t.SpanM, DepthM: t.DepthM, MaxWidthM: t.MaxWidthM}
		switch {
		case t.Bridge != "":
			f.Kind, f.What = structure.Bridge, t.Bridge
		case structure.Under(t) != "":
			f.Kind, f.What = structure.Tunnel, structure.Under(t)
		case t.Ford != "":
			f.Kind, f.What = structure.Ford, t.Ford
		default:
			continue
		}
		s.Spots = append(s.Spots, structure.Spot{Feature: f, Line: r.Line[p.First : p.Last+1], ID: "line " + r.ID})
	}
}

// feature takes a point or an area.
func (s *Structures) feature(file string, no int, v gjson.Result) error {
	fail := func(reason string) error {
		return &Error{File: file, Feature: no, Reason: reason, Err: ErrNotGeoJSON}
	}
	obj, err := geojson.Parse(v.Raw, strict)
	if err != nil {
		return fail("no valid GeoJSON: " + err.Error())
	}
	p := &piece{}
	all, twice := members(v.Get("properties"))
	if twice != "" {
		return fail(fmt.Sprintf("property %q stands twice", shortText(twice)))
	}
	t := tagReader{props: all, piece: p}
	t.tidy()
	p.name = t.text("name")
	f := structureOf(t)
	for _, n := range p.notes {
		s.Notes = append(s.Notes, fmt.Sprintf("feature %d: %s", no, n))
	}
	id := fmt.Sprintf("feature %d", no)
	kind := v.Get("geometry.type").String()
	switch {
	case strings.HasSuffix(kind, "Polygon"):
		if f.Kind != structure.Area {
			f.What, f.Kind = "area", structure.Area // an area that says nothing of its danger is asked about
		}
		s.Lands = append(s.Lands, structure.Land{Feature: f, Region: obj, ID: id})
	case f.Kind == "":
		s.Notes = append(s.Notes, fmt.Sprintf("feature %d: no structure by its properties: left out", no))
	case kind == "Point":
		at := obj.Center()
		s.Spots = append(s.Spots, structure.Spot{Feature: f, Point: orb.Point{at.X, at.Y}, ID: id})
	default:
		return fail("a " + kind + " is no structure: write each point as a feature of its own")
	}
	return nil
}

// Bounds of a CSV file. Choices.
const (
	maxRows  = 200_000
	maxField = 10_000
)

func structuresCSV(r io.Reader, name string) (*Structures, error) {
	s := &Structures{}
	fail := func(row int, reason string) error {
		return fmt.Errorf("%s: row %d: %s", name, row, reason)
	}
	c := csv.NewReader(io.LimitReader(r, DefaultMaxBytes))
	c.TrimLeadingSpace = true
	head, err := c.Read()
	if err != nil {
		return nil, fail(1, "no line of column names: "+err.Error())
	}
	head[0] = strings.TrimPrefix(head[0], string(utf8BOM))
	lon, lat := slices.Index(head, "lon"), slices.Index(head, "lat")
	if lon < 0 || lat < 0 {
		return nil, fail(1, "columns lon and lat are needed (WGS84 degrees), the others are keys of OpenStreetMap")
	}
	for row := 2; ; row++ {
		rec, err := c.Read()
		if errors.Is(err, io.EOF) {
			return s, nil
		}
		if err != nil {
			return nil, fail(row, err.Error())
		}
		if row > maxRows {
			return nil, fail(row, fmt.Sprintf("more than %d rows", maxRows))
		}
		var at orb.Point
		for i, col := range []int{lon, lat} {
			x, err := strconv.ParseFloat(strings.TrimSpace(rec[col]), 64)
			if most := []float64{180, 90}[i]; err != nil || !(math.Abs(x) <= most) {
				return nil, fail(row, fmt.Sprintf("%s %q is no number from %g to %g", head[col], shortText(rec[col]), -most, most))
			}
			at[i] = x
		}
		kv := map[string]string{}
		for i, v := range rec {
			if len(v) > maxField {
				return nil, fail(row, "a field of more than 10000 bytes")
			}
			if v = strings.TrimSpace(v); v != "" && i != lon && i != lat {
				kv[strings.TrimSpace(head[i])] = v
			}
		}
		f, notes, ok := StructureOf(kv)
		for _, n := range notes {
			s.Notes = append(s.Notes, fmt.Sprintf("row %d: %s", row, n))
		}
		if !ok {
			s.Notes = append(s.Notes, fmt.Sprintf("row %d: no structure by its columns: left out", row))
			continue
		}
		s.Spots = append(s.Spots, structure.Spot{Feature: f, Point: at, ID: fmt.Sprintf("row %d", row)})
	}
}
