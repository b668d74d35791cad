package valley

import (
	"encoding/json"
	"math"
	"slices"
	"testing"
)

type written struct {
	Type     string
	Features []struct {
		Properties map[string]any
		Geometry   struct {
			Type        string
			Coordinates [][2]float64
		}
	}
}

// read decodes one of the valley's files as any reader of GeoJSON would.
func read(t *testing.T, name string) written {
	t.Helper()
	for _, f := range valleyOf(t).Files() {
		if f.Name != name {
			continue
		}
		var w written
		if err := json.Unmarshal(f.Data, &w); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		return w
	}
	t.Fatalf("no file %s", name)
	return written{}
}

// Every route starts at the recovery point, ends at the depot, and each of its
// pieces begins where the one before ended.
func TestRoutePiecesJoin(t *testing.T) {
	lines := map[string][][2]float64{}
	next := map[string]float64{}
	var order []string
	for _, f := range read(t, "routes.geojson").Features {
		id := f.Properties["route"].(string)
		next[id]++
		if seq := f.Properties["seq"].(float64); seq != next[id] {
			t.Errorf("%s: piece %g where %g is due", id, seq, next[id])
		}
		c := f.Geometry.Coordinates
		if line := lines[id]; len(line) == 0 {
			order = append(order, id)
		} else if line[len(line)-1] != c[0] {
			t.Errorf("%s piece %g starts at %v, the one before ends at %v", id, next[id], c[0], line[len(line)-1])
		}
		lines[id] = append(lines[id], c...)
	}
	for _, id := range order {
		first, line := lines[order[0]], lines[id]
		if line[0] != first[0] || line[len(line)-1] != first[len(first)-1] {
			t.Errorf("%s runs from %v to %v, %s from %v to %v", id, line[0], line[len(line)-1], order[0], first[0], first[len(first)-1])
		}
	}
	if want := []string{"lakeside", "quarry-climb", "mill-bridge", "hairpin", "upper-track"}; !slices.Equal(order, want) {
		t.Errorf("routes %v, want %v", order, want)
	}
}

// Ways meet at their ends alone, every edge of a route is an edge of a way
// with the same tags, and the ways hang together.
func TestWaysAreNoded(t *testing.T) {
	ways := read(t, "ways.geojson")
	inner := map[[2]float64]int{}
	edges := map[[2][2]float64]any{}
	for k, f := range ways.Features {
		c := f.Geometry.Coordinates
		for i := 1; i < len(c); i++ {
			edges[[2][2]float64{c[i-1], c[i]}] = f.Properties["surface"]
		}
		for _, p := range c[1 : len(c)-1] {
			inner[p] = k
		}
	}
	group := map[[2]float64]int{}
	for k, f := range ways.Features {
		c := f.Geometry.Coordinates
		ends := [2][2]float64{c[0], c[len(c)-1]}
		for _, p := range ends {
			if other, ok := inner[p]; ok {
				t.Errorf("way %d ends inside way %d at %v", k, other, p)
			}
		}
		joined := min(groupOf(group, ends[0], k), groupOf(group, ends[1], k))
		merge(group, group[ends[0]], joined)
		merge(group, group[ends[1]], joined)
	}
	for p, g := range group {
		if g != 0 {
			t.Errorf("node %v cannot be reached from the first way", p)
		}
	}
	for _, f := range read(t, "routes.geojson").Features {
		c := f.Geometry.Coordinates
		for i := 1; i < len(c); i++ {
			surface, ok := edges[[2][2]float64{c[i-1], c[i]}]
			if !ok || surface != f.Properties["surface"] {
				t.Errorf("%v piece %v: edge %v to %v is in no way with its surface", f.Properties["route"], f.Properties["seq"], c[i-1], c[i])
			}
		}
	}
}

func groupOf(group map[[2]float64]int, p [2]float64, fresh int) int {
	if _, ok := group[p]; !ok {
		group[p] = fresh
	}
	return group[p]
}

func merge(group map[[2]float64]int, from, to int) {
	for p, g := range group {
		if g == from {
			group[p] = to
		}
	}
}

// Vertices: no two nearer than 0.5 m, none farther apart than 20 m, and no
// chord farther from its arc than 0.1 m.
func TestVerticesFollowTheRoad(t *testing.T) {
	for _, r := range valleyOf(t).Roads {
		at := r.vertices()
		for k := 1; k < len(at); k++ {
			d := at[k] - at[k-1]
			if d < 0.5 || d > straightStepM+1e-9 {
				t.Errorf("%s: vertices at %.2f and %.2f m", r.Name, at[k-1], at[k])
			}
			if radius := math.Abs(r.RadiusM((at[k] + at[k-1]) / 2)); radius > 0 {
				if sagitta := d * d / (8 * radius); sagitta > 0.1 {
					t.Errorf("%s at %.1f m: chord %.2f m from its arc of %.0f m", r.Name, at[k], sagitta, radius)
				}
			}
		}
		if at[0] != 0 || at[len(at)-1] != r.LengthM {
			t.Errorf("%s: vertices from %g to %g m, want 0 to %g", r.Name, at[0], at[len(at)-1], r.LengthM)
		}
	}
}
