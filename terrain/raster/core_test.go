package raster

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"sync/atomic"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// formula is a reader without GDAL: cells by formula, and a projection.
type formula struct {
	reads *atomic.Int64
	bend  func(lon, lat float64) (x, y float64, ok bool)
}

func hash(col, row int) float64 {
	h := uint64(col)*0x9e3779b97f4a7c15 ^ uint64(row)*0xc2b2ae3d27d4eb4f
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	h ^= h >> 32
	return float64(h % 2000)
}

func (f formula) project(lon, lat []float64, ok []bool) {
	for i := range lon {
		lon[i], lat[i], ok[i] = f.bend(lon[i], lat[i])
	}
}

func (f formula) read(col, row, cols, rows int) (*block, error) {
	f.reads.Add(1)
	if row > 900 {
		return nil, errors.New("row of no return")
	}
	b := &block{f64: make([]float64, cols*rows), void64: math.NaN()}
	for i := range b.f64 {
		b.f64[i] = hash(col+i%cols, row+i/cols)
		if int(b.f64[i])%17 == 0 {
			b.f64[i] = math.NaN()
		}
	}
	return b, nil
}

// curved is a sinusoidal projection with a wave on it, which no plane fits.
func curved(lon, lat float64) (x, y float64, ok bool) {
	return lon*111320*math.Cos(lat*math.Pi/180) + 30*math.Sin(lat*4), lat * 110574, math.Abs(lat) < 85
}

func newFormula(cacheBytes int64, bend func(lon, lat float64) (float64, float64, bool)) (*sampler, *atomic.Int64) {
	f := formula{reads: new(atomic.Int64), bend: bend}
	inv, err := affine{0, 100, 0, 110000, 0, -100}.inverse()
	if err != nil {
		panic(err)
	}
	whole := &tile{cols: 1100, rows: 1100, blockCols: 64, blockRows: 32}
	return &sampler{cols: 1100, rows: 1100, tiles: newTiles([]*tile{whole}), inv: inv, scale: 1, metres: 1,
		cache: newCache(cacheBytes), lattice: newLattice(inv), store: f,
		lease: func() (projector, error) { return f, nil }, release: func(projector) {}}, f.reads
}

// lease and release make a formula its own store: a tile sees its part of the
// same cells.
func (f formula) lease(t *tile) (reader, error) { return part{f, t}, nil }

func (f formula) release(*tile, reader) {}

type part struct {
	formula
	*tile
}

func (p part) read(col, row, cols, rows int) (*block, error) {
	return p.formula.read(col+p.col, row+p.row, cols, rows)
}

func scatter(n int, seed uint64) []orb.Point {
	rnd := rand.New(rand.NewPCG(seed, 1))
	pts := make([]orb.Point, n)
	for i := range pts {
		pts[i] = orb.Point{rnd.Float64()*1.05 - 0.03, 0.2 + rnd.Float64()*0.83}
	}
	return pts
}

func same(a, b terrain.Sample) bool {
	return math.Float64bits(a.ZM) == math.Float64bits(b.ZM) && a.Why == b.Why
}

// A height depends on its point alone: not on the order, the split into calls,
// the cache or other goroutines.
func TestHeightsDependOnThePointAlone(t *testing.T) {
	pts := scatter(4000, 1)
	ref, _ := newFormula(1<<30, curved)
	want := make([]terrain.Sample, len(pts))
	if err := ref.elevations(context.Background(), pts, want); err != nil {
		t.Fatal(err)
	}
	seen := map[terrain.Why]int{}
	for _, s := range want {
		seen[s.Why]++
	}
	if seen[terrain.Valid] < 500 || seen[terrain.Void] < 100 || seen[terrain.OffRaster] < 20 {
		t.Fatalf("the points see too little: %v", seen)
	}
	rapid.Check(t, func(t *rapid.T) {
		tiny, _ := newFormula(rapid.Int64Range(0, 60000).Draw(t, "cache"), curved)
		order := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2)).Perm(len(pts))[:400]
		var wg sync.WaitGroup
		half := rapid.IntRange(0, len(order)).Draw(t, "split")
		got := make([]terrain.Sample, len(order))
		errs := make([]error, 2)
		for k, part := range [][2]int{{0, half}, {half, len(order)}} {
			wg.Go(func() {
				in := make([]orb.Point, 0, part[1]-part[0])
				for _, i := range order[part[0]:part[1]] {
					in = append(in, pts[i])
				}
				errs[k] = tiny.elevations(context.Background(), in, got[part[0]:part[1]])
			})
		}
		wg.Wait()
		if err := errors.Join(errs...); err != nil {
			t.Fatal(err)
		}
		for k, i := range order {
			if !same(got[k], want[i]) {
				t.Fatalf("point %d: %+v, alone %+v", i, got[k], want[i])
			}
		}
	})
}

// The cubic of a patch meets the projection within 1e-5 cells, or steps aside.
func TestLatticeMeetsTheProjection(t *testing.T) {
	kinked := func(lon, lat float64) (float64, float64, bool) {
		x, y, ok := curved(lon, lat)
		return x + 5*math.Abs(math.Remainder(lon, 0.2)), y, ok && lon < 0.6
	}
	for name, c := range map[string]struct {
		bend       func(lon, lat float64) (float64, float64, bool)
		exactMin   int
		exactMax   int
		maxMissing float64
	}{
		"smooth": {curved, 0, 0, patchMissMax},
		"kinked": {kinked, 20, 200, patchMissMax},
	} {
		t.Run(name, func(t *testing.T) {
			s, _ := newFormula(1<<20, c.bend)
			v := &visit{sampler: s, ctx: context.Background()}
			worst := 0.0
			for _, p := range scatter(5000, 3) {
				col, row, err := v.place(p[0], p[1])
				if err != nil {
					t.Fatal(err)
				}
				x, y, ok := c.bend(p[0], p[1])
				wantCol, wantRow := s.inv.cell(x, y)
				if !ok {
					if !math.IsNaN(col) {
						t.Fatalf("%v cannot be projected but lies at %v", p, col)
					}
					continue
				}
				worst = max(worst, math.Hypot(col-wantCol, row-wantRow))
			}
			exact := 0
			for _, p := range s.lattice.patches {
				if p.exact {
					exact++
				}
			}
			t.Logf("worst miss %.2g cells, %d of %d patches exact", worst, exact, len(s.lattice.patches))
			if worst > c.maxMissing || exact < c.exactMin || exact > c.exactMax {
				t.Errorf("worst miss %g cells, %d patches exact", worst, exact)
			}
		})
	}
}

func TestLatticeForgetsWithoutChange(t *testing.T) {
	s, _ := newFormula(1<<20, curved)
	p := orb.Point{0.4012, 0.7077}
	before := make([]terrain.Sample, 1)
	if err := s.elevations(context.Background(), []orb.Point{p}, before); err != nil {
		t.Fatal(err)
	}
	for i := range patchesKept + 10 {
		s.lattice.patches[patchID{int32(i), -9}] = &patch{exact: true}
	}
	after := make([]terrain.Sample, 2)
	if err := s.elevations(context.Background(), []orb.Point{{0.9, 0.9}, p}, after); err != nil {
		t.Fatal(err)
	}
	if !same(before[0], after[1]) || len(s.lattice.patches) > patchesKept {
		t.Errorf("%+v, then %+v; %d patches kept", before[0], after[1], len(s.lattice.patches))
	}
}

func TestBlocksAreReadOnceWhileKept(t *testing.T) {
	s, reads := newFormula(1<<30, curved)
	pts := scatter(3000, 5)
	out := make([]terrain.Sample, len(pts))
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			if err := s.elevations(context.Background(), pts, make([]terrain.Sample, len(out))); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if kept := int64(len(s.cache.entries)); reads.Load() != kept || kept < 100 {
		t.Errorf("%d reads for %d blocks", reads.Load(), kept)
	}
}

type hundred struct{}

func (hundred) load(*tile, blockID) (*block, error) { return &block{f64: make([]float64, 100)}, nil }

func TestCacheKeepsItsLimit(t *testing.T) {
	c := newCache(10 * (8*100 + 128))
	for i := range 50 {
		if _, err := c.get(context.Background(), blockID{0, int32(i), 0}, hundred{}, nil); err != nil {
			t.Fatal(err)
		}
		if _, err := c.get(context.Background(), blockID{}, hundred{}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if c.used > c.limit || len(c.entries) != 10 || c.order.Len() != 10 {
		t.Errorf("%d bytes in %d blocks, limit %d", c.used, len(c.entries), c.limit)
	}
	if _, ok := c.entries[blockID{}]; !ok {
		t.Error("the block asked for most was dropped")
	}
}

func TestFailedReadsAreToldAndNotKept(t *testing.T) {
	s, reads := newFormula(1<<30, curved)
	bad := []orb.Point{{0.1, 0.01}}
	for range 2 {
		if err := s.elevations(context.Background(), bad, make([]terrain.Sample, 1)); err == nil {
			t.Fatal("a block that cannot be read gave no error")
		}
	}
	if reads.Load() != 2 || len(s.cache.entries) != 0 {
		t.Errorf("%d reads, %d blocks kept", reads.Load(), len(s.cache.entries))
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if err := s.elevations(gone, scatter(1, 1), make([]terrain.Sample, 1)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled context: %v", err)
	}
	if err := s.elevations(context.Background(), bad, nil); err == nil {
		t.Error("no room for the sample, no error")
	}
}

func TestBlockShape(t *testing.T) {
	for _, c := range []struct {
		name                             string
		fileCols, fileRows, cols, rows   int
		wantCols, wantRows, largestCells int
	}{
		{"tile as it is", 256, 256, 5000, 5000, 256, 256, blockCells},
		{"HGT lines joined", 1201, 1, 1201, 1201, 1201, 218, blockCells},
		{"DTED column as it is", 1, 1201, 1201, 1201, 1, 1201, blockCells},
		{"wide lines", 100000, 1, 100000, 50000, 100000, 2, blockCells},
		{"giant tile cut", 16384, 16384, 16384, 16384, 512, 512, blockCells},
		{"one strip, small file", 160, 160, 160, 160, 160, 160, blockCells},
		{"tile larger than the raster", 512, 512, 20, 16, 20, 16, blockCells},
		{"no block size", 0, 0, 20, 16, 20, 16, blockCells},
	} {
		if gc, gr := blockShape(c.fileCols, c.fileRows, c.cols, c.rows); gc != c.wantCols || gr != c.wantRows || gc*gr > c.largestCells {
			t.Errorf("%s: %d x %d, want %d x %d", c.name, gc, gr, c.wantCols, c.wantRows)
		}
	}
}

func TestInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		turn := f("turn", 0, 2*math.Pi)
		sin, cos := math.Sincos(turn)
		w, h := f("w", 0.1, 1000), f("h", 0.1, 1000)
		a := affine{f("x0", -1e6, 1e6), w * cos, -h * sin, f("y0", -1e7, 1e7), w * sin, h * cos}
		inv, err := a.inverse()
		if err != nil {
			t.Fatal(err)
		}
		col, row := f("col", 0, 1e4), f("row", 0, 1e4)
		c, r := inv.cell(a.at(col, row))
		if math.Hypot(c-col, r-row) > 1e-6 {
			t.Fatalf("%v, %v came back as %v, %v", col, row, c, r)
		}
	})
	for name, a := range map[string]affine{
		"zero":     {},
		"none":     {0, 1, 0, 0, 0, 1},
		"NaN":      {0, 1, 0, math.NaN(), 0, -1},
		"infinite": {0, math.Inf(1), 0, 0, 0, -1},
		"singular": {9, 0.001, 0.001, 47, -0.001, -0.001},
		"one side": {9, 0.001, 0, 47, 0, 0},
	} {
		if _, err := a.inverse(); !errors.Is(err, ErrGeotransform) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestErrorText(t *testing.T) {
	err := error(&Error{File: "/home/someone/dem.tif", Op: "open", Reason: "it has no band", Hint: "name a part of it", Err: ErrNoHeights})
	if got, want := fmt.Sprint(err), "dem.tif: open: it has no band\nname a part of it"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if !errors.Is(err, ErrNoHeights) {
		t.Error("the sentinel is lost")
	}
}
