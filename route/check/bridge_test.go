package check_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle"
	"drawbar/vehicle/loadeffect"
)

// onBridge puts the train on 60 m of bridge with what is known of it.
func onBridge(t tb, set *check.Setup, f structure.Feature) *check.Situation {
	t.Helper()
	f.Kind = structure.Bridge
	a := wayOf(t, straight(asphalt, 400))
	return check.NewSituation(set, a, profile.Constant(0, a.LengthM()),
		[]structure.Placed{{Feature: &f, At: route.Stretch{FromM: 100, ToM: 160}}}, structure.Looked{MappedM: 400})
}

// Best knowledge first. Capacities are the train's own effects by the exact
// algorithm of loadeffect, times a factor.
func TestBridgeKnowledge(t *testing.T) {
	set := setup(t, check.Settings{})
	e := loadeffect.Simple(loadeffect.Of(set.Train), 20)
	f := func(m, v float64) structure.Feature {
		return structure.Feature{SpanM: limit(20), RatedMomentNm: limit(m * e.MomentNm), RatedShearN: limit(v * e.ShearN)}
	}
	half := f(2, 2)
	half.RatedShearN = route.Limit{}
	noSpan := f(2, 2)
	noSpan.SpanM = route.Limit{}
	arch := f(2, 2)
	arch.Form = structure.FormArch
	signed := f(2, 2)
	signed.MaxMassKg = limit(30e3)
	cleared := structure.Feature{ClearedMassKg: limit(130e3), MaxMassKg: limit(30e3)}
	for name, c := range map[string]struct {
		f    structure.Feature
		want check.Outcome
	}{
		"rated for twice ours":       {f(2, 2), check.Pass},
		"rated too low by moment":    {f(0.5, 2), check.Fail},
		"rated too low by shear":     {f(2, 0.5), check.Fail},
		"moment alone":               {half, check.NotLooked},
		"rated, span not known":      {noSpan, check.NotLooked},
		"an arch has no beam moment": {arch, check.NotLooked},
		"a sign stands beside it":    {signed, check.Fail},
		"cleared by its owner":       {cleared, check.Pass},
		"cleared for less":           {structure.Feature{ClearedMassKg: limit(100e3)}, check.Fail},
		"class":                      {structure.Feature{ClassWheeled: limit(150)}, check.Pass},
		"axle alone":                 {structure.Feature{MaxAxleKg: limit(20e3)}, check.NotLooked},
		"nothing":                    {structure.Feature{}, check.NotLooked},
		"short and nothing":          {structure.Feature{SpanM: limit(2)}, check.NotLooked},
	} {
		if got := worstOf(run(onBridge(t, set, c.f)), "bridge"); got != c.want {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// However light the train, a ratio of effects never makes a pass.
func TestRatioAloneIsNoPass(t *testing.T) {
	light := setup(t, check.Settings{}, func(s *vehicle.Spec) { s.Units[1].Load = nil })
	for _, span := range []float64{1, 3, 6, 20, 60} {
		for _, set := range []*check.Setup{light, setup(t, check.Settings{})} {
			fs := of(run(onBridge(t, set, structure.Feature{SpanM: limit(span)})), "bridge")
			if len(fs) != 1 || fs[0].Outcome != check.NotLooked || !math.IsNaN(fs[0].P) || fs[0].Rank == 0 {
				t.Errorf("%g m: %+v", span, fs)
			}
		}
	}
}

// The harder question ranks higher, and enquiries find their figures by name.
func TestTriage(t *testing.T) {
	set := setup(t, check.Settings{})
	rank := func(f structure.Feature) int {
		for _, g := range of(run(onBridge(t, set, f)), "bridge") {
			if g.Rank > 0 {
				for _, q := range []string{"class", "moment", "shear", "span", "axle", "bogie", "mass"} {
					if v := quantity(t, g, q); !(v.Value > 0) {
						t.Errorf("%s is %g", q, v.Value)
					}
				}
				return g.Rank
			}
		}
		t.Fatalf("no question about %+v", f)
		return 0
	}
	long, short := rank(structure.Feature{}), rank(structure.Feature{SpanM: limit(2)})
	posted := rank(structure.Feature{MaxAxleKg: limit(8e3)})
	if !(posted > long && long > short) {
		t.Errorf("posted below us %d, 60 m %d, 2 m %d", posted, long, short)
	}
	spans := structure.Feature{Spans: 30}
	if rank(spans) != short {
		t.Error("thirty spans of 2 m are as one of 2 m")
	}
}

// Every value that the question names closes it.
func TestRatingAskedForCloses(t *testing.T) {
	set := setup(t, check.Settings{})
	q := of(run(onBridge(t, set, structure.Feature{SpanM: limit(24)})), "bridge")[0]
	f := structure.Feature{SpanM: limit(24), RatedMomentNm: limit(quantity(t, q, "momentneed").Value * (1 + 1e-9)), RatedShearN: limit(quantity(t, q, "shearneed").Value * (1 + 1e-9))}
	if got := worstOf(run(onBridge(t, set, f)), "bridge"); got != check.Pass {
		t.Errorf("the rating asked for is %v", got)
	}
	f = structure.Feature{ClearedMassKg: limit(quantity(t, q, "grossneed").Value * (1 + 1e-9))}
	if got := worstOf(run(onBridge(t, set, f)), "bridge"); got != check.Pass {
		t.Errorf("the clearance asked for is %v", got)
	}
}

// What lightens the train is said where it fails: the helper first, the machine on
// its own; the loaded semi-trailer stays with its tractor.
func TestOtherWays(t *testing.T) {
	own := setup(t, check.Settings{})
	c, err := vehicle.Couple(own.Train, own.Train, vehicle.Bar{LengthM: 4, HeightM: 0.9})
	if err != nil {
		t.Fatal(err)
	}
	both, err := check.NewSetup(c, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	f := of(run(onBridge(t, both, structure.Feature{ClassWheeled: limit(120)})), "bridge")[0]
	if !strings.Contains(f.Do, "helper off") || math.Abs(quantity(t, f, "alone").Value-loadeffect.Expedient(own.Train.GrossKg, false)) > 1e-6 {
		t.Errorf("%s", f.Do)
	}
	f = of(run(onBridge(t, own, structure.Feature{ClassWheeled: limit(80)})), "bridge")[0]
	if strings.Contains(f.Do, "helper off") || !strings.Contains(f.Do, "off-load") {
		t.Errorf("%s", f.Do)
	}
	if m := quantity(t, f, "machine").Value; math.Abs(m-loadeffect.Expedient(63000, true)) > 1e-6 {
		t.Errorf("machine of class %g", m)
	}
	for _, low := range []structure.Feature{{ClassWheeled: limit(50)}, {MaxMassKg: limit(40e3)}, {MaxAxleKg: limit(8e3)}} {
		if f = of(run(onBridge(t, both, low)), "bridge")[0]; strings.Contains(f.Do, "; or ") {
			t.Errorf("no part of it passes %+v: %s", low, f.Do)
		}
	}
}

// BenchmarkBridges: a route with 200 structures, to be under 10 ms.
func BenchmarkBridges(b *testing.B) {
	set := setup(b, check.Settings{})
	a := wayOf(b, straight(asphalt, 20000))
	var placed []structure.Placed
	for i := range 200 {
		at := 50 + 95*float64(i)
		placed = append(placed, structure.Placed{Feature: &structure.Feature{Kind: structure.Bridge},
			At: route.Stretch{FromM: at, ToM: at + 3 + 0.2*float64(i)}})
	}
	s := check.NewSituation(set, a, profile.Constant(0, a.LengthM()), placed, structure.Looked{})
	for _, c := range check.List {
		if c.Name == "bridge" {
			for b.Loop() {
				var k check.Sink
				c.Run(s, &k)
			}
		}
	}
}
