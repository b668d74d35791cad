//go:build cgo

package raster

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"github.com/airbusgeo/godal"
)

// worker is a dataset and a transformation of its own: neither may be used by
// two goroutines at a time.
type worker struct {
	ds    *godal.Dataset
	to    *godal.Transform
	facts *facts
	path  string
}

// project implements projector. GDAL marks a point it cannot transform; one
// that comes back infinite counts as that too.
func (w *worker) project(lon, lat []float64, ok []bool) {
	// The error says only that some point failed; ok says which.
	_ = w.to.TransformEx(lon, lat, nil, ok)
	for i := range ok {
		ok[i] = ok[i] && !math.IsInf(lon[i], 0) && !math.IsNaN(lon[i]) && !math.IsInf(lat[i], 0) && !math.IsNaN(lat[i])
	}
}

func (w *worker) read(col, row, cols, rows int) (*block, error) {
	f := w.facts
	b := w.ds.Bands()[f.band-1]
	blk := &block{}
	var buf any
	if f.kind == cellsNarrow {
		blk.f32 = make([]float32, cols*rows)
		buf = blk.f32
	} else {
		blk.f64 = make([]float64, cols*rows)
		buf = blk.f64
	}
	if err := w.fill(b, buf, col, row, cols, rows); err != nil {
		return nil, err
	}
	if f.kind == cellsNarrow {
		f.voids32(blk.f32)
	} else {
		f.voids64(blk.f64)
	}
	if f.masked {
		mask := make([]byte, cols*rows)
		if err := w.fill(b.MaskBand(), mask, col, row, cols, rows); err != nil {
			return nil, err
		}
		blk.blank(func(i int) bool { return mask[i] == 0 })
	}
	if f.sparse {
		w.blankSparse(b, blk, col, row, cols, rows)
	}
	return blk, nil
}

// fill reads one window at full resolution.
func (w *worker) fill(b godal.Band, buf any, col, row, cols, rows int) error {
	var log gdalLog
	err := b.Read(col, row, buf, cols, rows, godal.ErrLogger(log.handle))
	bad := said(log.damage(), w.path)
	if err == nil && len(bad) == 0 {
		return nil
	}
	reason := strings.Join(bad, "; ")
	if reason == "" {
		reason = err.Error()
	}
	return &Error{File: w.path, Op: "read", Err: ErrRead,
		Reason: fmt.Sprintf("cells %d to %d of rows %d to %d: %s", col, col+cols-1, row, row+rows-1, clipReason(reason)),
		Hint:   "the file is damaged or incomplete: fetch it again"}
}

func clipReason(s string) string {
	if len(s) > 400 {
		return s[:400] + "..."
	}
	return s
}

func (b *block) blank(void func(i int) bool) {
	for i := range b.f32 {
		if void(i) {
			b.f32[i] = float32(math.NaN())
		}
	}
	for i := range b.f64 {
		if void(i) {
			b.f64[i] = math.NaN()
		}
	}
}

func (f *facts) voids32(cells []float32) {
	if f.signed {
		for i, c := range cells {
			if c > 127 {
				cells[i] = c - 256
			}
		}
	}
	if !f.hasVoid {
		return
	}
	// The tag is text or a double; the cell holds what float32 makes of it.
	nodata := float32(f.nodata)
	if f.shape.DataType != godal.Float32 && float64(nodata) != f.nodata {
		return
	}
	for i, c := range cells {
		if c == nodata {
			cells[i] = float32(math.NaN())
		}
	}
}

func (f *facts) voids64(cells []float64) {
	if !f.hasVoid {
		return
	}
	for i, c := range cells {
		if c == f.nodata {
			cells[i] = math.NaN()
		}
	}
}

// blankSparse voids the zeros of tiles that a GeoTIFF without a nodata value
// leaves out of the file: GDAL reads them as 0.
func (w *worker) blankSparse(b godal.Band, blk *block, col, row, cols, rows int) {
	bc, br := w.facts.shape.BlockSizeX, w.facts.shape.BlockSizeY
	for ty := row / br; ty*br < row+rows; ty++ {
		for tx := col / bc; tx*bc < col+cols; tx++ {
			if b.Metadata(fmt.Sprintf("BLOCK_OFFSET_%d_%d", tx, ty), godal.Domain("TIFF")) != "" {
				continue
			}
			for y := max(ty*br, row); y < min((ty+1)*br, row+rows); y++ {
				for x := max(tx*bc, col); x < min((tx+1)*bc, col+cols); x++ {
					blk.blankZero((y-row)*cols + x - col)
				}
			}
		}
	}
}

func (b *block) blankZero(i int) {
	if b.f32 != nil && b.f32[i] == 0 {
		b.f32[i] = float32(math.NaN())
	}
	if b.f64 != nil && b.f64[i] == 0 {
		b.f64[i] = math.NaN()
	}
}

// pool lends workers, opening more as goroutines ask for them and keeping a
// few.
type pool struct {
	path  string
	facts *facts
	keep  int

	mu     sync.Mutex
	free   []*worker
	closed bool
}

func newPool(path string, f *facts, keep int) *pool { return &pool{path: path, facts: f, keep: keep} }

var errClosed = errors.New("the raster is closed")

func (p *pool) get() (handle, error) {
	p.mu.Lock()
	if p.closed {
		p.mu.Unlock()
		return nil, &Error{File: p.path, Op: "read", Reason: errClosed.Error(), Err: ErrRead}
	}
	if n := len(p.free); n > 0 {
		w := p.free[n-1]
		p.free = p.free[:n-1]
		p.mu.Unlock()
		return w, nil
	}
	p.mu.Unlock()
	var log gdalLog
	ds, err := openDataset(p.path, &log)
	if err == nil {
		var to *godal.Transform
		if to, err = p.facts.transform(true); err == nil {
			return &worker{ds: ds, to: to, facts: p.facts, path: p.path}, nil
		}
	}
	e := asError(err)
	e.File, e.Op = p.path, "read"
	return nil, e
}

func (p *pool) put(h handle) {
	w := h.(*worker)
	p.mu.Lock()
	if !p.closed && len(p.free) < p.keep {
		p.free = append(p.free, w)
		p.mu.Unlock()
		return
	}
	p.mu.Unlock()
	w.close() //nolint:errcheck // one handle too many, opened for reading only
}

func (w *worker) close() error {
	w.to.Close()
	return w.ds.Close(quiet())
}

func (p *pool) close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	var errs []error
	for _, w := range p.free {
		errs = append(errs, w.close())
	}
	p.free = nil
	return errors.Join(errs...)
}
