package geofile

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/tidwall/gjson"

	"drawbar/route"
)

// props are the properties of a feature by key.
type props map[string]gjson.Result

// has reports whether the key is there with any value but null.
func (p props) has(key string) bool { return p[key].Exists() && p[key].Type != gjson.Null }

// properties reads identity and tags of a feature.
func (r *reader) properties(p *piece, m map[string]gjson.Result) *Error {
	v := m["properties"]
	switch {
	case !v.Exists():
		p.addNote(`the feature has no member "properties"`)
		return nil
	case v.Type == gjson.Null:
		return nil
	case !v.IsObject():
		return r.at(ErrNotGeoJSON, "the properties are "+jsonKind(v)+", not an object", "")
	}
	all, twice := members(v)
	if twice != "" {
		return r.at(ErrNotGeoJSON, fmt.Sprintf("property %q stands twice", shortText(twice)), "which one is meant?")
	}
	t := tagReader{props: all, piece: p}
	t.tidy()
	p.name = t.text("name")
	p.tags = t.tags()
	return r.identity(p, all)
}

// identity reads the properties that make features pieces of one route.
func (r *reader) identity(p *piece, all props) *Error {
	if v := all["route"]; all.has("route") {
		if v.Type != gjson.String && v.Type != gjson.Number {
			return r.at(ErrPieces, `the property "route" is `+jsonKind(v)+", neither text nor number", "")
		}
		p.route = scalarText(v)
	}
	v := all["seq"]
	if !all.has("seq") || p.route == "" {
		return nil
	}
	p.seqText = shortText(scalarText(v))
	seq, err := strconv.ParseFloat(v.String(), 64)
	if (v.Type != gjson.Number && v.Type != gjson.String) || err != nil || math.IsInf(seq, 0) || math.IsNaN(seq) {
		return r.at(ErrPieces, fmt.Sprintf(`the property "seq" (%s) is not a number`, p.seqText), "")
	}
	p.seq = seq
	return nil
}

// tagReader turns properties into tags and notes what it cannot read.
type tagReader struct {
	props
	piece *piece
}

func (t tagReader) tags() route.Tags {
	tags := route.Tags{
		Highway:    t.text("highway"),
		Surface:    t.text("surface"),
		Tracktype:  strings.ToLower(t.text("tracktype")),
		Smoothness: t.text("smoothness"),
		Name:       t.piece.name,
		Junction:   strings.ToLower(t.text("junction")),
		Bridge:     t.flag("bridge"),
		Tunnel:     t.flag("tunnel"),
		Covered:    t.flag("covered"),
		Ford:       t.flag("ford"),
		Layer:      t.layer(),
		Oneway:     t.oneway(),

		MaxMassKg:       t.posted("maxweight", within(ParseMassKg, 300, 500e3)),
		MaxRatedMassKg:  t.posted("maxweightrating", within(ParseMassKg, 300, 500e3)),
		MaxAxleKg:       t.posted("maxaxleload", within(ParseMassKg, 300, 50e3)),
		MaxBogieKg:      t.posted("maxbogieweight", within(ParseMassKg, 300, 100e3)),
		MaxHeightM:      t.posted("maxheight", within(ParseLengthM, 1, 20)),
		MaxWidthM:       t.posted("maxwidth", within(ParseLengthM, 1, 30)),
		MaxLengthM:      t.posted("maxlength", within(ParseLengthM, 2, 200)),
		WidthM:          t.limit("width", within(ParseLengthM, 1, 60)),
		DepthM:          t.limit("depth", ParseDepthM),
		SpanM:           t.span(),
		InclineRatio:    t.limit("incline", ParseIncline),
		ClassWheeled:    t.first(ParseClass, "mlc:wheeled", "mlc", "bridge:load_class2"),
		ClassWheeledOne: t.first(ParseClass, "mlc:wheeled_oneway", "mlc:oneway", "bridge:load_class1"),
	}
	if tags.Bridge != "" {
		t.bridge(&tags)
	}
	tags.Access, tags.Doubts = t.access(), t.doubts()
	if tags.Highway == "" {
		tags.Other, tags.VoltageV = t.other(), t.voltage()
	}
	// A surface alone is what somebody added to a bare line: it says nothing of
	// bridges.
	tags.Mapped = tags.Highway != "" || tags.Bridge != "" || tags.Tunnel != "" || tags.Ford != ""
	return tags
}

// bridge reads what a bridge is made of.
func (t tagReader) bridge(tags *route.Tags) {
	tags.BridgeStructure = strings.ToLower(t.text("bridge:structure"))
	if tags.BridgeMaterial = strings.ToLower(t.text("bridge:material")); tags.BridgeMaterial == "" {
		tags.BridgeMaterial = strings.ToLower(t.text("material"))
	}
	if n, err := strconv.Atoi(t.text("bridge:spans")); err == nil && n > 0 && n <= 200 {
		tags.BridgeSpans = n
	}
}

// other is what a line without highway is.
func (t tagReader) other() string {
	for _, key := range otherWays {
		if w, ok := t.word(key); ok && w != "" && w != "no" {
			return key + "=" + shortText(w)
		}
	}
	return ""
}

// voltage is the highest voltage tagged, volts, "110000;20000"; 0 without.
func (t tagReader) voltage() (most float64) {
	v, _ := t.word("voltage")
	for one := range strings.SplitSeq(v, ";") {
		if x, ok := plainNumber(strings.TrimSpace(one)); ok && x <= 2e6 {
			most = max(most, x)
		}
	}
	return most
}

// within makes a figure outside what such a limit can be unreadable: it is in
// another unit than the key says, kilograms for tonnes or centimetres for metres.
// The bounds are choices, beyond any sign on a road.
func within(parse func(string) route.Limit, least, most float64) func(string) route.Limit {
	return func(s string) route.Limit {
		if l := parse(s); l.State != route.Known || (l.Value >= least && l.Value <= most) {
			return l
		}
		return unreadable(s)
	}
}

// text is the value of a key that holds a word.
func (t tagReader) text(key string) string {
	if !t.has(key) {
		return ""
	}
	switch v := t.props[key]; v.Type {
	case gjson.String, gjson.Number:
		return scalarText(v)
	default:
		t.piece.addNote(fmt.Sprintf("property %s is %s, not text: not read", key, jsonKind(v)))
		if key == "name" {
			return ""
		}
		return rawText(v.Raw) // a surface nobody can read is not an untagged one
	}
}

// flag is the value of bridge, tunnel or ford. What cannot be read counts as
// there: a bridge must not vanish because its value is odd.
func (t tagReader) flag(key string) string {
	if !t.has(key) {
		return ""
	}
	v := t.props[key]
	switch {
	case v.Type == gjson.True:
		return "yes"
	case v.Type == gjson.False:
		return ""
	case v.Type == gjson.JSON:
		t.piece.addNote(fmt.Sprintf("property %s is %s, not text: taken as yes", key, jsonKind(v)))
		return rawText(v.Raw)
	}
	s := scalarText(v)
	if low := strings.ToLower(s); low == "no" || low == "false" || low == "0" {
		return ""
	}
	return s
}

func (t tagReader) layer() int {
	if !t.has("layer") {
		return 0
	}
	n, err := strconv.Atoi(strings.TrimSuffix(t.props["layer"].String(), ".0"))
	if err != nil || n < -100 || n > 100 {
		t.piece.addNote(fmt.Sprintf("property layer (%s) is not a small whole number: ignored", shortText(t.props["layer"].String())))
		return 0
	}
	return n
}

// oneway reads the key, and what a roundabout or a motorway imply without it
// (OpenStreetMap wiki, "Key:oneway"; standing: memory).
func (t tagReader) oneway() string {
	v := t.props["oneway"]
	if v.Type == gjson.True {
		return "yes"
	}
	switch s := strings.ToLower(strings.TrimSpace(v.String())); s {
	case "yes", "true", "1":
		return "yes"
	case "-1", "reverse":
		return "-1"
	case "":
		if t.props["junction"].String() == "roundabout" || t.props["highway"].String() == "motorway" {
			return "yes"
		}
	case "no", "false", "0":
	default:
		t.piece.addNote(fmt.Sprintf("property oneway (%s) is not yes, no or -1: taken as no", shortText(s)))
	}
	return ""
}

// limit reads one key. A bare number counts in the default unit; what is
// neither text nor number, or negative, is Unreadable.
func (t tagReader) limit(key string, parse func(string) route.Limit) route.Limit {
	if !t.has(key) {
		return route.Limit{}
	}
	v := t.props[key]
	var l route.Limit
	switch v.Type {
	case gjson.String:
		l = parse(v.String())
	case gjson.Number:
		l = parse(strconv.FormatFloat(v.Num, 'f', -1, 64))
		l.Raw = rawText(v.Raw)
	default:
		l = unreadable(v.Raw)
	}
	if l.State == route.Unreadable && l.Raw != "up" && l.Raw != "down" {
		t.piece.addNote(fmt.Sprintf("property %s (%s) cannot be read", key, shortText(l.Raw)))
	}
	return l
}

// postedForms are the keys beside the plain one that hold for a heavy vehicle
// as well; the strictest of all counts.
var postedForms = []string{":physical", ":legal", ":hgv", ":forward", ":backward", ":both_ways"}

// conditionalForms hold a limit under conditions that nobody has checked: such
// a limit is there, but its figure for this vehicle is not known.
var conditionalForms = []string{":conditional", ":hgv:conditional", ":forward:conditional", ":backward:conditional", ":lanes"}

// posted reads a limit with all its forms.
func (t tagReader) posted(key string, parse func(string) route.Limit) route.Limit {
	l := t.limit(key, parse)
	for _, form := range postedForms {
		l = stricter(l, t.limit(key+form, parse))
	}
	for _, form := range conditionalForms {
		if t.has(key + form) {
			l = stricter(l, unreadable(t.props[key+form].String()))
			t.piece.addNote(fmt.Sprintf("property %s%s holds under conditions: not evaluated", key, form))
		}
	}
	l = t.lookalikes(key, l)
	if l == (route.Limit{}) && t.props[key+":signed"].String() == "no" {
		l.Raw = "unsigned"
	}
	return l
}

// stricter joins two limits on the same thing. An unreadable one outranks a
// figure, for it may be lower; both texts are kept then.
func stricter(a, b route.Limit) route.Limit {
	rank := [...]int{route.Absent: 0, route.None: 1, route.Known: 2, route.Unreadable: 3}
	if rank[b.State] > rank[a.State] {
		a, b = b, a
	}
	switch {
	case a.State == route.Unreadable && b.State >= route.Known:
		a.Raw = rawText(a.Raw + "; " + b.Raw)
	case a.State == route.Known && b.State == route.Known && b.Value < a.Value:
		return b
	case a.State == route.Absent && a.Raw == "":
		return b
	}
	return a
}

// first reads the first of the keys that is there: they run from the special
// to the general to the outdated.
func (t tagReader) first(parse func(string) route.Limit, keys ...string) route.Limit {
	for _, k := range keys {
		if t.has(k) {
			return t.limit(k, parse)
		}
	}
	return route.Limit{}
}

// span reads bridge:span, which may list the spans; the largest counts.
func (t tagReader) span() route.Limit {
	const key = "bridge:span"
	if v := t.props[key]; v.Type != gjson.String || !strings.Contains(v.String(), ";") {
		return t.limit(key, ParseLengthM)
	}
	return t.limit(key, func(s string) route.Limit {
		most := route.Limit{}
		for one := range strings.SplitSeq(s, ";") {
			l := ParseLengthM(one)
			if l.State != route.Known {
				return unreadable(s)
			}
			most.Value = max(most.Value, l.Value)
		}
		return route.Limit{Value: most.Value, State: route.Known, Raw: rawText(s)}
	})
}
