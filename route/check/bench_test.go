package check_test

import (
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
)

// rolling is a way of 100 km with stations 10 m apart: hills of up to 7 %,
// nothing else.
func rolling(tb testing.TB, set *check.Setup) (*route.Alignment, *profile.Profile) {
	tb.Helper()
	var pitches []profile.Pitch
	for i := range 500 {
		pitches = append(pitches, profile.Pitch{LengthM: 200, GradeRatio: 0.07 * math.Sin(float64(i))})
	}
	a, err := route.Align(route.Straight("rolling", []float64{100e3}, []route.Tags{asphalt}))
	if err != nil {
		tb.Fatal(err)
	}
	return a, profile.Given(200, pitches...)
}

// All checks on 10,000 stations, without the raster.
func BenchmarkChecks100km(b *testing.B) {
	set := setup(b, check.Settings{})
	a, p := rolling(b, set)
	placed, looked := structure.Place(a)
	b.ReportAllocs()
	for b.Loop() {
		var k check.Sink
		check.Run(check.NewSituation(set, a, p, placed, looked), &k)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(p.ChainageM)), "ns/station")
}
