package terrain_test

import (
	"fmt"
	"math"
	"testing"

	"drawbar/terrain"
)

func TestFromCE90(t *testing.T) {
	// 90 % of a circular normal lie within sqrt(2 ln 10) = 2.146 standard
	// deviations: 1 - exp(-r*r/2) = 0.9. Source: derived.
	se := terrain.FromCE90(20)
	if within := 1 - math.Exp(-20*20/(2*se*se)); math.Abs(within-0.9) > 1e-12 {
		t.Errorf("SE %v m: %v within the CE90", se, within)
	}
	for _, bad := range []float64{0, -1, nan} {
		if !math.IsNaN(terrain.FromCE90(bad)) {
			t.Errorf("CE90 of %v has a standard error", bad)
		}
	}
}

func TestHillsideSEM(t *testing.T) {
	k := terrain.ResolutionPerCell
	for name, c := range map[string]struct {
		s           terrain.Source
		cross, line float64
		want        float64
	}{
		"SRTM":             {terrain.Source{CellM: 30, CE90M: 20}, 0.4, 5, 0.4 * math.Sqrt(25+math.Pow(20/2.1459660, 2)+900*k*k)},
		"falls left":       {terrain.Source{CellM: 30, CE90M: 20}, -0.4, 5, 0.4 * math.Sqrt(25+math.Pow(20/2.1459660, 2)+900*k*k)},
		"CE90 not known":   {terrain.Source{CellM: 10}, 0.2, 0, 0.2 * math.Hypot(6.5/2.1459660, 10*k)},
		"nothing is known": {terrain.Source{}, 0.2, 3, 0.2 * math.Hypot(3, 20/2.1459660)},
		"level ground":     {terrain.Source{CellM: 30, CE90M: 20}, 0, 5, 0},
	} {
		if got := c.s.HillsideSEM(c.cross, c.line); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: %v m, want %v", name, got, c.want)
		}
	}
}

func ExampleSource_HillsideSEM() {
	world := terrain.Source{CellM: 30, CE90M: 6}
	fmt.Printf("%.1f m on a hillside of 40 %%, the line known to 5 m\n", world.HillsideSEM(0.40, 5))
	// Output:
	// 2.4 m on a hillside of 40 %, the line known to 5 m
}
