package secondtow_test

import (
	"cmp"
	"math"
	"os"
	"slices"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
)

// ends gives a train's rear or a helper's front coupling a rating, kN.
func ends(s *vehicle.Spec, rear bool, pushKN, holdKN float64) {
	e := &vehicle.EndSpec{PushKN: &pushKN, HoldKN: &holdKN}
	if rear {
		s.Units[len(s.Units)-1].Rear = e
		return
	}
	s.Units[0].Front = e
}

// built reads a sample and changes it.
func built(t testing.TB, file string, change ...func(*vehicle.Spec)) *vehicle.Combination {
	t.Helper()
	s, err := specfile.ReadFile("../../samples/" + file)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range change {
		f(&s)
	}
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func weakPower(s *vehicle.Spec) {
	p := s.Units[0].Power
	*p.TorqueNm, *p.StartTorqueNm, *p.PowerKW = 900, 850, 150
}

// set is one way of coupling, made here by itself.
type set struct {
	name  string
	n     int
	setup *check.Setup
	ahead float64
	pulls bool
}

// sets are all sets of up to two helpers: ahead, behind where the couplings are
// rated, two ahead, one at each end.
func sets(t *testing.T, train *vehicle.Combination, helpers []*vehicle.Combination, bar vehicle.Bar) (out []set) {
	t.Helper()
	made := func(name string, n int, c *vehicle.Combination, err error, ahead int, pulls bool) {
		if err != nil {
			return // not rated
		}
		s, err := check.NewSetup(c, check.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, set{name, n, s, c.Axles[ahead].AtM, pulls})
	}
	for i, h := range helpers {
		c, err := vehicle.Couple(h, train, bar)
		made(h.Name, 1, c, err, len(h.Axles), true)
		behind, no := vehicle.CoupleBehind(train, h, bar)
		made(h.Name+" behind", 1, behind, no, 0, vehicle.JointOf(train, h).PushN > 0)
		for k, g := range helpers {
			if k == i {
				continue
			}
			if no == nil {
				c, err := vehicle.Couple(g, behind, bar)
				made(g.Name+" and "+h.Name+" behind", 2, c, err, len(g.Axles), true)
			}
			if k > i {
				near, err := vehicle.Couple(h, train, bar)
				if err != nil {
					t.Fatal(err)
				}
				c, err := vehicle.Couple(g, near, bar)
				made(g.Name+" and "+h.Name, 2, c, err, len(g.Axles)+len(h.Axles), true)
			}
		}
	}
	return out
}

// passes makes every check again for a coupled train between two places, on its
// own, and asks that it starts at the first.
func passes(s *check.Situation, h set, hook, cast float64) bool {
	c := check.NewSituation(h.setup, s.Way, s.Profile, s.Structures, s.Looked)
	end := s.Way.LengthM()
	c.Window = route.Stretch{FromM: min(hook+h.ahead, end), ToM: min(cast+h.ahead, end)}
	var k check.Sink
	check.Run(c, &k)
	for _, f := range k.Findings {
		if f.Outcome == check.Fail || (f.Outcome == check.Undecided && f.Remedy != check.NoRemedy) {
			return false
		}
	}
	for i, x := range s.Profile.ChainageM {
		if x >= c.Window.FromM-1e-6 {
			return c.StartChance(i) >= check.PassAt
		}
	}
	return false
}

// stand are the stations where a crew could hook on or cast off, and what they take
// beyond a level one.
func stand(s *check.Situation, edge float64, dir int, helpM float64) (at, more []float64) {
	c := s.Profile.ChainageM
	for k := range c {
		i := k
		if dir < 0 {
			i = len(c) - 1 - k
		}
		if (c[i]-edge)*float64(dir) < 0 {
			continue
		}
		if math.Abs(c[i]-edge) > secondtow.LookM || s.ClimbOutcome(i) == check.Fail || s.DescentOutcome(i) == check.Fail {
			break
		}
		onBridge := false
		for _, p := range s.Structures {
			onBridge = onBridge || (c[i] >= p.At.FromM && c[i]-s.Train.LengthM <= p.At.ToM)
		}
		if onBridge || !(s.StartChance(i) >= check.PassAt) || s.ParkChance(i) < check.HoldAt {
			continue
		}
		m, k := 0.0, i
		for k < len(c)-1 && c[k] < c[i]+helpM {
			k++
		}
		if math.Abs(s.TrainGrade.Value[i]) > 0.05 || k > i && math.Abs(s.Profile.ZM[k]-s.Profile.ZM[i]) > 0.05*(c[k]-c[i]) {
			m = 600
		}
		at, more = append(at, c[i]), append(more, m)
	}
	return at, more
}

// tryout is a set of helpers between two places and what that takes: 15 min and 10
// min for each helper, the stretch walked at 1.2 m/s and driven at 1.4 m/s, which
// the engines of these trains have power for.
type tryout struct {
	h          set
	hook, cast float64
	timeS      float64
}

func tryouts(s *check.Situation, all []set, at route.Stretch) (out []tryout) {
	helpM := 0.0 // the longest helper ahead and its bar
	for _, h := range all {
		if h.n == 1 {
			helpM = max(helpM, h.setup.Train.LengthM-s.Train.LengthM)
		}
	}
	hooks, hm := stand(s, at.FromM, -1, helpM)
	casts, cm := stand(s, at.ToM, +1, helpM)
	for _, h := range all {
		for i := range hooks {
			for k := range casts {
				l := casts[k] - hooks[i]
				out = append(out, tryout{h, hooks[i], casts[k], 1500*float64(h.n) + l/1.2 + l/1.4 + hm[i] + cm[k]})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b tryout) int { return cmp.Compare(a.timeS, b.timeS) })
	return out
}

// few is the stride that leaves some hundreds of so many; with all of them the test
// takes minutes: make bench.
func few(n int) int {
	if os.Getenv("DRAWBAR_ROADS") == "full" {
		return 1
	}
	return 1 + n/300
}

// Brute force over sets of up to two helpers and all places: the plan passes, no
// set and pair of places that takes less time passes, and where the plan has none
// none of them does.
func TestPlanAgainstBruteForce(t *testing.T) {
	if testing.Short() {
		t.Skip("one thread of numbers: not run again under the race detector")
	}
	bar := vehicle.Bar{LengthM: 3, HeightM: 0.9, RatedN: 400e3}
	unrated := built(t, "transporter-112t.yaml", weakPower, func(s *vehicle.Spec) { s.Units[1].Rear = nil })
	rated := built(t, "transporter-112t.yaml", weakPower, func(s *vehicle.Spec) { ends(s, true, 150, 150) })
	lights := built(t, light)
	heavies := built(t, heavy, func(s *vehicle.Spec) { ends(s, false, 150, 150) })
	level, slope := asphalt, 0.06
	type toy struct {
		train   *vehicle.Combination
		helpers []*vehicle.Combination
		pieces  []piece
	}
	for name, c := range map[string]toy{
		"plain":               {unrated, []*vehicle.Combination{heavies}, ramp(0.16, asphalt)},
		"too steep":           {unrated, []*vehicle.Combination{heavies}, ramp(0.4, asphalt)},
		"two are wanted":      {unrated, []*vehicle.Combination{lights, heavies}, ramp(0.205, asphalt)},
		"one at each end":     {rated, []*vehicle.Combination{lights, heavies}, ramp(0.2, asphalt)},
		"too steep for two":   {rated, []*vehicle.Combination{lights, heavies}, ramp(0.4, asphalt)},
		"pushed or pulled":    {rated, []*vehicle.Combination{heavies}, ramp(0.13, asphalt)},
		"a weak bridge ahead": {rated, []*vehicle.Combination{heavies}, []piece{{900, 0, level}, {160, 0.16, asphalt}, {30, 0, bridge(140)}, {900, 0, level}}},
		"a weak bridge between the ramp and the level place": {unrated, []*vehicle.Combination{heavies}, []piece{
			{500, 0, level}, {30, slope, bridge(140)}, {300, slope, asphalt}, {160, 0.16, asphalt}, {300, slope, asphalt}, {400, 0, level}}},
		"a weak bridge behind the ramp": {unrated, []*vehicle.Combination{heavies}, []piece{
			{600, 0, level}, {160, 0.16, asphalt}, {250, slope, asphalt}, {30, slope, bridge(140)}, {600, 0, level}}},
		"a weak bridge on the ramp": {rated, []*vehicle.Combination{lights, heavies}, []piece{
			{600, 0, level}, {80, 0.16, asphalt}, {30, 0.16, bridge(120)}, {80, 0.16, asphalt}, {600, 0, level}}},
		"steep on both sides": {unrated, []*vehicle.Combination{heavies}, []piece{
			{600, 0, level}, {100, 0.11, asphalt}, {160, 0.16, asphalt}, {100, 0.11, asphalt}, {600, 0, level}}},
	} {
		t.Run(name, func(t *testing.T) {
			s := road(t, solo(t, c.train), c.pieces...)
			y := &secondtow.Yard{}
			for _, m := range c.helpers {
				h, err := secondtow.NewHelper(m, c.train, bar, check.Settings{})
				if err != nil {
					t.Fatal(err)
				}
				y.Helpers = append(y.Helpers, h)
			}
			p, found := plan(y, s)
			at := route.Stretch{FromM: math.Inf(1)}
			for _, f := range found {
				if f.Check == "climb" && f.Outcome == check.Fail {
					at.FromM, at.ToM = min(at.FromM, f.At.FromM), max(at.ToM, f.At.ToM)
				}
			}
			all := tryouts(s, sets(t, c.train, c.helpers, bar), at)
			if len(all) == 0 {
				t.Fatal("nothing to try")
			}
			if len(p.Assists) == 0 {
				stride := few(len(all))
				for i := 0; i < len(all); i += stride {
					if w := all[i]; w.h.pulls && passes(s, w.h, w.hook, w.cast) {
						t.Fatalf("no plan, but %s does from %.0f to %.0f m in %.0f s: tried %+v", w.h.name, w.hook, w.cast, w.timeS, p.Tried)
					}
				}
				t.Logf("none does: %d of %d looked at", len(all)/stride, len(all))
				return
			}
			a := p.Assists[0]
			faster, own, tried := 0, false, 0
			quicker := 0
			for _, w := range all {
				if w.timeS < a.TimeS-1e-6 && w.h.pulls {
					quicker++
				}
			}
			for _, w := range all {
				if w.h.name == a.Helper && w.hook == a.Over.FromM && w.cast == a.Over.ToM {
					own = true
					if math.Abs(w.timeS-a.TimeS) > 1e-6 || !passes(s, w.h, w.hook, w.cast) {
						t.Errorf("%s from %.0f to %.0f m: %.1f s, reckoned here %.1f", a.Helper, w.hook, w.cast, a.TimeS, w.timeS)
					}
				}
				if w.timeS >= a.TimeS-1e-6 || !w.h.pulls {
					continue
				}
				if faster++; faster%few(quicker) != 0 {
					continue
				}
				if tried++; passes(s, w.h, w.hook, w.cast) {
					t.Errorf("%s from %.0f to %.0f m passes in %.0f s; the plan is %s from %.0f to %.0f m in %.0f s", w.h.name, w.hook, w.cast, w.timeS, a.Helper, a.Over.FromM, a.Over.ToM, a.TimeS)
					return
				}
			}
			if !own {
				t.Errorf("the plan, %s from %.0f to %.0f m, is none of the tries", a.Helper, a.Over.FromM, a.Over.ToM)
			}
			t.Logf("%s from %.0f to %.0f m, %.0f s: all %d tried of %d quicker ones fail, of %d in all", a.Helper, a.Over.FromM, a.Over.ToM, a.TimeS, tried, faster, len(all))
		})
	}
}
