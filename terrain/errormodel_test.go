package terrain_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"drawbar/terrain"
)

func TestFromLE90(t *testing.T) {
	// GLO-30: a relative LE90 of 2 m is 1.216 m of a difference.
	// Source: table of grade errors by baseline, derived by Monte Carlo.
	if got := terrain.FromRelativeLE90(2) * math.Sqrt2; math.Abs(got-1.216) > 5e-4 {
		t.Errorf("difference %v m, want 1.216", got)
	}
	// DTED1: LE90 30 m with RMSE 18 m. Source: NOAA GLOBE report.
	if got := terrain.FromLE90(30); math.Abs(got-18.24) > 0.01 {
		t.Errorf("SE %v m, want 18.24", got)
	}
	for _, bad := range []float64{0, -1, nan} {
		if !math.IsNaN(terrain.FromLE90(bad)) {
			t.Errorf("LE90 of %v has a standard error", bad)
		}
	}
}

func TestGuess(t *testing.T) {
	for _, c := range []struct {
		name     string
		in       terrain.Known
		se, corr float64
		ce90     float64
		standing []string // of what was assumed: SE, correlation, CE90
	}{
		{"nothing known", terrain.Known{}, terrain.FromRelativeLE90(20), 50, 20, []string{"choice", "choice", "choice"}},
		{"format SRTM", terrain.Known{Driver: "SRTMHGT", CellM: 76}, terrain.FromRelativeLE90(10), 76, 20, []string{"read", "choice", "read"}},
		{"format DTED 1", terrain.Known{Driver: "DTED", CellM: 92}, terrain.FromRelativeLE90(20), 92, 0.65 * 92, []string{"memory", "choice", "choice"}},
		{"format DTED 2", terrain.Known{Driver: "DTED", CellM: 31}, terrain.FromRelativeLE90(15), 50, 0.65 * 31, []string{"memory", "choice", "choice"}},
		{"by cell", terrain.Known{Driver: "GTiff", CellM: 10}, 1.5, 50, 6.5, []string{"choice", "choice", "choice"}},
		{"product beats format", terrain.Known{Product: "GLO30", Driver: "SRTMHGT", CellM: 30}, terrain.FromRelativeLE90(4), 50, 6, []string{"read", "choice", "read"}},
		{"LE90 beats product", terrain.Known{Product: "srtm", LE90M: 3.29, CellM: 30}, terrain.FromLE90(3.29), 50, 20, []string{"choice", "read"}},
		{"all given", terrain.Known{LE90M: 1, CE90M: 2, CorrM: 200}, terrain.FromLE90(1), 200, 2, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := terrain.Guess(c.in)
			if err != nil {
				t.Fatal(err)
			}
			var standing []string
			for _, a := range m.Assumed {
				standing = append(standing, a.Standing)
			}
			if m.SEM != c.se || m.CorrM != c.corr || math.Abs(m.CE90M-c.ce90) > 1e-9 || !slices.Equal(standing, c.standing) {
				t.Errorf("SE %v m, correlation %v m, CE90 %v m, assumed %v; want %v, %v, %v, %v", m.SEM, m.CorrM, m.CE90M, standing, c.se, c.corr, c.ce90, c.standing)
			}
		})
	}
}

func TestGuessRefuses(t *testing.T) {
	if _, err := terrain.Guess(terrain.Known{Product: "moon"}); err == nil || !strings.Contains(err.Error(), "srtm") {
		t.Errorf("unknown product: %v", err)
	}
	for _, k := range []terrain.Known{{LE90M: -1}, {LE90M: nan}, {CorrM: math.Inf(1)}, {CE90M: -1}, {CE90M: nan}} {
		if _, err := terrain.Guess(k); err == nil {
			t.Errorf("%+v accepted", k)
		}
	}
}

func TestProducts(t *testing.T) {
	last := ""
	for _, p := range terrain.Products() {
		if p.Key <= last || p.SEM <= 0 || p.Source == "" || !slices.Contains([]string{"read", "memory"}, p.Standing) ||
			(p.CE90M > 0) != (p.CE90Source != "") || (p.CE90M > 0) != (p.CE90Standing != "") {
			t.Errorf("row %+v after %q", p, last)
		}
		last = p.Key
	}
}

// lsGradeSE is the standard error of the slope of a least-squares line over
// baseM with a sample every 10 m, heights of standard error 1 m and
// correlation exp(-d/corrM).
func lsGradeSE(baseM, corrM float64) float64 {
	n := int(baseM/10) + 1
	x, sxx := make([]float64, n), 0.0
	for i := range x {
		x[i] = 10*float64(i) - baseM/2
		sxx += x[i] * x[i]
	}
	var v float64
	for i := range x {
		for j := range x {
			v += x[i] * x[j] / sxx / sxx * math.Exp(-math.Abs(x[i]-x[j])/corrM)
		}
	}
	return math.Sqrt(v)
}

// The documented reason for the default correlation length.
func TestDefaultCorrelationIsNearTheWorst(t *testing.T) {
	// Check of lsGradeSE itself: 11 samples in 10 m, white: 0.0095 per metre.
	// Source: sqrt(12/(N(N^2-1)))/d.
	if got := lsGradeSE(100, 1e-6); math.Abs(got-0.00953) > 1e-4 {
		t.Fatalf("white noise gives %v", got)
	}
	m, err := terrain.Guess(terrain.Known{CellM: 10})
	if err != nil {
		t.Fatal(err)
	}
	short := func(corrM float64) (worst float64) {
		for base := 50.0; base <= 300; base += 10 {
			top := 0.0
			for a := 1.0; a <= 3000; a *= 1.05 {
				top = math.Max(top, lsGradeSE(base, a))
			}
			worst = math.Max(worst, 1-lsGradeSE(base, corrM)/top)
		}
		return worst
	}
	def, long, brief := short(m.CorrM), short(100), short(10)
	t.Logf("grade error short of the worst case by at most %.3f (default), %.3f (100 m), %.3f (10 m)", def, long, brief)
	for _, c := range [][2]float64{{def, 0.17}, {long, 0.35}, {brief, 0.44}} {
		if math.Abs(c[0]-c[1]) > 0.005 {
			t.Errorf("%.3f where the comment on defaultCorrelation says %v", c[0], c[1])
		}
	}
}

func ExampleGuess() {
	m, _ := terrain.Guess(terrain.Known{Driver: "SRTMHGT", CellM: 76})
	fmt.Printf("SE %.2f m over %.0f m, %s\n", m.SEM, m.CorrM, m.Kind)
	for _, a := range m.Assumed {
		fmt.Println(a.Key, a.Standing)
	}
	// Output:
	// SE 4.30 m over 76 m, surface model
	// terrain.se read
	// terrain.correlation choice
	// terrain.ce90 read
}
