package secondtow_test

import (
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/vehicle"
	"drawbar/vehicle/pull"
	"drawbar/vehicle/specfile"
)

func p[T any](v T) *T { return &v }

// winchYard is a helper too weak to pull on a bar, with a winch.
func winchYard(t *testing.T, train *vehicle.Combination, breakKN, anchorKN *float64) *secondtow.Yard {
	t.Helper()
	s, err := specfile.ReadFile("../../samples/helper-24t.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s.Units[0].Winch = &vehicle.WinchSpec{PullKN: p(200.0), DrumM: p(0.6), WidthM: p(1.0), RopeM: p(900.0), RopeDiameterM: p(0.028), BreakKN: breakKN, AnchorKN: anchorKN}
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	h, err := secondtow.NewHelper(c, train, vehicle.Bar{RatedN: 400e3}, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return &secondtow.Yard{Helpers: []secondtow.Helper{h}}
}

// A climb that no helper on a bar masters is winched when rope and anchor hold;
// asked about where they are not known; not offered where the rope is too weak.
func TestWinch(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), ramp(0.19, asphalt)...)
	for name, c := range map[string]struct {
		breakKN, anchorKN *float64
		assists, asked    int
	}{
		"rope and anchor hold":  {p(900.0), p(600.0), 1, 0},
		"nobody knows":          {nil, nil, 1, 1},
		"the rope is too weak":  {p(200.0), p(600.0), 0, 0},
		"the anchor gives way":  {p(900.0), p(100.0), 0, 0},
		"the anchor is unknown": {p(900.0), nil, 1, 1},
	} {
		got, _ := plan(winchYard(t, train, c.breakKN, c.anchorKN), s)
		if len(got.Assists) != c.assists {
			t.Errorf("%s: %d assists, want %d: %+v", name, len(got.Assists), c.assists, got)
			continue
		}
		if c.assists == 0 {
			continue
		}
		a := got.Assists[0]
		if !a.Winched || len(a.Asked()) != c.asked {
			t.Errorf("%s: winched %v, asked %d: %+v", name, a.Winched, len(a.Asked()), a.Findings)
		}
	}
}

// What winching asks for, by hand: the weight on the grade and its rolling, and
// more for what is uncertain; on the fewest parts whose line the outermost layer
// pulls.
func TestWinchFigures(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), ramp(0.19, asphalt)...)
	got, _ := plan(winchYard(t, train, p(900.0), p(900.0)), s)
	if len(got.Assists) != 1 {
		t.Fatalf("%+v", got)
	}
	q := map[string]float64{}
	for _, x := range got.Assists[0].Findings[0].Q {
		q[x.Name] = x.Value
	}
	steepest := 0.0
	for i, c := range s.Profile.ChainageM {
		if o := got.Assists[0].Over; c >= o.FromM && c <= o.ToM {
			steepest = max(steepest, s.TrainGrade.Value[i])
		}
	}
	sin := steepest / math.Sqrt(1+steepest*steepest)
	bare := train.GrossKg * 9.80665 * (sin + 0.012*math.Sqrt(1-sin*sin))
	if q["load"] < bare || q["load"] > 1.12*bare {
		t.Errorf("load on the rope %.0f N, weight on the grade and rolling %.0f N", q["load"], bare)
	}
	w := pull.Winch{PullN: 200e3, DrumM: 0.6, WidthM: 1, RopeM: 900, RopeD: 0.028}
	if n := pull.PartsFor(q["load"], w.LayerPull(w.Layer(0))); float64(n) != q["parts"] {
		t.Errorf("%g parts, want %d", q["parts"], n)
	}
	if math.Abs(q["anchor"]-q["parts"]*q["fall"]) > 1 || math.Abs(q["rope"]-3.5*q["fall"]) > 1 {
		t.Errorf("anchor %g, rope %g of %g parts at %g", q["anchor"], q["rope"], q["parts"], q["fall"])
	}
}
