package stability_test

import (
	"math"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/stability"

	"pgregory.net/rapid"
)

// shape is what tips a train.
type shape struct {
	fields                   int
	tractorM, trailerM       float64 // half widths
	tractorH, trailerH, load float64 // heights
	tractorY, loadY          float64
}

func drawShape(t *rapid.T) shape {
	f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	return shape{rapid.IntRange(3, 4).Draw(t, "fields"), f("tractor b", .7, 1.2), f("trailer b", .6, 1.4),
		f("tractor h", .9, 1.8), f("trailer h", .7, 1.2), f("load h", 1.2, 3.5), f("tractor y", -.1, .1), f("load y", -.25, .25)}
}

func (s shape) train(t tb) *vehicle.Combination {
	return heavy(t, func(v *vehicle.Spec) {
		u := v.Units
		u[0].Support.HalfWidthM, u[1].Support.HalfWidthM = p(s.tractorM), p(s.trailerM)
		u[0].CGHeightM, u[1].CGHeightM, u[1].Load.CGHeightM = p(s.tractorH), p(s.trailerH), p(s.load)
		u[0].CGYM, u[1].Load.CGYM = p(s.tractorY), p(s.loadY)
		if u[1].Support.Fields = nil; s.fields > 0 {
			u[1].Support.Fields = p(s.fields)
		}
	})
}

func (s shape) limit(t tb) float64 { return stability.Weakest(parts(t, s.train(t))).Rigid() }

// Higher, narrower or further off the middle never tips later, and left is as bad
// as right. Tractor and load are off to one side: to opposite ones they ease each
// other.
func TestLimitIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		s.tractorY = math.Copysign(s.tractorY, s.loadY)
		was := s.limit(t)
		by := rapid.Float64Range(0, .3).Draw(t, "by")
		for name, worse := range map[string]func(*shape){
			"higher load":      func(s *shape) { s.load += by },
			"narrower trailer": func(s *shape) { s.trailerM = max(s.trailerM-by, .3) },
			"narrower tractor": func(s *shape) { s.tractorM -= by },
			"off the middle":   func(s *shape) { s.loadY += math.Copysign(by, s.loadY) },
		} {
			w := s
			worse(&w)
			if got := w.limit(t); got > was+1e-12 && was > 0 {
				t.Fatalf("%s by %g: limit %g was %g", name, by, got, was)
			}
		}
		m := s
		m.tractorY, m.loadY = -m.tractorY, -m.loadY
		if got := m.limit(t); got != was {
			t.Fatalf("mirrored %g, was %g", got, was)
		}
		three, four, unsaid := s, s, s
		three.fields, four.fields, unsaid.fields = 3, 4, 0
		if a, b := parts(t, three.train(t))[1].Rigid(), parts(t, four.train(t))[1].Rigid(); a > b && b > 0 {
			t.Fatalf("the trailer alone on three fields %g, on four %g", a, b)
		}
		if a, b := unsaid.limit(t), min(three.limit(t), four.limit(t)); a > b+1e-12 {
			t.Fatalf("fields not given %g, the worse of both %g", a, b)
		}
	})
}

// The stiff whole never tips before its weakest part: taking the parts alone is
// the safe choice.
func TestWholeIsNoWeaker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		s.tractorY, s.loadY = math.Abs(s.tractorY), math.Abs(s.loadY) // the worse sides of both are one side
		ps := parts(t, s.train(t))
		whole, alone := ps[2], min(ps[0].Rigid(), ps[1].Rigid())
		if alone > 0 && whole.Rigid() < alone-1e-12 {
			t.Fatalf("whole %g, parts %g and %g", whole.Rigid(), ps[0].Rigid(), ps[1].Rigid())
		}
	})
}

// Moments about the middle of the road close to 1e-9 of the weight times a metre,
// mirrored leans mirror the shares, and a trailer on four fields has all of its
// load on one side at its own limit.
func TestMomentsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		c := s.train(t)
		lean := rapid.Float64Range(-.4, .4).Draw(t, "lean")
		r := stability.Roll{RadPerG: rapid.Float64Range(0, .3).Draw(t, "roll"), AxisShare: rapid.Float64Range(0, 1).Draw(t, "axis")}
		share, err := stability.RightShares(c, lean, r)
		if err != nil {
			t.Fatal(err)
		}
		wheels, weights := 0.0, 0.0
		for k, a := range c.Axles {
			wheels += a.Kg * (2*share[k] - 1) * c.Units[a.Unit].SupportHalfWidthM
		}
		for _, u := range c.Units {
			weights += u.MassKg * (u.CGHM*lean/r.Factor() - u.CGYM)
		}
		if math.Abs(wheels-weights) > 1e-9*c.GrossKg {
			t.Fatalf("wheels %g, weights %g kg m", wheels, weights)
		}
		s.tractorY, s.loadY = -s.tractorY, -s.loadY
		mirrored, _ := stability.RightShares(s.train(t), -lean, r)
		for k := range share {
			if math.Abs(share[k]+mirrored[k]-1) > 1e-12 {
				t.Fatalf("axle %d: %g and mirrored %g", k+1, share[k], mirrored[k])
			}
		}
		s.fields, s.loadY = 4, -math.Abs(s.loadY) // off to the right
		c = s.train(t)
		at := parts(t, c)[1].Limit(r)
		if share, _ := stability.RightShares(c, at, r); math.Abs(share[len(share)-1]-1) > 1e-9 {
			t.Fatalf("at its limit %g the trailer's right side carries %g", at, share[len(share)-1])
		}
	})
}

// Crossfall, curve and speed are inverses of each other.
func TestInverses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(.1, .6).Draw(t, "limit")
		lateral := rapid.Float64Range(0, .5).Draw(t, "lateral")
		if got := stability.Lean(stability.LargestCrossfall(limit, lateral), lateral); math.Abs(got-limit) > 1e-12 {
			t.Fatalf("%g, want %g", got, limit)
		}
		fall := rapid.Float64Range(-.1, limit-.01).Draw(t, "crossfall")
		radius := rapid.Float64Range(8, 500).Draw(t, "radius")
		v := stability.LargestSpeed(limit, fall, radius)
		if got := stability.Lean(fall, stability.Lateral(v, radius)); math.Abs(got-limit) > 1e-12 {
			t.Fatalf("at %g m/s %g, want %g", v, got, limit)
		}
	})
}

// A coupled helper tips by itself: a bar carries no roll.
func TestCoupledByABar(t *testing.T) {
	train := heavy(t)
	pair, err := vehicle.Couple(heavy(t, func(s *vehicle.Spec) { s.Units, s.Kind = s.Units[:1], "helper" }), train, vehicle.Bar{LengthM: 3, HeightM: .9})
	if err != nil {
		t.Fatal(err)
	}
	ps, alone := parts(t, pair), parts(t, train)
	if len(ps) != 4 {
		t.Fatalf("%+v", ps)
	}
	for i, a := range alone {
		got := ps[i+1]
		if math.Abs(got.Rigid()-a.Rigid()) > 1e-12 || got.Name != a.Name {
			t.Errorf("%+v behind a helper, %+v alone", got, a)
		}
	}
	near(t, "the helper", ps[0].Rigid(), 1.0/1.35, 12)
}
