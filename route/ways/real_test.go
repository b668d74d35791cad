package ways_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/ways"

	"github.com/paulmach/orb"
)

// network is a folder of real roads beside the repository; INDEX.md there says
// what it is.
const network = "../../../shared/data/network"

func needNetwork(t testing.TB) {
	t.Helper()
	if _, err := os.Stat(network); err != nil {
		t.Skipf("no folder of real data beside the repository: %v", err)
	}
}

// country are the roads and 300 bare lines over them.
type country struct {
	ways  []*ways.Way
	lines []*route.Route
	// on are the ways that have an edge between two positions, in either order:
	// the lines were made of these positions, so that it is the truth.
	on map[[4]float64][]*ways.Way
}

func load(t testing.TB, edges, lines string) *country {
	t.Helper()
	needNetwork(t)
	c := &country{on: map[[4]float64][]*ways.Way{}}
	var err error
	if c.ways, err = geofile.ReadWays(filepath.Join(network, edges), geofile.Options{}); err != nil {
		t.Fatal(err)
	}
	recs, err := geofile.ReadFile(filepath.Join(network, lines), geofile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range recs {
		if r.Err != nil {
			t.Fatal(r.Err)
		}
		c.lines = append(c.lines, r.Route)
	}
	for _, w := range c.ways {
		for i := 1; i < len(w.Line); i++ {
			a, b := w.Line[i-1], w.Line[i]
			c.on[[4]float64{a[0], a[1], b[0], b[1]}] = append(c.on[[4]float64{a[0], a[1], b[0], b[1]}], w)
			c.on[[4]float64{b[0], b[1], a[0], a[1]}] = append(c.on[[4]float64{b[0], b[1], a[0], a[1]}], w)
		}
	}
	return c
}

// trueWays are the ways that hold an edge of a line.
func (c *country) trueWays(l orb.LineString, i int) []*ways.Way {
	return c.on[[4]float64{l[i-1][0], l[i-1][1], l[i][0], l[i][1]}]
}

// noisy shifts the vertices of a line by a normal error of sd metres east and
// north, correlated over corrM of the way (0: each for itself).
func noisy(r *route.Route, sd, corrM float64, seed uint64) *route.Route {
	rng := rand.New(rand.NewPCG(seed, 1))
	c := *r
	c.Line = append(orb.LineString(nil), r.Line...)
	var e, n float64
	for i, p := range r.Line {
		rho := 0.0
		if i > 0 && corrM > 0 {
			rho = math.Exp(-route.Distance(r.Line[i-1], p) / corrM)
		}
		fresh := math.Sqrt(1 - rho*rho)
		e, n = rho*e+fresh*rng.NormFloat64(), rho*n+fresh*rng.NormFloat64()
		c.Line[i] = orb.Point{p[0] + sd*e/111320/math.Cos(p[1]*math.Pi/180), p[1] + sd*n/111132}
	}
	return &c
}

// TestExplore
func TestExplore(t *testing.T) {
	for _, f := range [][2]string{{"liechtenstein_edges.geojson", "li_300.geojsonseq"}, {"poa_edges.geojson", "poa_300.geojsonseq"}} {
		c := load(t, f[0], f[1])
		net := ways.NewNetwork(c.ways)
		for _, nz := range [][2]float64{{0, 0}, {5, 1e9}, {5, 100}, {3.5, 0}, {5, 0}} {
			right, all, same := 0, 0, 0
			gaps, length := 0.0, 0.0
			for k, r := range c.lines {
				a, err := route.Align(noisy(r, nz[0], nz[1], uint64(k)))
				if err != nil {
					t.Fatal(err)
				}
				m := net.Match(a)
				gaps += a.LengthM() - m.MatchedM
				length += a.LengthM()
				slack := 3 * nz[0]
				cum := make([]float64, len(r.Line))
				for i := 1; i < len(cum); i++ {
					cum[i] = cum[i-1] + route.Distance(r.Line[i-1], r.Line[i])
				}
				j := 0
				for i := range a.Line {
					s := a.ChainageM[i]
					for j > 0 && m.Runs[j].At.FromM >= s {
						j--
					}
					for j+1 < len(m.Runs) && m.Runs[j].At.ToM < s {
						j++
					}
					ok := false
					for jj := j; jj < len(m.Runs) && m.Runs[jj].At.FromM <= s; jj++ {
						for e := max(i-20, 1); e <= min(i+20, len(r.Line)-1); e++ {
							if cum[e] < cum[i]-slack || cum[e-1] > cum[i]+slack {
								continue
							}
							for _, w := range c.trueWays(r.Line, e) {
								ok = ok || w == m.Runs[jj].Way
							}
						}
					}
					all++
					if !ok && m.Runs[j].Way != nil {
						x := m.Runs[j].Way.Line
						for q := 1; q < len(x); q++ {
							if segDist(r.Line[i], x[q-1], x[q]) < 5 { same++; break }
						}
					}
					if !ok && f[1][0] == os.Getenv("SHOW")[0] && nz[1] == 100 && all%7 == 0 {
						x := m.Runs[j]
						if x.Way == nil {
							t.Logf("off %v %v", r.ID, s)
						} else {
						t.Logf("%s s=%.0f at %.6f %.6f got %s %s %s back %v worst %.0f run %v; true %s %s", r.ID, s, r.Line[i][0], r.Line[i][1], x.Way.ID, x.Way.Name, x.Way.Tags.Highway, x.Back, x.WorstM, x.At, c.trueWays(r.Line, max(i,1))[0].ID, c.trueWays(r.Line, max(i,1))[0].Tags.Highway)
						}
					}
					if ok {
						right++
					}
				}
			}
			t.Logf("%s noise %v: right %d of %d = %.3f %% (excl %d coincide: %.3f), off %.3f %%", f[1], nz, right, all, 100*float64(right)/float64(all), same, 100*float64(right)/float64(all-same), 100*gaps/length)
		}
	}
}

func BenchmarkMatch(b *testing.B) {
	for _, f := range [][2]string{{"liechtenstein_edges.geojson", "li_300.geojsonseq"}, {"poa_edges.geojson", "poa_300.geojsonseq"}} {
		b.Run(f[1], func(b *testing.B) {
			c := load(b, f[0], f[1])
			net := ways.NewNetwork(c.ways)
			var list []*route.Alignment
			n := 0
			for k, r := range c.lines {
				a, err := route.Align(noisy(r, 5, 100, uint64(k)))
				if err != nil {
					b.Fatal(err)
				}
				list = append(list, a)
				n += len(a.Line)
			}
			for b.Loop() {
				for _, a := range list {
					net.Match(a)
				}
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "vertices/s")
		})
	}
}

func segDist(p, a, b orb.Point) float64 {
	x := 111320 * math.Cos(p[1]*math.Pi/180)
	ax, ay := (a[0]-p[0])*x, (a[1]-p[1])*111132
	bx, by := (b[0]-a[0])*x, (b[1]-a[1])*111132
	t := min(max(-(ax*bx+ay*by)/(bx*bx+by*by), 0), 1)
	return math.Hypot(ax+t*bx, ay+t*by)
}
