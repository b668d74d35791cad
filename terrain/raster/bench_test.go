//go:build cgo

package raster

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"syscall"
	"testing"
	"time"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

func BenchmarkElevations(b *testing.B) {
	for name, file := range map[string]string{"WGS84": "N47E009.hgt", "projected": "liechtenstein_30m_epsg2056_float.tif"} {
		b.Run(name, func(b *testing.B) {
			r := openTest(b, data(b, "dem", file), Options{})
			const n = 4096
			pts, out := make([]orb.Point, n), make([]terrain.Sample, n)
			for i := range pts { // a road of 10 m steps
				s := float64(i) / n
				pts[i] = orb.Point{9.5 + 0.1*s, 47.1 + 0.1*s + 0.01*math.Sin(20*s)}
			}
			must(b, r.Elevations(context.Background(), pts, out))
			b.ResetTimer()
			for b.Loop() {
				must(b, r.Elevations(context.Background(), pts, out))
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/n, "ns/point")
			runtime.KeepAlive(out)
		})
	}
}

// BenchmarkDrape drapes a million points along lines over a tiled, compressed
// raster, against reading each block they touch once through the same binding
// into one buffer (x/reading), or into a block each that is kept (x/keeping): a
// raster of 256 MB that is draped all over has to be kept somewhere, and the
// first touch of fresh memory costs as much as a tenth of the reading. The
// runs alternate; the ratios are of medians.
func BenchmarkDrape(b *testing.B) {
	path := big(b, b.TempDir(), 8000, 512)
	for _, goroutines := range []int{1, 2} {
		b.Run(fmt.Sprintf("goroutines=%d", goroutines), func(b *testing.B) {
			var drape, reading, keeping, drapeCPU, readingCPU, keepingCPU []float64
			for b.Loop() {
				pts, out := lines(b, path), make([]terrain.Sample, 1000*1000)
				runtime.GC()
				wall, cpu := time.Now(), cpuSeconds(b)
				r, err := Open(path, Options{CacheBytes: 512 << 20, Unit: "m"})
				must(b, err)
				split(goroutines, len(pts), func(from, to int) {
					must(b, r.Elevations(context.Background(), pts[from:to], out[from:to]))
				})
				drape, drapeCPU = append(drape, time.Since(wall).Seconds()), append(drapeCPU, cpuSeconds(b)-cpu)
				touched := slices.SortedFunc(maps.Keys(r.cache.entries), func(a, b blockID) int {
					return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
				})
				t := r.tiles.all[0]
				must(b, r.Close())
				wall, cpu = time.Now(), cpuSeconds(b)
				split(goroutines, len(touched), func(from, to int) { readOnly(b, path, t, touched[from:to], nil) })
				reading, readingCPU = append(reading, time.Since(wall).Seconds()), append(readingCPU, cpuSeconds(b)-cpu)
				runtime.GC()
				wall, cpu = time.Now(), cpuSeconds(b)
				kept := make([][]float32, len(touched))
				split(goroutines, len(touched), func(from, to int) { readOnly(b, path, t, touched[from:to], kept[from:to]) })
				keeping, keepingCPU = append(keeping, time.Since(wall).Seconds()), append(keepingCPU, cpuSeconds(b)-cpu)
				runtime.KeepAlive(kept)
				if out[0].Why != terrain.Valid || out[len(out)-1].Why != terrain.Valid || len(touched) < 200 {
					b.Fatalf("%+v, %d blocks", out[0], len(touched))
				}
			}
			b.ReportMetric(median(drape)/median(reading), "x/reading")
			b.ReportMetric(median(drapeCPU)/median(readingCPU), "x/reading-cpu")
			b.ReportMetric(median(drape)/median(keeping), "x/keeping")
			b.ReportMetric(median(drapeCPU)/median(keepingCPU), "x/keeping-cpu")
			b.ReportMetric(median(reading)*1000, "ms-reading")
			b.ReportMetric(median(drape)*1000, "ms-drape")
		})
	}
}

func median(list []float64) float64 {
	slices.Sort(list)
	return list[len(list)/2]
}

// cpuSeconds is the processor time of this process so far: on a machine that
// others use too, it tells more than the clock on the wall.
func cpuSeconds(b *testing.B) float64 {
	var u syscall.Rusage
	must(b, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	return float64(u.Utime.Sec+u.Stime.Sec) + float64(u.Utime.Usec+u.Stime.Usec)/1e6
}

// lines gives a thousand lines of a thousand points, 10 m apart.
func lines(b *testing.B, path string) []orb.Point {
	r := openTest(b, path, Options{Unit: "m"})
	back, err := r.facts.transform(false)
	must(b, err)
	defer back.Close()
	rnd := rand.New(rand.NewPCG(3, 4))
	var pts []orb.Point
	for range 1000 {
		x, y := make([]float64, 1000), make([]float64, 1000)
		col, row, turn := 2100+rnd.Float64()*3800, 2100+rnd.Float64()*3800, rnd.Float64()*2*math.Pi
		for i := range x {
			s := 2 * float64(i)
			x[i], y[i] = r.facts.gt.at(col+s*math.Cos(turn)+20*math.Sin(s/40), row+s*math.Sin(turn)+20*math.Cos(s/30))
		}
		must(b, back.TransformEx(x, y, nil, nil))
		for i := range x {
			pts = append(pts, orb.Point{x[i], y[i]})
		}
	}
	return pts
}

func split(parts, n int, do func(from, to int)) {
	var wg sync.WaitGroup
	for k := range parts {
		wg.Go(func() { do(n*k/parts, n*(k+1)/parts) })
	}
	wg.Wait()
}

func readOnly(b *testing.B, path string, t *tile, blocks []blockID, keep [][]float32) {
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles())
	must(b, err)
	defer ds.Close()
	buf := make([]float32, t.blockCols*t.blockRows)
	for i, id := range blocks {
		if keep != nil {
			buf = make([]float32, t.blockCols*t.blockRows)
			keep[i] = buf
		}
		c, r := int(id.x)*t.blockCols, int(id.y)*t.blockRows
		w, h := t.width(int(id.x)), min(t.blockRows, t.rows-r)
		must(b, ds.Bands()[0].Read(c, r, buf[:w*h], w, h))
	}
}

// big writes a tiled DEFLATE raster of rolling ground with noise.
func big(tb testing.TB, folder string, side, tileSide int) string {
	register()
	path := filepath.Join(folder, "big.tif")
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, side, side, godal.CreationOption("TILED=YES", "COMPRESS=DEFLATE",
		fmt.Sprintf("BLOCKXSIZE=%d", tileSide), fmt.Sprintf("BLOCKYSIZE=%d", tileSide), "NUM_THREADS=2"))
	must(tb, err)
	must(tb, ds.SetGeoTransform([6]float64{400000, 5, 0, 5300000, 0, -5}))
	sr, err := godal.NewSpatialRefFromEPSG(32632)
	must(tb, err)
	must(tb, ds.SetSpatialRef(sr))
	must(tb, ds.SetNoData(-9999))
	rows := make([]float32, side*tileSide)
	for top := 0; top < side; top += tileSide {
		n := min(tileSide, side-top)
		for i := range rows[:side*n] {
			x, y := float64(i%side), float64(top+i/side)
			rows[i] = float32(math.Round(100*(800+200*math.Sin(x/300)*math.Cos(y/400)+hash(i%side, top+i/side)/1000)) / 100)
		}
		must(tb, ds.Bands()[0].Write(0, top, rows[:side*n], side, n))
	}
	must(tb, ds.Close())
	return path
}
