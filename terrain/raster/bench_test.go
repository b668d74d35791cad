//go:build cgo

package raster

import (
	"context"
	"math"
	"runtime"
	"testing"

	"drawbar/terrain"

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
