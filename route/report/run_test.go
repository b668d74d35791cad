package report_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/route/structure"
	"drawbar/route/verdict"
	"drawbar/terrain"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"

	"github.com/paulmach/orb"
)

var nan = math.NaN()

// lineOf is a way due north of 10 E 47 N.
func lineOf(t testing.TB, id string, lengthM float64, tags route.Tags) *route.Alignment {
	t.Helper()
	_, north := terrain.MetresPerDegree(47)
	r := &route.Route{ID: id, Name: "Way of " + id, File: "ways.geojson", Line: orb.LineString{{10, 47}, {10, 47 + lengthM/2/north}, {10, 47 + lengthM/north}},
		Pieces: []route.Piece{{First: 0, Last: 2, Tags: tags}}}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// made is a result put together by hand: layout is tested here, not judgement,
// so that no change of physics moves a golden file.
func made(t testing.TB, id string, word verdict.Verdict, segs []verdict.Segment, fs []check.Finding) *verdict.Result {
	t.Helper()
	a := lineOf(t, id, 2000, route.Tags{Mapped: true})
	p := profile.Constant(0.02, a.LengthM())
	segs[len(segs)-1].At.ToM = a.LengthM()
	grades := make([]float64, len(p.ChainageM))
	for i := range grades {
		grades[i] = 0.02
	}
	return &verdict.Result{Way: a, Profile: p, Verdict: word, Segments: segs, Findings: fs, DecidedShare: 1,
		Looked: structure.Looked{MappedM: a.LengthM()}, TrainGrade: grades,
		Assumed: []route.Assumption{
			{Key: "bar.rated_kn", Value: math.Inf(1), Unit: "kN", Source: "no rating given", Standing: "choice"},
			{Key: "overhead.margin_m", Value: 0.1, Unit: "m", Source: "customary margin", Standing: "memory"},
			{Key: "surface.paving.dry.mu", Value: 0.5, Unit: "1", Source: "common practice, no source", Standing: "memory"}},
		Notes: []string{"one vertex given twice was dropped"}}
}

func seg(from, to float64, w verdict.Verdict, findings ...int) verdict.Segment {
	return verdict.Segment{At: route.Stretch{FromM: from, ToM: to}, Verdict: w, Findings: findings, Assist: -1}
}

func standing(name, say, closing string) check.Finding {
	return check.Finding{Check: name, At: route.Stretch{ToM: 2000}, Demand: nan, Capacity: nan, P: nan, Outcome: check.NotLooked, Standing: true, Say: say, Close: closing}
}

func climb(from, to, worst, demand, capacity, se, p float64, o check.Outcome) check.Finding {
	return check.Finding{Check: "climb", At: route.Stretch{FromM: from, ToM: to}, WorstM: worst, Demand: demand, Capacity: capacity, SE: se, P: p,
		Unit: check.Grade, Outcome: o, Remedy: check.Pull,
		Say:   "grade {grade} under the train, climbs {limit} on {surface}",
		Close: "measure the grade: passes at up to {needed}", Do: "needs {bar} more at the drawbar: a helper of about {mass}",
		Q: []check.Quantity{
			{Name: "grade", Value: demand, SE: 0.002, Unit: check.Grade}, {Name: "limit", Value: capacity, SE: se, Unit: check.Grade},
			{Name: "surface", Text: "dry paving", Unit: check.Literal}, {Name: "needed", Value: 0.1, Unit: check.Grade},
			{Name: "bar", Value: 123456, Unit: check.Newton}, {Name: "mass", Value: nan, Unit: check.Kg}},
		Decides:    []check.Quantity{{Name: "grip", Value: 0.996, Unit: check.Share}, {Name: "grade", Value: 0.004, Unit: check.Share}},
		Rests:      []string{"surface.paving.dry.mu", "surface.paving.dry.roll"},
		Unverified: true}
}

func asked(name string, from, to float64, say, closing string, qs ...check.Quantity) check.Finding {
	return check.Finding{Check: name, At: route.Stretch{FromM: from, ToM: to}, WorstM: from, Demand: nan, Capacity: nan, P: nan, Unit: check.Kg,
		Outcome: check.NotLooked, Say: say, Close: closing, Q: qs}
}

var (
	wires = standing("wires", "wires over the way: not checked by this version", "drive the way with a measuring pole")
	limit = standing("posting", "no mass limit is tagged", "ask the road's owner")
)

// byHand is a run with all five verdicts and a route that was not judged.
func byHand(t testing.TB) *report.Run {
	t.Helper()
	start := climb(400, 550, 480, 0.13, 0.12, 0.02, 0.31, check.Caution)
	start.Check, start.Remedy, start.Unverified, start.Rests = "start", check.NoRemedy, false, nil
	start.Say, start.Do, start.Close = "climbs but may not start again: {grade} under the train, starts on {limit}", "do not stop on this stretch", ""
	mill := asked("bridge", 700, 724, "{name}, {span} long, is not rated", "ask its owner: passes if rated for {gross} gross (class {class})",
		check.Quantity{Name: "name", Text: "Mill Lane", Unit: check.Literal}, check.Quantity{Name: "span", Value: 24, Unit: check.Metre},
		check.Quantity{Name: "gross", Value: 112000, SE: 1020, Unit: check.Kg}, check.Quantity{Name: "class", Value: 104.94, Unit: check.Class})
	helped := climb(900, 1100, 1000, 0.16, 0.12, 0.01, 3e-5, check.Fail)
	tow := made(t, "steep", verdict.SecondTow, []verdict.Segment{seg(0, 850, verdict.Go), seg(850, 1150, verdict.SecondTow, 0), seg(1150, 2000, verdict.Go)},
		[]check.Finding{helped, limit, wires})
	tow.Segments[1].Assist, tow.Segments[1].Unknown = 0, true
	coupledStart := start
	coupledStart.Do = "do not stop on this stretch"
	tow.Plan.Assists = []secondtow.Assist{{Helper: "ballast tractor", Over: route.Stretch{FromM: 850, ToM: 1150}, For: []int{0},
		Findings: []check.Finding{coupledStart, mill}, HookStartP: 0.97, CastStartP: nan, TimeS: 2310, Members: []secondtow.Member{{Helper: "ballast tractor"}},
		Bars:  []secondtow.BarLoad{{Helper: "ballast tractor", MostN: 81234, MostAtM: 1020, PushN: 12345, PushAtM: 905, Slack: []float64{930}, OwnN: 190e3, OwnAtM: 1100, RatedN: nan}},
		Hooks: []secondtow.Place{{AtM: 850, AwayM: 50, HoldP: nan, StartP: 0.97, GradeRatio: 0.01, StraightM: 400, WidthM: nan}, {AtM: 700, AwayM: 200, HoldP: 1, StartP: 0.5, GradeRatio: 0.06, StraightM: 20, WidthM: 3, OnStructure: true, MoreS: 1200}},
		Casts: []secondtow.Place{{AtM: 1150, AwayM: 50, HoldP: 1, StartP: 1, StraightM: 300, WidthM: 6}},
		Others: []secondtow.Option{{Say: "{helper} winching from the crest", Q: []check.Quantity{{Name: "helper", Text: "recovery truck", Unit: check.Literal}}, TimeS: 7500},
			{Say: "a load lighter by {mass}", Q: []check.Quantity{{Name: "mass", Value: 12000, Unit: check.Kg}}, TimeS: 21600}},
		Moves: []secondtow.Move{{Helper: "ballast tractor", FromM: 300, ToM: 850, Passes: true, WaitS: 300, AloneP: 0.8}}}}
	alone := climb(900, 1100, 1000, 0.3, 0.12, 0.01, 0, check.Fail)
	none := made(t, "steeper", verdict.Detour, []verdict.Segment{seg(0, 900, verdict.Go), seg(900, 1100, verdict.Detour, 0), seg(1100, 2000, verdict.Go)},
		[]check.Finding{alone, wires})
	none.Plan.Tried = []secondtow.Attempt{{Over: route.Stretch{FromM: 900, ToM: 1100}, For: []int{0}, Helper: "ballast tractor", Why: alone, Unlocks: []string{"units[1].rear_coupling.push_kn of the train"},
		Would: []secondtow.Option{{Say: "a helper of {mass} or more that pulls {bar} at the bar", Q: []check.Quantity{{Name: "mass", Value: 126e3, Unit: check.AtLeastKg}, {Name: "bar", Value: 176e3, Unit: check.Newton}}, TimeS: nan}}}}
	folds := asked("bend", 1500, 1530, "{side} bend: the train folds up before it is through", "look at the bend on foot", check.Quantity{Name: "side", Text: "left", Unit: check.Literal})
	folds.Outcome, folds.Do, folds.Demand, folds.Capacity, folds.P, folds.SE, folds.Unit = check.Fail, "go round", math.Inf(1), 5, 0, 0.3, check.Metre
	bend := made(t, "hairpin", verdict.Detour, []verdict.Segment{seg(0, 1500, verdict.Go), seg(1500, 1530, verdict.Detour, 0), seg(1530, 2000, verdict.Go)}, []check.Finding{folds, wires})
	bend.Way.Reversed = true
	unknown := made(t, "upper", verdict.Unknown, []verdict.Segment{seg(0, 700, verdict.Go), seg(700, 724, verdict.Unknown, 0), seg(724, 2000, verdict.Go)}, []check.Finding{mill, wires})
	unknown.DecidedShare = 1 - 24.0/2000
	tow.Trip = &check.Trip{LengthM: 2000, TimeS: 412.3, FuelL: 12.345, SlowestMS: 1.234, SlowestAtM: 1100, StallAtM: nan, Helped: true}
	none.Trip = &check.Trip{LengthM: 1010, TimeS: 3700, FuelL: 4.01, SlowestMS: 0.9, SlowestAtM: 950, Stall: "grip", StallAtM: 1010}
	bend.Trip = &check.Trip{LengthM: 2000, TimeS: 300, FuelL: 3, SlowestMS: nan, SlowestAtM: nan, StallAtM: nan, LevelM: 120}
	unknown.Trip = &check.Trip{SlowestMS: nan, SlowestAtM: nan, StallAtM: nan, Why: "the train has no engine that drives a wheel"}
	return &report.Run{
		Tool:     report.Tool{Version: "1.0", Go: "go1.26", GDAL: "3.6.2", PROJ: "9.1.1"},
		Inputs:   []report.Input{{Role: "route", Name: "ways.geojson", Bytes: 1234, SHA256: strings.Repeat("0a", 32)}, {Role: "dem", Name: "d.tif", Bytes: 1 << 33, Print: "size+ends:00ff"}},
		Settings: []report.Setting{{Name: "weather", Value: "dry"}},
		Train: report.Train{Name: "heavy train", Level: "measured", GrossKg: 112000, GrossSEKg: 1020, LengthM: 24.9, WidthM: 3.6, HeightM: nan, Axles: 11,
			Helpers: []string{"ballast tractor"}},
		Sources: []report.Source{{Name: "d.tif", Driver: "GTiff", CRS: "EPSG:32632", Datum: "unknown", Kind: "terrain model", Unit: "m", CellM: 2, SEM: 0.3, CorrM: 50}},
		Records: []report.Record{
			{ID: "lakeside", File: "ways.geojson", Result: made(t, "lakeside", verdict.Go, []verdict.Segment{seg(0, 2000, verdict.Go)}, []check.Finding{wires})},
			{ID: "hill", File: "ways.geojson", Result: made(t, "hill", verdict.Caution, []verdict.Segment{seg(0, 400, verdict.Go), seg(400, 550, verdict.Caution, 0), seg(550, 2000, verdict.Go)}, []check.Finding{start, wires})},
			{ID: "upper", File: "ways.geojson", Result: unknown},
			{ID: "steep", File: "ways.geojson", Result: tow},
			{ID: "steeper", File: "ways.geojson", Result: none},
			{ID: "hairpin", File: "ways.geojson", Result: bend},
			{ID: "broken", File: "ways.geojson", Err: errors.New("ways.geojson: feature 7: the line has no length (give it two different positions)")},
		},
	}
}

// judged is a run of the real chain over toy roads: bare, steep, voids, bridges.
func judged(t testing.TB) *report.Run {
	t.Helper()
	load := func(file string) *vehicle.Combination {
		c, err := specfile.Load("../../samples/" + file)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	train := load("transporter-112t.yaml")
	set, err := check.NewSetup(train, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	h, err := secondtow.NewHelper(load("helper-40t.yaml"), train, vehicle.Bar{}, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	_, north := terrain.MetresPerDegree(47)
	j := &verdict.Judge{March: &check.MarchTerms{CapMS: check.DefaultMarchMS}, Solo: set, Yard: &secondtow.Yard{Helpers: []secondtow.Helper{h}}, Surface: terrain.Func{
		At: func(_, lat float64) (float64, bool) {
			y := (lat - 47) * north
			return 60 * math.Sin(y/300), y < 1500 || y > 1700
		},
		Source: terrain.Source{Name: "toy", CellM: 10, SEM: 0.3, CorrM: 50},
	}}
	run := &report.Run{}
	for id, tags := range map[string]route.Tags{
		"bare":   {},
		"earth":  {Mapped: true, Highway: "track", Surface: "earth"},
		"bridge": {Mapped: true, Highway: "primary", Bridge: "yes"},
		"tunnel": {Mapped: true, Highway: "primary", Tunnel: "yes", MaxHeightM: route.Limit{State: route.Unreadable, Raw: "low"}},
	} {
		a := lineOf(t, id, 2400, tags)
		for _, reverse := range []bool{false, true} {
			res, err := j.Route(context.Background(), a.Route, verdict.Options{Reverse: reverse})
			run.Records = append(run.Records, report.Record{ID: id, File: "toy", Result: res, Err: err})
		}
	}
	return run
}

// hostile is a run whose names and figures are what no sane file holds.
func hostile(t testing.TB) *report.Run {
	t.Helper()
	nasty := []string{
		strings.Repeat("x", 1<<20),
		strings.Repeat("wide ", 1<<10),
		"\x1b[2J\x1b[31mred\a\b\x00\x7f\u009b5m",
		"\u202egnorts\u2066 \u2028new\u2029line \u200bnothing",
		strings.Repeat("道路橋梁", 60),
		"\xff\xfe broken \xc3",
		"{name} {limit} %d %s %!",
		"a,b\"c\r\nd;=1+1",
	}
	run := byHand(t)
	run.Train.Name, run.Train.Helpers, run.Train.GrossSEKg = nasty[0], nasty, nan
	run.Sources[0].Name, run.Sources[0].Datum, run.Sources[0].SEM = nasty[0], nasty[2], math.Inf(1)
	run.Inputs[0].Name = nasty[3]
	for i, n := range nasty {
		q := check.Quantity{Name: "name", Text: n, Unit: check.Literal}
		f := asked("bridge", 700, 724, "{name} is not rated, {figure}", "ask {name}, {figure}", q, check.Quantity{Name: "figure", Value: math.Inf(1), Unit: check.Metre})
		f.SE, f.P = math.Inf(1), nan
		r := made(t, n, verdict.Unknown, []verdict.Segment{seg(0, 700, verdict.Go), seg(700, 724, verdict.Unknown, 0), seg(724, 2000, verdict.Go)},
			[]check.Finding{f, standing("wires", "{name}", "{name}")})
		r.Findings[1].Q = []check.Quantity{q}
		r.Way.Route.Name, r.Notes = n, []string{n}
		for k := range r.Profile.ZM {
			r.Profile.ZM[k], r.TrainGrade[k] = nan, nan
		}
		r.Assumed = append(r.Assumed, route.Assumption{Key: n, Source: n, Unit: n, Value: []float64{nan, math.Inf(-1)}[i%2]})
		r.Plan.Assists = []secondtow.Assist{{Helper: n, Findings: []check.Finding{f}, HookStartP: nan, CastStartP: nan}}
		r.Plan.Tried = []secondtow.Attempt{{Helper: n, Why: f}}
		r.Steps = []check.Step{{Check: "bridge", Name: n, Value: math.Inf(1), Unit: check.Kg, How: n}}
		run.Records = append(run.Records, report.Record{ID: n, File: n, Result: r}, report.Record{ID: n, File: n, Err: errors.New(n)})
	}
	return run
}
