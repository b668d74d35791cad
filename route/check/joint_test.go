package check_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle/traction"
)

// hills is a way of level pieces and hills of given grades, each known to a
// standard error; of 400 m unless a length of hill is given.
func hills(t *testing.T, set *check.Setup, surfaces []string, grades, se []float64, length ...float64) *check.Situation {
	t.Helper()
	hillM := 400.0
	if len(length) > 0 {
		hillM = length[0]
	}
	var lengths []float64
	var tags []route.Tags
	var pitches []profile.Pitch
	for i, g := range grades {
		hill := route.Tags{Mapped: true, Surface: surfaces[i]}
		lengths, tags = append(lengths, 400, hillM), append(tags, route.Tags{Mapped: true, Surface: "asphalt"}, hill)
		pitches = append(pitches, profile.Pitch{LengthM: 400}, profile.Pitch{LengthM: hillM, GradeRatio: g, SE: se[i]})
	}
	a, err := route.Align(route.Straight("hills", lengths, tags))
	if err != nil {
		t.Fatal(err)
	}
	placed, looked := structure.Place(a)
	return check.NewSituation(set, a, profile.Given(0, pitches...), placed, looked)
}

// The joint chance against 100,000 draws of everything, by the physics, within 0.01
// (30,000 in the short form): the figure asked for. Seed fixed.
func TestJointAgainstDraws(t *testing.T) {
	if testing.Short() {
		t.Skip("one thread of numbers: not run again under the race detector")
	}
	set := setup(t, check.Settings{})
	for name, c := range map[string]struct {
		surfaces []string
		grades   []float64
		se       []float64
	}{
		"one hill":                  {[]string{"gravel"}, []float64{0.14}, []float64{0.01}},
		"two on one ground":         {[]string{"gravel", "gravel"}, []float64{0.14, 0.14}, []float64{0.001, 0.001}},
		"two, grades doubtful":      {[]string{"gravel", "gravel"}, []float64{0.14, 0.13}, []float64{0.03, 0.03}},
		"three on different ground": {[]string{"gravel", "compacted", "gravel"}, []float64{0.13, 0.16, 0.14}, []float64{0.01, 0.02, 0.01}},
	} {
		s := hills(t, set, c.surfaces, c.grades, c.se)
		got := s.Joint()
		want := byDraws(set, c.surfaces, c.grades, c.se)
		if math.Abs(got.P-want) > 0.01 {
			t.Errorf("%s: joint chance %.4f, %.4f by draws", name, got.P, want)
		}
		product := 1.0
		for i := range c.grades {
			p := hills(t, set, c.surfaces[i:i+1], c.grades[i:i+1], c.se[i:i+1]).Joint().P
			product *= p
			if got.P > p+0.01 {
				t.Errorf("%s: joint %.3f above that of hill %d alone, %.3f", name, got.P, i+1, p)
			}
		}
		if got.P < product-0.01 {
			t.Errorf("%s: joint %.3f below the product %.3f", name, got.P, product)
		}
		if len(got.Places) == 0 || got.Places[0].Rise < 0 {
			t.Errorf("%s: places %+v", name, got.Places)
		}
	}
}

// byDraws draws what is shared and every grade, and asks the physics of each draw.
func byDraws(set *check.Setup, surfaces []string, grades, se []float64) float64 {
	r := rand.New(rand.NewPCG(7, 7))
	effortN := traction.Climb(set.Train, 0.5, 0.02).EffortN
	passed, draws := 0, 30_000
	if _, full := os.LookupEnv("DRAWBAR_ROADS"); full {
		draws = 100_000
	}
	for range draws {
		d, ok := drawTruth(r, set.Train, surfaces, traction.Dry), true
		for i, name := range surfaces {
			ok = ok && d.moves(name, grades[i]+se[i]*r.NormFloat64(), 1, 0, effortN)
		}
		if ok {
			passed++
		}
	}
	return float64(passed) / float64(draws)
}

// A way without doubt is sure; a way without grades is not told.
func TestJointEnds(t *testing.T) {
	set := setup(t, check.Settings{})
	if j := hills(t, set, []string{"asphalt"}, []float64{0.02}, []float64{0.001}).Joint(); j.P != 1 || len(j.Places) != 0 {
		t.Errorf("%+v", j)
	}
	if j := onVoid(t, set, 300, -1).Joint(); !math.IsNaN(j.P) {
		t.Errorf("with a void: %+v", j)
	}
}
