package verdict_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/terrain"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

var ctx = context.Background()

func ramp(grade float64, tags route.Tags) []piece {
	return []piece{{900, 0, asphalt}, {240, grade, tags}, {900, 0, asphalt}}
}

// The word of a route: from what was found and what is at hand.
func TestWords(t *testing.T) {
	strong, weak := load(t, "transporter-112t.yaml"), weakEngine(t)
	for _, c := range []struct {
		name   string
		train  *vehicle.Combination
		helped bool
		road   []piece
		want   verdict.Verdict
	}{
		{"level asphalt", strong, false, ramp(0.02, asphalt), verdict.Go},
		{"climbs, may not start again", weak, false, ramp(0.095, asphalt), verdict.Caution},
		{"undecided, rather passes, no helper", strong, false, ramp(0.17, asphalt), verdict.Unknown},
		{"undecided, rather passes, helper: still a question", strong, true, ramp(0.175, asphalt), verdict.Unknown},
		{"undecided, rather fails, no helper", strong, false, ramp(0.18, earth), verdict.Unknown},
		{"undecided, rather fails, helper", strong, true, ramp(0.18, earth), verdict.SecondTow},
		{"undecided, rather fails, helper not sure", strong, true, ramp(0.25, asphalt), verdict.Unknown},
		{"fails, no helper", weak, false, ramp(0.16, asphalt), verdict.Detour},
		{"fails, helper", weak, true, ramp(0.16, asphalt), verdict.SecondTow},
		{"fails, helper too weak", weak, true, ramp(0.4, asphalt), verdict.Detour},
		{"bridge too weak", strong, true, []piece{{500, 0, asphalt}, {30, 0, bridge(40)}, {500, 0, asphalt}}, verdict.Detour},
		{"bridge not rated", strong, true, []piece{{500, 0, asphalt}, {30, 0, bridge(0)}, {500, 0, asphalt}}, verdict.Unknown},
		{"a bare line", strong, true, []piece{{900, 0, bare}}, verdict.Unknown},
		{"bare in part", strong, true, []piece{{900, 0, asphalt}, {50, 0, bare}, {900, 0, asphalt}}, verdict.Unknown},
		{"shorter than the train", strong, false, []piece{{20, 0, asphalt}}, verdict.Unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, ground := toy("toy", c.road...)
			for _, reverse := range []bool{false, true} {
				res, err := judge(t, c.train, c.helped, ground).Route(ctx, r, verdict.Options{Reverse: reverse})
				if err != nil {
					t.Fatal(err)
				}
				sound(t, res)
				if !reverse && res.Verdict != c.want {
					t.Errorf("%v, want %v: %+v", res.Verdict, c.want, res.Findings)
				}
			}
		})
	}
}

// sound holds what is true of every result: segments without gap or overlap, in
// order, over the whole way; each finding and each help colours its place; the
// route is as bad as its worst segment; the share decided is what is left of the
// length where questions stand.
func sound(t interface{ Errorf(string, ...any) }, res *verdict.Result) {
	at, worst, open := 0.0, verdict.Go, 0.0
	for i, s := range res.Segments {
		if s.At.FromM != at || !(s.At.ToM > s.At.FromM) {
			t.Errorf("segment %d is %v, the one before ends at %v", i, s.At, at)
		}
		at, worst = s.At.ToM, max(worst, s.Verdict)
		if i > 0 && res.Segments[i-1].Verdict == s.Verdict && res.Segments[i-1].Assist == s.Assist {
			t.Errorf("segments %d and %d are one", i-1, i)
		}
		for k, f := range s.Findings {
			if res.Word(f) > s.Verdict && s.Assist < 0 {
				t.Errorf("segment %d is %v, its finding %v", i, s.Verdict, res.Word(f))
			}
			if k > 0 && res.Word(f) > res.Word(s.Findings[0]) {
				t.Errorf("segment %d: the deciding finding does not come first", i)
			}
		}
	}
	if at != res.Way.LengthM() {
		t.Errorf("segments end at %v of %v", at, res.Way.LengthM())
	}
	if worst != res.Verdict {
		t.Errorf("route %v, worst segment %v", res.Verdict, worst)
	}
	for i := range res.Findings {
		f := &res.Findings[i]
		colours := false
		for _, s := range res.Segments {
			for _, k := range s.Findings {
				colours = colours || k == i
			}
		}
		if colours == f.Standing {
			t.Errorf("finding %d (%s, standing %v) colours a segment: %v", i, f.Check, f.Standing, colours)
		}
		if f.Open() && res.Word(i) == verdict.Unknown && res.Verdict < verdict.Unknown {
			t.Errorf("a question is open on a route called %v", res.Verdict)
		}
	}
	const parts = 2000
	for k := range parts {
		x := res.Way.LengthM() * (float64(k) + 0.5) / parts
		for i := range res.Findings {
			f := &res.Findings[i]
			if !f.Standing && f.At.FromM < x && x < f.At.ToM && f.Open() && res.Word(i) == verdict.Unknown {
				open++
				break
			}
		}
	}
	if share := 1 - open/parts; math.Abs(share-res.DecidedShare) > 0.01 && len(res.Plan.Assists) == 0 {
		t.Errorf("decided share %.4f, counted %.4f", res.DecidedShare, share)
	}
}

// Whatever the road, the result is sound; a bare piece never lets it be go.
func TestResultsAreSound(t *testing.T) {
	train := weakEngine(t)
	kinds := []route.Tags{asphalt, earth, bare, bridge(0), bridge(140), bridge(300)}
	var judges []*verdict.Judge
	for _, helped := range []bool{false, true} {
		judges = append(judges, judge(t, train, helped, nil))
	}
	rapid.Check(t, func(t *rapid.T) {
		var pieces []piece
		anyBare := false
		for range rapid.IntRange(1, 6).Draw(t, "pieces") {
			p := piece{rapid.Float64Range(5, 400).Draw(t, "length"), rapid.Float64Range(-0.2, 0.25).Draw(t, "grade"), rapid.SampledFrom(kinds).Draw(t, "tags")}
			anyBare = anyBare || !p.tags.Mapped
			pieces = append(pieces, p)
		}
		r, ground := toy("toy", pieces...)
		j := *rapid.SampledFrom(judges).Draw(t, "judge")
		j.Surface = ground
		res, err := j.Route(ctx, r, verdict.Options{Reverse: rapid.Bool().Draw(t, "reverse")})
		if err != nil {
			t.Fatal(err)
		}
		sound(t, res)
		if anyBare && res.Verdict < verdict.Unknown {
			t.Fatalf("a bare line is called %v", res.Verdict)
		}
	})
}

// A bend at one vertex, too narrow: the corner must colour its place.
func TestCornerColoursItsPlace(t *testing.T) {
	east, _ := terrain.MetresPerDegree(47)
	tags := asphalt
	tags.WidthM = route.Limit{State: route.Known, Value: 4}
	r := &route.Route{ID: "corner", Line: orb.LineString{{10, 47}, {10, 47 + 200/northM}, {10 + 200/east, 47 + 200/northM}},
		Pieces: []route.Piece{{First: 0, Last: 2, Tags: tags}}}
	flat := terrain.Func{At: func(_, _ float64) (float64, bool) { return 0, true }, Source: terrain.Source{Name: "flat", CellM: 10, SEM: 0.1, CorrM: 50}}
	res, err := judge(t, load(t, "transporter-112t.yaml"), false, flat).Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	sound(t, res)
	if res.Verdict != verdict.Detour {
		t.Errorf("%v, want detour", res.Verdict)
	}
}

// A question that only the coupled train raises is shown on the stretch.
func TestCoupledQuestionsAreShown(t *testing.T) {
	weakBridge := bridge(152) // the pair weighs about 152 t: not sure
	pieces := []piece{{600, 0, asphalt}, {100, 0.16, asphalt}, {30, 0.16, weakBridge}, {100, 0.16, asphalt}, {600, 0, asphalt}}
	r, ground := toy("toy", pieces...)
	res, err := judge(t, weakEngine(t), true, ground).Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if res.Verdict != verdict.SecondTow || len(res.Plan.Assists) != 1 || len(res.Plan.Assists[0].Asked()) != 1 {
		t.Fatalf("%v, %+v", res.Verdict, res.Plan)
	}
	for _, s := range res.Segments {
		if s.Assist == 0 && !s.Unknown {
			t.Errorf("%v hides the question of the coupled train", s.At)
		}
	}
	if res.DecidedShare == 1 {
		t.Error("all of the way is said to be decided")
	}
}

// The steps at a place are those of the full run.
func TestExplainEqualsTheFinding(t *testing.T) {
	r, ground := toy("toy", ramp(0.18, earth)...)
	j := judge(t, load(t, "transporter-112t.yaml"), false, ground)
	full, err := j.Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range full.Findings {
		if f.Check != "climb" {
			continue
		}
		for _, off := range []float64{0, 1.5, -1.5} { // the nearest station answers
			res, err := j.Route(ctx, r, verdict.Options{Explain: true, ExplainM: f.WorstM + off})
			if err != nil {
				t.Fatal(err)
			}
			n := 0
			for _, g := range res.Findings {
				if g.Check == "climb" {
					n++
					if g.Demand != f.Demand || g.Capacity != f.Capacity || g.SE != f.SE || g.P != f.P {
						t.Errorf("off %v: %+v\nfull %+v", off, g, f)
					}
				}
			}
			if n != 1 {
				t.Errorf("off %v: %d climbs", off, n)
			}
		}
	}
	for x := 0.0; x <= full.Way.LengthM()+50; x += 3.7 { // no place without steps
		res, err := j.Route(ctx, r, verdict.Options{Explain: true, ExplainM: x})
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Steps) == 0 {
			t.Fatalf("nothing to explain at %v m", x)
		}
	}
}

func TestOutside(t *testing.T) {
	r, ground := toy("toy", ramp(0.02, asphalt)...)
	away := *r
	away.Line = nil
	for _, p := range r.Line {
		away.Line = append(away.Line, orb.Point{p[0] + 40, p[1]})
	}
	j := judge(t, load(t, "transporter-112t.yaml"), false, ground)
	_, err := j.Route(ctx, &away, verdict.Options{})
	if !errors.Is(err, verdict.ErrOutside) || strings.Contains(err.Error(), "swap") || !strings.Contains(err.Error(), "toy") {
		t.Errorf("far away: %v", err)
	}
	swapped := *r
	swapped.Line = nil
	for _, p := range r.Line {
		swapped.Line = append(swapped.Line, orb.Point{p[1], p[0]})
	}
	_, err = j.Route(ctx, &swapped, verdict.Options{})
	if !errors.Is(err, verdict.ErrOutside) || !strings.Contains(err.Error(), "swap") {
		t.Errorf("axes swapped: %v", err)
	}
}

func TestCancelled(t *testing.T) {
	r, ground := toy("toy", ramp(0.02, asphalt)...)
	ctx, stop := context.WithCancel(ctx)
	stop()
	if _, err := judge(t, load(t, "transporter-112t.yaml"), false, ground).Route(ctx, r, verdict.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want cancelled", err)
	}
}

// Totals of a known profile: up 24 m, down 12 m.
func TestTotals(t *testing.T) {
	r, ground := toy("toy", piece{400, 0, asphalt}, piece{300, 0.08, asphalt}, piece{300, -0.04, bare}, piece{400, 0, asphalt})
	res, err := judge(t, load(t, "transporter-112t.yaml"), false, ground).Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	got := res.Totals()
	if math.Abs(got.ClimbM-24) > 0.5 || math.Abs(got.DescentM-12) > 0.5 || math.Abs(got.SteepestUp-0.08) > 0.004 {
		t.Errorf("%+v", got)
	}
	if got.WithHeight != 1 || math.Abs(got.WithTags-1100.0/1400) > 1e-3 {
		t.Errorf("%+v", got)
	}
}

// What a result took for granted is sorted, once each, and holds what the
// terrain and the profile assumed.
func TestAssumedIsSorted(t *testing.T) {
	r, ground := toy("toy", ramp(0.02, asphalt)...)
	ground.Source.Assumed = []terrain.Assumption{{Key: "terrain.se", Value: 0.05, Unit: "m", Standing: "choice"}}
	j := judge(t, load(t, "transporter-112t.yaml"), false, ground)
	j.Profile = profile.Options{StepM: 7}
	res, err := j.Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	keys := map[string]bool{}
	for i, a := range res.Assumed {
		if i > 0 && a.Key < res.Assumed[i-1].Key {
			t.Errorf("%s stands behind %s", a.Key, res.Assumed[i-1].Key)
		}
		if keys[a.Key] {
			t.Errorf("%s stands twice", a.Key)
		}
		keys[a.Key] = true
	}
	if !keys["terrain.se"] || keys["profile.step_m"] || !keys["surface.asphalt.dry.mu"] {
		t.Errorf("%v", res.Assumed)
	}
}

// Outcomes and words in order of severity.
func TestAlone(t *testing.T) {
	for o, want := range map[check.Outcome]verdict.Verdict{check.Pass: verdict.Go, check.Caution: verdict.Caution,
		check.Undecided: verdict.Unknown, check.NotLooked: verdict.Unknown, check.Fail: verdict.Detour} {
		if got := verdict.Alone(&check.Finding{Outcome: o}); got != want {
			t.Errorf("%v gives %v, want %v", o, got, want)
		}
		if got := verdict.Alone(&check.Finding{Outcome: o, Standing: true}); got != verdict.Go {
			t.Errorf("standing %v gives %v", o, got)
		}
	}
}

// A descent that the train's own brakes do not hold is a second tow with a helper
// behind on rated couplings, and a detour without.
func TestHeldBack(t *testing.T) {
	for _, rated := range []bool{true, false} {
		spec := func(file string, change func(*vehicle.Spec)) *vehicle.Combination {
			s, err := specfile.ReadFile("../../samples/" + file)
			if err != nil {
				t.Fatal(err)
			}
			change(&s)
			c, _, err := vehicle.New(s)
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		kn, none := 150.0, 20.0
		end := &vehicle.EndSpec{PushKN: &kn, HoldKN: &kn}
		train := spec("transporter-112t.yaml", func(s *vehicle.Spec) {
			*s.Units[0].Brakes.ServiceKN, *s.Units[1].Brakes.ServiceKN, s.Units[0].Power.RetarderKW = 40, 60, &none
			if s.Units[1].Rear = nil; rated {
				s.Units[1].Rear = end
			}
		})
		helper := spec("helper-40t.yaml", func(s *vehicle.Spec) { s.Units[0].Front = end })
		r, ground := toy("down", piece{600, 0, asphalt}, piece{240, -0.15, asphalt}, piece{600, 0, asphalt})
		j := judge(t, train, false, ground)
		h, err := secondtow.NewHelper(helper, train, vehicle.Bar{RatedN: 400e3}, check.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		j.Yard.Helpers = append(j.Yard.Helpers, h)
		j.March = &check.MarchTerms{CapMS: check.DefaultMarchMS}
		res, err := j.Route(context.Background(), r, verdict.Options{})
		if err != nil {
			t.Fatal(err)
		}
		want := verdict.Detour
		if rated {
			want = verdict.SecondTow
		}
		if res.Verdict != want {
			t.Errorf("rated %v: %v, want %v; plan %+v", rated, res.Verdict, want, res.Plan)
		}
		if rated && (res.Trip == nil || !res.Trip.Helped || res.Trip.Stall != "") {
			t.Errorf("trip %+v", res.Trip)
		}
	}
}
