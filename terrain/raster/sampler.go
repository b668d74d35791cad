package raster

import (
	"context"
	"fmt"
	"math"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// sampler is a raster without GDAL: where cells are, what they mean, and a
// cache over whatever reads them.
type sampler struct {
	cols, rows    int // of the grid that all tiles lie in
	tiles         *tiles
	inv           inverse
	turn          float64 // of longitude in x, 0 for a projected raster
	around        bool    // the columns are a full turn
	wgs84         bool    // x, y are longitude, latitude
	scale, offset float64 // of the stored cells
	metres        float64 // one unit of height
	plain         bool    // cells are metres as stored
	cache         *cache
	lattice       *lattice
	store         store
	lease         func() (projector, error)
	release       func(projector)
}

// visit is one call of Elevations: it holds a reader and a projector from the
// first need of one, and the tile, the blocks and the patch used last, to
// spare the locks.
type visit struct {
	*sampler
	ctx     context.Context
	proj    projector
	reader  reader
	readsOf *tile
	tile    *tile
	patchID patchID
	patch   *patch
	hot     hotBlock
	recent  [4]recentBlock
	at      [batch]terrain.Stencil
	got     [batch][4]float64
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
	for from := 0; from < len(pts); from += batch {
		if from%4096 == 0 {
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		to := min(from+batch, len(pts))
		if err := v.some(pts[from:to], out[from:to]); err != nil {
			return err
		}
	}
	return nil
}

// batch is how many points go through each step together: the cells of points
// far apart come from main memory, and a processor waits for several of them
// at a time when nothing else stands between. A power of two, a choice.
const batch = 64

// some samples up to batch points.
func (v *visit) some(pts []orb.Point, out []terrain.Sample) (err error) {
	for i, p := range pts {
		if v.at[i], out[i].Why, err = v.locate(p); err != nil {
			return err
		}
	}
	for i := range out {
		if out[i].Why != terrain.Valid {
			continue
		}
		if v.hot.blk != nil && v.hot.take(&v.at[i], &v.got[i]) {
			continue
		}
		var missing bool
		if v.got[i], missing, err = v.cells(v.at[i]); err != nil {
			return err
		}
		if missing {
			out[i].Why = v.beyond(v.at[i])
		}
	}
	for i := range out {
		out[i] = v.height(i, out[i].Why)
	}
	return nil
}

// height makes the sample of point i of the batch from its cells.
func (v *visit) height(i int, why terrain.Why) terrain.Sample {
	if why != terrain.Valid {
		return terrain.Sample{ZM: math.NaN(), Why: why}
	}
	c := &v.got[i]
	if !v.plain {
		for k := range c {
			c[k] = (float64(c[k]*v.scale) + v.offset) * v.metres
		}
	}
	zM, why := v.at[i].Mix(c[0], c[1], c[2], c[3])
	return terrain.Sample{ZM: zM, Why: why}
}

func (v *visit) done() {
	if v.reader != nil {
		v.store.release(v.readsOf, v.reader)
	}
	if v.proj != nil {
		v.release(v.proj)
	}
}

func (v *visit) projector() (p projector, err error) {
	if v.proj == nil {
		if p, err = v.lease(); err != nil {
			return nil, err
		}
		v.proj = p
	}
	return v.proj, nil
}

// readerOf gives a reader of a tile. Only one is held at a time.
func (v *visit) readerOf(t *tile) (reader, error) {
	if v.readsOf == t {
		return v.reader, nil
	}
	if v.reader != nil {
		v.store.release(v.readsOf, v.reader)
		v.reader, v.readsOf = nil, nil
	}
	r, err := v.store.lease(t)
	if err != nil {
		return nil, err
	}
	v.reader, v.readsOf = r, t
	return r, nil
}

// locate finds the cells around a point.
func (v *visit) locate(p orb.Point) (terrain.Stencil, terrain.Why, error) {
	col, row, err := v.place(p[0], p[1])
	if err != nil {
		return terrain.Stencil{}, 0, err
	}
	if v.around {
		st, why := terrain.LocateAround(col, row, v.cols, v.rows)
		return st, why, nil
	}
	st, why := terrain.Locate(col, row, v.cols, v.rows)
	return st, why, nil
}

// beyond tells a point near the end of the tiles from one far off: on a tile
// or not.
func (v *visit) beyond(st terrain.Stencil) terrain.Why {
	col, row := st.Col+int(math.Round(st.FX)), st.Row+int(math.Round(st.FY))
	if v.tiles.first(col%v.cols, row) != nil {
		return terrain.Edge
	}
	return terrain.OffRaster
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
	p, err := v.projector()
	if err != nil {
		return 0, 0, err
	}
	x, y, ok := [1]float64{lon}, [1]float64{lat}, [1]bool{}
	p.project(x[:], y[:], ok[:])
	if !ok[0] {
		return math.NaN(), math.NaN(), nil
	}
	col, row = v.inv.cell(x[0], y[0])
	return col, row, nil
}
