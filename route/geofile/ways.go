package geofile

import (
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"
	"drawbar/route/ways"

	"github.com/paulmach/orb"
	"github.com/tidwall/gjson"
)

// TagsOf reads tags of OpenStreetMap given as text by key, as those of a feature
// are read; the notes say what could not be.
func TagsOf(kv map[string]string) (route.Tags, []string) {
	t, p := readerOf(kv)
	p.name = t.text("name")
	return t.tags(), p.notes
}

// readerOf makes a reader of tags that are text.
func readerOf(kv map[string]string) (tagReader, *piece) {
	p := &piece{}
	all := make(props, len(kv))
	for k, v := range kv {
		all[k] = gjson.Result{Type: gjson.String, Str: v, Raw: strconv.Quote(v)}
	}
	t := tagReader{props: all, piece: p}
	t.tidy()
	return t, p
}

// ReadWays reads lines as ways, for [ways.NewIndex]. Ways meet where their
// vertices lie on one spot. A feature that cannot be read is an error: it may be
// the bridge that a route crosses.
func ReadWays(path string, o Options) ([]*ways.Way, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &Error{File: filepath.Base(path), Reason: "cannot be opened: " + cause(err), Err: err}
	}
	defer f.Close()
	return readWays(f, filepath.Base(path), o)
}

func readWays(r io.Reader, name string, o Options) (out []*ways.Way, err error) {
	err = Each(r, name, o, func(rec Record) error {
		if rec.Err != nil {
			return rec.Err
		}
		for _, p := range rec.Route.Pieces {
			w := WayOf(p.Tags)
			w.ID, w.Name = "way "+rec.Route.ID, p.Tags.Name
			w.Line = wrapped(rec.Route.Line[p.First : p.Last+1])
			out = append(out, w)
		}
		return nil
	})
	return out, err
}

// wrapped brings longitudes that run on to -180 to 180.
func wrapped(line orb.LineString) orb.LineString {
	if !slices.ContainsFunc(line, func(p orb.Point) bool { return p[0] < -180 || p[0] > 180 }) {
		return line
	}
	out := slices.Clone(line)
	for i := range out {
		switch {
		case out[i][0] > 180:
			out[i][0] -= 360
		case out[i][0] < -180:
			out[i][0] += 360
		}
	}
	return out
}

// Values of keys that make a line something a road crosses. OpenStreetMap wiki,
// "Key:railway", "Key:waterway", "Key:power" (memory). Trams lie in the street,
// subways below it, disused lines ask nothing.
var (
	rails  = []string{"rail", "light_rail", "narrow_gauge", "preserved", "funicular"}
	waters = []string{"river", "stream", "canal", "drain", "ditch"}
	wires  = []string{"line", "minor_line"}
)

// WayOf says what a line is by its tags.
func WayOf(t route.Tags) *ways.Way {
	w := &ways.Way{Tags: t}
	if t.Highway != "" {
		return w
	}
	key, value, _ := strings.Cut(t.Other, "=")
	w.What = value
	switch {
	case key == "railway" && slices.Contains(rails, value):
		w.Kind = ways.Rail
	case key == "waterway" && slices.Contains(waters, value):
		w.Kind, w.Below = ways.Water, t.Tunnel != ""
	case key == "power" && slices.Contains(wires, value), key == "aerialway":
		w.Kind, w.VoltageV = ways.Wire, t.VoltageV
		if key == "aerialway" {
			w.What = "aerialway"
		}
	case t.Other != "":
		w.Kind = ways.Other
	}
	return w
}
