package geofile

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"

	"github.com/tidwall/gjson"
)

// accessKeys run from the general to the special: the last one that is there
// holds for a heavy goods vehicle. Source: OpenStreetMap wiki, "Key:access"
// (memory).
var accessKeys = []string{"access", "vehicle", "motor_vehicle", "hgv", "trailer", "hgv_articulated"}

// openValues let a heavy vehicle in without asking anybody; an empty value says
// nothing. All others close the way or tie it to a permission.
var openValues = []string{"yes", "designated", "permissive", "official", "public", ""}

// access is the tag that closes the way to us or ties it to a permission, ""
// when none does.
func (t tagReader) access() string {
	closed := ""
	for _, key := range accessKeys {
		v, ok := t.word(key)
		switch {
		case !ok || v == "" || v == "unknown" && closed != "":
		case !slices.Contains(openValues, v):
			closed = key + "=" + shortText(v)
		case key != "trailer": // a way open to trailers is not open to lorries by that
			closed = ""
		}
	}
	if closed != "" {
		return closed
	}
	for _, key := range t.sortedKeys() {
		base, _, suffixed := strings.Cut(key, ":")
		if !suffixed || !slices.Contains(accessKeys, base) {
			continue
		}
		// For a time, a lane or a direction: what is not plainly open is asked.
		if v, ok := t.word(key); ok && !slices.Contains(openValues, v) {
			return key + "=" + shortText(v)
		}
	}
	return ""
}

// word is the value of a key in lower case; what is no text closes as "?".
func (t tagReader) word(key string) (string, bool) {
	if !t.has(key) {
		return "", false
	}
	switch v := t.props[key]; v.Type {
	case gjson.String, gjson.Number:
		return strings.ToLower(strings.TrimSpace(v.String())), true
	case gjson.True:
		return "yes", true
	case gjson.False:
		return "no", true
	default:
		return rawText(v.Raw), true
	}
}

// noRoad are the highway values that are no road for a lorry, with what they
// are. OpenStreetMap wiki, "Key:highway" (memory).
var noRoad = map[string]string{
	"construction": "being built", "proposed": "not built", "planned": "not built", "abandoned": "given up", "disused": "given up", "razed": "gone", "demolished": "gone", "no": "no road",
	"steps": "steps", "path": "a path", "footway": "a footway", "cycleway": "a cycleway", "bridleway": "a bridleway", "corridor": "a corridor", "elevator": "a lift", "via_ferrata": "a climb",
	"platform": "a platform", "ladder": "a ladder", "pedestrian": "for people on foot", "busway": "for buses",
}

// roads are the highway values of roads. OpenStreetMap wiki, "Key:highway"
// (memory).
var roads = []string{"motorway", "trunk", "primary", "secondary", "tertiary", "unclassified", "residential", "service", "living_street", "track", "road", "escape", "raceway", "services", "rest_area"}

// brokenValues say that something is there and does not serve.
var brokenValues = map[string][]string{
	"bridge":           {"collapsed", "closed", "ruined", "destroyed", "abandoned", "disused", "proposed", "construction", "removed", "missing"},
	"bridge:condition": {"closed", "collapsed", "poor", "critical", "failed", "ruined"},
	"tunnel":           {"collapsed", "closed", "flooded"},
}

// otherWays are keys that say the line is no road at all, unless highway does.
var otherWays = []string{"railway", "waterway", "aerialway", "power", "ferry", "disused:highway", "abandoned:highway", "construction:highway", "proposed:highway", "razed:highway", "demolished:highway"}

// doubts are tags that say something of the way which nobody can judge from
// here: each is a question about its leg.
func (t tagReader) doubts() (out []string) {
	add := func(key, why string) { out = append(out, key+"="+shortText(t.props[key].String())+": "+why) }
	v, _ := t.word("highway")
	for one := range strings.SplitSeq(v, ";") {
		one = strings.TrimSpace(one)
		switch why, ok := noRoad[one]; {
		case ok:
			add("highway", why+", not a road for a heavy vehicle")
		case one != "" && !slices.Contains(roads, strings.TrimSuffix(one, "_link")):
			add("highway", "no class of road that is known here")
		}
	}
	for _, key := range []string{"abandoned", "disused", "construction", "impassable", "tidal", "ice_road", "winter_road", "razed", "demolished"} {
		if w, ok := t.word(key); ok && w != "" && w != "no" {
			add(key, "may not be there, or not always")
		}
	}
	for _, key := range slices.Sorted(maps.Keys(brokenValues)) {
		words := brokenValues[key]
		if w, ok := t.word(key); ok && slices.ContainsFunc(strings.Split(w, ";"), func(x string) bool { return slices.Contains(words, strings.TrimSpace(x)) }) {
			add(key, "not to be driven as it stands")
		}
	}
	if w, ok := t.word("layer"); ok {
		if _, err := strconv.Atoi(strings.TrimSuffix(w, ".0")); err != nil && w != "" {
			add("layer", "cannot be read")
		}
	}
	if w, _ := t.word("oneway"); w == "reversible" || w == "alternating" {
		add("oneway", "one-way by turns")
	}
	if w, ok := t.word("incline"); ok && w != "" && w != "up" && w != "down" && w != "yes" && w != "no" && ParseIncline(w).State == route.Unreadable {
		add("incline", "a grade that cannot be read")
	}
	for _, key := range otherWays {
		if w, ok := t.word(key); ok && w != "" && w != "no" && v == "" {
			add(key, "no road")
		}
	}
	if w, _ := t.word("route"); w == "ferry" && v == "" {
		add("route", "a ferry")
	}
	if w, ok := t.word("barrier"); ok && w != "" && w != "no" {
		add("barrier", "something to open or to move")
	}
	if t.flag("bridge") == "" && t.flag("tunnel") == "" {
		if t.layer() > 0 {
			add("layer", "above the ground, and no bridge tagged")
		}
		for _, key := range t.sortedKeys() {
			if w, _ := t.word(key); strings.HasPrefix(key, "bridge:") || (key == "man_made" && w == "bridge") {
				add(key, "of a bridge, and no bridge tagged")
			}
		}
	}
	return out
}

// sortedKeys are the keys in order, so that what is said of them is.
func (t tagReader) sortedKeys() []string {
	keys := make([]string, 0, len(t.props))
	for k := range t.props {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
