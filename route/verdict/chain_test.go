package verdict_test

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/report"
	"drawbar/route/verdict"
	"drawbar/terrain"
)

// sampleRoutes are the five of the sample scenario, invented.
func sampleRoutes(t testing.TB) map[string]*route.Route {
	t.Helper()
	records, err := geofile.ReadFile(filepath.FromSlash("../../samples/routes.geojson"), geofile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*route.Route{}
	for _, r := range records {
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		out[r.Route.ID] = r.Route
	}
	return out
}

// slope is ground that rises to the north and is rough: 45 m over the valley as
// the samples have it, with a noise that hangs on the place alone.
func slope() terrain.Func {
	return terrain.Func{
		At: func(lon, lat float64) (float64, bool) {
			_, north := terrain.MetresPerDegree(42.45)
			y := (lat - 42.4543) * north
			cell := uint64(int64(lon*1e5)*1000003 + int64(lat*1e5)) // about 1 m
			noise := rand.New(rand.NewPCG(cell, 7)).NormFloat64() * 0.1
			return 44 + y*45/2450 + noise, y > -500 && y < 4000
		},
		Source: terrain.Source{Name: "slope", CellM: 2, SEM: 0.3, CorrM: 50},
	}
}

// The same routes give the same bytes with one worker and with eight, in any
// order.
func TestConcurrencyAndOrderChangeNothing(t *testing.T) {
	j := judge(t, load(t, "transporter-112t.yaml"), true, slope())
	type job struct {
		r       *route.Route
		reverse bool
	}
	var jobs []job
	for _, r := range sampleRoutes(t) {
		jobs = append(jobs, job{r, false}, job{r, true})
	}
	record := func(w job) string {
		res, err := j.Route(context.Background(), w.r, verdict.Options{Reverse: w.reverse})
		var b bytes.Buffer
		if err := report.JSON(&b, &report.Run{Records: []report.Record{{ID: w.r.ID, Result: res, Err: err}}}); err != nil {
			t.Error(err)
		}
		return b.String()
	}
	want := map[string]string{}
	for _, w := range jobs {
		want[fmt.Sprint(w.r.ID, w.reverse)] = record(w)
	}
	var wg sync.WaitGroup
	next := make(chan job)
	for range 8 {
		wg.Go(func() {
			for w := range next {
				if record(w) != want[fmt.Sprint(w.r.ID, w.reverse)] {
					t.Errorf("%s, reverse %v: another record when judged beside others", w.r.ID, w.reverse)
				}
			}
		})
	}
	for range 3 {
		rand.Shuffle(len(jobs), func(a, b int) { jobs[a], jobs[b] = jobs[b], jobs[a] })
		for _, w := range jobs {
			next <- w
		}
	}
	close(next)
	wg.Wait()
}

// BenchmarkRoute is the whole chain for one route of 3.7 km, terrain in memory.
func BenchmarkRoute(b *testing.B) {
	r := sampleRoutes(b)["quarry-climb"]
	j := judge(b, load(b, "transporter-112t.yaml"), true, slope())
	stations := 0
	for b.Loop() {
		res, err := j.Route(context.Background(), r, verdict.Options{})
		if err != nil {
			b.Fatal(err)
		}
		stations = len(res.Profile.ChainageM)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(stations), "us/station")
	b.ReportMetric(float64(stations), "stations")
}
