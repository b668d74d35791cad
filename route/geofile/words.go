package geofile

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxIDRunes is the longest route ID, runes; a choice.
const maxIDRunes = 60

// cleanText makes text of a file fit to be printed: control characters (a
// terminal would obey them), invisible format characters (they can turn the
// reading direction) and line separators become U+FFFD, white space at the
// ends goes.
func cleanText(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
			return utf8.RuneError
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

// cutRunes shortens s to at most n runes.
func cutRunes(s string, n int) string {
	for i := range s {
		if n == 0 {
			return s[:i]
		}
		n--
	}
	return s
}

// shortText is text of a file for a message: clean and at most 40 runes.
func shortText(s string) string {
	// Cut first, so that a value of megabytes costs nothing.
	cut := cutRunes(s, 40)
	if len(cut) < len(s) {
		return cleanText(cut) + "..."
	}
	return cleanText(cut)
}

// uniqueID gives an ID that no route of this reading has yet; changed tells
// that a suffix was needed.
func (r *reader) uniqueID(want string) (id string, changed bool) {
	id = want
	for n := r.ids[want]; ; n++ {
		if n > 0 {
			id = want + "#" + strconv.Itoa(n+1)
		}
		if _, taken := r.ids[id]; !taken {
			r.ids[want] = n + 1
			if id != want {
				r.ids[id] = 1
			}
			return id, n > 0
		}
	}
}

// idText is text of a file as an ID.
func idText(s string) string { return cutRunes(cleanText(cutRunes(s, 4*maxIDRunes)), maxIDRunes) }
