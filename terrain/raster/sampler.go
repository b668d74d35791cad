package raster

import (
	"context"
	"fmt"
	"math"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// handle is what one goroutine reads with. No two use it at a time.
type handle interface {
	projector
	// read fills a block of the window col, row, cols, rows.
	read(col, row, cols, rows int) (*block, error)
}

// sampler is a raster without GDAL: where cells are, what they mean, and a
// cache over whatever reads them.
type sampler struct {
	cols, rows           int
	blockCols, blockRows int
	inv                  inverse
	turn                 float64 // of longitude in x, 0 for a projected raster
	wgs84                bool    // x, y are longitude, latitude
	scale, offset        float64 // of the stored cells
	metres               float64 // one unit of height
	cache                *cache
	lattice              *lattice
	lease                func() (handle, error)
	release              func(handle)
}

// visit is one call of Elevations: it holds a handle from the first need of
// one, and the blocks and the patch used last, to spare the locks.
type visit struct {
	*sampler
	ctx     context.Context
	held    handle
	patchID patchID
	patch   *patch
	recent  [4]recentBlock
}

type recentBlock struct {
	id  blockID
	blk *block
}

// elevations samples point by point. Nothing of a visit but pure caching
// passes from one point to the next.
func (s *sampler) elevations(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	if len(pts) != len(out) {
		return fmt.Errorf("%d points but room for %d samples", len(pts), len(out))
	}
	v := &visit{sampler: s, ctx: ctx}
	defer v.done()
	for i, p := range pts {
		if i%4096 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		z, why, err := v.sample(p)
		if err != nil {
			return err
		}
		out[i] = terrain.Sample{ZM: z, Why: why}
	}
	return nil
}

func (v *visit) done() {
	if v.held != nil {
		v.release(v.held)
	}
}

func (v *visit) handle() (handle, error) {
	if v.held == nil {
		h, err := v.lease()
		if err != nil {
			return nil, err
		}
		v.held = h
	}
	return v.held, nil
}

func (v *visit) projector() (projector, error) { return v.handle() }

func (v *visit) sample(p orb.Point) (zM float64, why terrain.Why, err error) {
	col, row, err := v.place(p[0], p[1])
	if err != nil {
		return 0, 0, err
	}
	st, why := terrain.Locate(col, row, v.cols, v.rows)
	if why != terrain.Valid {
		return math.NaN(), why, nil
	}
	c, err := v.cells(st)
	if err != nil {
		return 0, 0, err
	}
	for i := range c {
		c[i] = (float64(c[i]*v.scale) + v.offset) * v.metres
	}
	zM, why = st.Mix(c[0], c[1], c[2], c[3])
	return zM, why, nil
}

// place gives column and row of a point, NaN when it has none. Longitudes may
// be any number of turns off.
func (v *visit) place(lon, lat float64) (col, row float64, err error) {
	if !(math.Abs(lat) <= 90) || math.IsInf(lon, 0) || math.IsNaN(lon) {
		return math.NaN(), math.NaN(), nil
	}
	if lon > 180 || lon < -180 {
		lon = math.Remainder(lon, 360)
	}
	if v.wgs84 {
		col, row = v.inv.cell(lon, lat)
	} else if col, row, err = v.project(lon, lat); err != nil {
		return 0, 0, err
	}
	if v.turn != 0 && !v.inside(col, row) {
		for _, turn := range [2]float64{v.turn, -v.turn} {
			if c, r := col+turn*v.inv.colX, row+turn*v.inv.rowX; v.inside(c, r) {
				return c, r, nil
			}
		}
	}
	return col, row, nil
}

func (s *sampler) inside(col, row float64) bool {
	return col >= 0 && row >= 0 && col <= float64(s.cols) && row <= float64(s.rows)
}

func (v *visit) project(lon, lat float64) (col, row float64, err error) {
	id := patchOf(lon, lat)
	if v.patch == nil || id != v.patchID {
		if v.patch, err = v.lattice.get(id, v.projector); err != nil {
			return 0, 0, err
		}
		v.patchID = id
	}
	if !v.patch.exact {
		col, row = v.patch.cell(id, lon, lat)
		return col, row, nil
	}
	h, err := v.handle()
	if err != nil {
		return 0, 0, err
	}
	x, y, ok := [1]float64{lon}, [1]float64{lat}, [1]bool{}
	h.project(x[:], y[:], ok[:])
	if !ok[0] {
		return math.NaN(), math.NaN(), nil
	}
	col, row = v.inv.cell(x[0], y[0])
	return col, row, nil
}

// cells gives the stored values of the four cells of a stencil, those of zero
// weight as their neighbour.
func (v *visit) cells(st terrain.Stencil) (c [4]float64, err error) {
	right, below := st.Col, st.Row
	if st.FX > 0 {
		right++
	}
	if st.FY > 0 {
		below++
	}
	bx, by := st.Col/v.blockCols, st.Row/v.blockRows
	if right/v.blockCols == bx && below/v.blockRows == by {
		b, err := v.block(blockID{bx, by})
		if err != nil {
			return c, err
		}
		w := v.width(bx)
		i, j := st.Col-bx*v.blockCols, (st.Row-by*v.blockRows)*w
		di, dj := right-st.Col, (below-st.Row)*w
		return [4]float64{b.at(j + i), b.at(j + i + di), b.at(j + dj + i), b.at(j + dj + i + di)}, nil
	}
	for k, at := range [4][2]int{{st.Col, st.Row}, {right, st.Row}, {st.Col, below}, {right, below}} {
		if c[k], err = v.one(at[0], at[1]); err != nil {
			return c, err
		}
	}
	return c, nil
}

func (v *visit) one(col, row int) (float64, error) {
	bx, by := col/v.blockCols, row/v.blockRows
	b, err := v.block(blockID{bx, by})
	if err != nil {
		return 0, err
	}
	return b.at((row-by*v.blockRows)*v.width(bx) + col - bx*v.blockCols), nil
}

// width is the number of columns of the blocks at bx: the last are cut off.
func (s *sampler) width(bx int) int { return min(s.blockCols, s.cols-bx*s.blockCols) }

func (v *visit) block(id blockID) (*block, error) {
	r := &v.recent[(id.x&1)|(id.y&1)<<1]
	if r.blk != nil && r.id == id {
		return r.blk, nil
	}
	b, err := v.cache.get(v.ctx, id, v.load)
	if err != nil {
		return nil, err
	}
	*r = recentBlock{id, b}
	return b, nil
}

func (v *visit) load(id blockID) (*block, error) {
	h, err := v.handle()
	if err != nil {
		return nil, err
	}
	col, row := id.x*v.blockCols, id.y*v.blockRows
	return h.read(col, row, v.width(id.x), min(v.blockRows, v.rows-row))
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
