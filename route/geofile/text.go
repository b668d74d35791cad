package geofile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"
)

// jsonSpace is the white space of RFC 8259 section 2.
const jsonSpace = " \t\r\n"

var utf8BOM = []byte{0xEF, 0xBB, 0xBF}

// signatures of formats that turn up under a GeoJSON name, longest first where
// one begins another. Source: the published descriptions of the formats,
// standing: memory.
var signatures = []struct{ magic, what, hint string }{
	{"\x1f\x8b", "gzip compressed data", "unpack it first"},
	{"PK\x03\x04", "a ZIP archive", "unpack it first"},
	{"(\xb5\x2f\xfd", "Zstandard compressed data", "unpack it first"},
	{"BZh", "bzip2 compressed data", "unpack it first"},
	{"SQLite format 3\x00", "an SQLite database (GeoPackage?)", "convert it to GeoJSON"},
	{"fgb", "FlatGeobuf", "convert it to GeoJSON"},
	{"\xff\xfe\x00\x00", "UTF-32 text", "save it as UTF-8"},
	{"\xff\xfe", "UTF-16 text", "save it as UTF-8"},
	{"\xfe\xff", "UTF-16 text", "save it as UTF-8"},
	{"{\x00", "UTF-16 text", "save it as UTF-8"},
	{"[\x00", "UTF-16 text", "save it as UTF-8"},
	{"\x00{", "UTF-16 text", "save it as UTF-8"},
	{"\x00[", "UTF-16 text", "save it as UTF-8"},
}

// foreign names what a file is that cannot be GeoJSON text, "" if it may be.
func foreign(head []byte) (what, hint string) {
	for _, s := range signatures {
		if bytes.HasPrefix(head, []byte(s.magic)) {
			return s.what, s.hint
		}
	}
	if t := bytes.TrimLeft(bytes.TrimPrefix(head, utf8BOM), jsonSpace); bytes.HasPrefix(t, []byte("<")) {
		return "XML (GPX or KML?)", "convert it to GeoJSON"
	}
	return "", ""
}

// textFault is why some bytes are not JSON that may be parsed.
type textFault struct {
	kind         error
	reason, hint string
	trailing     bool // a complete value, then more
}

func (f *textFault) asError(file string, feature int) *Error {
	return &Error{File: file, Feature: feature, Reason: f.reason, Hint: f.hint, Err: f.kind}
}

// checkText holds data against UTF-8, the depth limit and RFC 8259, in this
// order: the depth is known before anything recursive sees the text.
func checkText(data []byte) *textFault {
	if !utf8.Valid(data) {
		return &textFault{kind: ErrNotJSON, reason: "not UTF-8 at " + placeOf(data, invalidAt(data)),
			hint: "save it as UTF-8; Latin-1?"}
	}
	if at := tooDeep(data); at >= 0 {
		return &textFault{kind: ErrTooLarge, reason: fmt.Sprintf("nested deeper than %d levels at %s", MaxDepth, placeOf(data, at))}
	}
	var whole json.RawMessage
	err := json.Unmarshal(data, &whole)
	if err == nil {
		return nil
	}
	var syn *json.SyntaxError
	if !errors.As(err, &syn) {
		return &textFault{kind: ErrNotJSON, reason: "not JSON: " + err.Error()}
	}
	return syntaxFault(data, int(syn.Offset)-1)
}

// syntaxFault words the fault at byte index at, which is the first that does
// not fit.
func syntaxFault(data []byte, at int) *textFault {
	f := &textFault{kind: ErrNotJSON}
	if len(bytes.TrimLeft(data, jsonSpace)) == 0 {
		f.reason = "not JSON: nothing but white space"
		return f
	}
	if at < 0 || at >= len(data) || (at == len(data)-1 && unfinished(data)) {
		f.reason, f.hint = "not JSON: the text ends inside a value", "is the file cut off?"
		return f
	}
	r, _ := utf8.DecodeRune(data[at:])
	f.reason = fmt.Sprintf("not JSON: unexpected %q at %s", r, placeOf(data, at))
	before := bytes.TrimRight(data[:at], jsonSpace)
	switch {
	case r == 'N' || r == 'I':
		f.hint = "NaN and Infinity are not JSON"
	case r == '/' || r == '#':
		f.hint = "JSON has no comments"
	case (r == ']' || r == '}') && bytes.HasSuffix(before, []byte(",")):
		f.hint = "JSON allows no comma before a closing bracket"
	}
	f.trailing = json.Valid(before)
	return f
}

// unfinished reports whether data is the beginning of a value: the decoder
// puts that fault on the last byte.
func unfinished(data []byte) bool {
	err := json.Unmarshal(data, new(json.RawMessage))
	return err != nil && err.Error() == "unexpected end of JSON input"
}

// tooDeep gives the index of the bracket that opens a level beyond MaxDepth,
// -1 if there is none.
func tooDeep(data []byte) int {
	depth, inString := 0, false
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case inString && c == '\\':
			i++
		case c == '"':
			inString = !inString
		case inString:
		case c == '[' || c == '{':
			if depth++; depth > MaxDepth {
				return i
			}
		case c == ']' || c == '}':
			depth--
		}
	}
	return -1
}

func invalidAt(data []byte) int {
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return len(data)
}

// placeOf words the byte at index i, both counts from 1.
func placeOf(data []byte, i int) string {
	return fmt.Sprintf("line %d, byte %d", 1+bytes.Count(data[:i], []byte("\n")), i+1)
}
