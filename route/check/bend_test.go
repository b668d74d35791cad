package check_test

import (
	"fmt"
	"math"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/sweep"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// arc is a way north for 60 m, round a circle by a turn (left positive) and on
// for 80 m, a vertex every stepM.
func arc(radiusM, turnRad, stepM float64) (pts []orb.Point) {
	side := math.Copysign(1, turnRad)
	add := func(x, y float64) { pts = append(pts, orb.Point{x, y}) }
	for y := 10.0; y < 60; y += 10 {
		add(0, y)
	}
	n := max(int(math.Ceil(math.Abs(turnRad)*radiusM/stepM)), 1)
	for k := 0; k <= n; k++ {
		phi := math.Abs(turnRad) * float64(k) / float64(n)
		add(-side*radiusM*(1-math.Cos(phi)), 60+radiusM*math.Sin(phi))
	}
	end := pts[len(pts)-1]
	for d := 10.0; d <= 80; d += 10 {
		add(end[0]-d*math.Sin(turnRad), end[1]+d*math.Cos(turnRad))
	}
	return pts
}

func bendTags(widthM float64, highway string) route.Tags {
	t := route.Tags{Mapped: true, Highway: highway, Surface: "asphalt"}
	if widthM > 0 {
		t.WidthM = limit(widthM)
	}
	return t
}

func bends(t tb, set *check.Setup, pts []orb.Point, tags route.Tags) []check.Finding {
	return run(onRamp(t, set, 0, leg{pts, tags}))
}

// ideal is the width swept on the exact arc, by the sweep package itself, whose
// tests hold it against closed forms.
func ideal(t *testing.T, set *check.Setup, radiusM, turnRad float64) float64 {
	t.Helper()
	train, err := sweep.FromCombination(set.Train)
	if err != nil {
		t.Fatal(err)
	}
	line := []sweep.Point{{}}
	for _, p := range arc(radiusM, turnRad, 0.1) {
		line = append(line, sweep.Point{X: p[0], Y: p[1]})
	}
	var tr sweep.Trace
	if err := tr.Follow(line, train, sweep.Options{}); err != nil {
		t.Fatal(err)
	}
	s, err := sweep.SweptWidth(&tr, sweep.Window{})
	if err != nil {
		t.Fatal(err)
	}
	return s.WidthM
}

// idealBest is the width of the best line on the exact arc.
func idealBest(t *testing.T, set *check.Setup, radiusM, turnRad float64) float64 {
	t.Helper()
	train, err := sweep.FromCombination(set.Train)
	if err != nil {
		t.Fatal(err)
	}
	line := []sweep.Point{{X: 0, Y: 45}}
	for _, p := range arc(radiusM, turnRad, 1)[5:] {
		line = append(line, sweep.Point{X: p[0], Y: p[1]})
	}
	var tr sweep.Trace
	b, err := sweep.BestLine(&tr, sweep.Road{Middle: line, FromM: 15, ToM: 15 + radiusM*math.Abs(turnRad), LeftTurn: turnRad > 0}, train, sweep.Options{StepM: 1})
	if err != nil {
		t.Fatal(err)
	}
	return b.NeedM
}

// The width asked for is that of the best line on the ideal arc, on both sides.
// It passes with that; the strip of the line alone neither passes nor fails.
func TestBendAgainstTheIdealArc(t *testing.T) {
	set := setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].TurnOuterRadiusM = nil })
	for _, c := range []struct{ radiusM, turn float64 }{
		{12.5, math.Pi / 2}, {12.5, -math.Pi / 2}, {20, 2 * math.Pi / 3}, {30, -math.Pi}, {32, math.Pi / 4},
	} {
		t.Run(fmt.Sprintf("R %v, %.0f deg", c.radiusM, c.turn*180/math.Pi), func(t *testing.T) {
			want := ideal(t, set, c.radiusM, c.turn)
			best := idealBest(t, set, c.radiusM, c.turn)
			if want > 12 {
				t.Fatalf("sweeps %.2f m: choose a wider bend", want)
			}
			for _, w := range []struct {
				width float64
				want  check.Outcome
			}{
				{best + 0.2, check.Pass},
				{want + 0.1, check.Undecided},
				{want - 0.6, check.Fail},
			} {
				fs := bends(t, set, arc(c.radiusM, c.turn, 1), bendTags(w.width, "track"))
				if w.want == check.Pass && c.radiusM < 25 {
					w.want = check.NotLooked // nobody says that it steers that far
				}
				if got := worstOf(fs, "bend"); got != w.want {
					t.Errorf("width %.2f: %v, want %v", w.width, got, w.want)
				}
				for _, f := range of(fs, "bend") {
					if math.Abs(f.Demand-best) > 0.15 {
						t.Errorf("needs %.3f m, the best line on the ideal arc %.3f, its strip %.3f", f.Demand, best, want)
					}
					side := map[bool]string{true: "left", false: "right"}[c.turn > 0]
					if q := quantity(t, f, "side"); q.Text != side {
						t.Errorf("a %s bend is called %s", side, q.Text)
					}
					if q := quantity(t, f, "turn"); math.Abs(q.Value-math.Abs(c.turn)*180/math.Pi) > 1 {
						t.Errorf("turn %v", q.Value)
					}
					if f.WorstM < f.At.FromM || f.WorstM > f.At.ToM {
						t.Errorf("worst at %v outside %v", f.WorstM, f.At)
					}
				}
			}
		})
	}
}

func TestBendOnStraightWays(t *testing.T) {
	set := setup(t, check.Settings{})
	for _, width := range []float64{0, 3, 7} {
		for _, f := range bends(t, set, []orb.Point{{0, 200}, {0, 900}}, bendTags(width, "track")) {
			if f.Check == "bend" {
				t.Errorf("width %v: %+v", width, f)
			}
		}
	}
}

// A corner drawn as one vertex is a place, not a point: its finding must colour
// a stretch.
func TestBendAtOneVertex(t *testing.T) {
	set := setup(t, check.Settings{})
	fs := of(bends(t, set, []orb.Point{{0, 100}, {100, 100}}, bendTags(4, "track")), "bend")
	if len(fs) != 1 || fs[0].Outcome != check.Fail {
		t.Fatalf("%+v", fs)
	}
	if f := fs[0]; f.At.LengthM() < 10 || f.At.FromM > 99 || f.At.ToM < 101 {
		t.Errorf("at %v, want the corner at 100 m", f.At)
	}
	if q := quantity(t, fs[0], "side"); q.Text != "right" {
		t.Errorf("a right corner is called %s", q.Text)
	}
}

// What the train does in a hairpin is not said of a gentle bend before it.
func TestBendsApartAreJudgedApart(t *testing.T) {
	set := setup(t, check.Settings{})
	alone := arc(40, math.Pi/3, 1) // 60 deg
	end := alone[len(alone)-1]
	two := alone
	for _, p := range arc(14, math.Pi/2, 1) {
		x, y := p[0], p[1] // turned by 60 deg to the left
		c, s := math.Cos(math.Pi/3), math.Sin(math.Pi/3)
		two = append(two, orb.Point{end[0] + c*x - s*y, end[1] + s*x + c*y})
	}
	tags := bendTags(3.7, "track")
	first := of(bends(t, set, alone, tags), "bend")
	both := of(bends(t, set, two, tags), "bend")
	if len(first) != 1 || len(both) != 2 {
		t.Fatalf("%d and %d findings, want 1 and 2", len(first), len(both))
	}
	if math.Abs(first[0].Demand-both[0].Demand) > 0.02 {
		t.Errorf("the first bend needs %.2f m alone, %.2f m before another", first[0].Demand, both[0].Demand)
	}
	if both[1].Demand < both[0].Demand+0.5 {
		t.Errorf("the second bend needs %.2f m, the first %.2f", both[1].Demand, both[0].Demand)
	}
}

// fixed takes the steering of the lines away: the train folds in a hairpin.
func fixed(s *vehicle.Spec) { s.Units[1].Steering = nil }

// A train that folds never passes, whatever the width; and what cuts over the
// inside has no width that passes.
func TestBendThatFoldsNeverPasses(t *testing.T) {
	set := setup(t, check.Settings{}, fixed)
	for _, width := range []float64{0, 5, 12, 30} {
		got := worstOf(bends(t, set, arc(6, math.Pi, 1), bendTags(width, "track")), "bend")
		if got == check.Pass || (width > 0 && got != check.Fail) {
			t.Errorf("folds at width %v: %v", width, got)
		}
	}
	for _, width := range []float64{0, 5, 13, 30} {
		got := worstOf(bends(t, setup(t, check.Settings{}), arc(8, math.Pi, 1), bendTags(width, "track")), "bend")
		if got == check.Pass || (width == 5 && got != check.Fail) {
			t.Errorf("cuts over the inside at width %v: %v", width, got)
		}
	}
}

// Where no width is tagged nothing fails, and nothing passes in silence: the
// place is a question where it needs more than the class of road has, else the
// tightest stands as one line.
func TestBendWithoutWidth(t *testing.T) {
	set := setup(t, check.Settings{})
	tight := bends(t, set, arc(14, math.Pi/2, 1), bendTags(0, "track"))
	if got := worstOf(tight, "bend"); got != check.NotLooked {
		t.Errorf("track: %v, want a question", got)
	}
	wide := bends(t, set, arc(30, math.Pi/4, 1), bendTags(0, "motorway"))
	standing := 0
	for _, f := range wide {
		if f.Check == "bend" && f.Standing {
			standing++
		}
	}
	if len(of(wide, "bend")) != 0 || standing != 1 {
		t.Errorf("motorway: %d questions, %d standing lines; want 0, 1", len(of(wide, "bend")), standing)
	}
	rapid.Check(t, func(rt *rapid.T) {
		at, dir := orb.Point{}, 0.0
		var pts []orb.Point
		for range rapid.IntRange(2, 12).Draw(rt, "vertices") {
			dir += rapid.Float64Range(-3, 3).Draw(rt, "turn")
			l := rapid.Float64Range(1, 60).Draw(rt, "length")
			at = orb.Point{at[0] + l*math.Sin(dir), at[1] + l*math.Cos(dir)}
			pts = append(pts, at)
		}
		for _, f := range of(bends(rt, set, pts, bendTags(0, "track")), "bend") {
			if f.Outcome == check.Fail {
				rt.Fatalf("fails without a width: %+v", f)
			}
			if !(f.At.LengthM() > 0) {
				rt.Fatalf("colours nothing: %+v", f)
			}
		}
	})
}

// Every bend that asks colours its place, however many there are.
func TestManyBends(t *testing.T) {
	var pts []orb.Point
	for i := range 30 {
		pts = append(pts, orb.Point{float64(i%2) * 60, float64(i+1) * 60})
		pts = append(pts, orb.Point{float64((i+1)%2) * 60, float64(i+1) * 60})
	}
	n := len(of(bends(t, setup(t, check.Settings{}), pts, bendTags(0, "track")), "bend"))
	if n < 50 {
		t.Errorf("%d of 59 corners ask", n)
	}
}

// A train whose file lacks a width says which field is missing.
func TestBendWithoutTheTrainsWidth(t *testing.T) {
	set := setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[0].WidthM = nil })
	for _, f := range bends(t, set, arc(14, math.Pi/2, 1), bendTags(4, "track")) {
		if f.Check == "bend" {
			if !f.Standing || quantity(t, f, "why").Text != "units[0].width_m is missing" {
				t.Errorf("%+v", f)
			}
			return
		}
	}
	t.Error("nothing said")
}

// TestSweepStep measures what the coarser step of the check costs in width.
func TestSweepStep(t *testing.T) {
	train, err := sweep.FromCombination(setup(t, check.Settings{}).Train)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	for _, radius := range []float64{12.5, 15, 20, 30, 60} {
		for _, turn := range []float64{math.Pi / 6, math.Pi / 2, math.Pi} {
			line := []sweep.Point{{X: 0, Y: -30}}
			for a := 0.0; a <= turn+1e-9; a += turn / 60 {
				line = append(line, sweep.Point{X: radius * (math.Cos(a) - 1), Y: radius * math.Sin(a)})
			}
			var width [2]float64
			for i, step := range []float64{0.1, 1} {
				trace, err := sweep.Follow(line, train, sweep.Options{StepM: step})
				if err != nil {
					t.Fatal(err)
				}
				s, err := sweep.SweptWidth(&trace, sweep.Window{})
				if err != nil {
					t.Fatal(err)
				}
				width[i] = s.WidthM
			}
			worst = max(worst, math.Abs(width[1]-width[0]))
		}
	}
	t.Logf("a step of 1 m instead of 0.1 m changes the swept width by at most %.0f mm", 1000*worst)
	if worst > 0.03 {
		t.Errorf("%.3f m: the comment on sweepStepM says a few centimetres at most", worst)
	}
}
