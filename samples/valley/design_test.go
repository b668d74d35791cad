package valley

import (
	"math"
	"testing"
)

// claims is what each route is drawn to show and nothing else. Grades and
// radii are the design's.
var claims = map[string]struct {
	leastM, mostM float64 // length
	upRatio       float64 // steepest climb allowed
	downRatio     float64 // steepest descent allowed
	leastRadiusM  float64
	narrowestM    string
	bridges       int
}{
	"lakeside":     {1500, 4000, 0.04, 0.04, 60, "7.5", 1},
	"quarry-climb": {1500, 4000, 0.18, 0.04, 60, "7", 1},
	"mill-bridge":  {1500, 4000, 0.04, 0.04, 60, "6.5", 1},
	"hairpin":      {1500, 4000, 0.04, 0.04, 8, "5", 1},
	"upper-track":  {1500, 4000, 0.045, 0.04, 60, "6", 1},
}

func TestRoutesAreAsClaimed(t *testing.T) {
	v := valleyOf(t)
	if len(v.Routes) != len(claims) {
		t.Errorf("%d routes, want %d", len(v.Routes), len(claims))
	}
	for _, r := range v.Routes {
		c, ok := claims[r.ID]
		if !ok {
			t.Errorf("no claim for route %q", r.ID)
			continue
		}
		up, down, radius, bridges := 0.0, 0.0, math.Inf(1), 0
		narrowest := "99"
		for _, l := range r.Legs {
			for s := l.FromM; s < l.ToM; s += 0.5 {
				up, down = max(up, l.Road.GradeRatio(s)), max(down, -l.Road.GradeRatio(s))
				if a := math.Abs(l.Road.RadiusM(s)); a > 0 {
					radius = min(radius, a)
				}
				for _, tag := range l.Road.tagsAt(s) {
					if tag.key == "width" {
						narrowest = min(narrowest, tag.value)
					}
				}
			}
			for _, st := range l.Road.stretches {
				if st.tags[0].key == "bridge" && st.fromM > l.FromM && st.toM < l.ToM {
					bridges++
				}
			}
		}
		if n := r.LengthM(); n < c.leastM || n > c.mostM {
			t.Errorf("%s: %.0f m long", r.ID, n)
		}
		if up > c.upRatio+1e-12 || down > c.downRatio {
			t.Errorf("%s: grades %.4f up, %.4f down, want at most %g and %g", r.ID, up, down, c.upRatio, c.downRatio)
		}
		if radius < c.leastRadiusM || narrowest != c.narrowestM || bridges != c.bridges {
			t.Errorf("%s: radius %.1f m, width %s m, %d bridges, want %g, %s, %d",
				r.ID, radius, narrowest, bridges, c.leastRadiusM, c.narrowestM, c.bridges)
		}
	}
}

// A low-bed must not ground: no vertical curve is tighter than 400 m radius,
// except on the dead-end spurs, which no route uses.
func TestVerticalCurvesAreGentle(t *testing.T) {
	for _, r := range valleyOf(t).Roads[:5] {
		p := r.profile
		for k := 1; k < len(p)-1; k++ {
			change := math.Abs(p.ratio(k) - p.ratio(k-1))
			if radius := p[k].curveM / change; radius < 400 {
				t.Errorf("%s at %.0f m: vertical curve of %.0f m radius", r.Name, p[k].atM, radius)
			}
			room := min(p[k].atM-p[k-1].atM-p[k-1].curveM/2, p[k+1].atM-p[k].atM-p[k+1].curveM/2)
			if p[k].curveM/2 > room+1e-9 {
				t.Errorf("%s at %.0f m: vertical curves overlap", r.Name, p[k].atM)
			}
		}
	}
}

// Where the platforms of two roads overlap their designed heights agree, so
// that no step crosses a road.
func TestRoadsMeetLevel(t *testing.T) {
	const stepM = 0.15
	roads := valleyOf(t).Roads
	for _, r := range roads {
		worst, at, over := 0.0, 0.0, ""
		for s := 0.0; s <= r.LengthM; s += 2 {
			x, y := r.At(s)
			for _, other := range roads {
				if other == r {
					continue
				}
				o, d := other.foot(x, y, 2*platformM)
				if d > 2*platformM || o == 0 || o == other.LengthM { // beyond its end
					continue
				}
				if step := math.Abs(r.HeightM(s) - other.HeightM(o)); step > worst {
					worst, at, over = step, s, other.Name
				}
			}
		}
		t.Logf("%s: largest step %.3f m at %.0f m to %s", r.Name, worst, at, over)
		if worst > stepM {
			t.Errorf("%s at %.0f m: %.2f m above or below %s", r.Name, at, worst, over)
		}
	}
}

// train is the statics of a tractor and semi-trailer whose tractor drives all
// wheels: masses in t, lengths in m as in the formulas of climbable.
type train struct{ tractorT, trailerT, cgBehindPinM, cgHeightM, pinToGroupM, pinHeightM float64 }

// The sample train of 112 t: 25 t tractor; low-bed of 24 t (7.40 m behind the
// kingpin, 0.95 m high) under 63 t (8.35 m, 2.35 m); invented.
var heavy = train{25, 87, (24*7.40 + 63*8.35) / 87, (24*0.95 + 63*2.35) / 87, 10.55, 1.65}

// climbable is the grade at which adhesion just holds, by moments about the
// trailer's axle group: V = [W2 c (L2-a2+f hf) - W2 s (h2-hf)]/(L2+f hf) on
// the kingpin, needed (W1+W2)(s + f c), to be had mu (W1 c + V) and from a
// helper of mass m, all wheels driven, m (mu c - s - f c).
func (tr train) climbable(mu, f, helperT float64) (ratio float64) {
	low, high := 0.0, 1.0
	for range 60 {
		g := (low + high) / 2
		c := 1 / math.Sqrt(1+g*g)
		s := g * c
		pin := (tr.trailerT*c*(tr.pinToGroupM-tr.cgBehindPinM+f*tr.pinHeightM) -
			tr.trailerT*s*(tr.cgHeightM-tr.pinHeightM)) / (tr.pinToGroupM + f*tr.pinHeightM)
		have := mu*(tr.tractorT*c+pin) + helperT*(mu*c-s-f*c)
		if have > (tr.tractorT+tr.trailerT)*(s+f*c) {
			low = g
		} else {
			high = g
		}
	}
	return low
}

// The formula against worked numbers derived by others for the same train:
// 22.54 % at mu 0.6, f 0.015; 9.16 % at 0.3, 0.03; 5.12 % at 0.2, 0.03.
func TestClimbableWorked(t *testing.T) {
	for _, c := range []struct{ mu, f, percent float64 }{{0.6, 0.015, 22.54}, {0.3, 0.03, 9.16}, {0.2, 0.03, 5.12}} {
		if got := 100 * heavy.climbable(c.mu, c.f, 0); math.Abs(got-c.percent) > 0.005 {
			t.Errorf("mu %g, f %g: %.3f %%, want %.2f %%", c.mu, c.f, got, c.percent)
		}
	}
}

// The quarry ramp parts the train alone from the train with a 40 t helper, by
// at least 1.5 % grade on both sides for dry earth as designed (mu 0.5,
// f 0.05), and still parts them at mu 0.45 and 0.55 and at f 0.04 and 0.06.
func TestRampNeedsHelper(t *testing.T) {
	const helperT = 40
	r := valleyOf(t).road("Quarry Road")
	ramp := r.GradeRatio(660)
	for s := 545.0; s <= 775; s++ {
		if g := r.GradeRatio(s); math.Abs(g-ramp) > 1e-12 {
			t.Errorf("grade %.4f at %.0f m, want %.4f on the whole ramp", g, s, ramp)
		}
	}
	for _, c := range []struct{ mu, f, marginRatio float64 }{
		{0.45, 0.05, 0}, {0.5, 0.05, 0.015}, {0.55, 0.05, 0}, {0.5, 0.06, 0.015}, {0.5, 0.04, 0.015},
	} {
		alone, helped := heavy.climbable(c.mu, c.f, 0), heavy.climbable(c.mu, c.f, helperT)
		t.Logf("mu %.2f f %.3f: alone %.2f %%, helped %.2f %%, ramp %.2f %%", c.mu, c.f, 100*alone, 100*helped, 100*ramp)
		if alone+c.marginRatio > ramp || helped-c.marginRatio < ramp {
			t.Errorf("mu %g, f %g: alone %.4f, helped %.4f, ramp %.4f, want %g between",
				c.mu, c.f, alone, helped, ramp, c.marginRatio)
		}
	}
}
