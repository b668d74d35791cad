package raster

import (
	"container/list"
	"context"
	"math"
	"sync"
	"sync/atomic"
)

// block is a window of cells as stored in the file, before scale and unit; NaN
// and void have no data. One of the two slices is set: float32 holds every cell type up
// to 16 bits and float32 itself exactly, in half the memory.
type block struct {
	f32    []float32
	f64    []float64
	void32 float32 // NaN when no number stands for no data
	void64 float64
}

// at gives a cell, NaN when it has no data. To tell so here, not when the
// block is read, spares a pass over cells nobody asks for.
func (b *block) at(i int) float64 {
	if b.f32 != nil {
		if z := b.f32[i]; z != b.void32 {
			return float64(z)
		}
		return math.NaN()
	}
	if z := b.f64[i]; z != b.void64 {
		return z
	}
	return math.NaN()
}

func (b *block) bytes() int64 { return int64(4*len(b.f32) + 8*len(b.f64) + 128) }

// blockID counts blocks from the first corner of a tile.
type blockID struct{ tile, x, y int32 }

// loader reads a block that is not kept.
type loader interface {
	load(*tile, blockID) (*block, error)
}

// cache keeps the blocks used last of all rasters that share it. It decides
// only what is read again, never what comes out.
type cache struct {
	limit int64
	tiles atomic.Int32 // numbered so far

	mu      sync.Mutex
	used    int64
	entries map[blockID]*list.Element // of *entry
	order   *list.List                // most recent first
}

type entry struct {
	id    blockID
	ready chan struct{} // closed when blk or err is set
	blk   *block
	err   error
}

func newCache(limit int64) *cache {
	return &cache{limit: limit, entries: map[blockID]*list.Element{}, order: list.New()}
}

// get gives a block, loading it when it is not there. Whoever asks for a block
// that is being loaded waits for that load. A failed load is not kept.
func (c *cache) get(ctx context.Context, id blockID, from loader, t *tile) (*block, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	c.mu.Lock()
	if el, ok := c.entries[id]; ok {
		c.order.MoveToFront(el)
		c.mu.Unlock()
		return el.Value.(*entry).wait(ctx)
	}
	e := &entry{id: id, ready: make(chan struct{})}
	el := c.order.PushFront(e)
	c.entries[id] = el
	c.mu.Unlock()

	e.blk, e.err = from.load(t, id)
	c.mu.Lock()
	defer c.mu.Unlock()
	close(e.ready)
	if e.err != nil {
		c.order.Remove(el)
		delete(c.entries, id)
		return nil, e.err
	}
	c.used += e.blk.bytes()
	c.evict()
	return e.blk, nil
}

func (e *entry) wait(ctx context.Context) (*block, error) {
	select {
	case <-e.ready:
		return e.blk, e.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// evict drops the oldest loaded blocks until the limit holds, the very newest
// too when it alone is over it: whoever asked for it has it in hand.
func (c *cache) evict() {
	for el := c.order.Back(); el != nil && c.used > c.limit; {
		older := el.Prev()
		e := el.Value.(*entry)
		select {
		case <-e.ready:
			c.used -= e.blk.bytes()
			c.order.Remove(el)
			delete(c.entries, e.id)
		default: // being loaded: not counted yet
		}
		el = older
	}
}
