package check_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/terrain"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"

	"github.com/paulmach/orb"
)

// tb is what of testing.TB the builders need; rapid's T has it too.
type tb interface {
	Helper()
	Fatal(args ...any)
}

const heavyFile = "../../samples/transporter-112t.yaml"

// heavySpec is the sample transporter of 112 t, invented.
func heavySpec(t tb) vehicle.Spec {
	t.Helper()
	s, err := specfile.ReadFile(heavyFile)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// setup makes a train of the sample with changes.
func setup(t tb, o check.Settings, change ...func(*vehicle.Spec)) *check.Setup {
	t.Helper()
	s := heavySpec(t)
	for _, c := range change {
		s.Level = "" // a claim about the file as it was
		c(&s)
	}
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	set, err := check.NewSetup(c, o)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// leg is a piece of a way, on from where the one before ended.
type leg struct {
	to   []orb.Point // metres east and north of the start
	tags route.Tags
}

// straight are legs due north, each of a length.
func straight(tags route.Tags, lengthM ...float64) (out []leg) {
	y := 0.0
	for _, l := range lengthM {
		y += l
		out = append(out, leg{[]orb.Point{{0, y}}, tags})
	}
	return out
}

var asphalt = route.Tags{Mapped: true, Highway: "secondary", Surface: "asphalt"}

func limit(v float64) route.Limit {
	return route.Limit{State: route.Known, Value: v, Raw: "as tagged"}
}

var unreadable = route.Limit{State: route.Unreadable, Raw: "see sign"}

// wayOf lays the legs out at 10 E 47 N.
func wayOf(t tb, legs []leg) *route.Alignment {
	t.Helper()
	east, north := terrain.MetresPerDegree(47)
	r := &route.Route{ID: "toy", Line: orb.LineString{{10, 47}}}
	for _, l := range legs {
		first := len(r.Line) - 1
		for _, p := range l.to {
			r.Line = append(r.Line, orb.Point{10 + p[0]/east, 47 + p[1]/north})
		}
		r.Pieces = append(r.Pieces, route.Piece{First: first, Last: len(r.Line) - 1, Tags: l.tags})
	}
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// onRamp puts a train on an exact ramp: no error of the raster.
func onRamp(t tb, set *check.Setup, gradeRatio float64, legs ...leg) *check.Situation {
	t.Helper()
	a := wayOf(t, legs)
	placed, looked := structure.Place(a)
	return check.NewSituation(set, a, profile.Constant(gradeRatio, a.LengthM()), placed, looked)
}

// onHills puts a train on ground given by chainage of a way due north; NaN is a
// void.
func onHills(t tb, set *check.Setup, height func(northM float64) float64, legs ...leg) *check.Situation {
	t.Helper()
	return onGround(t, set, profile.Options{}, height, legs...)
}

// onVoid puts a train on level ground with a void, carried up to a length.
func onVoid(t tb, set *check.Setup, voidM, carryM float64) *check.Situation {
	t.Helper()
	return onGround(t, set, profile.Options{VoidCarryM: carryM}, func(y float64) float64 {
		if y > 400 && y < 400+voidM {
			return math.NaN()
		}
		return 100
	}, straight(asphalt, 1000)...)
}

func onGround(t tb, set *check.Setup, o profile.Options, height func(northM float64) float64, legs ...leg) *check.Situation {
	t.Helper()
	_, north := terrain.MetresPerDegree(47)
	ground := terrain.Func{
		At: func(_, lat float64) (float64, bool) {
			z := height((lat - 47) * north)
			return z, !math.IsNaN(z)
		},
		Source: terrain.Source{Name: "toy", CellM: 10, SEM: 0.3, CorrM: 50},
	}
	a := wayOf(t, legs)
	placed, looked := structure.Place(a)
	var carried []route.Stretch
	for _, p := range placed {
		carried = append(carried, p.At)
	}
	p, err := profile.Build(context.Background(), a, carried, ground, o)
	if err != nil {
		t.Fatal(err)
	}
	return check.NewSituation(set, a, p, placed, looked)
}

func run(s *check.Situation) []check.Finding {
	var k check.Sink
	check.Run(s, &k)
	return k.Findings
}

// of are the findings of one check that speak of a place.
func of(fs []check.Finding, name string) (out []check.Finding) {
	for _, f := range fs {
		if f.Check == name && !f.Standing {
			out = append(out, f)
		}
	}
	return out
}

// worstOf is the most severe outcome of one check, Pass when it found nothing.
func worstOf(fs []check.Finding, name string) check.Outcome {
	w := check.Pass
	for _, f := range of(fs, name) {
		w = max(w, f.Outcome)
	}
	return w
}

// quantity is the value of a name in a finding.
func quantity(t *testing.T, f check.Finding, name string) check.Quantity {
	t.Helper()
	for _, q := range f.Q {
		if q.Name == name {
			return q
		}
	}
	t.Fatalf("%s: no quantity %q in %q", f.Check, name, f.Say)
	return check.Quantity{}
}

// mastered is the row of the train's table for a surface.
func mastered(t *testing.T, set *check.Setup, surface string) check.Mastered {
	t.Helper()
	for _, m := range set.Mastered() {
		if strings.HasSuffix(m.Surface, surface) {
			return m
		}
	}
	t.Fatalf("no surface %q", surface)
	return check.Mastered{}
}
