//go:build cgo

package raster

import (
	"fmt"
	"math"
	"path/filepath"
	"runtime"
	"slices"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
)

// likeness is what files must share to be tiles of one raster.
type likeness struct {
	driver, horizontal, datum, unit string
	kind                            cellKind
	scale, offset, metres           float64
}

func (o *opened) likeness() likeness {
	return likeness{driver: o.driver, horizontal: o.crs.horizontal, datum: o.source.Datum, unit: o.unit.name, kind: o.kind,
		scale: o.shape.Scale, offset: o.shape.Offset, metres: o.unit.metres}
}

// group is files that lie in one grid of cells: tiles of one raster.
type group struct {
	folder     string // "" for a file named by itself
	members    []member
	cols, rows int
	gt         affine // of the grid; unset for a group of one
}

// member is a file and the cell of the grid it begins at.
type member struct {
	*opened
	col, row int
}

// join adds a file to the group when it is alike and its cells are cells of
// the group's grid.
func (g *group) join(o *opened) bool {
	first := g.members[0]
	if o.likeness() != first.likeness() {
		return false
	}
	col, row, ok := fit(first.inv, o.gt, o.shape.SizeX, o.shape.SizeY)
	if ok {
		g.members = append(g.members, member{o, col, row})
	}
	return ok
}

// settle moves the corner of the grid to the corner of all tiles.
func (g *group) settle() {
	left, top := math.MaxInt, math.MaxInt
	for _, m := range g.members {
		left, top = min(left, m.col), min(top, m.row)
	}
	for i := range g.members {
		m := &g.members[i]
		m.col, m.row = m.col-left, m.row-top
		g.cols, g.rows = max(g.cols, m.col+m.shape.SizeX), max(g.rows, m.row+m.shape.SizeY)
	}
	g.gt = g.members[0].gt
	g.gt[0], g.gt[3] = g.gt.at(float64(left), float64(top))
}

// source describes the tiles together: the coarsest cell, the largest error,
// all that was noted or assumed of any.
func (g *group) source() terrain.Source {
	s := g.members[0].source
	for _, m := range g.members[1:] {
		o := m.source
		if o.CellM > s.CellM {
			s.CellM, s.CorrM, s.Assumed = o.CellM, o.CorrM, o.Assumed
		}
		for _, z := range o.Fills {
			if !slices.Contains(s.Fills, z) {
				s.Fills = append(slices.Clone(s.Fills), z)
			}
		}
		s.StepM = min(s.StepM, o.StepM)
		s.SEM, s.CE90M = max(s.SEM, o.SEM), max(s.CE90M, o.CE90M)
		if !slices.Equal(s.Notes, o.Notes) {
			s.Notes = said(slices.Concat(s.Notes, o.Notes), m.path)
		}
	}
	if n := len(g.members); n > 1 {
		s.Name = fmt.Sprintf("%s/%s and %d more", filepath.Base(g.folder), s.Name, n-1)
	}
	return s
}

// assemble makes a raster of a group. Its handles may be closed before.
func assemble(g *group, blocks *cache, handles *pool) *Raster {
	f := g.members[0].facts
	inv := f.inv
	if len(g.members) > 1 {
		inv.x0, inv.y0 = g.gt[0], g.gt[3]
	}
	all := make([]*tile, len(g.members))
	for i, m := range g.members {
		bc, br := blockShape(m.shape.BlockSizeX, m.shape.BlockSizeY, m.shape.SizeX, m.shape.SizeY)
		all[i] = &tile{id: blocks.tiles.Add(1), col: m.col, row: m.row, cols: m.shape.SizeX, rows: m.shape.SizeY,
			blockCols: bc, blockRows: br, file: &tileFile{m.path, m.facts}}
	}
	r := &Raster{source: g.source(), facts: f, pool: handles}
	r.projections = &projections{make: func() (*godal.Transform, error) { return f.transform(true) }, keep: runtime.GOMAXPROCS(0)}
	r.sampler = sampler{
		cols: g.cols, rows: g.rows, tiles: newTiles(all), inv: inv, turn: f.crs.turn, wgs84: f.crs.wgs84,
		around: f.crs.turn != 0 && inv.rowX == 0 && terrain.Around(g.cols, f.crs.turn*inv.colX),
		scale:  f.shape.Scale, offset: f.shape.Offset, metres: f.unit.metres,
		plain: f.shape.Scale == 1 && f.shape.Offset == 0 && f.unit.metres == 1,
		cache: blocks, lattice: newLattice(inv), store: handles,
		lease: r.projections.lease, release: r.projections.release,
	}
	return r
}
