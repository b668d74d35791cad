package secondtow_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// poorBrakes holds 100 kN in all: about a tenth of the train's weight.
func poorBrakes(s *vehicle.Spec) {
	*s.Units[0].Brakes.ServiceKN, *s.Units[1].Brakes.ServiceKN = 40, 60
	retarder := 20.0
	s.Units[0].Power.RetarderKW = &retarder
}

func with(t *testing.T, train *vehicle.Combination, bar vehicle.Bar, helpers ...*vehicle.Combination) *secondtow.Yard {
	t.Helper()
	y := &secondtow.Yard{}
	for _, m := range helpers {
		h, err := secondtow.NewHelper(m, train, bar, check.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		y.Helpers = append(y.Helpers, h)
	}
	return y
}

// A descent that the train's brakes do not hold is held back by a helper behind,
// only where both files rate the couplings for it; else the plan says which field
// would let it.
func TestHoldingBack(t *testing.T) {
	bar := vehicle.Bar{RatedN: 400e3}
	for _, c := range []struct {
		name          string
		trainKN, helN float64 // 0 for no rating
		bar           vehicle.Bar
		assists       int
		unlocks       string
	}{
		{"rated", 150, 150, bar, 1, ""},
		{"a rope holds back too", 150, 150, vehicle.Bar{RatedN: 400e3, Rope: true}, 1, ""},
		{"too weak a coupling", 20, 150, bar, 0, ""},
		{"the train is not rated", 0, 150, bar, 0, "units[1].rear_coupling.hold_kn"},
		{"the helper is not rated", 150, 0, bar, 0, "units[0].front_coupling.hold_kn"},
	} {
		t.Run(c.name, func(t *testing.T) {
			train := built(t, "transporter-112t.yaml", poorBrakes, func(s *vehicle.Spec) {
				s.Units[1].Rear = nil
				if c.trainKN > 0 {
					ends(s, true, 10, c.trainKN)
				}
			})
			h := built(t, heavy, func(s *vehicle.Spec) {
				if c.helN > 0 {
					ends(s, false, 10, c.helN)
				}
			})
			s := road(t, solo(t, train), ramp(-0.15, asphalt)...)
			p, found := plan(with(t, train, c.bar, h), s)
			if len(p.Assists) != c.assists || len(p.Tried) != 1-c.assists {
				t.Fatalf("%d assists, %d tried: %+v", len(p.Assists), len(p.Tried), p)
			}
			if c.assists == 0 {
				if got := strings.Join(p.Tried[0].Unlocks, " "); !p.Tried[0].Down || (c.unlocks == "") != (got == "") || !strings.Contains(got, c.unlocks) {
					t.Errorf("going down %v, unlocked by %q, want %q", p.Tried[0].Down, got, c.unlocks)
				}
				return
			}
			a := p.Assists[0]
			if !a.Holding || !a.Members[0].Behind || found[a.For[0]].Check != "descent" {
				t.Errorf("%+v", a)
			}
			// 100 kN of the train's push are its own brakes', the rest hangs on the bar.
			steepest := 0.0
			for _, g := range s.TrainGrade.Value {
				steepest = max(steepest, -g)
			}
			rest := traction.PushN(train.GrossKg, steepest, 0.012) - 100e3
			if math.Abs(a.Bars[0].MostN-rest) > 2e3 {
				t.Errorf("bar holds %.0f N, the train's brakes leave %.0f", a.Bars[0].MostN, rest)
			}
		})
	}
}

// Pushing an articulated train is a caution, and a bend on the way a question; a
// rope does not push.
func TestPushing(t *testing.T) {
	train := built(t, "transporter-112t.yaml", weakPower, func(s *vehicle.Spec) { ends(s, true, 150, 150) })
	pusher := built(t, heavy, func(s *vehicle.Spec) { ends(s, false, 150, 150) })
	s := road(t, solo(t, train), ramp(0.2, asphalt)...)
	p, _ := plan(with(t, train, vehicle.Bar{RatedN: 400e3}, built(t, light), pusher), s)
	if len(p.Assists) != 1 || len(p.Assists[0].Members) != 2 || !p.Assists[0].Members[1].Behind {
		t.Fatalf("%+v", p)
	}
	a := p.Assists[0]
	cautions := 0
	for _, f := range a.Findings {
		if f.Check == "push" && f.Outcome == check.Caution {
			cautions++
		}
		if f.Check == "push" && f.Open() {
			t.Errorf("a question on a straight way: %+v", f)
		}
	}
	if cautions != 1 || len(a.Bars) != 2 {
		t.Errorf("%d cautions, %d bars", cautions, len(a.Bars))
	}
	if b := a.Bars[1]; !(b.PushN > 0) || b.MayPushN != 150e3 {
		t.Errorf("pushed with %.0f N, may be with %.0f", b.PushN, b.MayPushN)
	}
	p, _ = plan(with(t, train, vehicle.Bar{RatedN: 400e3, Rope: true}, pusher), s)
	for _, a := range p.Assists {
		if a.Members[0].Behind {
			t.Errorf("pushed through a rope: %+v", a)
		}
	}
}

// Forces on the bar, against those reckoned here at the places that the plan names:
// where helper and train stand on one grade the grade is not in them, and where it
// changes they are what each unit's own grade leaves.
func TestBarAlongTheStretch(t *testing.T) {
	train := weak(t)
	helper := load(t, heavy)
	s := road(t, solo(t, train), ramp(0.16, asphalt)...)
	p, _ := plan(yard(t, train, heavy), s)
	if len(p.Assists) != 1 || len(p.Assists[0].Bars) != 1 {
		t.Fatalf("%+v", p)
	}
	a, b := p.Assists[0], p.Assists[0].Bars[0]
	alone := road(t, solo(t, helper), ramp(0.16, asphalt)...)
	ahead := yard(t, train, heavy).Helpers[0].AheadM
	at := func(s *check.Situation, x float64) float64 {
		c, g := s.Profile.ChainageM, s.TrainGrade.Value
		for i := 1; i < len(c); i++ {
			if c[i] >= x {
				return g[i-1] + (x-c[i-1])/(c[i]-c[i-1])*(g[i]-g[i-1])
			}
		}
		return 0
	}
	const mu, f = 0.5, 0.012
	force := func(x float64) float64 {
		ga, gc := at(alone, x+ahead), at(s, x)
		one, two := traction.Body{MassKg: helper.GrossKg, GradeRatio: ga, Roll: f}, traction.Body{MassKg: train.GrossKg, GradeRatio: gc, Roll: f}
		need := one.ResistN() + two.ResistN()
		ha, hc := traction.AtHand(helper, ga, mu, f), traction.AtHand(train, gc, mu, f)
		if need <= 0 {
			t.Fatalf("nothing to pull at %.0f m", x)
		}
		share := need * ha / (ha + hc)
		return share - one.ResistN() // steady: what the helper has over
	}
	most, least := math.Inf(-1), math.Inf(1)
	mostAt, leastAt := 0.0, 0.0
	for _, x := range s.Profile.ChainageM {
		if x < a.Over.FromM || x > a.Over.ToM {
			continue
		}
		if n := force(x); n > most {
			most, mostAt = n, x
		}
		if n := force(x); n < least {
			least, leastAt = n, x
		}
	}
	if math.Abs(b.MostN-most) > 1 || b.MostAtM != mostAt || math.Abs(b.PushN+least) > 1 || b.PushAtM != leastAt {
		t.Errorf("pulled %.0f N at %.0f m, pushed %.0f at %.0f; reckoned here %.0f at %.0f and %.0f at %.0f", b.MostN, b.MostAtM, b.PushN, b.PushAtM, most, mostAt, -least, leastAt)
	}
	// The helper climbs first: the bar is pushed at the foot and pulled at the crest.
	if !(b.PushAtM < 930 && b.MostAtM > 1100) || len(b.Slack) != 1 {
		t.Errorf("pushed at %.0f m, pulled at %.0f m, slack %v", b.PushAtM, b.MostAtM, b.Slack)
	}
	// By itself it pulls most where it is over the crest.
	if !(b.OwnAtM+ahead > 1140 && b.OwnN > b.MostN) {
		t.Errorf("by itself %.0f N at %.0f m", b.OwnN, b.OwnAtM)
	}
}

// Help in sequence: the helper of the first stretch does the second one too.
func TestLeapfrog(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), piece{400, 0, asphalt}, piece{150, 0.16, asphalt}, piece{1500, 0, asphalt}, piece{150, 0.16, asphalt}, piece{400, 0, asphalt})
	p, _ := plan(yard(t, train, heavy), s)
	if len(p.Assists) != 2 || len(p.Assists[0].Moves) != 0 || len(p.Assists[1].Moves) != 1 {
		t.Fatalf("%+v", p.Assists)
	}
	m := p.Assists[1].Moves[0]
	if m.FromM != p.Assists[0].Over.ToM || m.ToM != p.Assists[1].Over.FromM || m.Passes || m.WaitS != 0 || m.AloneP < check.PassAt {
		t.Errorf("%+v", m)
	}
}

// What would put right a stretch that nothing at hand does, tried: a load lighter by
// so much passes, and one a tonne heavier does not.
func TestWould(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), ramp(0.16, asphalt)...)
	p, _ := plan(&secondtow.Yard{}, s)
	if len(p.Tried) != 1 {
		t.Fatalf("%+v", p)
	}
	named := map[string]float64{}
	for _, o := range p.Tried[0].Would {
		for _, q := range o.Q {
			named[o.Say+q.Name] = q.Value
		}
	}
	off, ok := named["a load lighter by {mass}mass"]
	if !ok || named["a helper of {mass} or more, all its wheels driven, that pulls {bar} at the barmass"] <= 0 {
		t.Fatalf("%v", named)
	}
	for _, by := range []float64{off, off - 1000} {
		c, err := train.Reload(1, train.Units[1].LoadKg-by, 0)
		if err != nil {
			t.Fatal(err)
		}
		n := road(t, solo(t, c), ramp(0.16, asphalt)...)
		passes := true
		for i, x := range n.Profile.ChainageM {
			if at := p.Tried[0].Over; x >= at.FromM && x <= at.ToM {
				passes = passes && n.ClimbOutcome(i) == check.Pass
			}
		}
		if passes != (by == off) {
			t.Errorf("lighter by %.0f kg passes %v, the least is said to be %.0f", by, passes, off)
		}
	}
}

// Places are ranked, never filtered to none: on a way that is steep all along the
// least doubtful comes first.
func TestPlacesNeverNone(t *testing.T) {
	train := weak(t)
	s := road(t, solo(t, train), piece{300, 0.115, asphalt}, piece{200, 0.16, asphalt}, piece{300, 0.115, asphalt})
	y := yard(t, train, heavy)
	p, _ := plan(y, s)
	if len(p.Assists)+len(p.Tried) != 1 {
		t.Fatalf("%+v", p)
	}
	for _, a := range p.Assists {
		if len(a.Hooks) == 0 || len(a.Casts) == 0 || a.Hooks[0].AtM != a.Over.FromM {
			t.Errorf("%+v %+v", a.Hooks, a.Casts)
		}
	}
	flat := road(t, solo(t, train), ramp(0.16, asphalt)...)
	p, _ = plan(y, flat)
	for _, list := range [][]secondtow.Place{p.Assists[0].Hooks, p.Assists[0].Casts} {
		if len(list) != 3 {
			t.Errorf("%d places", len(list))
		}
		for i := range list {
			for k := range i {
				if math.Abs(list[i].AtM-list[k].AtM) < 50 {
					t.Errorf("two places %.0f m apart", math.Abs(list[i].AtM-list[k].AtM))
				}
			}
		}
	}
}

// Two stretches share a hook-up exactly where that takes less time than casting off
// and hooking on again.
func TestMerging(t *testing.T) {
	train := weak(t)
	for _, gap := range []float64{300, 700, 1400, 1800} {
		s := road(t, solo(t, train), piece{500, 0, asphalt}, piece{150, 0.16, asphalt}, piece{gap, 0, asphalt}, piece{150, 0.16, asphalt}, piece{500, 0, asphalt})
		p, _ := plan(yard(t, train, heavy), s)
		want := 2
		if gap < secondtow.MergeM {
			want = 1
		}
		if len(p.Assists) != want {
			t.Errorf("gap %.0f m: %d hook-ups, want %d (MergeM %.0f m)", gap, len(p.Assists), want, secondtow.MergeM)
		}
	}
	if math.Abs(secondtow.MergeM-(15+10)*60/(1/1.4+1/1.2-3.6/25)) > 1e-9 {
		t.Errorf("MergeM %.1f m", secondtow.MergeM)
	}
}

// A rope that does not reach is anchored anew where train and helper stay parked.
func TestWinchInPulls(t *testing.T) {
	train := weak(t)
	pieces := []piece{{900, 0, asphalt}, {400, 0.19, asphalt}, {900, 0, asphalt}}
	for _, c := range []struct {
		parked bool
		want   int
	}{{true, 1}, {false, 0}} {
		helper := built(t, "helper-24t.yaml", func(s *vehicle.Spec) {
			s.Units[0].Winch = &vehicle.WinchSpec{PullKN: p(200.0), DrumM: p(0.6), WidthM: p(1.0), RopeM: p(450.0), RopeDiameterM: p(0.028), BreakKN: p(900.0), AnchorKN: p(600.0)}
			for k := range s.Units[0].Axles {
				s.Units[0].Axles[k].Parked = &c.parked
			}
		})
		s := road(t, solo(t, train), pieces...)
		got, _ := plan(with(t, train, vehicle.Bar{RatedN: 400e3}, helper), s)
		if len(got.Assists) != c.want {
			t.Errorf("helper parked %v: %d assists: %+v", c.parked, len(got.Assists), got)
			continue
		}
		if c.want == 1 && (!got.Assists[0].Winched || !strings.Contains(got.Assists[0].Findings[0].Say, "anchored anew") || got.Assists[0].TimeS < 2*secondtow.RigS) {
			t.Errorf("%+v", got.Assists[0])
		}
	}
}

// The least radius of a line drawn along a circle.
func TestPushingAsksAtBends(t *testing.T) {
	train := built(t, "transporter-112t.yaml", weakPower, func(s *vehicle.Spec) { ends(s, true, 150, 150) })
	pusher := built(t, heavy, func(s *vehicle.Spec) { ends(s, false, 150, 150) })
	for _, radius := range []float64{90, 400} {
		s := bent(t, solo(t, train), radius, ramp(0.215, asphalt)...)
		p, _ := plan(with(t, train, vehicle.Bar{RatedN: 400e3}, built(t, light), pusher), s)
		if len(p.Assists) != 1 || !strings.HasSuffix(p.Assists[0].Helper, "behind") {
			t.Fatalf("%+v", p)
		}
		asked := 0.0
		for _, f := range p.Assists[0].Findings {
			if f.Check == "push" && f.Open() {
				asked = f.Demand
			}
		}
		if (asked > 0) != (radius < secondtow.PushRadiusM) || asked > 0 && math.Abs(asked-radius) > 0.1*radius {
			t.Errorf("radius %.0f m: asked about one of %.0f m (%s)", radius, asked, p.Assists[0].Helper)
		}
	}
}
