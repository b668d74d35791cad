package osm

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Bounds of the XML reader. Choices: the format nests three deep and an element
// carries a text of 255 characters at most.
const (
	maxDepth = 16
	maxToken = 1 << 20
)

// guard refuses input in which no element ends for too long: the decoder would
// hold it in memory.
type guard struct {
	r     io.Reader
	since int
}

func (g *guard) Read(b []byte) (int, error) {
	n, err := g.r.Read(b[:min(len(b), 64<<10)])
	if i := bytes.LastIndexByte(b[:n], '>'); i >= 0 {
		g.since = n - i
	} else {
		g.since += n
	}
	if g.since > maxToken {
		return 0, fmt.Errorf("%w: an element of more than %d bytes", errNotOSM, maxToken)
	}
	return n, err
}

// element is the node or way that is being read.
type element struct {
	name     string
	id       int64
	lon, lat float64
	refs     []int64
	tags     map[string]string
}

// scanXML visits the elements of an OSM XML file. Deleted elements and relations
// are passed over.
func scanXML(r io.Reader, v visitor) error {
	d := xml.NewDecoder(&guard{r: r})
	depth, root := 0, false
	var e *element
	for {
		t, err := d.Token()
		if err != nil {
			switch {
			case errors.Is(err, io.EOF) && depth > 0:
				err = fmt.Errorf("%w: the file ends inside an element", errCut)
			case errors.Is(err, io.EOF) && root:
				return nil
			case errors.Is(err, io.EOF):
				return errEmpty
			default:
				var broken *xml.SyntaxError
				if errors.As(err, &broken) {
					err = fmt.Errorf("%w: %w", errNotOSM, err)
				}
			}
			return where(d, err)
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth++; depth > maxDepth {
				return where(d, fmt.Errorf("%w: elements %d deep", errNotOSM, depth))
			}
			if depth == 1 {
				if t.Name.Local != "osm" {
					return where(d, fmt.Errorf("%w: its element is %.40q", errNotOSM, t.Name.Local))
				}
				root = true
			}
			if e, err = begin(e, t, depth, v); err != nil {
				return where(d, err)
			}
		case xml.EndElement:
			if depth--; depth < 0 {
				return where(d, errNotOSM)
			}
			if e != nil && t.Name.Local == e.name {
				if err := e.end(v); err != nil {
					return where(d, err)
				}
				e = nil
			}
		}
	}
}

// where adds line and column.
func where(d *xml.Decoder, err error) error {
	line, column := d.InputPos()
	return fmt.Errorf("line %d, column %d: %w", line, column, err)
}

// begin takes the start of an element.
func begin(e *element, t xml.StartElement, depth int, v visitor) (*element, error) {
	switch name := t.Name.Local; {
	case depth == 2 && name == "node" && v.node != nil, depth == 2 && name == "way" && v.way != nil:
		e = &element{name: name}
		id, err := number(t, "id")
		if err != nil {
			return nil, err
		}
		e.id = id
		if name == "node" {
			if attr(t, "visible") == "false" {
				return nil, nil // gone, and without a place
			}
			if e.lat, err = decimal(t, "lat", id); err == nil {
				e.lon, err = decimal(t, "lon", id)
			}
		}
		return e, err
	case depth == 3 && e != nil && name == "tag":
		if e.tags == nil {
			e.tags = map[string]string{}
		}
		e.tags[attr(t, "k")] = attr(t, "v")
	case depth == 3 && e != nil && name == "nd":
		ref, err := number(t, "ref")
		e.refs = append(e.refs, ref)
		return e, err
	}
	return e, nil
}

func (e *element) end(v visitor) error {
	if e.name == "node" {
		return v.node(e.id, e.lon, e.lat, func() map[string]string { return e.tags })
	}
	return v.way(e.id, e.refs, e.tags)
}

func attr(t xml.StartElement, name string) string {
	for _, a := range t.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func number(t xml.StartElement, name string) (int64, error) {
	text := strings.TrimSpace(attr(t, name))
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0, fmt.Errorf("%w: %s of a %s is %.40q, not a whole number of 64 bits", errNotOSM, name, t.Name.Local, text)
	}
	return n, nil
}

func decimal(t xml.StartElement, name string, id int64) (float64, error) {
	text := strings.TrimSpace(attr(t, name))
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, fmt.Errorf("%w: %s of node %d is %.40q, not a number", errNotOSM, name, id, text)
	}
	return x, nil
}
