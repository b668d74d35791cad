package bend

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"drawbar/route"
)

const deg = math.Pi / 180

// arcLine is straight, arc, straight with a vertex every stepM, turning by turn
// (left positive).
func arcLine(radiusM, turnRad, straightM, stepM float64) []point {
	r := road{radiusM: radiusM, turnRad: math.Abs(turnRad)}
	half := r.radiusM*r.turnRad/2 + straightM
	var out []point
	for s := -half; s < half+stepM/2; s += stepM {
		p := r.at(s)
		out = append(out, point{p.x, math.Copysign(1, turnRad) * p.y})
	}
	return out
}

// Elements of the simple curve R 50 m, 60 degrees: length 52.3599 m (any
// handbook of road design; derived).
func TestExactCurve(t *testing.T) {
	for _, turn := range []float64{60 * deg, -60 * deg} {
		b := Find(onEarth(arcLine(50, turn, 80, 5)), Options{})
		if len(b) != 1 {
			t.Fatalf("%d bends", len(b))
		}
		if math.Abs(b[0].RadiusM-50) > 0.5 || math.Abs(b[0].TurnRad-turn) > 0.01 || math.Abs(b[0].LengthM-52.3599) > 0.6 || !b[0].Decided || b[0].Kind != Arc {
			t.Errorf("%+v", b[0])
		}
		if mid := 80 + 52.36/2; math.Abs(b[0].ApexM-mid) > 5.1 {
			t.Errorf("apex at %.1f, want %.1f", b[0].ApexM, mid)
		}
	}
}

// A vertex of 90 degrees with legs of 50 m: three points would say 35.4 m. The
// largest radius is T/tan(45), T half a leg, or that of an external distance of
// half the width: derived.
func TestKink(t *testing.T) {
	corner := []point{{-100, 0}, {-50, 0}, {0, 0}, {0, 50}, {0, 100}}
	a := onEarth(corner)
	b := Find(a, Options{NoiseM: 0.5})
	if len(b) != 1 || b[0].Kind != Kink || b[0].Decided || b[0].Reason != ReasonVertex || b[0].RadiusLowM != 0 {
		t.Fatalf("%+v", b)
	}
	byRoad := (3 + 2*b[0].NoiseM) / (math.Sqrt2 - 1)
	if math.Abs(b[0].RadiusHighM-byRoad) > 0.1 || b[0].RadiusHighM > 12 {
		t.Errorf("at most %.2f m, want %.2f", b[0].RadiusHighM, byRoad)
	}
	// The width is not tagged: it refuses nobody, nor does it let anyone through.
	for min, want := range map[float64]Holds{5: Open, 15: Open, 60: Cannot} {
		if got := b[0].AtLeast(min); got != want {
			t.Errorf("%v m: %v, want %v", min, got, want)
		}
	}
	a.Legs[0].Tags.WidthM = route.Limit{State: route.Known, Value: 4}
	if b := Find(a, Options{}); b[0].AtLeast(15) != Cannot || b[0].AtLeast(2) != Open {
		t.Errorf("4 m wide: %+v", b[0])
	}
}

func TestKinds(t *testing.T) {
	for _, c := range []struct {
		name string
		turn float64
		want Kind
	}{{"arc", 90, Arc}, {"hairpin", 170, Hairpin}, {"circle", 250, Roundabout}} {
		b := Find(onEarth(arcLine(15, c.turn*deg, 60, 3)), Options{})
		if len(b) != 1 || b[0].Kind != c.want || math.Abs(b[0].RadiusM-15) > 0.5 {
			t.Errorf("%s: %+v", c.name, b)
		}
	}
	a := onEarth(arcLine(15, 120*deg, 60, 3))
	a.Legs[0].Tags.Junction = "roundabout"
	if b := Find(a, Options{}); len(b) != 1 || b[0].Kind != Roundabout {
		t.Errorf("tagged a roundabout: %+v", b)
	}
}

// Turning off into another road is a corner, whatever the line looks like; the
// same turn of one road is not.
func TestCorner(t *testing.T) {
	a := onEarth([]point{{-100, 0}, {-50, 0}, {0, 0}, {0, 50}, {0, 100}})
	at := a.ChainageM[2]
	leg := func(from, to float64, name string) route.Leg {
		return route.Leg{At: route.Stretch{FromM: from, ToM: to}, Tags: route.Tags{Highway: "tertiary", Name: name}}
	}
	for name, want := range map[string]Kind{"Mill Lane": Corner, "High Street": Kink} {
		a.Legs = []route.Leg{leg(0, at, "High Street"), leg(at, a.LengthM(), name)}
		if b := Find(a, Options{}); len(b) != 1 || b[0].Kind != want {
			t.Errorf("into %s: %+v", name, b)
		}
	}
}

func TestReverseCurve(t *testing.T) {
	short := arcLine(30, 60*deg, 60, 3)
	short = short[:len(short)-19] // 3 m of its second straight
	e, f := short[len(short)-1], short[len(short)-2]
	dir := math.Atan2(e.y-f.y, e.x-f.x)
	second := arcLine(30, -60*deg, 3, 3)
	in := math.Atan2(second[1].y-second[0].y, second[1].x-second[0].x)
	s, c := math.Sincos(dir - in)
	for _, p := range second[1:] {
		x, y := p.x-second[0].x, p.y-second[0].y
		short = append(short, point{e.x + c*x - s*y, e.y + s*x + c*y})
	}
	last, prev := short[len(short)-1], short[len(short)-2]
	for k := 1.0; k < 20; k++ {
		short = append(short, point{last.x + k*(last.x-prev.x), last.y + k*(last.y-prev.y)})
	}
	b := Find(onEarth(short), Options{})
	if len(b) != 2 || b[0].TurnRad < 0 || b[1].TurnRad > 0 || b[0].Reverse || !b[1].Reverse {
		t.Fatalf("%+v", b)
	}
	for i := range b {
		if math.Abs(b[i].RadiusM-30) > 2 {
			t.Errorf("radius %.1f, want 30", b[i].RadiusM)
		}
	}
}

// Upper points of Student's law, 5 %: m 3 2.353, 5 2.015, 10 1.812, 30 1.697
// (any statistical table).
func TestWallace(t *testing.T) {
	for m, want := range map[float64]float64{3: 2.353, 5: 2.015, 10: 1.812, 30: 1.697} {
		ft := &fitter{evidence: &evidence{p: make([]point, 5)}, prior: m, trust: 1}
		loss := (m + 1) / 2 * math.Log(1+want*want/m)
		if got := ft.away(loss); math.Abs(got-1.645) > 0.01 {
			t.Errorf("%v free: %.4f standard errors, want 1.645", m, got)
		}
	}
}

// TestEasement measures the cubic against the clothoid at the longest easement.
func TestEasement(t *testing.T) {
	const radius, ratio = 100.0, 0.6
	long := ratio * radius
	f := shape{radiusM: radius, easeM: long}
	f.refresh()
	f.cx, f.cy = 0, 0 // entry straight along x at y = -(R + shift), foot of the centre at x = 0
	x, y, dir, n := 0.0, 0.0, 0.0, 6000
	worst := 0.0
	h := long / float64(n)
	for i := range n {
		k := (float64(i) + 0.5) * h / long / radius
		x, y, dir = x+h*math.Cos(dir+k*h/2), y+h*math.Sin(dir+k*h/2), dir+k*h
		e, _ := f.deviation(point{x - long/2, y - radius - f.shiftM}, true)
		worst = max(worst, math.Abs(e))
	}
	t.Logf("off the clothoid by at most %.3f m, its offset %.2f m", worst, y)
	if worst > 0.03*y {
		t.Errorf("%.3f m off an offset of %.2f m", worst, y)
	}
}

// Whatever the line, bends come in order with ordered radii, and the other
// direction has as many.
func TestAnyLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pts := []point{{}}
		dir := 0.0
		for range rapid.IntRange(1, 60).Draw(t, "vertices") {
			dir += rapid.Float64Range(-3, 3).Draw(t, "turn")
			l := rapid.Float64Range(0.01, 80).Draw(t, "length")
			last := pts[len(pts)-1]
			pts = append(pts, point{last.x + l*math.Cos(dir), last.y + l*math.Sin(dir)})
		}
		b := Find(onEarth(pts), Options{})
		for i := range b {
			if b[i].RadiusLowM > b[i].RadiusHighM || b[i].RadiusM > b[i].RadiusHighM || (i > 0 && b[i].At.FromM < b[i-1].At.FromM) || b[i].TurnRad == 0 {
				t.Fatalf("%+v", b[i])
			}
			if b[i].Decided != (b[i].Reason == ReasonNone) {
				t.Fatalf("decided without reason: %+v", b[i])
			}
			if b[i].AtLeast(0) == Cannot || b[i].AtLeast(1e9) == Can {
				t.Fatalf("%+v", b[i])
			}
		}
	})
}

// Both directions see the same bends. The pieces of the thinned line are merged
// in order of travel, so that a window may end a vertex earlier one way: the
// radii differ by less than the line tells, and each lies in the other's interval.
func TestReversed(t *testing.T) {
	a, _ := road{radiusM: 25, turnRad: 1.2, bends: 8, straightM: 80, spacingM: 6, noiseM: 0.3}.drawn(rand.New(rand.NewPCG(3, 9)))
	there, back := Find(a, Options{}), Find(a.Reverse(), Options{})
	if len(there) != 8 || len(back) != 8 {
		t.Fatalf("%d there, %d back, want 8", len(there), len(back))
	}
	for i := range there {
		b, f := back[len(back)-1-i], there[i]
		in := func(r float64, b Bend) bool { return b.RadiusLowM <= r && r <= b.RadiusHighM }
		if f.TurnRad*b.TurnRad > 0 || !in(f.RadiusM, b) || !in(b.RadiusM, f) {
			t.Errorf("%d: %.2f m turning %.2f, back %.2f m turning %.2f", i, f.RadiusM, f.TurnRad, b.RadiusM, b.TurnRad)
		}
	}
}

// TestTurnsBack: a line that goes and comes back on itself has a bend of half a
// turn there, whatever its error and whatever turns beside it.
func TestTurnsBack(t *testing.T) {
	const degM = 1 / 111319.49 // on the equator
	for _, noiseLike := range []float64{0, 4} {
		var line orb.LineString
		for i := range 12 {
			y := noiseLike * math.Sin(float64(i)*2.4)
			line = append(line, orb.Point{float64(i) * 60 * degM, y * degM})
		}
		last := line[len(line)-1]
		line = append(line, orb.Point{last[0] + 30*degM, last[1] + 52*degM}, orb.Point{last[0] + 35*degM, last[1] + 61*degM})
		for i := len(line) - 2; i >= 0; i-- {
			line = append(line, line[i])
		}
		a, err := route.Align(&route.Route{ID: "back", Line: line, Pieces: []route.Piece{{First: 0, Last: len(line) - 1}}})
		if err != nil {
			t.Fatal(err)
		}
		turns := a.LengthM() / 2
		found := false
		for _, b := range Find(a, Options{}) {
			if math.Abs(b.ApexM-turns) < 1 && math.Abs(b.TurnRad) > 3 {
				found = true
				if b.Decided || b.RadiusHighM > 1 {
					t.Errorf("error of %.0f m: a line that turns back has a radius of %.1f m, decided %v", noiseLike, b.RadiusHighM, b.Decided)
				}
			}
		}
		if !found {
			t.Errorf("error of %.0f m: the place where the line turns back at %.0f m is no bend", noiseLike, turns)
		}
	}
}
