// Package specfile reads the YAML files that people write about transporters,
// helpers, disabled machines and surfaces. It is strict: an unknown key is an error with
// file, line, column and the nearest known key; so are keys given twice, keys
// without a value, wrong types, tabs for indentation, anchors, aliases, tags
// and a second document. It knows the form of a file only; what the numbers may
// be says the vehicle package, whose complaints [Load] puts at their line.
package specfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"drawbar/vehicle"
)

// Limits of a file. People write these by hand; one this long or deep is
// something else.
const (
	MaxBytes = 64 << 10
	MaxDepth = 12
)

// Problem is one thing wrong with a file.
type Problem struct {
	File    string `json:"file"`
	Line    int    `json:"line"`   // from 1; 0 when the whole file is meant
	Column  int    `json:"column"` // from 1
	Path    string `json:"path"`   // "units[1].load.mass_kg", "" when none
	Problem string `json:"problem"`
	Hint    string `json:"hint,omitempty"` // what to do
}

func (p Problem) String() string {
	s := p.File
	if p.Line > 0 {
		s += fmt.Sprintf(":%d:%d", p.Line, p.Column)
	}
	if p.Path != "" {
		s += ": " + p.Path
	}
	s += ": " + p.Problem
	if p.Hint != "" {
		s += "; " + p.Hint
	}
	return s
}

// maxShown is how many problems of a file are kept: nobody mends more at once.
const maxShown = 50

// Error is what is wrong with a file, in the order of its lines, the first 50.
// Reached with errors.As; its fields marshal to JSON.
type Error struct {
	Problems []Problem `json:"problems"`
	More     int       `json:"more,omitempty"` // how many were left off
}

func (e *Error) Error() string {
	var s strings.Builder
	for i, p := range e.Problems {
		if i > 0 {
			s.WriteByte('\n')
		}
		s.WriteString(p.String())
	}
	if e.More > 0 {
		fmt.Fprintf(&s, "\nand %d more", e.More)
	}
	return s.String()
}

// Read reads a transporter or helper. name stands for the file in messages.
func Read(r io.Reader, name string) (vehicle.Spec, error) {
	var s vehicle.Spec
	_, err := read(r, name, &s)
	if err != nil {
		return vehicle.Spec{}, err
	}
	return s, nil
}

// ReadFile is Read of the file at a path.
func ReadFile(path string) (vehicle.Spec, error) {
	return fromFile(path, Read)
}

// Load reads a transporter or helper and makes it a Combination. What
// vehicle.New complains of is reported at the line of its field.
func Load(path string) (*vehicle.Combination, error) {
	return fromFile(path, func(r io.Reader, name string) (*vehicle.Combination, error) {
		var s vehicle.Spec
		d, err := read(r, name, &s)
		if err != nil {
			return nil, err
		}
		c, _, err := vehicle.New(s)
		return c, d.located(err)
	})
}

// ReadMachine reads a disabled machine and checks it.
func ReadMachine(r io.Reader, name string) (vehicle.MachineSpec, error) {
	var s vehicle.MachineSpec
	d, err := read(r, name, &s)
	if err == nil {
		err = d.located(s.Check())
	}
	if err != nil {
		return vehicle.MachineSpec{}, err
	}
	return s, nil
}

// ReadMachineFile is ReadMachine of the file at a path.
func ReadMachineFile(path string) (vehicle.MachineSpec, error) {
	return fromFile(path, ReadMachine)
}

// ReadSurfaces reads rows of grip and rolling resistance and checks them.
func ReadSurfaces(r io.Reader, name string) (vehicle.SurfacesSpec, error) {
	var s vehicle.SurfacesSpec
	d, err := read(r, name, &s)
	if err == nil {
		err = d.located(s.Check())
	}
	if err != nil {
		return vehicle.SurfacesSpec{}, err
	}
	return s, nil
}

// ReadSurfacesFile is ReadSurfaces of the file at a path.
func ReadSurfacesFile(path string) (vehicle.SurfacesSpec, error) {
	return fromFile(path, ReadSurfaces)
}

func fromFile[T any](path string, read func(io.Reader, string) (T, error)) (T, error) {
	var none T
	f, err := os.Open(path)
	if err != nil {
		return none, err
	}
	defer f.Close()
	return read(f, filepath.Base(path))
}

// read decodes one document into the struct that v points to.
func read(r io.Reader, name string, v any) (*document, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	d := &document{name: name, at: map[string]place{}}
	root := d.parse(bytes.TrimPrefix(data, []byte("\ufeff"))) // some editors begin with a byte order mark
	if root != nil {
		d.decode(root, v)
	}
	return d, d.err()
}

// located puts each vehicle.FieldError at the line of its field, or of the
// nearest field around it that the file has.
func (d *document) located(err error) error {
	if err == nil {
		return nil
	}
	var all []error
	if j, ok := err.(interface{ Unwrap() []error }); ok {
		all = j.Unwrap()
	} else {
		all = []error{err}
	}
	for _, e := range all {
		var f *vehicle.FieldError
		if !errors.As(e, &f) {
			return fmt.Errorf("%s: %w", d.name, err)
		}
		at := d.nearest(f.Path)
		d.problems = append(d.problems, Problem{File: d.name, Line: at.line, Column: at.column, Path: f.Path, Problem: f.Problem})
	}
	return d.err()
}
