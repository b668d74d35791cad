package check_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/geofile"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle"
)

// roadsDir is a folder of real roads that may stand beside the repository.
const roadsDir = "../../../shared/data"

// TestBendsOfRealRoads counts what the bend check says a route of real roads,
// with the sample train at full, half and no steering of its trailer. Nothing
// fails without a known width, and no route has more than the rows a planner reads.
func TestBendsOfRealRoads(t *testing.T) {
	if testing.Short() {
		t.Skip("one thread of numbers: not run again under the race detector")
	}
	if _, err := os.Stat(roadsDir); err != nil {
		t.Skip("no folder of real roads beside the repository")
	}
	trains := []struct {
		name   string
		change func(*vehicle.Spec)
	}{
		{"full", func(*vehicle.Spec) {}},
		{"half", func(s *vehicle.Spec) { *s.Units[1].Steering.Ratio /= 2 }},
		{"none", fixed},
	}
	for _, name := range []string{"roads/li_balzers_triesenberg.geojson", "roads/li_ruggell_vaduz.geojson", "roads/li_vaduz_malbun.geojson",
		"roads/li_vaduz_malbun_line.geojson", "network/li_300.geojsonseq", "network/poa_300.geojsonseq"} {
		recs, err := geofile.ReadFile(filepath.Join(roadsDir, name), geofile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if os.Getenv("DRAWBAR_BENDS") != "full" && len(recs) > 20 {
			recs = recs[:20]
		}
		for _, v := range trains {
			t.Run(fmt.Sprintf("%s, %s steering", filepath.Base(name), v.name), func(t *testing.T) {
				set := setup(t, check.Settings{}, v.change)
				var fails, rows, folded, wide []int
				var km float64
				var took time.Duration
				for _, rec := range recs {
					if rec.Route == nil {
						continue
					}
					a, err := route.Align(rec.Route)
					if err != nil {
						continue
					}
					km += a.LengthM() / 1000
					start := time.Now()
					f, r, m, w := bendCount(t, set, a)
					took += time.Since(start)
					fails, rows, folded, wide = append(fails, f), append(rows, r), append(folded, m), append(wide, w)
					if r > 10 && !hasWidths(a) {
						t.Errorf("%s: %d rows", rec.Route.ID, r)
					}
				}
				t.Logf("%d routes, %.0f km: a route (median, 90 %%, most): fail %s, blocking rows %s, blocking not listed %s, more than a lane %s; %.1f ms a route",
					len(rows), km, spread3(fails), spread3(rows), spread3(folded), spread3(wide), took.Seconds()*1000/float64(len(rows)))
			})
		}
	}
}

func hasWidths(a *route.Alignment) bool {
	for _, l := range a.LegsIn(route.Stretch{ToM: a.LengthM()}) {
		if l.Tags.WidthM.State == route.Known {
			return true
		}
	}
	return false
}

func spread3(n []int) string {
	s := slices.Sorted(slices.Values(n))
	return fmt.Sprintf("%d %d %d", s[len(s)/2], s[len(s)*9/10], s[len(s)-1])
}

// bendCount makes the bend check alone on a way without heights.
func bendCount(t *testing.T, set *check.Setup, a *route.Alignment) (fails, rows, folded, wide int) {
	t.Helper()
	placed, looked := structure.Place(a)
	s := check.NewSituation(set, a, profile.Constant(0, a.LengthM()), placed, looked)
	var k check.Sink
	for _, c := range check.List {
		if c.Name == "bend" {
			c.Run(s, &k)
		}
	}
	for _, f := range k.Findings {
		switch {
		case f.Outcome == check.Fail:
			fails++
			if _, known := lookup(f, "width"); !known || !hasWidths(a) {
				t.Errorf("fails without a width: %s", f.Say)
			}
		case f.Minor:
			folded++
		case f.Standing:
			if _, ok := lookup(f, "lane"); ok {
				c, _ := lookup(f, "count")
				wide = int(c.Value)
			}
		default:
			rows++
		}
	}
	return fails, rows, folded, wide
}

func lookup(f check.Finding, name string) (check.Quantity, bool) {
	for _, q := range f.Q {
		if q.Name == name {
			return q, true
		}
	}
	return check.Quantity{}, false
}
