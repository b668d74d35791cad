package raster

import "math"

// reader reads the cells of one tile. No two goroutines use it at a time.
type reader interface {
	// read fills a block of the window col, row, cols, rows of the tile.
	read(col, row, cols, rows int) (*block, error)
}

// store lends readers of tiles.
type store interface {
	lease(*tile) (reader, error)
	release(*tile, reader)
}

// tile is one file of a raster: where its cells lie in the raster's grid.
// Most rasters are one tile.
type tile struct {
	id                   int32 // unique in the cache
	col, row             int   // of its first cell
	cols, rows           int
	blockCols, blockRows int
	above                []*tile // those that overlap it and go before it
	below                bool    // one that overlaps it goes after it
	file                 any     // what the store needs of it
}

// window is a rectangle of cells, both ends within it.
type window struct{ left, top, right, bottom int }

func (t *tile) holds(w window) bool {
	return w.left >= t.col && w.top >= t.row && w.right < t.col+t.cols && w.bottom < t.row+t.rows
}

func (t *tile) touches(w window) bool {
	return w.right >= t.col && w.bottom >= t.row && w.left < t.col+t.cols && w.top < t.row+t.rows
}

func (t *tile) extent() window {
	return window{t.col, t.row, t.col + t.cols - 1, t.row + t.rows - 1}
}

// hidden tells whether a tile that goes before t may have a say on w.
func (t *tile) hidden(w window) bool {
	for _, a := range t.above {
		if a.touches(w) {
			return true
		}
	}
	return false
}

// tiles finds tiles by cell. They are kept by squares as large as the largest
// tile, so that each is in four at most.
type tiles struct {
	all        []*tile
	cols, rows int // of a square
	squares    map[[2]int][]*tile
}

// newTiles indexes tiles; where they overlap, earlier ones go first.
func newTiles(all []*tile) *tiles {
	x := &tiles{all: all, squares: map[[2]int][]*tile{}}
	for _, t := range all {
		x.cols, x.rows = max(x.cols, t.cols), max(x.rows, t.rows)
	}
	for _, t := range all {
		w := t.extent()
		for r := w.top / x.rows; r <= w.bottom/x.rows; r++ {
			for c := w.left / x.cols; c <= w.right/x.cols; c++ {
				at := [2]int{c, r}
				x.link(x.squares[at], t)
				x.squares[at] = append(x.squares[at], t)
			}
		}
	}
	return x
}

func (x *tiles) link(before []*tile, t *tile) {
	w := t.extent()
	for _, b := range before {
		if b.touches(w) {
			t.above = append(t.above, b)
			b.below = true
		}
	}
}

// near gives the tiles that may hold a cell, those that go first ahead.
func (x *tiles) near(col, row int) []*tile {
	if len(x.all) == 1 {
		return x.all
	}
	return x.squares[[2]int{col / x.cols, row / x.rows}]
}

// first gives the first tile that holds a cell, nil when there is none.
func (x *tiles) first(col, row int) *tile {
	w := window{col, row, col, row}
	for _, t := range x.near(col, row) {
		if t.holds(w) {
			return t
		}
	}
	return nil
}

// fit finds where a tile of geotransform gt and cols by rows cells lies in the
// grid of inv. ok is false when its cells are not the grid's cells: each of
// its corners must be within alignedCells of a corner of the grid.
func fit(inv inverse, gt affine, cols, rows int) (col, row int, ok bool) {
	c0, r0 := inv.cell(gt.at(0, 0))
	c, r := math.Round(c0), math.Round(r0)
	if !(math.Abs(c) < math.MaxInt32 && math.Abs(r) < math.MaxInt32) {
		return 0, 0, false
	}
	for _, k := range [4][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		dc, dr := k[0]*float64(cols), k[1]*float64(rows)
		atC, atR := inv.cell(gt.at(dc, dr))
		if math.Abs(atC-c-dc) > alignedCells || math.Abs(atR-r-dr) > alignedCells {
			return 0, 0, false
		}
	}
	return int(c), int(r), true
}

// alignedCells is how far the corners of a tile may lie off the grid it shares
// with others, in cells: 1 mm on cells of 1 m. A choice.
const alignedCells = 1e-3
