package sweep_test

import (
	"math"
	"testing"

	"drawbar/vehicle/sweep"
	"pgregory.net/rapid"
)

// drawLine is a few straights and arcs, both hands, none so tight that the
// steering axle could not go round.
func drawLine(t *rapid.T) []sweep.Point {
	line := []sweep.Point{{}}
	var at sweep.Point
	heading := rapid.Float64Range(-3, 3).Draw(t, "heading")
	for range rapid.IntRange(1, 4).Draw(t, "pieces") {
		length := rapid.Float64Range(2, 25).Draw(t, "length")
		kappa := rapid.Float64Range(-0.06, 0.06).Draw(t, "curvature")
		n := int(length/0.5) + 1
		for range n {
			heading += kappa * length / float64(n)
			at.X += length / float64(n) * math.Cos(heading)
			at.Y += length / float64(n) * math.Sin(heading)
			line = append(line, at)
		}
	}
	return line
}

func drawTrain(t *rapid.T) sweep.Train {
	var train sweep.Train
	for range rapid.IntRange(1, 4).Draw(t, "links") {
		l := sweep.Link{
			LengthM:        rapid.Float64Range(2, 13).Draw(t, "length"),
			HitchOffsetM:   rapid.Float64Range(-2, 1).Draw(t, "hitch"),
			WidthM:         rapid.SampledFrom([]float64{0, 2.5, 3.2}).Draw(t, "width"),
			FrontOverhangM: rapid.Float64Range(0, 2).Draw(t, "front"),
			RearOverhangM:  rapid.Float64Range(0, 4).Draw(t, "rear"),
		}
		if rapid.Bool().Draw(t, "steered") && len(train.Links) > 0 {
			l.SteerRatio = rapid.Float64Range(0.1, 1).Draw(t, "ratio")
			l.MaxSteerRad = rapid.Float64Range(0.1, 0.9).Draw(t, "limit")
		}
		train.Links = append(train.Links, l)
	}
	train.Links[0].WidthM = 2.5
	return train
}

// compare holds two traces of one train against each other: angles times sign,
// offsets times scale, the right edge for the left one where sign is negative.
func compare(t *rapid.T, a, b *sweep.Trace, sign, scale float64) {
	if a.Steps != b.Steps || (a.Fold == nil) != (b.Fold == nil) || len(a.StationM) != len(b.StationM) {
		t.Fatalf("%d steps of %d, fold %+v; the other %d of %d, %+v", a.Steps, len(a.StationM), a.Fold, b.Steps, len(b.StationM), b.Fold)
	}
	const tol = 1e-8
	for j := range a.Steps {
		for i := range a.Links {
			if d := a.ArticulationRad(j, i) - sign*b.ArticulationRad(j, i); math.Abs(d) > tol {
				t.Fatalf("station %d link %d: angles differ by %g rad", j, i, d)
			}
			al, ar, ok := a.EdgesM(j, i)
			bl, br, bok := b.EdgesM(j, i)
			if sign < 0 {
				bl, br = -br, -bl
			}
			if ok != bok || ok && (math.Abs(al*scale-bl) > tol*100 || math.Abs(ar*scale-br) > tol*100) {
				t.Fatalf("station %d link %d: edges %g %g (%v), the other %g %g (%v)", j, i, al, ar, ok, bl, br, bok)
			}
		}
	}
}

func drawTrace(t *rapid.T, line []sweep.Point, train sweep.Train, step float64) sweep.Trace {
	tr, err := sweep.Follow(line, train, sweep.Options{StepM: step})
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func TestMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, train := drawLine(t), drawTrain(t)
		other := append([]sweep.Point(nil), line...)
		for k := range other {
			other[k].Y = -other[k].Y
		}
		a, b := drawTrace(t, line, train, 0.5), drawTrace(t, other, train, 0.5)
		compare(t, &a, &b, -1, 1)
	})
}

// Lengths have no unit here: twice the size is the same movement. A power of
// two, so that stations fall alike to the last bit.
func TestScaled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, train := drawLine(t), drawTrain(t)
		large := sweep.Train{Links: append([]sweep.Link(nil), train.Links...)}
		for i := range large.Links {
			l := &large.Links[i]
			l.LengthM, l.HitchOffsetM, l.WidthM = 2*l.LengthM, 2*l.HitchOffsetM, 2*l.WidthM
			l.FrontOverhangM, l.RearOverhangM = 2*l.FrontOverhangM, 2*l.RearOverhangM
		}
		other := append([]sweep.Point(nil), line...)
		for k := range other {
			other[k] = sweep.Point{X: 2 * other[k].X, Y: 2 * other[k].Y}
		}
		a, b := drawTrace(t, line, train, 0.5), drawTrace(t, other, large, 1)
		compare(t, &a, &b, 1, 2)
	})
}

// Every pivot keeps its distance: a rigid link neither stretches nor leaves
// its hitch, and its axle group rolls where the steered wheels point.
func TestLinksStayCoupled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, train := drawLine(t), drawTrain(t)
		tr := drawTrace(t, line, train, 0.25)
		for j := range tr.Steps {
			pivot := tr.Line[j]
			for i, l := range tr.Links {
				p := tr.AxleAt(j, i)
				if d := math.Hypot(pivot.X-p.X, pivot.Y-p.Y) - l.LengthM; math.Abs(d) > 1e-9 {
					t.Fatalf("station %d link %d: length off by %g m", j, i, d)
				}
				if a := math.Abs(tr.ArticulationRad(j, i)); tr.Fold == nil && !(a < sweep.DefaultFoldRad) {
					t.Fatalf("station %d link %d: %g rad and not folded", j, i, a)
				}
				s, c := math.Sincos(tr.HeadingRad(j, i))
				pivot = sweep.Point{X: p.X + l.HitchOffsetM*c, Y: p.Y + l.HitchOffsetM*s}
			}
		}
		if s, err := sweep.SweptWidth(&tr, sweep.Window{}); tr.Fold != nil && (err == nil || !math.IsInf(s.WidthM, 1)) {
			t.Fatalf("folded, yet a width of %g m, %v", s.WidthM, err)
		}
	})
}

func TestStraightLineSweepsTheBody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		train := drawTrain(t)
		s, c := math.Sincos(rapid.Float64Range(-3, 3).Draw(t, "heading"))
		line := []sweep.Point{{X: 10, Y: -5}, {X: 10 + 40*c, Y: -5 + 40*s}}
		tr := drawTrace(t, line, train, 0)
		got, err := sweep.SweptWidth(&tr, sweep.Window{})
		if err != nil {
			t.Fatal(err)
		}
		widest := 0.0
		for _, l := range train.Links {
			widest = math.Max(widest, l.WidthM)
		}
		if math.Abs(got.WidthM-widest) > 1e-9 || math.Abs(got.Left.OffsetM-widest/2) > 1e-9 {
			t.Fatalf("swept %+v, body %g m", got, widest)
		}
		if tr.CoveredM < tr.LineM {
			t.Fatalf("line of %g m covered to %g m only", tr.LineM, tr.CoveredM)
		}
	})
}
