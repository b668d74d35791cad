package geofile

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
)

// What a fault is about, for callers that branch on it with errors.Is.
var (
	ErrNotJSON    = errors.New("not JSON text")                            // other format, encoding or syntax
	ErrNotGeoJSON = errors.New("not GeoJSON")                              // JSON, but not as RFC 7946 has it
	ErrNotWGS84   = errors.New("not WGS84 longitude/latitude")             // other coordinate system, by name or by its figures
	ErrNotRoutes  = errors.New("no usable route")                          // no line among the features, or no feature
	ErrPosition   = errors.New("bad position")                             // a position that is none, or out of range
	ErrLength     = errors.New("line without length")                      // too few positions, or all the same
	ErrGap        = errors.New("pieces do not meet")                       // more than MaxJoinM between consecutive pieces
	ErrPieces     = errors.New("pieces of a route cannot be put in order") // seq missing, twice, or not a number
	ErrLeap       = errors.New("leap in the line")                         // consecutive vertices too far apart for any road
	ErrTooLarge   = errors.New("file beyond a limit of the reader")        // bytes or depth
)

// Error is a fault of a file or of one feature in it.
type Error struct {
	File     string // base name
	Feature  int    // 1-based in the order of the file, 0: the whole file
	Part     int    // 1-based part of a MultiLineString, 0: not of a part
	Position int    // 1-based position in the line or part, 0: not of a position
	Reason   string // what is wrong
	Hint     string // what to do or look at; may be empty
	Err      error  // one of the sentinels of this package, or the error of the system
}

// Error gives place, reason and hint in one line.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	sep := ": "
	place := func(word string, n int) {
		if n > 0 {
			fmt.Fprintf(&b, "%s%s %d", sep, word, n)
			sep = ", "
		}
	}
	place("feature", e.Feature)
	place("part", e.Part)
	place("position", e.Position)
	b.WriteString(": " + e.Reason)
	if e.Hint != "" {
		b.WriteString(" (" + e.Hint + ")")
	}
	return b.String()
}

// Unwrap gives the sentinel or the error of the system.
func (e *Error) Unwrap() error { return e.Err }

// fault is an error of the whole file.
func (r *reader) fault(kind error, reason, hint string) *Error {
	return &Error{File: r.file, Reason: reason, Hint: hint, Err: kind}
}

// at is an error of the feature that is being read.
func (r *reader) at(kind error, reason, hint string) *Error {
	return &Error{File: r.file, Feature: r.feature, Reason: reason, Hint: hint, Err: kind}
}

func (r *reader) ioFault(err error) *Error {
	return &Error{File: r.file, Reason: "cannot be read: " + cause(err), Err: err}
}

func (r *reader) tooLarge(what string) *Error {
	return r.fault(ErrTooLarge, fmt.Sprintf("%s is larger than %d bytes", what, r.max),
		"split the file, or write one feature a line and name it .geojsonl")
}

// cause is the text of an error of the file system without the path, which is
// named already and may be absolute.
func cause(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
