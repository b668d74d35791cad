package check_test

import (
	"slices"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func value[T any](v T) *T { return &v }

// given is the published table with one row in its place.
func given(t *testing.T, r vehicle.SurfaceRowSpec) *traction.Table {
	t.Helper()
	table, err := traction.DefaultTable().With(vehicle.SurfacesSpec{Kind: "surfaces", Rows: []vehicle.SurfaceRowSpec{r}})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

var poor = vehicle.SurfaceRowSpec{Name: "asphalt", Weather: "dry", Source: "pull test on the spot",
	Mu:   &vehicle.SpreadSpec{Low: value(0.10), Design: value(0.12), High: value(0.15)},
	Roll: &vehicle.SpreadSpec{Low: value(0.01), Design: value(0.012), High: value(0.02)}}

// A row given counts, stands among the assumptions with its source, and a climb
// rests on it; one from memory makes the climb unverified.
func TestGivenSurface(t *testing.T) {
	for standing, unverified := range map[string]bool{"given": false, "memory": true} {
		r := poor
		r.Standing = standing
		plain, set := setup(t, check.Settings{}), setup(t, check.Settings{Surfaces: given(t, r)})
		legs := straight(asphalt, 600)
		if f := first(onRamp(t, plain, 0.10, legs...), "climb"); f != nil && f.Outcome == check.Fail {
			t.Fatalf("fails on the published row: %+v", f)
		}
		s := onRamp(t, set, 0.10, legs...)
		f := first(s, "climb")
		if f == nil || f.Outcome != check.Fail || f.Unverified != unverified || !slices.Contains(f.Rests, "surface.asphalt.dry.mu") {
			t.Fatalf("%s: %+v", standing, f)
		}
		rows, values := 0, 0
		for _, a := range append(slices.Clone(set.Assumed), s.SurfaceAssumed()...) {
			if a.Key == "surfaces.asphalt.dry" && a.Standing == standing && strings.HasSuffix(a.Source, "pull test on the spot") && a.Value == 0.12 {
				rows++
			}
			if strings.HasPrefix(a.Key, "surface.asphalt.dry.") && a.Standing == standing && a.Source == "pull test on the spot" {
				values++
			}
		}
		if rows != 1 || values != 6 {
			t.Errorf("%s: %d rows and %d values among the assumptions", standing, rows, values)
		}
	}
}

// A surface of a name that the table lacks counts where the way's tag says it,
// and in a weather without a row it is an unknown value as before.
func TestAddedSurface(t *testing.T) {
	r := poor
	r.Name = "basalt_chips"
	table := given(t, r)
	tags := route.Tags{Mapped: true, Highway: "track", Surface: "basalt_chips"}
	dry := onRamp(t, setup(t, check.Settings{Surfaces: table}), 0.10, straight(tags, 600)...)
	if f := first(dry, "climb"); f == nil || f.Outcome != check.Fail {
		t.Errorf("dry: %+v", f)
	}
	says := func(s *check.Situation) bool {
		return slices.ContainsFunc(run(s), func(f check.Finding) bool { return strings.Contains(f.Say, "no value this program knows") })
	}
	if says(dry) || !says(onRamp(t, setup(t, check.Settings{Surfaces: table, Weather: "wet"}), 0, straight(tags, 600)...)) {
		t.Error("the tag is known in the dry only")
	}
}

// Chains get a train up an icy ramp that it fails bare, but on values from
// memory: the finding says so. On dry ground they change nothing.
func TestChains(t *testing.T) {
	chains, err := traction.DefaultTable().WithMeasure(traction.Chains)
	if err != nil {
		t.Fatal(err)
	}
	legs := straight(asphalt, 600)
	bare, chained := setup(t, check.Settings{Weather: "ice"}), setup(t, check.Settings{Weather: "ice", Surfaces: chains})
	low, high := mastered(t, bare, "ice"), mastered(t, chained, "ice with chains")
	if !(low.Climb < 0.03 && high.Climb > low.Climb+0.02 && high.Unverified) {
		t.Errorf("bare %+v, with chains %+v", low, high)
	}
	s := onRamp(t, chained, high.Climb, legs...)
	f := first(s, "climb")
	if f == nil || f.Outcome != check.Undecided || !f.Unverified {
		t.Errorf("at its limit: %+v", f)
	}
	if !slices.ContainsFunc(chained.Assumed, func(a route.Assumption) bool { return a.Key == "measure.chains" }) {
		t.Error("what chains assume is not listed")
	}
	dry := setup(t, check.Settings{Surfaces: chains})
	if got, want := dry.Mastered(), setup(t, check.Settings{}).Mastered(); got[0] != want[0] {
		t.Errorf("dry with chains %+v, without %+v", got[0], want[0])
	}
}

// first is the first finding of a check on a situation, nil for none.
func first(s *check.Situation, name string) *check.Finding {
	if fs := of(run(s), name); len(fs) > 0 {
		return &fs[0]
	}
	return nil
}
