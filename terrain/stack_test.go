package terrain_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// strip is a surface with heights between two longitudes; beyond them why.
type strip struct {
	from, to float64
	zM       float64
	why      terrain.Why
	source   terrain.Source
	calls    *int
}

func (s strip) Sources() []terrain.Source { return []terrain.Source{s.source} }

func (s strip) Elevations(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	if s.calls != nil {
		*s.calls++
	}
	for i, p := range pts {
		out[i] = terrain.Sample{ZM: s.zM}
		if p[0] < s.from || p[0] > s.to {
			out[i] = terrain.Sample{ZM: math.NaN(), Why: s.why}
		}
	}
	return ctx.Err()
}

func source(name string, cellM float64, datum, unit string) terrain.Source {
	return terrain.Source{Name: name, CellM: cellM, Datum: datum, Unit: unit}
}

func TestStackTakesTheFinestHeight(t *testing.T) {
	coarse := strip{0, 10, 100, terrain.OffRaster, source("coarse", 30, "EGM96", "m"), nil}
	fine := strip{4, 5, 200, terrain.Edge, source("fine", 1, "EGM96 geoid", "m"), nil}
	holed := strip{6, 7, 300, terrain.Void, source("holed", 10, "", "m"), nil}
	same := strip{0, 1, 400, terrain.OffRaster, source("as coarse, later", 30, "", "m"), nil}
	bare := strip{20, 21, 500, terrain.OffRaster, source("cell not known", 0, "unknown", ""), nil}
	s, err := terrain.NewStack([]terrain.Surface{bare, coarse, same, holed, fine})
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, src := range s.Sources() {
		names = append(names, src.Name)
	}
	if want := []string{"fine", "holed", "coarse", "as coarse, later", "cell not known"}; !slices.Equal(names, want) {
		t.Fatalf("order %q, want %q", names, want)
	}
	for lon, want := range map[float64]terrain.Sample{
		4.5:  {ZM: 200, Source: 0},
		6.5:  {ZM: 300, Source: 1},
		0.5:  {ZM: 100, Source: 2},
		20.5: {ZM: 500, Source: 4},
		50:   {Why: terrain.Void, Source: 1},
	} {
		got := at(t, s, orb.Point{lon, 0})[0]
		if got.Source != want.Source || got.Why != want.Why || got.Why == terrain.Valid && got.ZM != want.ZM {
			t.Errorf("at %v: %+v, want %+v", lon, got, want)
		}
		if (got.Why == terrain.Valid) == math.IsNaN(got.ZM) {
			t.Errorf("at %v: %+v", lon, got)
		}
	}
}

func at(t testing.TB, s terrain.Surface, pts ...orb.Point) []terrain.Sample {
	t.Helper()
	out := make([]terrain.Sample, len(pts))
	if err := s.Elevations(context.Background(), pts, out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestStackTellsTheBestReason(t *testing.T) {
	whys := []terrain.Why{terrain.OffRaster, terrain.Edge, terrain.Void, terrain.Implausible}
	for i, first := range whys {
		for k, second := range whys {
			s, err := terrain.NewStack([]terrain.Surface{
				strip{0, 1, 1, first, source("a", 1, "", ""), nil}, strip{0, 1, 1, second, source("b", 2, "", ""), nil}})
			if err != nil {
				t.Fatal(err)
			}
			got := at(t, s, orb.Point{5, 5})[0]
			wantSource := uint8(0)
			if k > i {
				wantSource = 1
			}
			if got.Why != whys[max(i, k)] || got.Source != wantSource || !math.IsNaN(got.ZM) {
				t.Errorf("%v then %v: %+v", first, second, got)
			}
		}
	}
}

func TestStackDatumsAndUnits(t *testing.T) {
	for name, c := range map[string]struct {
		a, b terrain.Source
		want error
		say  []string // in the error, or in the notes of the second
	}{
		"differ": {source("a.tif", 1, "EGM96", "m"), source("b.tif", 2, "EGM2008 geoid", "m"), terrain.ErrDatum,
			[]string{"a.tif", "EGM96", "b.tif", "EGM2008", "no transformation"}},
		"two spellings": {source("a.hgt", 1, "EGM96", "m"), source("b.tif", 2, "egm96_geoid", "m"), nil, nil},
		"one unknown":   {source("a.tif", 1, "EGM96", "m"), source("b.tif", 2, "unknown", "m"), nil, []string{"not stated", "EGM96", "a.tif"}},
		"both unknown":  {source("a.tif", 1, "", "m"), source("b.tif", 2, "unknown", "m"), nil, []string{"no raster here states"}},
		"feet beside a guess": {source("a.tif", 1, "", "US survey ft"), source("b.tif", 2, "", "unknown (taken as m)"), terrain.ErrUnit,
			[]string{"a.tif", "US survey ft", "b.tif"}},
		"feet beside metres":    {source("a.tif", 1, "EGM96", "ft"), source("b.tif", 2, "EGM96", "m"), nil, nil},
		"metres beside a guess": {source("a.tif", 1, "EGM96", "m"), source("b.tif", 2, "EGM96", "unknown (taken as m)"), nil, nil},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := terrain.NewStack([]terrain.Surface{strip{source: c.a}, strip{source: c.b}})
			if !errors.Is(err, c.want) {
				t.Fatalf("%v, want %v", err, c.want)
			}
			said := fmt.Sprint(err)
			if c.want == nil {
				said = strings.Join(s.Sources()[1].Notes, "; ")
				if c.say == nil && said != "" {
					t.Errorf("notes %q", said)
				}
			}
			for _, word := range c.say {
				if !strings.Contains(said, word) {
					t.Errorf("%q does not say %q", said, word)
				}
			}
		})
	}
}

func TestStackCounts(t *testing.T) {
	if _, err := terrain.NewStack(nil); !errors.Is(err, terrain.ErrSources) {
		t.Errorf("no surface: %v", err)
	}
	many := slices.Repeat([]terrain.Surface{strip{source: source("x", 1, "EGM96", "m")}}, 257)
	if _, err := terrain.NewStack(many); !errors.Is(err, terrain.ErrSources) {
		t.Errorf("257 surfaces: %v", err)
	}
	s, err := terrain.NewStack(append(slices.Clone(many[:255]), strip{0, 1, 7, terrain.Void, source("last", 9, "EGM96", "m"), nil}))
	if err != nil {
		t.Fatal(err)
	}
	if got := at(t, s, orb.Point{0.5, 0})[0]; got.Source != 0 {
		t.Errorf("%+v", got)
	}
	alone, err := terrain.NewStack([]terrain.Surface{strip{source: source("x", 1, "", "")}})
	if err != nil || len(alone.Sources()[0].Notes) != 0 {
		t.Errorf("a surface alone needs no note: %+v, %v", alone.Sources(), err)
	}
}

func TestStackLeavesTheNotesOfOthersAlone(t *testing.T) {
	notes := append(make([]string, 0, 4), "own")
	a, b := source("a", 1, "", ""), source("b", 2, "", "")
	a.Notes, b.Notes = notes, notes
	s, err := terrain.NewStack([]terrain.Surface{strip{source: a}, strip{source: b}})
	if err != nil || len(s.Sources()[0].Notes) != 2 || notes[:2][1] != "" {
		t.Errorf("%+v, %q, %v", s.Sources(), notes[:2], err)
	}
}

// A height depends on its point alone, whatever the order, the chunk and the
// goroutine; surfaces that answer nothing more are not asked.
func TestStackDependsOnThePointAlone(t *testing.T) {
	stack, err := terrain.NewStack([]terrain.Surface{
		plane(t, 0.01, -0.01), strip{9.02, 9.2, 7, terrain.Void, source("s", 5000, "", ""), nil}})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(rt *rapid.T) {
		pts := make([]orb.Point, rapid.SampledFrom([]int{1, 3, 4095, 4097, 9000}).Draw(rt, "n"))
		seed := rapid.Float64Range(0, 1).Draw(rt, "seed")
		for i := range pts {
			_, f := math.Modf(seed + float64(i)*0.6180339887)
			pts[i] = orb.Point{8.98 + 0.14*f, 46.95}
		}
		var wg sync.WaitGroup
		got := make([][]terrain.Sample, 2)
		for g := range got {
			wg.Go(func() { got[g] = at(t, stack, pts...) })
		}
		wg.Wait()
		for i := 0; i < len(pts); i += max(1, len(pts)/50) {
			alone := at(t, stack, pts[i])[0]
			for g := range got {
				if s := got[g][i]; s.Why != alone.Why || s.Source != alone.Source || math.Float64bits(s.ZM) != math.Float64bits(alone.ZM) {
					rt.Fatalf("point %d: %+v, alone %+v", i, s, alone)
				}
			}
		}
	})
	calls := 0
	below, err := terrain.NewStack([]terrain.Surface{plane(t, 0.01, -0.01), strip{source: source("s", 5000, "", ""), calls: &calls}})
	if err != nil {
		t.Fatal(err)
	}
	if at(t, below, orb.Point{9.03, 46.95}); calls != 0 {
		t.Errorf("%d calls for nothing", calls)
	}
	if err := below.Elevations(context.Background(), make([]orb.Point, 2), nil); err == nil {
		t.Error("no room for the samples, no error")
	}
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	if err := below.Elevations(gone, make([]orb.Point, 2), make([]terrain.Sample, 2)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func ExampleNewStack() {
	lidar := terrain.Func{
		At:     func(lon, _ float64) (float64, bool) { return 612.4, lon < 9.1 },
		Source: terrain.Source{Name: "lidar", CellM: 1, Datum: "EGM2008"},
	}
	world := terrain.Func{
		At:     func(_, _ float64) (float64, bool) { return 615, true },
		Source: terrain.Source{Name: "world", CellM: 30, Datum: "EGM2008"},
	}
	stack, err := terrain.NewStack([]terrain.Surface{world, lidar})
	if err != nil {
		fmt.Println(err)
		return
	}
	out := make([]terrain.Sample, 2)
	if err := stack.Elevations(context.Background(), []orb.Point{{9.05, 47}, {9.15, 47}}, out); err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range out {
		fmt.Printf("%.1f m from %s\n", s.ZM, stack.Sources()[s.Source].Name)
	}
	// Output:
	// 612.4 m from lidar
	// 615.0 m from world
}
