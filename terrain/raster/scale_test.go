//go:build cgo

package raster

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// openFiles counts the open files of this process under a folder.
func openFiles(t *testing.T, folder string) int {
	list, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Skip("no /proc: open files cannot be counted")
	}
	n := 0
	for _, e := range list {
		if to, err := os.Readlink("/proc/self/fd/" + e.Name()); err == nil && strings.HasPrefix(to, folder) {
			n++
		}
	}
	return n
}

// A folder of a thousand tiles: none open after OpenAll, few after all were
// read.
func TestThousandTiles(t *testing.T) {
	folder := t.TempDir()
	const side, across, down = 8, 40, 25
	first := cut(0, 0, side, side).save(t, folder, "0_0.tif")
	src, err := godal.Open(first)
	must(t, err)
	for i := 1; i < across*down; i++ {
		c, r := i%across*side, i/across*side
		gt := cut(c, r, side, side).gt
		path := filepath.Join(folder, fmt.Sprintf("%d_%d.tif", r, c))
		ds, err := src.Translate(path, []string{"-of", "GTiff"})
		must(t, err)
		must(t, ds.SetGeoTransform(gt))
		must(t, ds.Close())
	}
	must(t, src.Close())
	start := time.Now()
	set := openSet(t, Options{}, folder)
	t.Logf("%d tiles looked at in %v", across*down, time.Since(start).Round(time.Millisecond))
	if n := openFiles(t, folder); n != 0 || len(set.Sources()) != 1 {
		t.Errorf("%d files open before a point was asked for, %d sources", n, len(set.Sources()))
	}
	pts := set.rasters[0].inGrid(t, 12000)
	valid := 0
	for _, s := range heights(t, set, pts...) {
		if s.Why == terrain.Valid {
			valid++
		}
	}
	if n := openFiles(t, folder); n == 0 || n > max(idleHandles, runtime.GOMAXPROCS(0)) || valid < 10500 || len(set.rasters[0].cache.entries) < across*down*9/10 {
		t.Errorf("%d files open, %d of %d points valid, %d blocks", n, valid, len(pts), len(set.rasters[0].cache.entries))
	}
}

// A VRT of 10^10 cells over one small file costs what is touched.
func TestMemoryDoesNotGrowWithAVRT(t *testing.T) {
	folder := t.TempDir()
	l := cut(0, 0, 2000, 2000)
	l.cell = func(c, r int) float64 { return 700 }
	l.save(t, folder, "part.tif")
	peak := func(cells int) (grownKiB int) {
		path := filepath.Join(folder, fmt.Sprintf("%d.vrt", cells))
		at := cells/2 - 1000
		must(t, os.WriteFile(path, fmt.Appendf(nil, `<VRTDataset rasterXSize="%d" rasterYSize="%d"><SRS>EPSG:32632</SRS>
			<GeoTransform>%d, 10, 0, %d, 0, -10</GeoTransform><VRTRasterBand dataType="Float32" band="1"><NoDataValue>-9999</NoDataValue>
			<SimpleSource><SourceFilename relativeToVRT="1">part.tif</SourceFilename><SourceBand>1</SourceBand>
			<SrcRect xOff="0" yOff="0" xSize="2000" ySize="2000"/><DstRect xOff="%d" yOff="%d" xSize="2000" ySize="2000"/>
			</SimpleSource></VRTRasterBand></VRTDataset>`, cells, cells, 500000-5*cells, 5200000+5*cells, at, at), 0o600))
		r := openTest(t, path, Options{CacheBytes: 8 << 20, Unit: "m"})
		var pts []orb.Point
		a, b := r.lonLat(t, float64(at)-200, float64(at)+2200), r.lonLat(t, float64(at)+2200, float64(at)-200)
		for _, p := range scatter(3000, 9) {
			pts = append(pts, orb.Point{a[0] + (b[0]-a[0])*(p[0]+0.03)/1.05, a[1] + (b[1]-a[1])*(p[1]-0.2)/0.83})
		}
		runtime.GC()
		forgetPeak(t)
		before := peakKiB(t)
		seen := map[terrain.Why]int{}
		for _, s := range heights(t, r, pts...) {
			seen[s.Why]++
		}
		if seen[terrain.Valid] < 1500 || cells > 3000 && seen[terrain.Void] < 100 || r.cache.used > 8<<20 {
			t.Errorf("%d cells a side: %v, %d bytes kept", cells, seen, r.cache.used)
		}
		return peakKiB(t) - before
	}
	peak(3000) // GDAL's own cache fills once
	small, large := peak(3000), peak(100000)
	t.Logf("peak grown by %d MiB for 3,000 x 3,000 cells, by %d MiB for 100,000 x 100,000", small>>10, large>>10)
	if large > small+(64<<10) {
		t.Errorf("peak grown by %d KiB, for the small one by %d", large, small)
	}
}

// slow cancels a context at its third block.
type slow struct {
	formula
	cancel func()
}

func (s slow) lease(t *tile) (reader, error) { return s, nil }

func (s slow) read(col, row, cols, rows int) (*block, error) {
	if s.reads.Load() == 2 {
		s.cancel()
	}
	return s.formula.read(col, row, cols, rows)
}

// A cancelled call ends within one block or 4096 points.
func TestCancelInTheMiddle(t *testing.T) {
	s, reads := newFormula(1<<30, curved)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	s.store = slow{s.store.(formula), cancel}
	out := make([]terrain.Sample, 3000)
	for i := range out {
		out[i].ZM = -1
	}
	if err := s.elevations(ctx, scatter(len(out), 7), out); !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled in the middle: %v", err)
	}
	if reads.Load() != 3 || out[len(out)-1].ZM != -1 {
		t.Errorf("%d blocks read after the cancel at the third; last sample %+v", reads.Load(), out[len(out)-1])
	}
	// Points that need no block any more: the call looks every 4096 of them.
	warm, _ := newFormula(1<<30, curved)
	one := scatter(20, 7)
	must(t, warm.elevations(context.Background(), one, out[:20]))
	many := make([]orb.Point, 40000)
	for i := range many {
		many[i] = one[i%len(one)]
	}
	late := &countdown{Context: context.Background(), left: 3}
	got := make([]terrain.Sample, len(many))
	if err := warm.elevations(late, many, got); !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled between points: %v", err)
	}
	if asked := late.asked; asked > 4 || got[len(got)-1] != (terrain.Sample{}) {
		t.Errorf("asked %d times, last sample %+v", asked, got[len(got)-1])
	}
}

// countdown is a context that is cancelled when asked for its error often
// enough. Blocks already kept ask too, hence the fixed few points.
type countdown struct {
	context.Context
	left, asked int
}

func (c *countdown) Err() error {
	if c.asked++; c.asked > c.left {
		return context.Canceled
	}
	return nil
}
