package bend_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/bend"
	"drawbar/route/geofile"
)

// dataDir is a folder of real roads that may stand beside the repository.
const dataDir = "../../../shared/data"

// census counts bends by kind and radius.
type census struct {
	km                     float64
	kinds                  [5]int
	arcs, decided, reverse int
	radii                  [7]int // decided ones, by steps
}

var radiusSteps = [7]float64{10, 15, 25, 45, 100, 200, 1e9}

func (c *census) add(a *route.Alignment, bends []bend.Bend) {
	c.km += a.LengthM() / 1000
	for i := range bends {
		b := &bends[i]
		c.kinds[b.Kind]++
		if b.Reverse {
			c.reverse++
		}
		if b.Reason != bend.ReasonVertex {
			c.arcs++
		}
		if !b.Decided {
			continue
		}
		c.decided++
		for k, r := range radiusSteps {
			if b.RadiusM <= r {
				c.radii[k]++
				break
			}
		}
	}
}

func (c *census) String() string {
	var out strings.Builder
	fmt.Fprintf(&out, "%7.1f km:", c.km)
	for k, n := range c.kinds {
		fmt.Fprintf(&out, " %s %d", bend.Kind(k), n)
	}
	fmt.Fprintf(&out, "; reverse %d; drawn with several vertices %d, of them decided %d; radii up to", c.reverse, c.arcs, c.decided)
	for k, n := range c.radii {
		if k == len(c.radii)-1 {
			fmt.Fprintf(&out, " more: %d", n)
			continue
		}
		fmt.Fprintf(&out, " %.0f: %d,", radiusSteps[k], n)
	}
	return out.String()
}

// TestRealRoads prints what is found on real roads, and holds that the order is
// right: bends in order, intervals about their best.
func TestRealRoads(t *testing.T) {
	if _, err := os.Stat(dataDir); err != nil {
		t.Skip("no folder of real roads beside the repository")
	}
	for _, name := range []string{"roads/li_balzers_triesenberg.geojson", "roads/li_ruggell_vaduz.geojson", "roads/li_vaduz_malbun.geojson",
		"roads/li_vaduz_malbun_line.geojson", "network/li_300.geojsonseq", "network/poa_300.geojsonseq"} {
		recs, err := geofile.ReadFile(filepath.Join(dataDir, name), geofile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		var c census
		for i, rec := range recs {
			if rec.Route == nil || (os.Getenv("DRAWBAR_BENDS") != "full" && i >= 20) {
				continue
			}
			a, err := route.Align(rec.Route)
			if err != nil {
				continue
			}
			bends := bend.Find(a, bend.Options{})
			c.add(a, bends)
			for k := range bends {
				b := &bends[k]
				if !(b.RadiusLowM <= b.RadiusHighM) || b.At.FromM > b.At.ToM || (k > 0 && b.ApexM < bends[k-1].ApexM) {
					t.Errorf("%s %s: %+v", name, rec.Route.ID, *b)
				}
			}
			if os.Getenv("DRAWBAR_BENDS") == "list" && len(recs) < 10 {
				for _, b := range bends {
					t.Logf("%s %.0f..%.0f apex %.0f R %.1f [%.1f %.1f] turn %.0f noise %.2f spacing %.1f n %d rev %v", b.Kind, b.At.FromM, b.At.ToM, b.ApexM,
						b.RadiusM, b.RadiusLowM, b.RadiusHighM, b.TurnRad*180/3.14159265, b.NoiseM, b.SpacingM, b.Vertices, b.Reverse)
				}
			}
		}
		t.Logf("%-36s %s", name, c.String())
	}
}
