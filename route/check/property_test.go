package check_test

import (
	"maps"
	"math"
	"slices"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func drawLimit(t *rapid.T, name string, low, high float64) route.Limit {
	switch rapid.IntRange(0, 3).Draw(t, name) {
	case 1:
		return unreadable
	case 2:
		return route.Limit{State: route.None, Raw: "none"}
	case 3:
		return limit(rapid.Float64Range(low, high).Draw(t, name+" value"))
	}
	return route.Limit{}
}

// drawTags invents a leg. Without a highway class a missing surface may be
// anything, so that it is never taken for the better.
func drawTags(t *rapid.T) route.Tags {
	tags := route.Tags{Mapped: true,
		Surface: rapid.SampledFrom([]string{"", "asphalt", "gravel", "mud", "sand", "sett", "dirt"}).Draw(t, "surface"),
		WidthM:  drawLimit(t, "width", 3, 12)}
	switch rapid.IntRange(0, 4).Draw(t, "structure") {
	case 1:
		tags.Bridge, tags.ClassWheeled, tags.MaxMassKg = "yes", drawLimit(t, "class", 60, 150), drawLimit(t, "mass", 60e3, 160e3)
		tags.MaxAxleKg = drawLimit(t, "axle", 8e3, 20e3)
	case 2:
		tags.Tunnel, tags.MaxHeightM = "yes", drawLimit(t, "height", 3, 6)
	case 3:
		tags.Ford, tags.DepthM = "yes", drawLimit(t, "depth", 0, 2)
	case 4:
		tags.MaxMassKg, tags.MaxHeightM = drawLimit(t, "posted", 60e3, 160e3), drawLimit(t, "posted height", 3, 6)
	}
	return tags
}

func drawLegs(t *rapid.T) (legs []leg) {
	at, dir := orb.Point{}, 0.0
	for range rapid.IntRange(1, 5).Draw(t, "legs") {
		dir += rapid.Float64Range(-1.5, 1.5).Draw(t, "turn")
		l := rapid.Float64Range(20, 300).Draw(t, "length")
		at = orb.Point{at[0] + l*math.Sin(dir), at[1] + l*math.Cos(dir)}
		legs = append(legs, leg{[]orb.Point{at}, drawTags(t)})
	}
	return legs
}

// Adding mass to the load never improves an outcome.
func TestMoreMassNeverHelps(t *testing.T) {
	var trains []*check.Setup // ever heavier
	for _, more := range []float64{0, 100, 3e3, 10e3, 30e3} {
		trains = append(trains, setup(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[1].Load.MassKg += more }))
	}
	rapid.Check(t, func(t *rapid.T) {
		legs, grade := drawLegs(t), rapid.Float64Range(-0.1, 0.3).Draw(t, "grade")
		i := rapid.IntRange(0, len(trains)-2).Draw(t, "train")
		j := rapid.IntRange(i+1, len(trains)-1).Draw(t, "heavier train")
		light, heavy := run(onRamp(t, trains[i], grade, legs...)), run(onRamp(t, trains[j], grade, legs...))
		more := trains[j].Train.GrossKg - trains[i].Train.GrossKg
		for i := range check.List {
			name := check.List[i].Name
			before, after := worstOf(light, name), worstOf(heavy, name)
			if name == "start" && worstOf(heavy, "climb") != check.Pass {
				continue // start keeps quiet where the climb says no
			}
			if after < before {
				t.Fatalf("%s: %v, with %.0f kg more %v", name, before, more, after)
			}
		}
	})
}

// Steeper never helps.
func TestSteeperNeverHelps(t *testing.T) {
	set := setup(t, check.Settings{})
	rapid.Check(t, func(t *rapid.T) {
		legs := drawLegs(t)
		low := rapid.Float64Range(-0.1, 0.5).Draw(t, "low")
		high := low + rapid.Float64Range(0, 0.3).Draw(t, "more")
		flat, steep := run(onRamp(t, set, low, legs...)), run(onRamp(t, set, high, legs...))
		if a, b := worstOf(flat, "climb"), worstOf(steep, "climb"); b < a {
			t.Fatalf("%v at %v, %v at %v", a, low, b, high)
		}
	})
}

// same compares findings to a micrometre of chainage and 1e-9 of the rest.
func same(a, b check.Finding) bool {
	near := func(x, y, tol float64) bool {
		return x == y || (math.IsNaN(x) && math.IsNaN(y)) || math.Abs(x-y) <= tol
	}
	return a.Check == b.Check && a.Outcome == b.Outcome && a.Say == b.Say && a.Standing == b.Standing &&
		near(a.At.FromM, b.At.FromM, 1e-6) && near(a.At.ToM, b.At.ToM, 1e-6) &&
		near(a.Demand, b.Demand, 1e-9*(1+math.Abs(a.Demand))) && near(a.Capacity, b.Capacity, 1e-9*(1+math.Abs(a.Capacity))) && near(a.P, b.P, 1e-6)
}

// A way turned round twice is the way.
func TestReversingTwiceChangesNothing(t *testing.T) {
	set := setup(t, check.Settings{})
	rapid.Check(t, func(t *rapid.T) {
		grade := rapid.Float64Range(-0.3, 0.3).Draw(t, "grade")
		a := wayOf(t, drawLegs(t))
		on := func(a *route.Alignment) []check.Finding {
			placed, looked := structure.Place(a)
			return run(check.NewSituation(set, a, profile.Constant(grade, a.LengthM()), placed, looked))
		}
		once, twice := on(a), on(a.Reverse().Reverse())
		if !slices.EqualFunc(once, twice, same) {
			t.Fatalf("%+v\n%+v", once, twice)
		}
	})
}

// said reports what a check has to say: a line that stands for the route counts
// as much as a question here, silence alone is a pass.
func said(fs []check.Finding, name string) check.Outcome {
	w := check.Pass
	for _, f := range fs {
		if f.Check == name {
			w = max(w, f.Outcome)
		}
	}
	return w
}

// Taking a tag away never turns a question, or worse, into silence; the two
// ratings of a bridge go together, since one alone decides, and both from every
// leg, since a structure in pieces takes what any of them says. A posted
// height alone may vanish: where nothing is posted on the open road, wires stand
// under "not covered" instead.
func TestMissingTagNeverPasses(t *testing.T) {
	set := setup(t, check.Settings{})
	strip := map[string]func(*route.Tags){
		"surface": func(t *route.Tags) { t.Surface = "" },
		"width":   func(t *route.Tags) { t.WidthM = route.Limit{} },
		"ratings": func(t *route.Tags) { t.ClassWheeled, t.MaxMassKg = route.Limit{}, route.Limit{} },
		"depth":   func(t *route.Tags) { t.DepthM = route.Limit{} },
		"clear height": func(t *route.Tags) {
			if t.Tunnel != "" {
				t.MaxHeightM = route.Limit{}
			}
		},
		"all": func(t *route.Tags) { *t = route.Tags{} },
	}
	rapid.Check(t, func(t *rapid.T) {
		legs, grade := drawLegs(t), rapid.Float64Range(0, 0.2).Draw(t, "grade")
		i := rapid.IntRange(0, len(legs)-1).Draw(t, "leg")
		what := rapid.SampledFrom(slices.Sorted(maps.Keys(strip))).Draw(t, "tag")
		with := run(onRamp(t, set, grade, legs...))
		for k := range legs {
			if k == i || what == "ratings" || what == "clear height" {
				strip[what](&legs[k].tags)
			}
		}
		without := run(onRamp(t, set, grade, legs...))
		for _, c := range []string{"void", "climb", "bridge", "overhead", "ford", "bend"} {
			before, after := said(with, c), said(without, c)
			if after == check.Pass && before > check.Caution && what != "all" {
				t.Fatalf("%s: %v, without %s it passes in silence", c, before, what)
			}
		}
		if what == "all" && said(without, "structures") != check.NotLooked {
			t.Fatal("a bare leg is not asked about")
		}
	})
}
