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
		{"nothing known", terrain.Known{}, terrain.FromRelativeLE90(20), 100, 20, []string{"choice", "choice", "choice"}},
		{"format SRTM", terrain.Known{Driver: "SRTMHGT", CellM: 76}, terrain.FromRelativeLE90(10), 100, 20, []string{"read", "choice", "read"}},
		{"format DTED 1", terrain.Known{Driver: "DTED", CellM: 92}, terrain.FromRelativeLE90(20), 100, 0.65 * 92, []string{"memory", "choice", "choice"}},
		{"format DTED 2", terrain.Known{Driver: "DTED", CellM: 31}, terrain.FromRelativeLE90(15), 100, 0.65 * 31, []string{"memory", "choice", "choice"}},
		{"by cell", terrain.Known{Driver: "GTiff", CellM: 10}, 1.5, 100, 6.5, []string{"choice", "choice", "choice"}},
		{"product beats format", terrain.Known{Product: "GLO30", Driver: "SRTMHGT", CellM: 30}, terrain.FromRelativeLE90(4), 100, 6, []string{"read", "choice", "read"}},
		{"LE90 beats product", terrain.Known{Product: "srtm", LE90M: 3.29, CellM: 30}, terrain.FromLE90(3.29), 100, 20, []string{"choice", "read"}},
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

func ExampleGuess() {
	m, _ := terrain.Guess(terrain.Known{Driver: "SRTMHGT", CellM: 76})
	fmt.Printf("SE %.2f m over %.0f m, %s\n", m.SEM, m.CorrM, m.Kind)
	for _, a := range m.Assumed {
		fmt.Println(a.Key, a.Standing)
	}
	// Output:
	// SE 4.30 m over 100 m, surface model
	// terrain.se read
	// terrain.correlation choice
	// terrain.ce90 read
}
