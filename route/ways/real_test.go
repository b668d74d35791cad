package ways_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
	"drawbar/route/structure"
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

// places are the two networks with their lines, and how many of the lines cross a
// bridge or a tunnel edge by INDEX.md; -1 where it does not say.
var places = []struct {
	edges, lines, extract string
	bridges, tunnels      int
}{
	{"liechtenstein_edges.geojson", "li_300.geojsonseq", "liechtenstein-2013-08-03.osm.pbf", 221, 51},
	{"poa_edges.geojson", "poa_300.geojsonseq", "poa_osm.pbf", 182, -1},
}

// noise is how far the vertices are shifted, standard deviation east and north,
// metres.
const noiseM = 5.0

// TestMatchedThroughNoise: of vertices shifted by noise, at least 99.5 % are on the
// right way. The truth of a vertex are the ways of its unshifted line within three
// standard deviations along it, for the shift moves it along as well as across.
// Vertices where a wrong way passes within one standard deviation of the unshifted
// place are left out and counted: there two ways coincide within the noise. They
// are ends of lines at a junction for the most part, that the shift moved into
// another street.
func TestMatchedThroughNoise(t *testing.T) {
	for _, p := range places {
		c := load(t, p.edges, p.lines)
		net := ways.NewNetwork(c.ways)
		for _, corrM := range []float64{0, 100, 1e9} { // each vertex for itself, as drawn by hand, the whole line as one
			if testing.Short() && corrM != 100 {
				continue
			}
			var right, wrong, coincide int
			for k, r := range c.lines {
				a, err := route.Align(noisy(r, noiseM, corrM, uint64(k)))
				if err != nil {
					t.Fatal(err)
				}
				ri, wr, co := c.judge(r, a, net.Match(a))
				right, wrong, coincide = right+ri, wrong+wr, coincide+co
			}
			share := float64(right) / float64(right+wrong)
			t.Logf("%s, noise %g m correlated over %g m: %d vertices right, %d wrong, %d where ways coincide within the noise: %.3f %% of the others, %.3f %% of all",
				p.lines, noiseM, corrM, right, wrong, coincide, 100*share, 100*float64(right)/float64(right+wrong+coincide))
			if share < 0.995 {
				t.Errorf("%s: %.3f %% right, want 99.5 %%", p.lines, 100*share)
			}
		}
	}
}

// judge counts the vertices of a shifted line that are matched right.
func (c *country) judge(r *route.Route, a *route.Alignment, m *ways.Match) (right, wrong, coincide int) {
	truth, err := route.Align(r)
	if err != nil {
		return 0, len(r.Line), 0
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
		ok, near := false, false
		for jj := j; jj < len(m.Runs) && m.Runs[jj].At.FromM <= s; jj++ {
			w := m.Runs[jj].Way
			ok = ok || c.onTrue(truth, i, w)
			near = near || w != nil && distance(r.Line[i], w.Line) < noiseM
		}
		switch {
		case ok:
			right++
		case near:
			coincide++
		default:
			wrong++
		}
	}
	return right, wrong, coincide
}

// onTrue reports whether a way is one of the line's own near a vertex.
func (c *country) onTrue(a *route.Alignment, i int, w *ways.Way) bool {
	for e := 1; e < len(a.Line); e++ {
		if a.ChainageM[e] < a.ChainageM[i]-3*noiseM || a.ChainageM[e-1] > a.ChainageM[i]+3*noiseM {
			continue
		}
		for _, x := range c.trueWays(a.Line, e) {
			if x == w {
				return true
			}
		}
	}
	return false
}

// distance from a point to a line, metres.
func distance(p orb.Point, l orb.LineString) float64 {
	least := math.Inf(1)
	x := 111320 * math.Cos(p[1]*math.Pi/180)
	for i := 1; i < len(l); i++ {
		ax, ay := (l[i-1][0]-p[0])*x, (l[i-1][1]-p[1])*111132
		bx, by := (l[i][0]-l[i-1][0])*x, (l[i][1]-l[i-1][1])*111132
		t := min(max(-(ax*bx+ay*by)/(bx*bx+by*by), 0), 1)
		least = min(least, math.Hypot(ax+t*bx, ay+t*by))
	}
	return least
}

// TestStructuresFound holds the structures and limits that bare lines take from
// their ways against a walk over their positions: each edge of a line lies on an
// edge of the network by its very coordinates. No tolerance but rounding.
func TestStructuresFound(t *testing.T) {
	for _, p := range places {
		c := load(t, p.edges, p.lines)
		x := ways.NewIndex(p.edges, c.ways)
		bridges, tunnels, limits, edges := 0, 0, 0, 0
		for _, r := range c.lines {
			a, err := route.Align(r)
			if err != nil {
				t.Fatal(err)
			}
			f := x.Follow(a)
			if f.Match.MatchedM < a.LengthM()-0.01 || f.Match.WorstM > 0.1 {
				t.Errorf("%s: %.1f m of %.1f m matched, %.2f m off at most", r.ID, f.Match.MatchedM, a.LengthM(), f.Match.WorstM)
			}
			placed, _ := structure.Place(f.Way)
			bridge, tunnel := false, false
			for e := 1; e < len(a.Line); e++ {
				mid := (a.ChainageM[e-1] + a.ChainageM[e]) / 2
				got := f.Way.LegsIn(route.Stretch{FromM: mid, ToM: mid})[0].Tags
				agree := false
				for _, w := range c.trueWays(r.Line, e) {
					agree = agree || sameFacts(got, w.Tags)
				}
				if !agree {
					t.Errorf("%s, %.0f m: %+v, there %+v", r.ID, mid, got, c.trueWays(r.Line, e)[0].Tags)
				}
				edges++
				bridge, tunnel = bridge || got.Bridge != "", tunnel || got.Tunnel != ""
				if got.MaxMassKg.State != route.Absent || got.MaxHeightM.State != route.Absent {
					limits++
				}
				for kind, is := range map[structure.Kind]bool{structure.Bridge: got.Bridge != "", structure.Tunnel: structure.Under(got) != ""} {
					on := false
					for _, s := range placed {
						if s.Feature.Kind == kind && s.At.FromM-0.01 <= a.ChainageM[e-1] && a.ChainageM[e] <= s.At.ToM+0.01 {
							on = true
							if kind == structure.Bridge && s.Feature.MaxMassKg.State != got.MaxMassKg.State {
								t.Errorf("%s, %.0f m: bridge says %+v, its way %+v", r.ID, mid, s.Feature.MaxMassKg, got.MaxMassKg)
							}
						}
					}
					if on != is {
						t.Errorf("%s, %.0f m: %s placed %v, want %v", r.ID, mid, kind, on, is)
					}
				}
			}
			if bridge {
				bridges++
			}
			if tunnel {
				tunnels++
			}
		}
		t.Logf("%s: %d edges; %d routes over a bridge, %d through a tunnel; %d edges with a mass or height limit", p.lines, edges, bridges, tunnels, limits)
		if bridges != p.bridges || p.tunnels >= 0 && tunnels != p.tunnels {
			t.Errorf("%s: %d over a bridge, %d through a tunnel, want %d and %d", p.lines, bridges, tunnels, p.bridges, p.tunnels)
		}
	}
}

// sameFacts compares what a load is judged by.
func sameFacts(a, b route.Tags) bool {
	return a.Bridge == b.Bridge && a.Tunnel == b.Tunnel && a.Ford == b.Ford && a.Layer == b.Layer && a.MaxMassKg == b.MaxMassKg &&
		a.MaxHeightM == b.MaxHeightM && a.MaxWidthM == b.MaxWidthM && a.Highway == b.Highway && a.Surface == b.Surface
}

// TestStructuresThroughNoise: of the bridges and tunnels of the unshifted lines, at
// least 99 % stand within 30 m of their place on the shifted ones, and no more than
// 1 % are found that are not there. Of a bridge at the very end of a line less than
// three standard deviations do not count.
func TestStructuresThroughNoise(t *testing.T) {
	for _, p := range places {
		c := load(t, p.edges, p.lines)
		x := ways.NewIndex(p.edges, c.ways)
		var lost, extra, all int
		for k, r := range c.lines {
			var found [2][]orb.Point
			for i, one := range []*route.Route{r, noisy(r, noiseM, 100, uint64(k))} {
				a, err := route.Align(one)
				if err != nil {
					t.Fatal(err)
				}
				list, _ := structure.Place(x.Follow(a).Way)
				for _, s := range list {
					if end := s.At.FromM == 0 || s.At.ToM == a.LengthM(); end && s.At.LengthM() < 3*noiseM {
						continue // where a line begins at the end of a bridge the shift may put it there
					}
					found[i] = append(found[i], a.At((s.At.FromM+s.At.ToM)/2))
				}
			}
			all += len(found[0])
			lost += missing(found[0], found[1])
			extra += missing(found[1], found[0])
		}
		t.Logf("%s: %d bridges and tunnels, %d not found through noise of %g m, %d found that are not there", p.lines, all, lost, noiseM, extra)
		if 100*lost > all || 100*extra > all {
			t.Errorf("%s: %d lost and %d too many of %d", p.lines, lost, extra, all)
		}
	}
}

// missing counts the places that have none of the others within 30 m.
func missing(list, others []orb.Point) (n int) {
	for _, p := range list {
		near := false
		for _, q := range others {
			near = near || route.Distance(p, q) < 30
		}
		if !near {
			n++
		}
	}
	return n
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
