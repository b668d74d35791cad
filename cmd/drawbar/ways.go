package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/geofile/osm"
	"drawbar/route/structure"
	"drawbar/route/verdict"
	"drawbar/route/ways"

	"github.com/paulmach/orb"
)

// lookIn gives the judge what structures are looked for in: the ways of a file
// and a file of structures.
func (g *groundFlags) lookIn(j *verdict.Judge, list []work, std stdio) (err error) {
	var roads []*ways.Way
	if j.Ways, roads, err = g.index(list, std); err != nil {
		return err
	}
	if j.Ways != nil {
		j.Sides = structure.NewAround(sidesOf(roads))
	}
	if j.Structures, err = g.structures(std); err != nil {
		return err
	}
	if j.Structures != nil {
		j.Around = j.Structures.Around
	}
	return nil
}

// index reads the ways near the routes, nil without a file.
func (g *groundFlags) index(list []work, std stdio) (*ways.Index, []*ways.Way, error) {
	if g.ways == "" {
		return nil, nil, nil
	}
	name := filepath.Base(g.ways)
	head, err := firstBytes(g.ways)
	if err != nil {
		return nil, nil, err
	}
	var found []*ways.Way
	if osm.Is(name, head) {
		x, err := osm.Read(g.ways, nearRoutes(list))
		if err != nil {
			return nil, nil, err
		}
		note(std, name, x.Notes)
		found = x.Ways
	} else if found, err = geofile.ReadWays(g.ways, geofile.Options{}); err != nil {
		return nil, nil, err
	}
	x := ways.NewIndex(name, found)
	switch pieces := x.Pieces(); {
	case pieces == 0:
		note(std, name, []string{"it has no road near any route"})
	case pieces > 1:
		note(std, name, []string{fmt.Sprintf("its roads near the routes are %d pieces between which no road runs", pieces)})
	}
	return x, found, nil
}

// sidesOf are the roads among ways, as lines that may leave a route.
func sidesOf(list []*ways.Way) (out []*route.Route) {
	for _, w := range list {
		if w.Kind == ways.Road && len(w.Line) > 1 {
			out = append(out, &route.Route{ID: w.ID, Name: w.Name, Line: w.Line, Pieces: []route.Piece{{First: 0, Last: len(w.Line) - 1, Tags: w.Tags}}})
		}
	}
	return out
}

// nearRoutes reports what lies near any route that was read.
func nearRoutes(list []work) func(lon, lat float64) bool {
	var lines []orb.LineString
	for _, w := range list {
		if w.route != nil {
			lines = append(lines, w.route.Line)
		}
	}
	return ways.Near(lines, ways.NearM)
}

// firstBytes tell one format from another.
func firstBytes(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head := make([]byte, 512)
	n, err := io.ReadFull(f, head)
	if n == 0 && err != io.EOF {
		return nil, err
	}
	return head[:n], nil
}

// structures reads the file of structures, nil without one.
func (g *groundFlags) structures(std stdio) (*structure.File, error) {
	if g.over == "" {
		return nil, nil
	}
	s, err := geofile.ReadStructures(g.over, geofile.Options{})
	if err != nil {
		return nil, err
	}
	name := filepath.Base(g.over)
	note(std, name, s.Notes)
	var around *structure.Around
	if len(s.Lines) > 0 {
		around = structure.NewAround(s.Lines)
	}
	return structure.NewFile(name, s.Spots, s.Lands, around), nil
}

// tellUnplaced says which features of the file of structures stand on no route.
func tellUnplaced(std stdio, j *verdict.Judge) {
	if j.Structures != nil {
		note(std, j.Structures.Name, j.Structures.Unplaced())
	}
}
