package secondtow_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/secondtow"
	"drawbar/route/structure"
	"drawbar/terrain"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"

	"github.com/paulmach/orb"
)

func load(t testing.TB, file string) *vehicle.Combination {
	t.Helper()
	c, err := specfile.Load("../../samples/" + file)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// weak is the sample train with an engine that gives out before the grip does:
// how sure its climbs are then hangs on mass and effort, which a helper changes,
// not on a grip that both share.
func weak(t testing.TB) *vehicle.Combination {
	t.Helper()
	s, err := specfile.ReadFile("../../samples/transporter-112t.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := s.Units[0].Power
	*p.TorqueNm, *p.StartTorqueNm, *p.PowerKW = 900, 850, 150
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func strong(t testing.TB) *vehicle.Combination { return load(t, "transporter-112t.yaml") }

func solo(t testing.TB, train *vehicle.Combination) *check.Setup {
	t.Helper()
	s, err := check.NewSetup(train, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func yard(t testing.TB, train *vehicle.Combination, files ...string) *secondtow.Yard {
	t.Helper()
	var y secondtow.Yard
	for _, f := range files {
		h, err := secondtow.NewHelper(load(t, f), train, vehicle.Bar{RatedN: 400e3}, check.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		y.Helpers = append(y.Helpers, h)
	}
	return &y
}

// piece is a stretch of the toy road: even grade, tags.
type piece struct {
	lengthM, grade float64
	tags           route.Tags
}

var (
	asphalt = route.Tags{Mapped: true, Highway: "secondary", Surface: "asphalt"}
	earth   = route.Tags{Mapped: true, Highway: "track", Surface: "earth"}
)

func bridge(massT float64) route.Tags {
	t := asphalt
	t.Bridge, t.MaxMassKg = "yes", route.Limit{State: route.Known, Value: 1000 * massT}
	return t
}

// road is a toy road due north, 2 km or so, well known: heights to a few
// centimetres.
func road(t testing.TB, set *check.Setup, pieces ...piece) *check.Situation {
	t.Helper()
	return bent(t, set, math.Inf(1), pieces...)
}

// bent is such a road along a circle to the right, drawn every 10 m.
func bent(t testing.TB, set *check.Setup, radiusM float64, pieces ...piece) *check.Situation {
	t.Helper()
	east, north := terrain.MetresPerDegree(47)
	r := &route.Route{ID: "toy", Line: orb.LineString{{10, 47}}}
	total := 0.0
	for _, p := range pieces {
		total += p.lengthM
	}
	on := func(at float64) orb.Point {
		if math.IsInf(radiusM, 1) {
			return orb.Point{10, 47 + at/north}
		}
		// The circle for 200 m about the middle, straight before and behind.
		x, y, head := 0.0, 0.0, 0.0
		for d := 0.0; d < at; d++ {
			step := min(1, at-d)
			if math.Abs(d-total/2) < 100 {
				head += step / radiusM
			}
			x, y = x+step*math.Sin(head), y+step*math.Cos(head)
		}
		return orb.Point{10 + x/east, 47 + y/north}
	}
	at := 0.0
	for _, p := range pieces {
		first := len(r.Line) - 1
		for end := at + p.lengthM; at < end; {
			if at += 10; math.IsInf(radiusM, 1) || at > end {
				at = end
			}
			r.Line = append(r.Line, on(at))
		}
		r.Pieces = append(r.Pieces, route.Piece{First: first, Last: len(r.Line) - 1, Tags: p.tags})
	}
	height := func(y float64) (z float64) {
		for _, p := range pieces {
			l := min(y, p.lengthM)
			z += l * p.grade
			if y -= l; y <= 0 {
				break
			}
		}
		return z
	}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	ground := terrain.Func{
		At:     func(lon, lat float64) (float64, bool) { return height(along(a, east, north, lon, lat)), true },
		Source: terrain.Source{Name: "toy", CellM: 10, SEM: 0.05, CorrM: 50},
	}
	p, err := profile.Build(context.Background(), a, nil, ground, profile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	placed, looked := structure.Place(a)
	return check.NewSituation(set, a, p, placed, looked)
}

// along is the chainage of the place of a way nearest to a point.
func along(a *route.Alignment, east, north, lon, lat float64) float64 {
	if len(a.Line) < 20 {
		return (lat - 47) * north
	}
	best, at := math.Inf(1), 0.0
	for i := 1; i < len(a.Line); i++ {
		p, q := a.Line[i-1], a.Line[i]
		ux, uy, vx, vy := (q[0]-p[0])*east, (q[1]-p[1])*north, (lon-p[0])*east, (lat-p[1])*north
		t := max(0, min(1, (ux*vx+uy*vy)/(ux*ux+uy*uy)))
		if d := math.Hypot(vx-t*ux, vy-t*uy); d < best {
			best, at = d, a.ChainageM[i-1]+t*(a.ChainageM[i]-a.ChainageM[i-1])
		}
	}
	return at
}

func plan(y *secondtow.Yard, s *check.Situation) (secondtow.Plan, []check.Finding) {
	var k check.Sink
	check.Run(s, &k)
	return y.Plan(s, k.Findings), k.Findings
}

const (
	light = "helper-24t.yaml"
	heavy = "helper-40t.yaml"
)

// ramp is one ramp in the middle of the toy road.
func ramp(grade float64, tags route.Tags) []piece {
	return []piece{{900, 0, asphalt}, {240, grade, tags}, {900, 0, asphalt}}
}

func TestPlan(t *testing.T) {
	w, s := weak(t), strong(t)
	for _, c := range []struct {
		name    string
		train   *vehicle.Combination
		helpers []string
		road    []piece
		assists int
		helper  string
		tried   int
		why     string // check that stopped the nearest helper
	}{
		{"nothing to pull", w, []string{heavy}, ramp(0.05, asphalt), 0, "", 0, ""},
		{"the helper suffices", w, []string{heavy}, ramp(0.16, asphalt), 1, "Tarnholt ballast tractor", 0, ""},
		{"the first that suffices is taken", w, []string{light, heavy}, ramp(0.14, asphalt), 1, "Tarnholt recovery truck", 0, ""},
		{"the first does not suffice, the second does", s, []string{light, heavy}, ramp(0.225, asphalt), 1, "Tarnholt ballast tractor", 0, ""},
		{"no helper is strong enough", w, []string{heavy}, ramp(0.4, asphalt), 0, "", 1, "climb"},
		{"none at hand", w, nil, ramp(0.16, asphalt), 0, "", 1, ""},
		{"rather fails than not: helped", s, []string{heavy}, ramp(0.18, earth), 1, "Tarnholt ballast tractor", 0, ""},
		{"rather fails than not, none at hand: stays a question", s, nil, ramp(0.18, earth), 0, "", 0, ""},
		{"rather passes: stays a question", s, []string{heavy}, ramp(0.125, earth), 0, "", 0, ""},
		{"a bridge on the ramp carries the train, not the pair", w, []string{heavy},
			[]piece{{900, 0, asphalt}, {100, 0.16, asphalt}, {30, 0.16, bridge(140)}, {100, 0.16, asphalt}, {900, 0, asphalt}}, 0, "", 1, "bridge"},
		{"two ramps far apart", w, []string{heavy},
			[]piece{{400, 0, asphalt}, {150, 0.16, asphalt}, {1500, 0, asphalt}, {150, 0.16, asphalt}, {400, 0, asphalt}}, 2, "Tarnholt", 0, ""},
		{"two ramps nearer than MergeM", w, []string{heavy},
			[]piece{{500, 0, asphalt}, {150, 0.16, asphalt}, {300, 0, asphalt}, {150, 0.16, asphalt}, {500, 0, asphalt}}, 1, "Tarnholt", 0, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := road(t, solo(t, c.train), c.road...)
			p, found := plan(yard(t, c.train, c.helpers...), s)
			if len(p.Assists) != c.assists || len(p.Tried) != c.tried {
				t.Fatalf("%d assists, %d tried; want %d, %d\nplan %+v", len(p.Assists), len(p.Tried), c.assists, c.tried, p)
			}
			for _, a := range p.Assists {
				if !strings.HasPrefix(a.Helper, c.helper) {
					t.Errorf("helper %q, want %q", a.Helper, c.helper)
				}
				for _, i := range a.For {
					if f := found[i]; f.At.FromM < a.Over.FromM || f.At.ToM > a.Over.ToM {
						t.Errorf("puts right %v, hooked on over %v only", f.At, a.Over)
					}
				}
				if a.HookStartP < check.PassAt || a.CastStartP < check.PassAt {
					t.Errorf("starts alone at hook-on %.2f, at cast-off %.2f", a.HookStartP, a.CastStartP)
				}
				for _, f := range a.Findings {
					if f.Outcome == check.Fail || f.Standing {
						t.Errorf("coupled: %+v", f)
					}
				}
			}
			for _, a := range p.Tried {
				if a.Why.Check != c.why || (a.Helper == "") != (c.why == "") {
					t.Errorf("stopped by %q with %q, want %q", a.Why.Check, a.Helper, c.why)
				}
			}
		})
	}
}

// Failures listed out of order, or joined only by a third between them, are one
// stretch all the same.
func TestNearFailuresAreOneWhateverTheirOrder(t *testing.T) {
	s := road(t, solo(t, weak(t)), piece{2500, 0, asphalt})
	fail := func(from, to float64) check.Finding {
		return check.Finding{Check: "climb", At: route.Stretch{FromM: from, ToM: to}, Outcome: check.Fail, Remedy: check.Pull}
	}
	found := []check.Finding{fail(200, 300), fail(1300, 1400), fail(700, 850)}
	p := (&secondtow.Yard{}).Plan(s, found)
	if len(p.Tried) != 1 || p.Tried[0].Over != (route.Stretch{FromM: 200, ToM: 1400}) || len(p.Tried[0].For) != 3 {
		t.Errorf("%+v", p.Tried)
	}
}

// Nobody hooks on or casts off on a bridge.
func TestNotOnABridge(t *testing.T) {
	s := road(t, solo(t, weak(t)), piece{600, 0, asphalt}, piece{240, 0, bridge(300)}, piece{160, 0.16, asphalt}, piece{200, 0, bridge(300)}, piece{600, 0, asphalt})
	p, _ := plan(yard(t, weak(t), heavy), s)
	if len(p.Assists) != 1 {
		t.Fatalf("%+v", p)
	}
	a := p.Assists[0]
	if a.Over.FromM >= 600 || a.Over.ToM < 1200+s.Train.LengthM {
		t.Errorf("hook on at %.0f m, cast off at %.0f m; bridges lie from 600 to 840 and 1000 to 1200 m", a.Over.FromM, a.Over.ToM)
	}
}

// What a coupling takes for granted is listed; what the user gives is not.
func TestNewHelper(t *testing.T) {
	train := load(t, "transporter-112t.yaml")
	bare, err := secondtow.NewHelper(load(t, heavy), train, vehicle.Bar{}, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	given, err := secondtow.NewHelper(load(t, heavy), train, vehicle.Bar{LengthM: 4, HeightM: 0.8, RatedN: 200e3}, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	if len(bare.Assumed) != 2 || len(given.Assumed) != 1 {
		t.Errorf("assumed %v and %v", bare.Assumed, given.Assumed)
	}
	if d := given.AheadM - bare.AheadM; math.Abs(d-1) > 1e-9 {
		t.Errorf("a bar 1 m longer puts the helper %.3f m farther ahead", d)
	}
	if _, err := secondtow.NewHelper(load(t, heavy), train, vehicle.Bar{LengthM: 1000}, check.Settings{}); err == nil || !strings.Contains(err.Error(), train.Name) {
		t.Errorf("a bar of 1 km: %v", err)
	}
}
