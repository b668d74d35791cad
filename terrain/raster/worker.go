//go:build cgo

package raster

import (
	"fmt"
	"math"
	"strings"

	"github.com/airbusgeo/godal"
)

// worker is a dataset of its own: it may not be used by two goroutines at a
// time.
type worker struct {
	ds *godal.Dataset
	*tileFile
}

// tileFile is what a pool needs of a tile to open it.
type tileFile struct {
	path  string
	facts *facts
}

func (w *worker) read(col, row, cols, rows int) (*block, error) {
	f := w.facts
	b := w.ds.Bands()[f.band-1]
	blk := f.newBlock(cols * rows)
	var buf any = blk.f64
	if blk.f32 != nil {
		buf = blk.f32
	}
	if err := w.fill(b, buf, col, row, cols, rows); err != nil {
		return nil, err
	}
	if f.signed {
		blk.sign()
	}
	if f.masked {
		mask := make([]byte, cols*rows)
		if err := w.fill(b.MaskBand(), mask, col, row, cols, rows); err != nil {
			return nil, err
		}
		blk.blank(func(i int) bool { return mask[i] == 0 })
	}
	if f.alpha > 0 {
		alpha := make([]float64, cols*rows)
		if err := w.fill(w.ds.Bands()[f.alpha-1], alpha, col, row, cols, rows); err != nil {
			return nil, err
		}
		blk.blank(func(i int) bool { return alpha[i] == 0 })
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

// newBlock makes a block of n cells that knows what stands for no data.
func (f *facts) newBlock(n int) *block {
	b := &block{void32: float32(math.NaN()), void64: math.NaN()}
	if f.kind == cellsWide {
		b.f64 = make([]float64, n)
		if f.hasVoid {
			b.void64 = f.nodata
		}
		return b
	}
	b.f32 = make([]float32, n)
	// The tag is text or a double; the cell holds what float32 makes of it.
	if nodata := float32(f.nodata); f.hasVoid && (f.shape.DataType == godal.Float32 || float64(nodata) == f.nodata) {
		b.void32 = nodata
	}
	return b
}

// sign turns unsigned bytes into signed ones.
func (b *block) sign() {
	for i, c := range b.f32 {
		if c > 127 {
			b.f32[i] = c - 256
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
