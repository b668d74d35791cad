package raster

import (
	"math"

	"drawbar/terrain"
)

// cells gives the stored values of the four cells of a stencil, those of zero
// weight as their neighbour. missing is true when one lies on no tile.
func (v *visit) cells(st terrain.Stencil) (c [4]float64, missing bool, err error) {
	right, below := st.Col, st.Row
	if st.FX > 0 {
		right++
	}
	if st.FY > 0 {
		below++
	}
	w := window{st.Col, st.Row, right, below}
	if t := v.tileOf(w); t != nil {
		c, done, err := v.within(t, w)
		if done || err != nil {
			return c, false, err
		}
	}
	if right == v.cols {
		right = 0 // a raster around the Earth; of others no stencil gets there
	}
	for k, at := range [4][2]int{{st.Col, st.Row}, {right, st.Row}, {st.Col, below}, {right, below}} {
		var on bool
		if c[k], on, err = v.one(at[0], at[1]); err != nil || !on {
			return c, true, err
		}
	}
	return c, false, nil
}

// tileOf gives the tile that alone decides on all cells of w, nil when that is
// not so simple.
func (v *visit) tileOf(w window) *tile {
	if v.tile == nil || !v.tile.holds(w) {
		if v.tile = v.tiles.first(w.left, w.top); v.tile == nil || !v.tile.holds(w) {
			return nil
		}
	}
	if len(v.tile.above) > 0 && v.tile.hidden(w) {
		return nil
	}
	return v.tile
}

// within takes the cells of w from one block of one tile. done is false when
// they are in several, or when another tile may fill one without data.
func (v *visit) within(t *tile, w window) (c [4]float64, done bool, err error) {
	col, row := w.left-t.col, w.top-t.row
	bx, by := col/t.blockCols, row/t.blockRows
	if (w.right-t.col)/t.blockCols != bx || (w.bottom-t.row)/t.blockRows != by {
		return c, false, nil
	}
	b, err := v.block(t, bx, by)
	if err != nil {
		return c, false, err
	}
	h := hotBlock{window: t.window(bx, by), blk: b, width: t.width(bx), below: t.below}
	if len(t.above) == 0 || !t.hidden(h.window) {
		v.hot = h
	}
	c, done = h.cells(w)
	return c, done, nil
}

// hotBlock is the block used last, when its tile alone decides on all of it:
// the next point mostly lies in it too.
type hotBlock struct {
	window
	blk   *block
	width int
	below bool // another tile may fill a cell without data
}

// take is cells for a stencil that lies in the block with all four of its
// cells, whatever their weights; false leaves it to the long way.
func (h *hotBlock) take(st *terrain.Stencil, c *[4]float64) bool {
	col, row := st.Col-h.left, st.Row-h.top
	if h.below || h.blk.f32 == nil || col < 0 || row < 0 || st.Col >= h.right || st.Row >= h.bottom {
		return false
	}
	i := row*h.width + col
	upper, lower := h.blk.f32[i:i+2:i+2], h.blk.f32[i+h.width:i+h.width+2:i+h.width+2]
	void := h.blk.void32
	ul, ur, ll, lr := upper[0], upper[1], lower[0], lower[1]
	c[0], c[1], c[2], c[3] = float64(ul), float64(ur), float64(ll), float64(lr)
	return ul != void && ur != void && ll != void && lr != void
}

// cells takes the four corners of w. ok is false when another tile may have to
// fill one.
func (h *hotBlock) cells(w window) (c [4]float64, ok bool) {
	i := (w.top-h.top)*h.width + w.left - h.left
	di, dj := w.right-w.left, (w.bottom-w.top)*h.width
	b := h.blk
	c = [4]float64{b.at(i), b.at(i + di), b.at(i + dj), b.at(i + dj + di)}
	return c, !h.below || !math.IsNaN(c[0]+c[1]+c[2]+c[3])
}

// window is the extent of a block in the grid.
func (t *tile) window(bx, by int) window {
	left, top := t.col+bx*t.blockCols, t.row+by*t.blockRows
	return window{left, top, left + t.width(bx) - 1, min(top+t.blockRows, t.row+t.rows) - 1}
}

// one gives the value of a cell from the first tile that has data there, NaN
// when none has; on is false when it lies on no tile.
func (v *visit) one(col, row int) (value float64, on bool, err error) {
	w := window{col, row, col, row}
	for _, t := range v.tiles.near(col, row) {
		if !t.holds(w) {
			continue
		}
		on = true
		x, y := col-t.col, row-t.row
		bx, by := x/t.blockCols, y/t.blockRows
		b, err := v.block(t, bx, by)
		if err != nil {
			return 0, true, err
		}
		if value = b.at((y-by*t.blockRows)*t.width(bx) + x - bx*t.blockCols); !math.IsNaN(value) {
			return value, true, nil
		}
	}
	return math.NaN(), on, nil
}

// width is the number of columns of the blocks at bx: the last are cut off.
func (t *tile) width(bx int) int { return min(t.blockCols, t.cols-bx*t.blockCols) }

func (v *visit) block(t *tile, bx, by int) (*block, error) {
	id := blockID{t.id, int32(bx), int32(by)}
	r := &v.recent[(bx&1)|(by&1)<<1]
	if r.id == id && r.blk != nil {
		return r.blk, nil
	}
	b, err := v.cache.get(v.ctx, id, v, t)
	if err != nil {
		return nil, err
	}
	*r = recentBlock{id, b}
	return b, nil
}

// load implements loader.
func (v *visit) load(t *tile, id blockID) (*block, error) {
	r, err := v.readerOf(t)
	if err != nil {
		return nil, err
	}
	bx, by := int(id.x), int(id.y)
	col, row := bx*t.blockCols, by*t.blockRows
	return r.read(col, row, t.width(bx), min(t.blockRows, t.rows-row))
}

// Cells of one block of ours: read and kept together. 2^18 cells are 1 MiB of
// float32. A choice.
const blockCells = 1 << 18

// blockShape chooses the blocks to read from those of the file: as they are
// when they are tiles of a fair size; strips joined until there are about
// blockCells; giants cut into squares.
func blockShape(fileCols, fileRows, cols, rows int) (c, r int) {
	if fileCols < 1 || fileRows < 1 {
		fileCols, fileRows = 256, 256
	}
	fileCols, fileRows = min(fileCols, cols), min(fileRows, rows)
	if fileCols*fileRows > 4*blockCells {
		side := 512
		return min(side, cols), min(side, rows)
	}
	if n := blockCells / (fileCols * fileRows); fileCols == cols && n > 1 {
		return fileCols, min(fileRows*n, rows)
	}
	return fileCols, fileRows
}
