//go:build cgo

package raster

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Set is several rasters open for reading as one terrain.Surface.
type Set struct {
	stack   *terrain.Stack
	rasters []*Raster
}

// idleHandles is how many files of a set stay open when no call uses them. A
// choice: far below the 1024 files a process usually may open.
const idleHandles = 32

// OpenAll opens rasters together: at each point the finest that has a height
// there gives it, and among equally fine ones the first named. A path is a
// raster, a VRT, or a folder, which stands for all rasters in it (not in
// folders below it), sorted by name.
//
// Files of a folder that share a grid are tiles of one raster and one Source,
// without a seam between them; where tiles overlap the first by name that has
// data there gives the cell. A file that is no raster of heights is skipped
// with a note in the first Source of its folder; a folder with no raster in it
// is an error. Each file of a folder is looked at once, one at a time, and
// opened again when a point needs it; however many there are, no more than
// idleHandles and one a goroutine are open.
//
// The error is an *Error for one path, or wraps terrain.ErrDatum,
// terrain.ErrUnit or terrain.ErrSources for rasters that do not go together.
func OpenAll(paths []string, o Options) (*Set, error) {
	register()
	s := &Set{}
	blocks := newCache(o.cacheBytes())
	handles := &pool{keep: max(idleHandles, runtime.GOMAXPROCS(0))}
	var surfaces []terrain.Surface
	for _, path := range paths {
		groups, notes, err := look(path, o)
		if err != nil {
			return nil, errors.Join(err, s.Close())
		}
		for i, g := range groups {
			r := assemble(g, blocks, handles)
			if i == 0 {
				r.source.Notes = append(r.source.Notes, notes...)
			}
			s.rasters, surfaces = append(s.rasters, r), append(surfaces, r)
		}
	}
	var err error
	if s.stack, err = terrain.NewStack(surfaces); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// look inspects what a path names and closes it again.
func look(path string, o Options) (groups []*group, notes []string, err error) {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return lookInFolder(path, o)
	}
	one, err := inspect(path, o)
	if err != nil {
		return nil, nil, err
	}
	one.close()
	g := &group{members: []member{{opened: one}}}
	g.settle()
	return []*group{g}, nil, nil
}

func lookInFolder(folder string, o Options) (groups []*group, notes []string, err error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, nil, &Error{File: folder, Op: "open", Reason: "its files cannot be listed", Hint: "check its permissions", Err: ErrNotRaster}
	}
	var none []string
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
			continue
		}
		one, err := inspect(path, o)
		switch {
		case errors.Is(err, ErrOption):
			return nil, nil, err
		case errors.Is(err, ErrNotRaster):
			none = append(none, e.Name())
			continue
		case err != nil:
			notes = append(notes, "skipped: "+firstLine(err))
			continue
		}
		one.close()
		if groups = sortIn(groups, folder, one); len(groups) > mostGrids {
			return nil, nil, &Error{File: folder, Op: "open", Err: terrain.ErrSources,
				Reason: fmt.Sprintf("its rasters lie in more than %d different grids", mostGrids), Hint: "join them: gdalbuildvrt all.vrt *.tif"}
		}
	}
	if len(groups) == 0 {
		return nil, nil, empty(folder, len(none), notes)
	}
	for _, g := range groups {
		g.settle()
	}
	return groups, append(notes, skipped(none)...), nil
}

// mostGrids bounds the grids of one folder to what a stack can tell apart.
const mostGrids = 256

func sortIn(groups []*group, folder string, one *opened) []*group {
	for _, g := range groups {
		if g.join(one) {
			return groups
		}
	}
	return append(groups, &group{folder: folder, members: []member{{opened: one}}})
}

func empty(folder string, others int, notes []string) *Error {
	e := &Error{File: folder, Op: "open", Err: ErrNotRaster, Reason: "no raster of heights in this folder",
		Hint: "name the folder that holds the rasters themselves; folders below it are not looked into"}
	switch {
	case len(notes) > 0:
		e.Reason += "; " + notes[0]
	case others > 0:
		e.Reason += fmt.Sprintf("; none of its %d files can be read as one", others)
	}
	return e
}

// namedSkipped is how many skipped files a note names. A choice.
const namedSkipped = 5

func skipped(names []string) []string {
	if len(names) == 0 {
		return nil
	}
	text := strings.Join(names[:min(len(names), namedSkipped)], ", ")
	if more := len(names) - namedSkipped; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return []string{"skipped, no rasters: " + text}
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

// Elevations implements terrain.Surface; see [Raster.Elevations] for errors.
func (s *Set) Elevations(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	return s.stack.Elevations(ctx, pts, out)
}

// Rivals implements terrain.Rivals.
func (s *Set) Rivals(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	return s.stack.Rivals(ctx, pts, out)
}

// Sources implements terrain.Surface: the finest first.
func (s *Set) Sources() []terrain.Source { return s.stack.Sources() }

// Close gives back the handles. Nothing may be asked for after it.
func (s *Set) Close() error {
	var errs []error
	for _, r := range s.rasters {
		errs = append(errs, r.Close())
	}
	return errors.Join(errs...)
}
