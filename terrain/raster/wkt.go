package raster

import (
	"math"
	"strconv"
	"strings"
)

// node is one element of well-known text: KEY["value",number,CHILD[...]].
type node struct {
	key  string
	vals []string // what is not a child, quotes off
	kids []*node
	text string // the element as written
}

// parseWKT reads one element. ok is false for what is no well-known text,
// including text nested deeper than any coordinate system is.
func parseWKT(s string) (n *node, ok bool) {
	n, rest, ok := element(strings.TrimSpace(s), 0)
	return n, ok && strings.TrimSpace(rest) == ""
}

const wktDepth = 32

func element(s string, depth int) (n *node, rest string, ok bool) {
	open := strings.IndexAny(s, "[(")
	if open <= 0 || depth > wktDepth {
		return nil, s, false
	}
	n = &node{key: strings.ToUpper(strings.TrimSpace(s[:open]))}
	rest = s[open+1:]
	for {
		if rest, ok = n.argument(strings.TrimLeft(rest, " \t\r\n"), depth); !ok {
			return nil, s, false
		}
		rest = strings.TrimLeft(rest, " \t\r\n")
		if rest == "" {
			return nil, s, false
		}
		end := rest[0]
		rest = rest[1:]
		if end == ']' || end == ')' {
			n.text = s[:len(s)-len(rest)]
			return n, rest, true
		}
		if end != ',' {
			return nil, s, false
		}
	}
}

// argument takes one value or child off s.
func (n *node) argument(s string, depth int) (rest string, ok bool) {
	if strings.HasPrefix(s, `"`) {
		return n.quoted(s[1:])
	}
	i := strings.IndexAny(s, "[](),")
	if i < 0 {
		return s, false
	}
	if s[i] != '[' && s[i] != '(' {
		n.vals = append(n.vals, strings.TrimSpace(s[:i]))
		return s[i:], true
	}
	kid, rest, ok := element(s, depth+1)
	if ok {
		n.kids = append(n.kids, kid)
	}
	return rest, ok
}

// quoted takes text up to the closing quote; a doubled quote stands for one.
func (n *node) quoted(s string) (rest string, ok bool) {
	var b strings.Builder
	for {
		i := strings.IndexByte(s, '"')
		if i < 0 {
			return s, false
		}
		b.WriteString(s[:i])
		s = s[i+1:]
		if !strings.HasPrefix(s, `"`) {
			n.vals = append(n.vals, b.String())
			return s, true
		}
		b.WriteByte('"')
		s = s[1:]
	}
}

// kid finds the first child with one of the keys, nil when there is none.
func (n *node) kid(keys ...string) *node {
	if n == nil {
		return nil
	}
	for _, k := range n.kids {
		for _, key := range keys {
			if k.key == key {
				return k
			}
		}
	}
	return nil
}

func (n *node) val(i int) string {
	if n == nil || i >= len(n.vals) {
		return ""
	}
	return n.vals[i]
}

func (n *node) number(i int) float64 {
	v, err := strconv.ParseFloat(n.val(i), 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

type wktUnit struct {
	name   string
	metres float64
}

// crs is what is needed of a coordinate system.
type crs struct {
	label      string // "EPSG:32632", or its name
	horizontal string // its well-known text without a vertical part
	turn       float64
	wgs84      bool // longitude and latitude in degrees, WGS84: nothing to transform
	datum      string
	axis       *wktUnit // of the heights, nil when there is no vertical part
	down       bool     // the vertical axis counts depths
}

// readCRS takes a coordinate system apart. turn is a full turn of longitude in
// units of the x axis, 0 for projected ones.
func readCRS(wkt string) (crs, bool) {
	root, ok := parseWKT(wkt)
	if !ok {
		return crs{}, false
	}
	var c crs
	flat := root
	if root.key == "COMPD_CS" || root.key == "COMPOUNDCRS" {
		if len(root.kids) < 2 {
			return crs{}, false
		}
		flat = root.kids[0]
		c.vertical(root.kids[1])
	}
	c.horizontal, c.label = flat.text, flat.val(0)
	if name := strings.ToLower(c.label); name == "" || name == "unknown" || name == "unnamed" {
		c.label = strings.TrimSpace("custom " + flat.kid("PROJECTION").val(0))
	}
	if id := flat.kid("AUTHORITY", "ID"); id != nil && id.val(1) != "" {
		c.label = id.val(0) + ":" + id.val(1)
	}
	if flat.key == "GEOGCS" || flat.key == "GEOGCRS" || flat.key == "GEODCRS" {
		c.turn = 360
		if f := flat.kid("UNIT", "ANGLEUNIT").number(1); f > 0 {
			c.turn = 2 * math.Pi / f
		}
		c.wgs84 = isWGS84(flat) && math.Abs(c.turn-360) < 1e-9
		if c.wgs84 {
			c.turn = 360
		}
	}
	return c, true
}

func isWGS84(geographic *node) bool {
	d := geographic.kid("DATUM")
	return d.val(0) == "WGS_1984" && d.kid("TOWGS84") == nil && geographic.kid("EXTENSION") == nil &&
		geographic.kid("PRIMEM").number(1) == 0
}

func (c *crs) vertical(v *node) {
	c.datum = v.kid("VERT_DATUM", "VDATUM").val(0)
	if u := v.kid("UNIT", "LENGTHUNIT"); u != nil {
		c.axis = &wktUnit{u.val(0), u.number(1)}
	}
	a := v.kid("AXIS")
	c.down = a != nil && strings.EqualFold(a.val(len(a.vals)-1), "DOWN")
	if a != nil && c.axis == nil {
		if u := a.kid("LENGTHUNIT"); u != nil {
			c.axis = &wktUnit{u.val(0), u.number(1)}
		}
	}
}
