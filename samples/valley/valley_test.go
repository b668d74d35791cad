package valley

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the files of the sample scenario")

// made is the valley, built once for all tests.
var made = sync.OnceValues(Make)

func valleyOf(t testing.TB) *Valley {
	t.Helper()
	v, err := made()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The files in the repository are what the generator writes, byte for byte.
func TestFilesInRepository(t *testing.T) {
	for _, f := range valleyOf(t).Files() {
		path := filepath.Join("..", f.Name)
		if *update {
			if err := os.WriteFile(path, f.Data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		have, err := os.ReadFile(path)
		if err != nil {
			t.Errorf("%v; run go run ./samples/generate", err)
			continue
		}
		if !bytes.Equal(have, f.Data) {
			t.Errorf("%s differs from what the generator makes (%d bytes, made %d); run go run ./samples/generate",
				f.Name, len(have), len(f.Data))
		}
	}
}

func TestRasterIsSmall(t *testing.T) {
	for _, f := range valleyOf(t).Files() {
		if f.Name == "valley.tif" && len(f.Data) >= 4_000_000 {
			t.Errorf("raster has %d bytes, want less than 4 MB", len(f.Data))
		}
	}
}

// heightM reads the raster bilinearly, as tools do; false where a cell it
// needs is void.
func (v *Valley) heightM(x, y float64) (float64, bool) {
	p, l := x/CellM-0.5, Rows-y/CellM-0.5
	i, j := math.Floor(p), math.Floor(l)
	sum := 0.0
	for b, wl := range []float64{1 - (l - j), l - j} {
		for a, wp := range []float64{1 - (p - i), p - i} {
			c := v.Cells[(int(j)+b)*Cols+int(i)+a]
			if c == Void {
				return 0, false
			}
			sum += wl * wp * (OffsetM + ScaleM*float64(c))
		}
	}
	return sum, true
}

// The ground carries every road at its designed height. The tolerance is the
// sum of what may come between: the noise (0.1 m, bounded), half a stored unit
// (0.005 m) and bilinear interpolation between cells 2 m apart: on a vertical
// curve of radius 400 m 2^2/(8*400) = 0.001 m, in the hairpin of 8 m radius at
// a grade below 3 % less than 0.01 m. Where two roads lie side by side the
// nearer one rules, and TestRoadsMeetLevel bounds their difference.
func TestGroundCarriesRoads(t *testing.T) {
	const toleranceM = noiseM + 0.005 + 0.01
	v := valleyOf(t)
	for _, r := range v.Roads {
		looked, sum, sum2 := 0, 0.0, 0.0
		for s := 0.0; s <= r.LengthM; s += 0.5 {
			if _, inside := r.gap(s); inside || nearGap(r, s) {
				continue
			}
			x, y := r.At(s)
			z, ok := v.heightM(x, y)
			if !ok {
				continue
			}
			d := z - r.HeightM(s)
			if math.Abs(d) > toleranceM {
				t.Errorf("%s at %.1f m: ground %.3f m, design %.3f m", r.Name, s, z, r.HeightM(s))
			}
			looked, sum, sum2 = looked+1, sum+d, sum2+d*d
		}
		mean := sum / float64(looked)
		t.Logf("%s: %d points, mean %+.4f m, root mean square %.4f m", r.Name, looked, mean, math.Sqrt(sum2/float64(looked)))
		if float64(looked) < r.LengthM || math.Abs(mean) > 0.01 {
			t.Errorf("%s: %d points looked at, mean difference %.4f m, want at least one a metre and 0 +- 0.01 m", r.Name, looked, mean)
		}
	}
}

// nearGap reports that interpolation at s would reach into a bridge or tunnel.
func nearGap(r *Road, s float64) bool {
	for _, d := range []float64{-3, 3} {
		if _, inside := r.gap(s + d); inside {
			return true
		}
	}
	return false
}

// Bare earth: under the middle of a bridge the beck runs at least 4 m below
// the deck, and over the middle of the tunnel there are at least 5 m of hill.
// The ends of both are on the road.
func TestGroundLeavesBridgesAndTunnels(t *testing.T) {
	v := valleyOf(t)
	bridges, tunnels := 0, 0
	for _, r := range v.Roads {
		for _, st := range r.stretches {
			if !st.gap {
				continue
			}
			middle := (st.fromM + st.toM) / 2
			x, y := r.At(middle)
			z, ok := v.heightM(x, y)
			above := z - r.HeightM(middle)
			switch {
			case !ok:
				t.Errorf("%s at %.0f m: no data", r.Name, middle)
			case st.tags[0].key == "bridge":
				bridges++
				if above > -4 {
					t.Errorf("%s at %.0f m: ground %.2f m above the deck, want at most -4", r.Name, middle, above)
				}
			case st.tags[0].key == "tunnel":
				tunnels++
				if above < 5 {
					t.Errorf("%s at %.0f m: ground %.2f m above the road, want at least 5", r.Name, middle, above)
				}
			}
			for _, s := range []float64{st.fromM, st.toM} {
				x, y := r.At(s)
				if z, _ := v.heightM(x, y); math.Abs(z-r.HeightM(s)) > noiseM+0.015 {
					t.Errorf("%s at %.0f m: ground %.2f m, design %.2f m", r.Name, s, z, r.HeightM(s))
				}
			}
		}
	}
	if bridges != 3 || tunnels != 1 {
		t.Errorf("%d bridges and %d tunnels, want 3 and 1", bridges, tunnels)
	}
}

// The void lies on one route alone, in one piece, 120 m long along the road to
// within the two cells that interpolation loses at its ends.
func TestVoidIsOnOneRoute(t *testing.T) {
	v := valleyOf(t)
	for _, route := range v.Routes {
		from, to, pieces, before := math.Inf(1), math.Inf(-1), 0, true
		chainage := 0.0
		for _, l := range route.Legs {
			for s := l.FromM; s < l.ToM; s += 0.25 {
				x, y := l.Road.At(s)
				_, ok := v.heightM(x, y)
				if !ok {
					at := chainage + s - l.FromM
					from, to = min(from, at), max(to, at)
					if before {
						pieces++
					}
				}
				before = ok
			}
			chainage += l.ToM - l.FromM
		}
		if route.ID != "upper-track" {
			if pieces > 0 {
				t.Errorf("%s: void from %.0f to %.0f m, want none", route.ID, from, to)
			}
			continue
		}
		if pieces != 1 || to-from < 120 || to-from > 120+2*CellM*math.Sqrt2 {
			t.Errorf("%s: %d voids from %.1f to %.1f m, want one of 120 m", route.ID, pieces, from, to)
		}
	}
}

func ExampleMake() {
	v, err := Make()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range v.Routes {
		steepest := 0.0
		for _, l := range r.Legs {
			for s := l.FromM; s <= l.ToM; s++ {
				steepest = max(steepest, l.Road.GradeRatio(s))
			}
		}
		fmt.Printf("%s: %.0f m, steepest %.1f %%\n", r.ID, r.LengthM(), 100*steepest)
	}
	// Output:
	// lakeside: 3082 m, steepest 3.3 %
	// quarry-climb: 3677 m, steepest 18.0 %
	// mill-bridge: 3065 m, steepest 3.3 %
	// hairpin: 3747 m, steepest 2.8 %
	// upper-track: 2794 m, steepest 4.2 %
}
