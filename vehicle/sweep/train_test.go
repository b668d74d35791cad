package sweep_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/sweep"
)

// lowbed is a tractor with twin front axles and a three-line low-bed.
func lowbed() *vehicle.Combination {
	nan := math.NaN()
	return &vehicle.Combination{
		Name: "low-bed",
		Units: []vehicle.Unit{
			{Name: "tractor", Kind: vehicle.Tractor, GroupXM: []float64{0.9, 5.7}, HitchXM: 5.3, FrontOverhangM: 1.4, RearOverhangM: 0.8, WidthM: 2.55},
			{Name: "bed", Kind: vehicle.SemiTrailer, AtM: 5.3, GroupXM: []float64{12}, HitchXM: nan, FrontOverhangM: 1.1, RearOverhangM: 1.2, WidthM: 3},
		},
		Axles: []vehicle.Axle{
			{AtM: 0}, {AtM: 1.8}, {AtM: 5.0}, {AtM: 6.4},
			{AtM: 15.94, Unit: 1}, {AtM: 17.3, Unit: 1}, {AtM: 18.66, Unit: 1},
		},
		TurnOuterRadiusM: nan,
	}
}

func TestFromCombination(t *testing.T) {
	c := lowbed()
	train, err := sweep.FromCombination(c)
	if err != nil {
		t.Fatal(err)
	}
	want := []sweep.Link{
		{Name: "tractor", LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.55, FrontOverhangM: 2.3, RearOverhangM: 1.5},
		{Name: "bed", Unit: 1, LengthM: 12, WidthM: 3, FrontOverhangM: 1.1, RearOverhangM: 2.56},
	}
	sameLinks(t, train.Links, want)
	if !math.IsNaN(train.LockRad) {
		t.Errorf("lock %g without a turning radius, want NaN", train.LockRad)
	}
	// Overall: 1.4 before the foremost axle, 18.66 between, 1.2 behind.
	near(t, "span, m", train.SpanM(), 1.4+18.66+1.2, 1e-9)

	c.Units[1].Steerable = vehicle.SteeredAxles{Ratio: 0.5, MaxRad: 0.7}
	if train, err = sweep.FromCombination(c); err != nil {
		t.Fatal(err)
	}
	want[1].LengthM, want[1].RearOverhangM, want[1].SteerRatio, want[1].MaxSteerRad = 13.36, 1.2, 0.5, 0.7
	sameLinks(t, train.Links, want)
}

func sameLinks(t *testing.T, got, want []sweep.Link) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d links, want %d: %+v", len(got), len(want), got)
	}
	for i, g := range got {
		w := want[i]
		if g.Name != w.Name || g.Unit != w.Unit {
			t.Errorf("link %d is %q of unit %d, want %q of %d", i, g.Name, g.Unit, w.Name, w.Unit)
		}
		near(t, g.Name+" length, m", g.LengthM, w.LengthM, 1e-9)
		near(t, g.Name+" hitch, m", g.HitchOffsetM, w.HitchOffsetM, 1e-9)
		near(t, g.Name+" width, m", g.WidthM, w.WidthM, 0)
		near(t, g.Name+" front, m", g.FrontOverhangM, w.FrontOverhangM, 1e-9)
		near(t, g.Name+" rear, m", g.RearOverhangM, w.RearOverhangM, 1e-9)
		near(t, g.Name+" ratio", g.SteerRatio, w.SteerRatio, 0)
		near(t, g.Name+" limit, rad", g.MaxSteerRad, w.MaxSteerRad, 0)
	}
}

func TestFromCombinationOnBar(t *testing.T) {
	c := lowbed()
	c.Units[1] = vehicle.Unit{
		Name: "platform", Kind: vehicle.FullTrailer, AtM: 9.3, ByBar: true, GroupXM: []float64{1, 8},
		HitchXM: math.NaN(), FrontOverhangM: 0.5, RearOverhangM: 0.6, WidthM: 3,
	}
	c.Axles = append(c.Axles[:4], vehicle.Axle{AtM: 9.3, Unit: 1}, vehicle.Axle{AtM: 18.3, Unit: 1})
	train, err := sweep.FromCombination(c)
	if err != nil {
		t.Fatal(err)
	}
	tractor := sweep.Link{Name: "tractor", LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.55, FrontOverhangM: 2.3, RearOverhangM: 1.5}
	sameLinks(t, train.Links, []sweep.Link{
		tractor,
		{Name: "platform, bar", Unit: 1, LengthM: 5}, // 4 m to the foremost axle, 1 m on to the group
		{Name: "platform", Unit: 1, LengthM: 7, WidthM: 3, FrontOverhangM: 1.5, RearOverhangM: 1.6},
	})
	c.Units[1].GroupXM = []float64{4.5} // one group: bar and body are one
	if train, err = sweep.FromCombination(c); err != nil {
		t.Fatal(err)
	}
	sameLinks(t, train.Links, []sweep.Link{
		tractor,
		{Name: "platform", Unit: 1, LengthM: 8.5, WidthM: 3, FrontOverhangM: -3.5, RearOverhangM: 5.1},
	})
	near(t, "span, m", train.SpanM(), 1.4+18.3+0.6, 1e-9)
}

func TestFromCombinationLacks(t *testing.T) {
	nan := math.NaN()
	for field, spoil := range map[string]func(c *vehicle.Combination){
		"units":                     func(c *vehicle.Combination) { c.Units = nil },
		"units[0].kind":             func(c *vehicle.Combination) { c.Units[0].Kind = vehicle.SemiTrailer },
		"units[0].axles":            func(c *vehicle.Combination) { c.Units[0].GroupXM = c.Units[0].GroupXM[:1] },
		"units[1].axles":            func(c *vehicle.Combination) { c.Units[1].GroupXM = nil },
		"units[1].at_m":             func(c *vehicle.Combination) { c.Axles = c.Axles[:4] },
		"units[0].hitch.at_m":       func(c *vehicle.Combination) { c.Units[0].HitchXM = nan },
		"units[0].width_m":          func(c *vehicle.Combination) { c.Units[0].WidthM = nan },
		"units[0].front_overhang_m": func(c *vehicle.Combination) { c.Units[0].FrontOverhangM = nan },
		"units[1].rear_overhang_m":  func(c *vehicle.Combination) { c.Units[1].RearOverhangM = nan },
		"units[1].steering.max_deg": func(c *vehicle.Combination) { c.Units[1].Steerable.Ratio = 0.5 },
		"units[1].bar.length_m":     func(c *vehicle.Combination) { c.Units[1].Kind = vehicle.FullTrailer },
		"units[1].load.width_m": func(c *vehicle.Combination) {
			c.Units[1].WidthM = nan
			c.Lacking = []vehicle.Lack{{Check: "bend width", Field: "units[0].load.width_m"}, {Check: "bend width", Field: "units[1].load.width_m"}}
		},
	} {
		c := lowbed()
		spoil(c)
		_, err := sweep.FromCombination(c)
		var l *sweep.LackError
		if !errors.As(err, &l) || !errors.Is(err, sweep.ErrTrain) || l.Field != field || !strings.Contains(err.Error(), field) {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

// Kerb and wall circles of the reference example: L 6 m, steering axle on
// 12.5 m, 2.5 m wide, 1.4 m overhang: wall to wall 14.28 m (derived). The lock
// that comes back must be the steer of that circle.
func TestLock(t *testing.T) {
	c := lowbed()
	c.Units[0].GroupXM, c.Units[0].WidthM = []float64{0, 6}, 2.5
	c.TurnOuterRadiusM = math.Hypot(math.Sqrt(12.5*12.5-36)+1.25, 6+1.4)
	near(t, "wall-to-wall radius, m", c.TurnOuterRadiusM, 14.28, 0.005)
	train, err := sweep.FromCombination(c)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lock, rad", train.LockRad, math.Asin(6/12.5), 1e-9)

	train.Links = train.Links[:1]
	for r, want := range map[float64]sweep.Lock{13: sweep.LockHeld, 12: sweep.LockExceeded} {
		tr := follow(t, turn(10, r, math.Pi, 10, 0.05), train, sweep.Options{})
		if tr.Lock != want {
			t.Errorf("radius %g m: lock %v, want %v; steer %g deg", r, tr.Lock, want, tr.Peaks[0].AngleRad/deg)
		}
	}
	train.LockRad = 0
	if tr := follow(t, turn(10, 30, math.Pi, 10, 0.05), train, sweep.Options{}); tr.Lock != sweep.LockUnknown {
		t.Errorf("lock %v without a figure, want unknown", tr.Lock)
	}
}

func TestBadInput(t *testing.T) {
	ok := []sweep.Point{{}, {X: 10}}
	good := bars(5)
	steered := bars(5, 5)
	steered.Links[1].SteerRatio = 1
	for name, v := range map[string]struct {
		line  []sweep.Point
		train sweep.Train
		o     sweep.Options
		want  error
	}{
		"no line":       {nil, good, sweep.Options{}, sweep.ErrLine},
		"one place":     {[]sweep.Point{{X: 1}, {X: 1}, {X: 1}}, good, sweep.Options{}, sweep.ErrLine},
		"not a number":  {[]sweep.Point{{}, {X: math.NaN()}}, good, sweep.Options{}, sweep.ErrLine},
		"far too long":  {[]sweep.Point{{}, {X: 1e12}}, good, sweep.Options{}, sweep.ErrLine},
		"no links":      {ok, sweep.Train{}, sweep.Options{}, sweep.ErrTrain},
		"no length":     {ok, bars(5, 0), sweep.Options{}, sweep.ErrTrain},
		"length NaN":    {ok, bars(math.NaN()), sweep.Options{}, sweep.ErrTrain},
		"no limit":      {ok, steered, sweep.Options{}, sweep.ErrTrain},
		"step":          {ok, good, sweep.Options{StepM: -1}, sweep.ErrOptions},
		"fold limit":    {ok, good, sweep.Options{FoldRad: 2}, sweep.ErrOptions},
		"exit":          {ok, good, sweep.Options{ExitM: math.Inf(1)}, sweep.ErrOptions},
		"start angles":  {ok, good, sweep.Options{StartRad: []float64{0, 0}}, sweep.ErrOptions},
		"start folded":  {ok, good, sweep.Options{StartRad: []float64{1.5}}, sweep.ErrOptions},
		"infinite span": {[]sweep.Point{{X: -math.MaxFloat64}, {X: math.MaxFloat64}}, good, sweep.Options{}, sweep.ErrLine},
	} {
		tr, err := sweep.Follow(v.line, v.train, v.o)
		if !errors.Is(err, v.want) {
			t.Errorf("%s: %v, want %v", name, err, v.want)
		}
		if s, err := sweep.SweptWidth(&tr, sweep.Window{}); err == nil || !math.IsInf(s.WidthM, 1) {
			t.Errorf("%s: an empty trace gives a width of %g m", name, s.WidthM)
		}
	}
}

// A corner of 85 degrees drawn as one vertex is more than any steering can do.
func TestSharpVertexFolds(t *testing.T) {
	s, c := math.Sincos(85 * deg)
	tr := follow(t, []sweep.Point{{}, {X: 30}, {X: 30 + 30*c, Y: 30 * s}}, bars(5, 10), sweep.Options{})
	if tr.Fold == nil || tr.Fold.Link != 0 || math.Abs(tr.Fold.StationM-30) > 1e-9 {
		t.Errorf("fold %+v, want the first link at 30 m", tr.Fold)
	}
}

func TestWindowBeyondTheLine(t *testing.T) {
	tr := follow(t, []sweep.Point{{}, {X: 30}}, bars(5, 10), sweep.Options{})
	for _, w := range []sweep.Window{{FromM: 0, ToM: 1e6}, {FromM: 9, ToM: 8}, {FromM: math.NaN(), ToM: 5}, {FromM: 1.01, ToM: 1.02}} {
		if s, err := sweep.SweptWidth(&tr, w); !errors.Is(err, sweep.ErrWindow) || !math.IsInf(s.WidthM, 1) {
			t.Errorf("%+v: %g m, %v", w, s.WidthM, err)
		}
	}
}
