package check_test

import (
	"context"
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/terrain"
)

// onHumps puts the sample train on a level way due north, 800 m of a road 8 m wide,
// with the given rise of the ground, on a ground raster of a cell size.
func onHumps(t *testing.T, cellM float64, rise func(northM float64) float64) *check.Situation {
	t.Helper()
	_, north := terrain.MetresPerDegree(47)
	ground := terrain.Func{
		At:     func(_, lat float64) (float64, bool) { return 300 + rise((lat-47)*north), true },
		Source: terrain.Source{Name: "humps", Kind: terrain.KindTerrainModel, CellM: cellM, SEM: 0.02, CorrM: 50, CE90M: 0.01},
	}
	a := wayOf(t, straight(roadOf("secondary", 8), 800))
	placed, looked := structure.Place(a)
	p, err := profile.Build(context.Background(), a, nil, ground, profile.Options{LineSEM: 0.3, StepM: 1})
	if err != nil {
		t.Fatal(err)
	}
	return check.NewSituation(setup(t, check.Settings{}), a, p, placed, looked)
}

// hump is a ridge that high with sides that long, at a chainage.
func hump(at, heightM, sideM float64) func(float64) float64 {
	return func(y float64) float64 { return heightM * math.Max(1-math.Abs(y-at)/sideM, 0) }
}

// TestHumpsFound: on a raster of 1 m a hump that the low-bed's 0.35 m cannot clear
// fails at its chainage, a low one passes, and nothing is found elsewhere; on one
// of 30 m neither passes nor fails: one standing question. Made ground.
func TestHumpsFound(t *testing.T) {
	for _, c := range []struct {
		heightM float64
		want    check.Outcome
	}{{0.8, check.Fail}, {0.35, check.Undecided}, {0.10, check.Pass}} {
		k := run(onHumps(t, 1, hump(412, c.heightM, 5)))
		met := of(k, "hang-up")
		if c.want == check.Pass {
			if len(met) > 0 {
				t.Errorf("a hump of %.2f m: %v at %.0f m", c.heightM, met[0].Outcome, met[0].WorstM)
			}
			continue
		}
		if len(met) != 1 || met[0].Outcome != c.want {
			t.Fatalf("a hump of %.2f m: %d findings, %+v", c.heightM, len(met), met)
		}
		f := met[0]
		for _, q := range f.Q {
			if q.Name == "at" && math.Abs(q.Value-412) > 1.5 {
				t.Errorf("a hump at 412 m is found at %.1f m", q.Value)
			}
		}
		// A hull tilts while one of its rests is on the hump, so that places up to a
		// unit's length from it come near the road too.
		if f.At.FromM > 412 || f.At.ToM < 412 || f.At.FromM < 412-20 || f.At.ToM > 412+20 {
			t.Errorf("a hump at 412 m colours %.1f to %.1f m", f.At.FromM, f.At.ToM)
		}
	}
	if coarse := run(onHumps(t, 30, hump(412, 0.8, 5))); len(of(coarse, "hang-up")) != 0 || !stood(coarse, "hang-up") {
		t.Errorf("on cells of 30 m: %+v", of(coarse, "hang-up"))
	}
}

// TestHumpOfASurfaceModel: what a surface model shows may be a car or a roof: it
// asks and never fails.
func TestHumpOfASurfaceModel(t *testing.T) {
	s := onHumps(t, 1, hump(412, 0.8, 5))
	s.Profile.Sources[0].Kind = terrain.KindSurfaceModel
	for _, f := range of(run(s), "hang-up") {
		if f.Outcome == check.Fail {
			t.Error("it fails")
		}
	}
}
