package stability_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
	"drawbar/vehicle/stability"
)

// deg is a lean as the slope it is.
func deg(lean float64) float64 { return math.Atan(lean) * 180 / math.Pi }

// near holds a value to the digits it is printed with.
func near(t *testing.T, what string, got, want float64, digits int) {
	t.Helper()
	if half := 0.5 * math.Pow10(-digits); !(math.Abs(got-want) <= half*(1+1e-9)) {
		t.Errorf("%s: %.*f, want %.*f", what, digits+2, got, digits, want)
	}
}

// heavy is the sample train of 112 t, which is train A of the reference note on
// vehicle mechanics, section 9, with changes.
func heavy(t tb, change ...func(*vehicle.Spec)) *vehicle.Combination {
	t.Helper()
	s, err := specfile.ReadFile("../../samples/transporter-112t.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range change {
		s.Level = ""
		f(&s)
	}
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

type tb interface {
	Helper()
	Fatal(args ...any)
}

func p[T any](v T) *T { return &v }

func parts(t tb, c *vehicle.Combination) []stability.Part {
	t.Helper()
	ps, err := stability.Parts(c)
	if err != nil {
		t.Fatal(err)
	}
	return ps
}

func fieldsOf(n int) func(*vehicle.Spec) {
	return func(s *vehicle.Spec) { s.Units[1].Support.Fields = &n }
}

// Rigid limits of a track width and a height: reference note on vehicle
// mechanics, section 4 (derived), and vectors srt_simple.
func TestRigidLimit(t *testing.T) {
	for _, c := range []struct{ track, height, lean, deg float64 }{
		{1.86, 2.03, .458, 24.61}, {2.10, 1.83, .574, 29.85}, {1.80, 1.96, .459, 24.66},
	} {
		part := stability.Part{ArmM: stability.FourFields(c.track/2, 0), HeightM: c.height}
		name := fmt.Sprintf("track %.2f m, height %.2f m", c.track, c.height)
		near(t, name, part.Rigid(), c.lean, 3)
		near(t, name+", deg", deg(part.Rigid()), c.deg, 2)
	}
}

// Roll of 0.1 rad/g about half the height leaves 0.952 of the rigid limit:
// section 4; the formula is from memory, the figure derived; vector
// gillespie_roll 0.952380952...
func TestRollFactor(t *testing.T) {
	near(t, "default roll", stability.DefaultRoll().Factor(), .952, 3)
	near(t, "default roll, vector", stability.DefaultRoll().Factor(), 0.9523809523809523, 15)
	if f := (stability.Roll{}).Factor(); f != 1 {
		t.Errorf("a rigid body loses nothing, got %g", f)
	}
	part := stability.Part{ArmM: .9, HeightM: 1.964}
	near(t, "limit", part.Limit(stability.DefaultRoll()), part.Rigid()*.9523809523809523, 12)
	for _, a := range stability.DefaultRoll().Assumed() {
		if a.Standing != "memory" {
			t.Errorf("%s stands as %s", a.Key, a.Standing)
		}
	}
}

// Tilt figures of a regulation, from memory in section 4; their conversion is
// derived: tan 23 deg is 0.4245, 4 m/s2 is 0.408 g and leans as 22.19 deg.
// Vectors tan23, 4ms2_g, atan(4/g).
func TestTiltFiguresFromMemory(t *testing.T) {
	lateral := stability.Lateral(10, 25) // 4 m/s2
	near(t, "4 m/s2", lateral, .408, 3)
	near(t, "as a slope", deg(stability.Lean(0, lateral)), 22.19, 2)
	near(t, "23 deg", stability.LargestCrossfall(.4245, 0), math.Tan(23*math.Pi/180), 4)
}

// Hydraulic fields of train A: section 4 (derived), vectors tip4 24.6195..., tip3
// 0.687474..., 19.29198...; the centre of gravity is the train's own, so that the
// last digits follow from the file and not from a rounded 8.088 m.
func TestHydraulicFields(t *testing.T) {
	near(t, "four fields as printed", deg(stability.FourFields(.90, 0)/1.964), 24.62, 2)
	d := stability.ThreeFields(.90, 8.088, 10.55, 0)
	near(t, "three fields, d", d, .6875, 4)
	near(t, "three fields as printed", deg(d/1.964), 19.29, 2)
	for fields, want := range map[int]float64{4: 24.61954656753544, 3: 19.29198403269247} {
		trailer := parts(t, heavy(t, fieldsOf(fields)))[1]
		if trailer.Name != "low-bed" {
			t.Fatalf("%+v", trailer)
		}
		// h 1.964 is 1.9637931 in the file's own sum, a2 8.0879310
		near(t, fmt.Sprintf("train A, %d fields", fields), deg(trailer.Rigid()*1.9637931034482758/1.964), want, 3)
	}
}

// Combined demand: section 4 (derived) and vector cross_plus_curve. The note adds
// the two and leaves their product out.
func TestCombinedDemand(t *testing.T) {
	for _, c := range []struct{ crossfall, kmh, radius, want float64 }{
		{.04, 15, 25, .111}, {.06, 15, 25, .131}, {.06, 30, 50, .202},
	} {
		a := stability.Lateral(c.kmh/3.6, c.radius)
		name := fmt.Sprintf("%.2f, %g km/h, %g m", c.crossfall, c.kmh, c.radius)
		near(t, name, stability.Lean(c.crossfall, a)*(1-c.crossfall*a), c.want, 3)
		near(t, name+", inward", stability.Lean(-c.crossfall, a)*(1+c.crossfall*a), c.want-2*c.crossfall, 3)
	}
}

// Speed at 0.35 g: section 4 (derived), vector curve_speed_kmh_SRT0.35.
func TestSpeedAtALimit(t *testing.T) {
	for radius, kmh := range map[float64]float64{25: 33.3, 50: 47.2, 100: 66.7} {
		near(t, fmt.Sprintf("%g m", radius), 3.6*stability.LargestSpeed(.35, 0, radius), kmh, 1)
	}
	if v := stability.LargestSpeed(.35, .36, 50); v != 0 {
		t.Errorf("a crossfall beyond the limit leaves %g m/s", v)
	}
}

// What is missing is named by its field.
func TestLacking(t *testing.T) {
	for field, change := range map[string]func(*vehicle.Spec){
		"units[0].support.half_width_m": func(s *vehicle.Spec) { s.Units[0].Support = nil },
		"units[1].load.cg_height_m":     func(s *vehicle.Spec) { s.Units[1].Load.CGHeightM = nil },
	} {
		c := heavy(t, change)
		_, err := stability.Parts(c)
		var lack *stability.LackError
		if !errors.As(err, &lack) || lack.Field != field {
			t.Errorf("want %s, got %v", field, err)
		}
		if _, err := stability.RightShares(c, 0, stability.Roll{}); !errors.As(err, &lack) {
			t.Errorf("%s: shares without it: %v", field, err)
		}
	}
}

// A file that does not say how many fields gets the smaller limit, listed.
func TestFieldsNotGiven(t *testing.T) {
	open := heavy(t, func(s *vehicle.Spec) { s.Units[1].Support.Fields = nil })
	got, three, four := parts(t, open), parts(t, heavy(t, fieldsOf(3))), parts(t, heavy(t, fieldsOf(4)))
	if got[1] != three[1] || got[0] != four[0] {
		t.Errorf("%+v, want the trailer of %+v and the tractor of %+v", got, three, four)
	}
	keys := ""
	for _, a := range stability.Assumed(open) {
		keys += a.Key + " "
	}
	if keys != "crossfall.semi_trailer_fields crossfall.own_wheels_fields " {
		t.Errorf("listed %q", keys)
	}
}

func ExampleParts() {
	s, _ := specfile.ReadFile("../../samples/transporter-112t.yaml")
	c, _, _ := vehicle.New(s)
	ps, _ := stability.Parts(c)
	for _, p := range ps {
		fmt.Printf("%s tips at a crossfall of %.1f %% (%.1f deg)\n", p.Name, 100*p.Rigid(), deg(p.Rigid()))
	}
	weakest := stability.Weakest(ps)
	v := stability.LargestSpeed(weakest.Limit(stability.DefaultRoll()), 0.04, 25)
	fmt.Printf("4 %% outward on a bend of 25 m: %.1f km/h\n", 3.6*v)
	// Output:
	// tractor tips at a crossfall of 61.5 % (31.6 deg)
	// low-bed tips at a crossfall of 45.8 % (24.6 deg)
	// tractor with low-bed tips at a crossfall of 51.5 % (27.2 deg)
	// 4 % outward on a bend of 25 m: 35.2 km/h
}

// A tractor under a trailer on three fields carries the kingpin load at the fifth
// wheel: b (W1 + V)/(W1 h1 + V hf), with train A's 20.30 t on the kingpin (reference
// note on vehicle mechanics, section 9). Derived.
func TestTractorUnderThreeFields(t *testing.T) {
	want := 1.00 * (25 + 20.30) / (25*1.35 + 20.30*1.65)
	near(t, "tractor", parts(t, heavy(t, fieldsOf(3)))[0].Rigid(), want, 3)
}

// A unit on its own axles with three fields may have the single one at either end:
// the nearer to the centre of gravity is taken. A tractor of 25 t with 15 t on its
// front group stands 4.10 m apart and 1.64 m behind it. Derived.
func TestThreeFieldsOnOwnAxles(t *testing.T) {
	alone := heavy(t, func(s *vehicle.Spec) {
		s.Units, s.Kind = s.Units[:1], "helper"
		s.Units[0].Support.Fields = p(3)
	})
	want := (1.64 / 4.10) * math.Cos(math.Atan(1/4.10)) / 1.35
	near(t, "tractor alone", parts(t, alone)[0].Rigid(), want, 9)
}

// A semi-trailer on three fields whose last of seven lines has lost its left side
// tips over the line from the kingpin to the middle of the six wheels left, by
// hand 9.825 m behind it; one of four fields keeps its lines.
func TestTippingOfALostSide(t *testing.T) {
	const half, x, h = 0.90, (24*7.40 + 63*8.35) / 87, (24*0.95 + 63*2.35) / 87
	for fields, want := range map[int]float64{
		3: min(stability.ThreeFields(half, x, 9.825, 0), stability.ThreeFields(half, x, 10.55, 0)) / h,
		4: half / h,
	} {
		parts := parts(t, heavy(t, fieldsOf(fields), func(s *vehicle.Spec) { s.Units[1].Axles[6].SideMissing = "left" }))
		if got := parts[1].Rigid(); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d fields: tips at %.5f, by hand %.5f", fields, got, want)
		}
	}
}
