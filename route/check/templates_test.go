package check_test

import (
	"maps"
	"math"
	"regexp"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"

	"github.com/paulmach/orb"
)

// words are situations that together make every check speak, in most of the
// ways it can.
func words(t *testing.T) map[string]*check.Situation {
	plain := setup(t, check.Settings{})
	tagged := func(change func(*route.Tags)) []leg {
		legs := straight(asphalt, 150, 60, 150)
		change(&legs[1].tags)
		return legs
	}
	on := func(grade float64, legs []leg) *check.Situation { return onRamp(t, plain, grade, legs...) }
	bend := func(set *check.Setup, pts []orb.Point, width float64) *check.Situation {
		return onRamp(t, set, 0, leg{pts, bendTags(width, "track")})
	}
	noHeight := setup(t, check.Settings{}, func(s *vehicle.Spec) {
		s.Units[1].Load.TopHeightM, s.Units[0].HeightM, s.Units[1].HeightM = nil, nil, nil
	})
	tunnel := tagged(func(t *route.Tags) { t.Tunnel = "yes" })
	tunnel[1].tags.MaxHeightM = limit(4.4)
	posted := tagged(func(t *route.Tags) { t.MaxHeightM = limit(4) })
	return map[string]*check.Situation{
		"void": onHills(t, plain, func(y float64) float64 {
			if y > 300 && y < 400 {
				return math.NaN()
			}
			return 0
		}, straight(asphalt, 800)...),
		"gorge": onHills(t, plain, func(y float64) float64 {
			return -0.5 * (min(max(y-400, 0), 40) - min(max(y-460, 0), 40))
		}, straight(asphalt, 900)...),
		"one-way against us":     on(0, tagged(func(t *route.Tags) { t.Oneway = "-1" })),
		"hardly passable":        on(0, tagged(func(t *route.Tags) { t.Smoothness = "horrible" })),
		"narrower than we are":   on(0, tagged(func(t *route.Tags) { t.WidthM = limit(3) })),
		"over the rating":        onRamp(t, setup(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[0].Axles[0].RatedKg = 8000 }), 0, straight(asphalt, 400)...),
		"an axle may be over":    onRamp(t, setup(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[0].Axles[0].RatedKg = 9700 }), 0, straight(asphalt, 400)...),
		"closed":                 on(0, tagged(func(t *route.Tags) { t.Access = "hgv=no" })),
		"no road":                on(0, tagged(func(t *route.Tags) { t.Doubts = []string{"highway=steps: steps"} })),
		"lifts in front":         onRamp(t, fifthWheelBehind(t), 0.15, straight(asphalt, 400)...),
		"light in front":         onRamp(t, fifthWheelBehind(t), 0.01, straight(asphalt, 400)...),
		"lifts going down":       onRamp(t, frontLoaded(t), -0.3, straight(asphalt, 400)...),
		"may lift going down":    onRamp(t, frontLoaded(t), -0.125, straight(asphalt, 400)...),
		"no load":                onRamp(t, setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[1].Load = nil }), 0, straight(asphalt, 400)...),
		"brakes must help":       onRamp(t, weakRetarder(t, check.Settings{}), -0.12, straight(asphalt, 900)...),
		"brakes get hot":         onRamp(t, weakRetarder(t, check.Settings{}, hotBrakes), -0.12, straight(asphalt, 900)...),
		"brakes not in the file": onRamp(t, weakRetarder(t, check.Settings{}, noHeat), -0.12, straight(asphalt, 900)...),
		"descent without gears":  onRamp(t, setup(t, check.Settings{}, noGears), -0.12, straight(asphalt, 900)...),
		"no word of brakes":      onRamp(t, weakRetarder(t, check.Settings{}, noBraked), -0.12, straight(asphalt, 900)...),
		"held going down":        onRamp(t, plain, -0.06, straight(asphalt, 900)...),
		"slides down":            onRamp(t, setup(t, check.Settings{Weather: "ice"}), -0.25, straight(asphalt, 900)...),
		"may slide down":         onRamp(t, setup(t, check.Settings{Weather: "ice"}), -0.08, straight(asphalt, 900)...),
		"may slide down on mud":  on(-0.30, straight(route.Tags{Mapped: true, Highway: "track"}, 900)),
		"dives":                  on(-0.6, straight(route.Tags{}, 900)),
		"no word of parking":     onRamp(t, setup(t, check.Settings{}, noParked), 0.02, straight(asphalt, 400)...),
		"parking by grip alone":  onRamp(t, setup(t, check.Settings{}, noHeat), 0.02, straight(asphalt, 400)...),
		"long tunnel": on(0, func() []leg {
			legs := straight(asphalt, 200, 1200, 200)
			legs[1].tags.Tunnel = "yes"
			return legs
		}()),
		"long void carried":       onVoid(t, plain, 200, 1000),
		"incline contradicted":    onHills(t, plain, func(float64) float64 { return 100 }, straight(route.Tags{Mapped: true, Highway: "secondary", Surface: "asphalt", InclineRatio: limit(0.3)}, 600)...),
		"one-way class":           on(0, tagged(func(t *route.Tags) { t.Bridge, t.ClassWheeledOne = "yes", limit(150) })),
		"posted height unread":    on(0, tagged(func(t *route.Tags) { t.MaxHeightM = unreadable })),
		"ford deep":               on(0, tagged(func(t *route.Tags) { t.Ford, t.DepthM = "yes", limit(2) })),
		"short":                   on(0, straight(asphalt, 15)),
		"climb undecided":         on(0.2, straight(asphalt, 400)),
		"clutch gets hot":         onRamp(t, setup(t, check.Settings{}, clutch(60)), 0.06, straight(asphalt, 900)...),
		"one start is too much":   onRamp(t, setup(t, check.Settings{}, clutch(20)), 0.06, straight(asphalt, 900)...),
		"weak brakes":             onRamp(t, weakRetarder(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[0].Brakes.ServiceKN, *s.Units[1].Brakes.ServiceKN = 60, 120 }), -0.25, straight(asphalt, 900)...),
		"climb fails":             on(0.4, straight(asphalt, 400)),
		"no helper's weight does": on(0.4, straight(route.Tags{Mapped: true, Surface: "mud"}, 400)),
		"surface decides":         on(0.1, straight(route.Tags{Mapped: true, Highway: "track"}, 400)),
		"surface decides, start":  on(0.1, straight(route.Tags{Mapped: true, Highway: "track", Tracktype: "grade3"}, 400)),
		"level on any ground":     on(0, straight(route.Tags{Mapped: true, Highway: "track"}, 400)),
		"firm or loose":           on(mastered(t, plain, "gravel").ClimbPass-0.001, straight(route.Tags{Mapped: true, Tracktype: "grade2"}, 900)),
		"steeper than roads":      on(0.4, straight(route.Tags{}, 400)),
		"start short":             on(0.16, straight(asphalt, 200)),
		"start long":              on(0.16, straight(asphalt, 900)),
		"posting":                 on(0, tagged(func(t *route.Tags) { t.MaxMassKg, t.MaxWidthM, t.MaxAxleKg = limit(40e3), unreadable, limit(13.4e3) })),
		"posting without ours":    onRamp(t, noHeight, 0, posted...),
		"bridge not rated":        on(0, tagged(func(t *route.Tags) { t.Bridge, t.Name = "yes", "Mill Bridge" })),
		"bridge rated too low": on(0, tagged(func(t *route.Tags) {
			t.Bridge, t.ClassWheeled, t.MaxMassKg, t.MaxAxleKg, t.MaxBogieKg = "yes", limit(50), limit(112e3), limit(8e3), limit(16e3)
		})),
		"bridge unreadable":        on(0, tagged(func(t *route.Tags) { t.Bridge, t.MaxMassKg = "yes", unreadable })),
		"overhead":                 on(0, tunnel),
		"overhead without figure":  on(0, tagged(func(t *route.Tags) { t.Tunnel = "yes" })),
		"overhead without ours":    onRamp(t, noHeight, 0, tunnel...),
		"ford":                     on(0, tagged(func(t *route.Tags) { t.Ford = "yes" })),
		"ford with depth":          on(0, tagged(func(t *route.Tags) { t.Ford, t.DepthM = "yes", limit(0.5) })),
		"structures":               on(0, straight(route.Tags{}, 400)),
		"bend fails":               bend(plain, arc(14, math.Pi/2, 1), 4),
		"bend cuts over":           bend(plain, arc(8, math.Pi, 1), 5),
		"bend cuts over, wide":     bend(plain, arc(8, math.Pi, 1), 30),
		"bend beyond the lock":     bend(plain, arc(6, math.Pi/3, 1), 11),
		"bend asked":               bend(plain, arc(14, math.Pi/2, 1), 0),
		"bend cuts over, asked":    bend(plain, arc(8, math.Pi, 1), 0),
		"bend folds":               bend(setup(t, check.Settings{}, fixed), arc(6, math.Pi, 1), 9),
		"bend folds, asked":        bend(setup(t, check.Settings{}, fixed), arc(6, math.Pi, 1), 0),
		"bends with width to know": onRamp(t, plain, 0, leg{arc(30, math.Pi/4, 1), bendTags(0, "motorway")}),
		"grounds":                  onHumps(t, 1, hump(412, 0.8, 5)),
		"may ground":               onHumps(t, 1, hump(412, 0.35, 5)),
		"without underside":        onRamp(t, setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].Underside, s.Units[1].Underside = nil, nil }), 0, straight(asphalt, 400)...),
		"one underside":            onRamp(t, setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].Underside = nil }), 0, straight(asphalt, 400)...),
		"soft edge":                onSlope(t, plain, leftBank, straight(roadOf("track", 4.4), 400)...),
		"bend without our width":   bend(setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].WidthM = nil }), arc(14, math.Pi/2, 1), 4),
	}
}

var named = regexp.MustCompile(`\{[^}]*\}`)

// TestTemplates holds that every {name} of every sentence is a quantity of its
// finding, that every check has said something here, and that every question
// says what would close it.
func TestTemplates(t *testing.T) {
	spoken, sentences := map[string]bool{}, map[string]bool{}
	scenes := words(t)
	maps.Copy(scenes, leanScenes(t))
	maps.Copy(scenes, foundScenes(t))
	for scene, s := range scenes {
		fs := run(s)
		everyStationJudged(t, s, fs)
		for _, f := range fs {
			spoken[f.Check], sentences[f.Say] = true, true
			has := map[string]bool{}
			for _, q := range f.Q {
				if has["{"+q.Name+"}"] {
					t.Errorf("%s: %s: quantity %q stands twice", scene, f.Check, q.Name)
				}
				has["{"+q.Name+"}"] = true
			}
			for _, text := range []string{f.Say, f.Close, f.Do} {
				for _, name := range named.FindAllString(text, -1) {
					if !has[name] {
						t.Errorf("%s: %s: no quantity for %s in %q", scene, f.Check, name, text)
					}
				}
			}
			if (f.Outcome == check.Undecided || f.Outcome == check.NotLooked) && f.Close == "" {
				t.Errorf("%s: %s asks and does not say what would close it: %q", scene, f.Check, f.Say)
			}
			if (f.Outcome == check.Fail || f.Outcome == check.Caution) && f.Do == "" {
				t.Errorf("%s: %s fails and does not say what to do: %q", scene, f.Check, f.Say)
			}
			if !(f.At.LengthM() > 0) {
				t.Errorf("%s: %s colours nothing: %v", scene, f.Check, f.At)
			}
			if f.Outcome == check.Pass {
				t.Errorf("%s: %s: a pass is no finding", scene, f.Check)
			}
		}
	}
	for _, n := range check.Names() {
		if !spoken[n] {
			t.Errorf("%s never said anything here: add a scene", n)
		}
	}
	t.Logf("%d different sentences", len(sentences))
}

// A bend drawn tighter than the tractor steers is a question even on a wide way.
func TestBendBeyondTheLock(t *testing.T) {
	fs := of(run(words(t)["bend beyond the lock"]), "bend")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked || !math.IsNaN(fs[0].P) {
		t.Errorf("%+v", fs)
	}
}
