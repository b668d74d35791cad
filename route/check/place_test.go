package check_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
)

// No grade under the train, no verdict: from where the first axle reaches a
// void until the last has left it.
func TestVoid(t *testing.T) {
	set := setup(t, check.Settings{})
	gap := func(y float64) float64 {
		if y > 500 && y < 640 {
			return math.NaN()
		}
		return 0.01 * y
	}
	s := onHills(t, set, gap, straight(asphalt, 1500)...)
	fs := of(run(s), "void")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked {
		t.Fatalf("%+v", fs)
	}
	f, axles := fs[0], set.Train.Axles
	if f.At.FromM > 500 || f.At.ToM < 640+axles[len(axles)-1].AtM {
		t.Errorf("at %v, want the void and a train's length after it", f.At)
	}
	if l := quantity(t, f, "length").Value; math.Abs(l-140) > 15 {
		t.Errorf("length %v m, want 140", l)
	}
	if q := quantity(t, f, "limit"); math.Abs(q.Value-mastered(t, set, "asphalt").ClimbPass) > 1e-12 {
		t.Errorf("closes at %v", q.Value)
	}
	everyStationJudged(t, s, run(s))
}

// everyStationJudged holds that no station without a grade is silent.
func everyStationJudged(t *testing.T, s *check.Situation, fs []check.Finding) {
	t.Helper()
	for i, c := range s.Profile.ChainageM {
		covered := false
		for _, f := range of(fs, "void") {
			covered = covered || (f.At.FromM <= c && c <= f.At.ToM)
		}
		if math.IsNaN(s.TrainGrade.Value[i]) && !covered {
			t.Errorf("no grade at %.0f m and nobody says so", c)
		}
	}
}

// A way shorter than the train has heights and no grade under it.
func TestVoidOnAWayShorterThanTheTrain(t *testing.T) {
	s := onRamp(t, setup(t, check.Settings{}), 0.01, straight(asphalt, 20)...)
	fs := of(run(s), "void")
	if len(fs) != 1 || !strings.Contains(fs[0].Say, "longer than") {
		t.Errorf("%+v", fs)
	}
	everyStationJudged(t, s, fs)
}

// kinds of posted limit: what the sample train has of each. Source of the
// figures: its file and the statics of the vehicle package.
var kinds = []struct {
	word string
	set  func(*route.Tags, route.Limit)
	have func(*vehicle.Combination) float64
}{
	{"mass", func(t *route.Tags, l route.Limit) { t.MaxMassKg = l }, func(c *vehicle.Combination) float64 { return c.GrossKg }},
	{"plated mass", func(t *route.Tags, l route.Limit) { t.MaxRatedMassKg = l }, func(c *vehicle.Combination) float64 { return c.GrossKg }},
	{"axle load", func(t *route.Tags, l route.Limit) { t.MaxAxleKg = l }, heaviestAxle},
	{"axle pair load", func(t *route.Tags, l route.Limit) { t.MaxBogieKg = l }, heaviestPair},
	{"height", func(t *route.Tags, l route.Limit) { t.MaxHeightM = l }, func(c *vehicle.Combination) float64 { return c.HeightM }},
	{"width", func(t *route.Tags, l route.Limit) { t.MaxWidthM = l }, func(c *vehicle.Combination) float64 { return c.WidthM }},
	{"length", func(t *route.Tags, l route.Limit) { t.MaxLengthM = l }, func(c *vehicle.Combination) float64 { return c.LengthM }},
}

func heaviestAxle(c *vehicle.Combination) (kg float64) {
	for _, a := range c.Axles {
		kg = max(kg, a.Kg)
	}
	return kg
}

// heaviestPair: two neighbouring axles up to 1.8 m apart (96/53/EC annex I, from
// memory, unverified).
func heaviestPair(c *vehicle.Combination) (kg float64) {
	for i := 1; i < len(c.Axles); i++ {
		if c.Axles[i].AtM-c.Axles[i-1].AtM <= 1.8 {
			kg = max(kg, c.Axles[i].Kg+c.Axles[i-1].Kg)
		}
	}
	return kg
}

func TestPosting(t *testing.T) {
	set := setup(t, check.Settings{})
	for _, kind := range kinds {
		have := kind.have(set.Train)
		for _, c := range []struct {
			name  string
			limit route.Limit
			want  check.Outcome
		}{
			{"absent", route.Limit{}, check.Pass},
			{"none", route.Limit{State: route.None, Raw: "none"}, check.Pass},
			{"far above", limit(1.2 * have), check.Pass},
			{"far below", limit(0.8 * have), check.Fail},
			{"unreadable", unreadable, check.NotLooked},
		} {
			tags := asphalt
			kind.set(&tags, c.limit)
			fs := run(onRamp(t, set, 0, straight(tags, 300)...))
			if got := worstOf(fs, "posting"); got != c.want {
				t.Errorf("%s %s: %v, want %v", kind.word, c.name, got, c.want)
			}
			for _, f := range of(fs, "posting") {
				if q := quantity(t, f, "have"); math.Abs(q.Value-have) > 1e-9 {
					t.Errorf("%s: ours is %v, want %v", kind.word, q.Value, have)
				}
			}
		}
	}
}

// A limit holds on bridges and in tunnels too: the structure judges it, or the
// posting does.
func TestPostingOnStructures(t *testing.T) {
	set := setup(t, check.Settings{})
	for _, kind := range kinds {
		for _, on := range []string{"bridge", "tunnel"} {
			tags := asphalt
			if on == "bridge" {
				tags.Bridge, tags.ClassWheeled = "yes", limit(150)
			} else {
				tags.Tunnel, tags.MaxHeightM = "yes", limit(6)
			}
			kind.set(&tags, limit(0.8*kind.have(set.Train)))
			legs := straight(asphalt, 100, 40, 100)
			legs[1].tags = tags
			fails := 0
			for _, f := range run(onRamp(t, set, 0, legs...)) {
				if f.Outcome == check.Fail {
					fails++
				}
			}
			if fails != 1 {
				t.Errorf("%s on a %s: %d findings fail, want 1", kind.word, on, fails)
			}
		}
	}
}

// A limit that the file gives no own figure for is a question with its field.
func TestPostingWithoutOurFigure(t *testing.T) {
	set := setup(t, check.Settings{}, func(s *vehicle.Spec) {
		s.Units[1].Load.TopHeightM, s.Units[0].HeightM, s.Units[1].HeightM = nil, nil, nil
	})
	tags := asphalt
	tags.MaxHeightM = limit(4.5)
	fs := of(run(onRamp(t, set, 0, straight(tags, 300)...)), "posting")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked || quantity(t, fs[0], "field").Text == "" {
		t.Errorf("%+v", fs)
	}
}

// The share of the way without a posted mass is said once, and colours nothing.
func TestPostingSaysWhatIsNotTagged(t *testing.T) {
	legs := straight(asphalt, 300, 100)
	legs[0].tags.MaxMassKg = limit(200e3)
	for _, f := range run(onRamp(t, setup(t, check.Settings{}), 0, legs...)) {
		if f.Check == "posting" {
			if q := quantity(t, f, "share"); !f.Standing || math.Abs(q.Value-0.25) > 1e-3 {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Error("nothing said")
}

func TestBridge(t *testing.T) {
	set := setup(t, check.Settings{})
	gross := set.Train.GrossKg
	class := 0.85 * gross / 907.18474
	for _, c := range []struct {
		name string
		tags func(*route.Tags)
		want check.Outcome
	}{
		{"not rated", func(*route.Tags) {}, check.NotLooked},
		{"class enough", func(t *route.Tags) { t.ClassWheeled = limit(class * 1.1) }, check.Pass},
		{"class too low", func(t *route.Tags) { t.ClassWheeled = limit(class * 0.9) }, check.Fail},
		{"class just ours: not weighed well enough", func(t *route.Tags) { t.ClassWheeled = limit(class) }, check.Undecided},
		{"one-way class enough", func(t *route.Tags) { t.ClassWheeled, t.ClassWheeledOne = limit(class*0.5), limit(class*1.1) }, check.Caution},
		{"one-way class too low", func(t *route.Tags) { t.ClassWheeledOne = limit(class * 0.9) }, check.Fail},
		{"mass enough", func(t *route.Tags) { t.MaxMassKg = limit(gross * 1.1) }, check.Pass},
		{"mass too low", func(t *route.Tags) { t.MaxMassKg = limit(gross * 0.9) }, check.Fail},
		{"class enough, mass too low", func(t *route.Tags) { t.ClassWheeled, t.MaxMassKg = limit(class*1.1), limit(gross*0.9) }, check.Fail},
		{"axle load alone does not rate it", func(t *route.Tags) { t.MaxAxleKg = limit(1e6) }, check.NotLooked},
		{"axle load too low", func(t *route.Tags) { t.ClassWheeled, t.MaxAxleKg = limit(class*1.1), limit(10e3) }, check.Fail},
		{"axle pair too low", func(t *route.Tags) { t.ClassWheeled, t.MaxBogieKg = limit(class*1.1), limit(20e3) }, check.Fail},
		{"mass unreadable", func(t *route.Tags) { t.MaxMassKg = unreadable }, check.NotLooked},
		{"class enough, mass unreadable", func(t *route.Tags) { t.ClassWheeled, t.MaxMassKg = limit(class*1.1), unreadable }, check.NotLooked},
		{"mass tagged as without limit", func(t *route.Tags) { t.MaxMassKg = route.Limit{State: route.None} }, check.NotLooked},
	} {
		legs := straight(asphalt, 100, 30, 100)
		legs[1].tags.Bridge = "yes"
		c.tags(&legs[1].tags)
		fs := run(onRamp(t, set, 0, legs...))
		if got := worstOf(fs, "bridge"); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
		for _, f := range of(fs, "bridge") {
			if math.Abs(f.At.FromM-100) > 0.1 || math.Abs(f.At.ToM-130) > 0.1 {
				t.Errorf("%s: at %v", c.name, f.At)
			}
		}
	}
}

// The expedient class of a wheeled vehicle: 0.85 of its gross mass in short
// tons, rounded up. Source: FM 3-34.170 app. E, E-11 (read); the numbers are
// derived from it.
func TestLoadClass(t *testing.T) {
	for gross, want := range map[float64]float64{60: 57, 70: 66, 80: 75, 90: 85, 100: 94, 110: 104, 120: 113, 130: 122} {
		set := setup(t, check.Settings{}, func(s *vehicle.Spec) { *s.Units[1].Load.MassKg = 1000*gross - 49000 })
		legs := straight(asphalt, 100, 30, 100)
		legs[1].tags.Bridge = "yes"
		fs := of(run(onRamp(t, set, 0, legs...)), "bridge")
		if len(fs) != 1 {
			t.Fatalf("%v t: %v", gross, fs)
		}
		if got := math.Ceil(quantity(t, fs[0], "class").Value); got != want {
			t.Errorf("%v t: class %v, want %v", gross, got, want)
		}
	}
}

// The working margin over the load is common practice, no source.
func TestOverhead(t *testing.T) {
	known, margin := setup(t, check.Settings{}), setup(t, check.Settings{HeightMarginM: 0.3})
	unknown := setup(t, check.Settings{}, func(s *vehicle.Spec) {
		s.Units[1].Load.TopHeightM, s.Units[0].HeightM, s.Units[1].HeightM = nil, nil, nil
	})
	h, se := known.Train.HeightM, known.Train.HeightSEM
	const z99 = 2.326347874 // normal quantile of 99 %: what cannot be undone
	for _, c := range []struct {
		name  string
		set   *check.Setup
		clear route.Limit
		want  check.Outcome
	}{
		{"clear", known, limit(h + 0.1 + z99*se + 0.001), check.Pass},
		{"95 % is not enough", known, limit(h + 0.1 + 1.7*se), check.Undecided},
		{"at the margin", known, limit(h + 0.1), check.Undecided},
		{"too low", known, limit(h + 0.1 - 1.7*se), check.Fail},
		{"more margin asked", margin, limit(h + 0.2), check.Fail},
		{"no figure", known, route.Limit{}, check.NotLooked},
		{"unreadable", known, unreadable, check.NotLooked},
		{"called without limit", known, route.Limit{State: route.None}, check.NotLooked},
		{"our height not known", unknown, limit(10), check.NotLooked},
	} {
		legs := straight(asphalt, 100, 60, 100)
		legs[1].tags.Tunnel, legs[1].tags.MaxHeightM = "yes", c.clear
		if got := worstOf(run(onRamp(t, c.set, 0, legs...)), "overhead"); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The margin counts as unverified only when it is ours, not when it is given.
func TestOverheadMarginGivenIsNoAssumption(t *testing.T) {
	for _, c := range []struct {
		o    check.Settings
		want bool
	}{{check.Settings{}, true}, {check.Settings{HeightMarginM: 0.3}, false}} {
		legs := straight(asphalt, 100, 60, 100)
		legs[1].tags.Tunnel = "yes"
		f := of(run(onRamp(t, setup(t, c.o), 0, legs...)), "overhead")[0]
		if f.Unverified != c.want || (len(f.Rests) > 0) != c.want {
			t.Errorf("margin %v: unverified %v, rests on %v", c.o.HeightMarginM, f.Unverified, f.Rests)
		}
	}
}

func TestFord(t *testing.T) {
	dryFeet := func(s *vehicle.Spec) { s.Units[1].WadingDepthM = nil }
	for _, c := range []struct {
		name  string
		depth route.Limit
		set   *check.Setup
		want  check.Outcome
	}{
		{"no depth", route.Limit{}, setup(t, check.Settings{}), check.NotLooked},
		{"depth unreadable", unreadable, setup(t, check.Settings{}), check.NotLooked},
		{"shallow is a caution, never a pass", limit(0.4), setup(t, check.Settings{}), check.Caution},
		{"too deep", limit(1.4), setup(t, check.Settings{}), check.Fail},
		{"wading depth not known", limit(0.4), setup(t, check.Settings{}, dryFeet), check.NotLooked},
	} {
		legs := straight(asphalt, 100, 20, 100)
		legs[1].tags.Ford, legs[1].tags.DepthM = "yes", c.depth
		if got := worstOf(run(onRamp(t, c.set, 0, legs...)), "ford"); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestStructuresLookedFor(t *testing.T) {
	set := setup(t, check.Settings{})
	legs := straight(asphalt, 200, 300, 500)
	legs[1].tags = route.Tags{}
	fs := of(run(onRamp(t, set, 0, legs...)), "structures")
	if len(fs) != 1 || fs[0].Outcome != check.NotLooked {
		t.Fatalf("%+v", fs)
	}
	if q := quantity(t, fs[0], "share"); math.Abs(q.Value-0.3) > 1e-3 {
		t.Errorf("share %v, want 0.3", q.Value)
	}
	if fs := of(run(onRamp(t, set, 0, straight(asphalt, 500)...)), "structures"); len(fs) != 0 {
		t.Errorf("a mapped way: %+v", fs)
	}
}

// Findings that rest on a value from memory say so, by its key; others do not.
func TestUnverifiedValuesAreNamed(t *testing.T) {
	set := setup(t, check.Settings{})
	for _, name := range []string{"asphalt", "gravel", "paving"} {
		want := false
		var keys []string
		for _, a := range surface(t, name).Assumed() {
			want, keys = want || a.Standing == "memory", append(keys, a.Key)
		}
		tags := route.Tags{Mapped: true, Surface: map[string]string{"paving": "sett"}[name]}
		if tags.Surface == "" {
			tags.Surface = name
		}
		f := of(run(onRamp(t, set, 0.24, straight(tags, 400)...)), "climb")
		if len(f) != 1 || f[0].Unverified != want || !slices.Equal(f[0].Rests, keys) {
			t.Errorf("%s: %+v, want unverified %v, rests on %v", name, f, want, keys)
		}
	}
	posted := asphalt
	posted.MaxMassKg = limit(40e3)
	if f := of(run(onRamp(t, set, 0, straight(posted, 400)...)), "posting"); len(f) != 1 || f[0].Unverified || len(f[0].Rests) == 0 {
		t.Errorf("a posted mass rests on the masses' errors, none from memory: %+v", f)
	}
}
