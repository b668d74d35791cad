package geofile

import (
	"fmt"
	"strings"

	"drawbar/route"
)

// tidy brings keys that differ from a known form only by case or blanks to that
// form: a limit must not vanish because somebody wrote MaxWeight. Where the
// known form is there already the other one stays, and counts as a lookalike.
func (t *tagReader) tidy() {
	for _, key := range t.sortedKeys() {
		plain := strings.ToLower(strings.TrimSpace(key))
		if _, taken := t.props[plain]; plain == key || taken || !knownKey(plain) {
			continue
		}
		t.props[plain] = t.props[key]
		delete(t.props, key)
		t.piece.addNote(fmt.Sprintf("property %q is read as %s", shortText(key), plain))
	}
}

// knownKey reports whether a key is one that decides something.
func knownKey(key string) bool {
	base, _, _ := strings.Cut(key, ":")
	switch base {
	case "highway", "surface", "tracktype", "smoothness", "bridge", "tunnel", "covered", "ford", "layer", "oneway", "access", "vehicle", "motor_vehicle", "goods", "hgv",
		"width", "depth", "incline", "mlc", "barrier", "junction", "railway", "waterway":
		return true
	}
	_, limit := limitOf(key)
	return limit
}

// limitWords tell what a key beginning with "max" limits, the special ones
// first.
var limitWords = []struct{ word, base string }{
	{"axle", "maxaxleload"}, {"bogie", "maxbogieweight"}, {"tandem", "maxbogieweight"}, {"rating", "maxweightrating"},
	{"weight", "maxweight"}, {"mass", "maxweight"}, {"tonnage", "maxweight"}, {"load", "maxweight"},
	{"height", "maxheight"}, {"clearance", "maxheight"}, {"width", "maxwidth"}, {"length", "maxlength"},
}

// aside ends keys that speak of a limit and set none, or set it for others.
var aside = []string{":signed", ":source", ":note", ":description", ":type", ":date", ":check_date", ":bicycle", ":motorcycle", ":motorcar", ":bus", ":coach", ":tourist_bus", ":psv", ":caravan"}

// limitKeys are names of a limit that a desk may use, with what they would be of.
var limitKeys = map[string]string{
	"hgv:maxweight": "weight", "hgv:maxaxleload": "axle", "hgv:maxheight": "height", "hgv:maxwidth": "width", "hgv:maxlength": "length",
	"weight_limit": "weight", "weightlimit": "weight", "load_limit": "weight", "tonnage": "weight", "weight": "weight", "legal_weight": "weight",
	"height_limit": "height", "clearance": "height", "vertical_clearance": "height", "headroom": "height", "width_limit": "width", "length_limit": "length", "axle_limit": "axle", "axle_load": "axle",
}

// limitOf is the limit that a key would be of: one beginning with "max", or one
// of limitKeys.
func limitOf(key string) (base string, ok bool) {
	low := strings.ToLower(strings.TrimSpace(key))
	low, found := strings.CutPrefix(low, "max")
	if !found {
		if low, found = limitKeys[low]; !found {
			return "", false
		}
	}
	for _, a := range aside {
		if strings.HasSuffix(low, a) {
			return "", false
		}
	}
	for _, w := range limitWords {
		if strings.Contains(low, w.word) {
			return w.base, true
		}
	}
	return "", false
}

// lookalikes joins to a limit the keys that look like it in a form nobody
// reads, maxweight:goods or max_weight: such a limit is there, its figure for
// us is not known.
func (t tagReader) lookalikes(base string, l route.Limit) route.Limit {
	for _, key := range t.sortedKeys() {
		if b, ok := limitOf(key); !ok || b != base || readForm(base, key) || !t.has(key) || t.props[key].String() == "" {
			continue
		}
		l = stricter(l, unreadable(key+"="+t.props[key].String()))
		t.piece.addNote(fmt.Sprintf("property %q looks like a limit and is not read: taken as one that nobody knows", shortText(key)))
	}
	return l
}

// readForm reports whether a key is one that posted reads.
func readForm(base, key string) bool {
	if key == base {
		return true
	}
	for _, list := range [][]string{postedForms, conditionalForms} {
		for _, form := range list {
			if key == base+form {
				return true
			}
		}
	}
	return false
}
