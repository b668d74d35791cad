//go:build cgo

package raster

import (
	"errors"
	"math"
	"sync"

	"github.com/airbusgeo/godal"
)

// pool lends datasets of tiles, opening more as goroutines ask for them and
// keeping the ones used last. However many tiles there are, keep datasets are
// open, and one more for each call under way.
type pool struct {
	keep int

	mu     sync.Mutex
	idle   []*worker // used last at the end
	closed bool
}

var errClosed = errors.New("the raster is closed")

// lease implements store.
func (p *pool) lease(t *tile) (reader, error) {
	file := t.file.(*tileFile)
	switch w, err := p.take(file); {
	case err != nil:
		return nil, err
	case w != nil:
		return w, nil
	}
	var log gdalLog
	ds, err := openDataset(file.path, &log)
	if err != nil {
		e := asError(err)
		e.File, e.Op = file.path, "read"
		return nil, e
	}
	if s := ds.Structure(); s.SizeX != file.facts.shape.SizeX || s.SizeY != file.facts.shape.SizeY {
		ds.Close(quiet()) //nolint:errcheck // opened for reading only
		return nil, &Error{File: file.path, Op: "read", Err: ErrRead, Reason: "it has been replaced since it was opened", Hint: "run again"}
	}
	return &worker{ds: ds, tileFile: file}, nil
}

// take gives an idle dataset of a tile, nil when there is none.
func (p *pool) take(file *tileFile) (*worker, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return nil, &Error{File: file.path, Op: "read", Reason: errClosed.Error(), Err: ErrRead}
	}
	for i := len(p.idle) - 1; i >= 0; i-- {
		if w := p.idle[i]; w.tileFile == file {
			p.idle = append(p.idle[:i], p.idle[i+1:]...)
			return w, nil
		}
	}
	return nil, nil
}

// release implements store.
func (p *pool) release(_ *tile, r reader) { p.put(r.(*worker)) }

func (p *pool) put(w *worker) {
	p.mu.Lock()
	var over *worker
	switch {
	case p.closed:
		over = w
	case len(p.idle) >= p.keep:
		over = p.idle[0]
		p.idle = append(append(p.idle[:0], p.idle[1:]...), w)
	default:
		p.idle = append(p.idle, w)
	}
	p.mu.Unlock()
	if over != nil {
		over.ds.Close(quiet()) //nolint:errcheck // one handle too many, opened for reading only
	}
}

func (p *pool) close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	var errs []error
	for _, w := range p.idle {
		errs = append(errs, w.ds.Close(quiet()))
	}
	p.idle = nil
	return errors.Join(errs...)
}

// projection implements projector by PROJ.
type projection struct{ to *godal.Transform }

// project marks as failed what GDAL marks, and what comes back infinite.
func (p projection) project(lon, lat []float64, ok []bool) {
	// The error says only that some point failed; ok says which.
	_ = p.to.TransformEx(lon, lat, nil, ok)
	for i := range ok {
		ok[i] = ok[i] && !math.IsInf(lon[i], 0) && !math.IsNaN(lon[i]) && !math.IsInf(lat[i], 0) && !math.IsNaN(lat[i])
	}
}

// projections lends transformations into one coordinate system.
type projections struct {
	make func() (*godal.Transform, error)
	keep int

	mu     sync.Mutex
	idle   []projection
	closed bool
}

func (p *projections) lease() (projector, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if n := len(p.idle); n > 0 {
		one := p.idle[n-1]
		p.idle = p.idle[:n-1]
		return one, nil
	}
	if p.closed {
		return nil, &Error{Op: "read", Reason: errClosed.Error(), Err: ErrRead}
	}
	to, err := p.make()
	if err != nil {
		e := asError(err)
		e.Op = "read"
		return nil, e
	}
	return projection{to}, nil
}

func (p *projections) release(one projector) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed || len(p.idle) >= p.keep {
		one.(projection).to.Close()
		return
	}
	p.idle = append(p.idle, one.(projection))
}

func (p *projections) close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	for _, one := range p.idle {
		one.to.Close()
	}
	p.idle = nil
}
