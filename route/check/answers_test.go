package check_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/known"

	"github.com/paulmach/orb"
)

// answered puts answers, rows under the head below, on a way and gives what one
// check then says of its places, passed comparisons too.
func answered(t *testing.T, name string, tags route.Tags, rows ...string) (found, passed []check.Finding, uses []check.Use, all []check.Finding) {
	t.Helper()
	const head = "route,check,from_m,to_m,lon,lat,answer,error,how,by,when,valid_until,conditions,passed_gross_kg,passed_axle_kg,passed_width_m,passed_length_m,passed_height_m\n"
	s := onRamp(t, setup(t, check.Settings{}), 0, straight(tags, 40)[0], straight(asphalt, 240)[0])
	list, err := known.ReadCSV(strings.NewReader(head+strings.Join(rows, "\n")+"\n"), "a.csv")
	if err != nil {
		t.Fatal(err)
	}
	var answers []*known.Answer
	for _, r := range list {
		a, err := r.Parse("2024-06-01")
		if err != nil {
			t.Fatal(err)
		}
		a.Route = s.Way.Route.ID
		answers = append(answers, a)
	}
	s.Knowing(known.Place(s.Way, answers), "2024-06-01")
	var k check.Sink
	check.Run(s, &k)
	all = k.Findings
	return of(k.Findings, name), of(k.Passed, name), k.Uses, all
}

// stands reports whether a check stays a matter of the whole way.
func stands(t *testing.T, name string, rows ...string) bool {
	t.Helper()
	_, _, _, all := answered(t, name, asphalt, rows...)
	return slices.ContainsFunc(all, func(f check.Finding) bool { return f.Check == name && f.Standing })
}

// TestAnswersOverride: by place, over tags that pass and over tags that fail;
// the stricter of two measurements and the larger of two grants of one day, the
// later day before the earlier.
func TestAnswersOverride(t *testing.T) {
	bridge, tunnel := asphalt, asphalt
	bridge.Bridge, bridge.MaxMassKg = "yes", limit(40_000)
	tunnel.Tunnel, tunnel.MaxHeightM = "yes", limit(5.2)
	for _, c := range []struct {
		name, check string
		tags        route.Tags
		rows        []string
		want        check.Outcome
	}{
		{"a grant over a posted limit", "bridge", bridge, []string{"r,bridge,0,40,,,class=120,,granted,County,2024-05-01" + ",,,,,,,"}, check.Pass},
		{"with conditions", "bridge", bridge, []string{"r,bridge,0,40,,,class=120,,granted,County,2024-05-01,,at night" + ",,,,,"}, check.Caution},
		{"expired", "bridge", bridge, []string{"r,bridge,0,40,,,class=120,,granted,County,2024-01-01,2024-05-01," + ",,,,,"}, check.Fail},
		{"another place", "bridge", bridge, []string{"r,bridge,100,140,,,class=120,,granted,County,2024-05-01" + ",,,,,,,"}, check.Fail},
		{"a smaller grant of the same day", "bridge", bridge, []string{"r,bridge,0,40,,,class=80,,granted,County,2024-05-01" + ",,,,,,,", "r,bridge,0,40,,,class=120,,granted,County,2024-05-01" + ",,,,,,,"}, check.Pass},
		{"withdrawn later", "bridge", bridge, []string{"r,bridge,0,40,,,class=120,,granted,County,2024-04-01" + ",,,,,,,", "r,bridge,0,40,,,class=80,,granted,County,2024-05-01" + ",,,,,,,"}, check.Fail},
		{"measured lower than the sign", "overhead", tunnel, []string{"r,overhead,0,40,,,4.2,0.02,measured,Hale,2024-05-01" + ",,,,,,,"}, check.Fail},
		{"the lower of two", "overhead", tunnel, []string{"r,overhead,0,40,,,5.1,0.02,measured,Hale,2024-05-01" + ",,,,,,,", "r,overhead,0,40,,,4.2,0.02,measured,Hale,2024-05-01" + ",,,,,,,"}, check.Fail},
		{"a higher load passed", "overhead", tunnel, []string{"r,overhead,0,40,,,,,precedent,Hale,2024-05-01,,,130000,15000,3.8,26,4.9"}, check.Caution},
	} {
		found, passed, _, _ := answered(t, c.check, c.tags, c.rows...)
		got := check.Pass
		for _, f := range found {
			got = max(got, f.Outcome)
		}
		if got != c.want || len(found)+len(passed) == 0 {
			t.Errorf("%s: %s, want %s\n%+v", c.name, got, c.want, append(found, passed...))
		}
	}
}

// Soil that a cone found: enough is a caution and no pass, too little asks and
// is no failure, for the forms are from memory; the rest of the way stays one
// standing matter.
func TestSoil(t *testing.T) {
	soil := asphalt
	soil.Highway, soil.Surface = "track", "earth"
	for answer, want := range map[string]check.Outcome{"rci=400": check.Caution, "rci=30": check.NotLooked, "cbr=9": check.Caution, "cone=500 ri=0.8": check.Caution, "cone=60": check.NotLooked} {
		found, _, uses, _ := answered(t, "ground", soil, "r,ground,0,40,,,"+answer+",1,measured,Hale,2024-05-01"+",,,,,,,")
		if len(found) != 1 || found[0].Outcome != want || !found[0].Unverified || len(uses) != 1 {
			t.Errorf("%s: %+v", answer, found)
		}
	}
	var k check.Sink
	check.Run(onRamp(t, setup(t, check.Settings{}), 0, straight(soil, 280)...), &k)
	n := 0
	for _, f := range k.Findings {
		if f.Check == "ground" {
			if n++; !f.Standing || math.Abs(quantity(t, f, "length").Value-280) > 1 {
				t.Errorf("%+v", f)
			}
		}
	}
	if n != 1 {
		t.Errorf("%d standing matters of ground", n)
	}
}

// A ford's exit is judged with wet wheels: on a steep one that dry wheels climb
// it asks, on a gentle one it passes.
func TestFordExit(t *testing.T) {
	ford := asphalt
	ford.Ford, ford.DepthM = "yes", limit(0.3)
	for _, c := range []struct {
		surface string
		grade   float64
		want    check.Outcome
	}{{"asphalt", 0, check.Pass}, {"earth", 0, check.Undecided}, {"earth", 0.16, check.NotLooked}} {
		earth := asphalt
		earth.Surface = c.surface
		grade, want := c.grade, c.want
		s := onRamp(t, setup(t, check.Settings{}), grade, leg{straight(asphalt, 60)[0].to, asphalt}, leg{straight(ford, 80)[0].to, ford}, leg{straight(earth, 280)[0].to, earth})
		got := check.Pass
		for _, f := range of(run(s), "ford") {
			if strings.Contains(f.Say, "wet wheels") {
				got = f.Outcome
			}
		}
		if got != want {
			t.Errorf("%g: %s, want %s", grade, got, want)
		}
	}
}

// A matter of the whole way closes when answers cover all of it, and a no is a
// place that does not pass.
func TestStandingAnswers(t *testing.T) {
	for _, c := range []struct {
		rows     []string
		standing bool
		worst    check.Outcome
	}{
		{nil, true, check.Pass},
		{[]string{"r,wires,0,150,,,driven=yes lines=none,,looked,Hale,2024-05-01,,,,,,,"}, true, check.Pass},
		{[]string{"r,wires,0,150,,,driven=yes lines=none,,looked,Hale,2024-05-01,,,,,,,", "r,wires,150,240,,,driven=yes wire_m=9,0.2,measured,Hale,2024-05-01,,,,,,,"}, false, check.Pass},
		{[]string{"r,wires,0,240,,,driven=yes wire_m=4,0.1,measured,Hale,2024-05-01,,,,,,,"}, true, check.Fail},
		{[]string{"r,wires,0,240,,,driven=yes wire_m=6,0.1,measured,Hale,2024-05-01,,,,,,,"}, true, check.Pass},
	} {
		found, _, _, _ := answered(t, "wires", asphalt, c.rows...)
		worst := check.Pass
		for _, f := range found {
			worst = max(worst, f.Outcome)
		}
		if worst != c.worst {
			t.Errorf("%v: %s, want %s", c.rows, worst, c.worst)
		}
		if got := stands(t, "wires", c.rows...); got != c.standing {
			t.Errorf("%v: standing %v", c.rows, got)
		}
	}
}

// A bend whose width nobody tagged: a width that suffices passes it, one that
// does not fails it, and so does somebody who looked at it.
func TestBendAnswered(t *testing.T) {
	lane := asphalt
	lane.Highway = "track"
	set := setup(t, check.Settings{})
	for row, want := range map[string]check.Outcome{"": check.NotLooked, "11.5,0.1,measured": check.Pass, "4,0.1,measured": check.Fail, "yes,,looked": check.Pass, "no,,looked": check.Fail} {
		s := onRamp(t, set, 0, leg{[]orb.Point{{0, 150}}, lane}, leg{[]orb.Point{{1.5, 157}, {5.3, 163}, {11, 167}, {18, 168.5}, {180, 170}}, lane})
		var k check.Sink
		check.Run(s, &k)
		asked := of(k.Findings, "bend")
		if len(asked) != 1 || !strings.Contains(asked[0].Needs.String(), "width_m>=") {
			t.Fatalf("the bend asks %+v", asked)
		}
		if row == "" {
			continue
		}
		list, err := known.ReadCSV(strings.NewReader("check,lon,lat,answer,error,how,by,when\nbend,10,47,"+row+",Hale,2024-05-01\n"), "a.csv")
		if err != nil {
			t.Fatal(err)
		}
		a, err := list[0].Parse("2024-06-01")
		if err != nil {
			t.Fatal(err)
		}
		a.Point = s.Way.At(asked[0].WorstM)
		k = check.Sink{}
		check.Run(s.Knowing(known.Place(s.Way, []*known.Answer{a}), "2024-06-01"), &k)
		got := check.Pass
		for _, f := range of(k.Findings, "bend") {
			got = f.Outcome
		}
		if got != want {
			t.Errorf("%q: %s, want %s (%s)", row, got, want, asked[0].Needs)
		}
	}
}
