package geofile

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// recordSeparator starts a record of a text sequence (RFC 8142, RFC 7464).
const recordSeparator = 0x1E

// severalLines reports whether the first line with text is a whole JSON object
// and the next line with text begins another.
func severalLines(data []byte) bool {
	var lines [][]byte
	for len(lines) < 2 && len(data) > 0 {
		line, rest, _ := bytes.Cut(data, []byte("\n"))
		if line = bytes.Trim(line, jsonSpace); len(line) > 0 {
			lines = append(lines, line)
		}
		data = rest
	}
	return len(lines) == 2 && lines[0][0] == '{' && json.Valid(lines[0]) && lines[1][0] == '{'
}

// sequence reads record after record: delimited by the record separator if
// marked, else one a line.
func (r *reader) sequence(br *bufio.Reader, marked bool) error {
	delim := byte('\n')
	if marked {
		delim = recordSeparator
	}
	var run seqRun
	for {
		rec, err := r.record(br, delim)
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if len(rec) > 0 {
			for _, p := range r.recordPieces(rec) {
				if yerr := run.add(r, p); yerr != nil {
					return yerr
				}
			}
		}
		if err != nil {
			return r.closeGroup(run.open, run.doubt)
		}
	}
}

// seqRun is where the reading of a sequence stands.
type seqRun struct {
	open  []*piece // of the route whose pieces are still coming
	doubt bool     // the record before open could not be read at all
}

// add takes the next piece and yields the route before it, if p is not of it.
func (s *seqRun) add(r *reader, p *piece) error {
	if len(s.open) > 0 && p.route != "" && p.route == s.open[0].route {
		s.open = append(s.open, p)
		return nil
	}
	err := r.closeGroup(s.open, s.doubt || p.unread)
	s.doubt = len(s.open) > 0 && s.open[0].unread
	s.open = []*piece{p}
	return err
}

// record reads up to the next delimiter, without it and without white space
// around. A line feed ends a record of both kinds, so white space is all that
// may be lost.
func (r *reader) record(br *bufio.Reader, delim byte) ([]byte, error) {
	var rec []byte
	for {
		chunk, err := br.ReadSlice(delim)
		if int64(len(rec)+len(chunk)) > r.max+1 {
			return nil, r.tooLarge(fmt.Sprintf("record %d", r.feature+1))
		}
		rec = append(rec, chunk...)
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err == nil:
			return bytes.Trim(rec[:len(rec)-1], jsonSpace+"\x1e"), nil
		case errors.Is(err, io.EOF):
			return bytes.Trim(rec, jsonSpace+"\x1e"), io.EOF
		default:
			return nil, r.ioFault(err)
		}
	}
}

// recordPieces parses one record; what is wrong with it stays with it.
func (r *reader) recordPieces(rec []byte) []*piece {
	if f := checkText(rec); f != nil {
		r.feature++
		if f.kind == ErrNotJSON && f.hint == "" {
			f.hint = "each record must be one whole GeoJSON object"
		}
		return []*piece{{feature: r.feature, unread: true, err: f.asError(r.file, r.feature)}}
	}
	before := r.feature
	pieces, ferr := r.object(string(rec))
	if ferr != nil {
		r.feature = before + 1
		ferr.Feature = r.feature
		return []*piece{{feature: r.feature, unread: true, err: ferr}}
	}
	return pieces
}

// closeGroup yields the route of pieces that stood together, unless it cannot
// be told that they are all: the same route property comes once more further
// down, or (doubt) a record next to them could not be read.
func (r *reader) closeGroup(open []*piece, doubt bool) error {
	if len(open) == 0 {
		return nil
	}
	p := open[0]
	fail := func(reason, hint string) {
		if p.err == nil {
			p.err = &Error{File: r.file, Feature: p.feature, Reason: reason, Hint: hint, Err: ErrPieces}
		}
	}
	if p.route != "" && r.closed[p.route] {
		fail(fmt.Sprintf("the pieces of route %q do not stand together", shortText(p.route)),
			"in a sequence they must follow one another; sort the file by route and seq")
	}
	if doubt && p.seqText != "" {
		fail(fmt.Sprintf("a record next to route %q cannot be read and may be a piece of it", shortText(p.route)), "mend that record")
	}
	if p.route != "" {
		r.closed[p.route] = true
	}
	return r.emit(open)
}
