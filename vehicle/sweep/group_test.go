package sweep_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

// Fixed lines 1.36 m apart, 12 m behind the pivot: the group acts (sum d^2/N)/L
// behind its middle, 0.103 m (Winkler 1998, from memory; without the share of
// the towing tyres).
func TestGroupOfFixedLines(t *testing.T) {
	l, err := sweep.Link{Name: "semi", LengthM: 12, WidthM: 2.55, RearOverhangM: 3}.WithLines(
		sweep.Line{AtM: 10.64}, sweep.Line{AtM: 12}, sweep.Line{AtM: 13.36})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "acting length", l.LengthM, 12+2*1.36*1.36/3/12, 1e-12)
	near(t, "rear end stays", l.LengthM+l.RearOverhangM, 15, 1e-12)
}

// A line given twice at the same place acts as itself, and its limit
// saturates.
func TestGroupOfSteeredLines(t *testing.T) {
	one := sweep.Link{LengthM: 12, WidthM: 3, SteerRatio: 0.5, MaxSteerRad: 0.2}
	two, err := sweep.Link{LengthM: 12, WidthM: 3}.WithLines(
		sweep.Line{AtM: 12, SteerRatio: 0.5, MaxSteerRad: 0.2}, sweep.Line{AtM: 12, SteerRatio: 0.5, MaxSteerRad: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	tractor := sweep.Link{LengthM: 4.8, WidthM: 2.5}
	line := turn(20, 14, math.Pi/2, 40, 0.25)
	a := follow(t, line, sweep.Train{Links: []sweep.Link{tractor, one}}, sweep.Options{})
	b := follow(t, line, sweep.Train{Links: []sweep.Link{tractor, two}}, sweep.Options{})
	near(t, "peak articulation", b.Peaks[1].AngleRad, a.Peaks[1].AngleRad, 1e-9)
	if !(a.Peaks[1].AngleRad > 0.4) {
		t.Errorf("peak %g does not saturate", a.Peaks[1].AngleRad)
	}
	if _, err := one.WithLines(sweep.Line{AtM: -1}); !errors.Is(err, sweep.ErrTrain) {
		t.Errorf("a line ahead of the pivot: %v", err)
	}
}

// A joint that stops at 30 degrees folds where the free one gets round.
func TestJointLimit(t *testing.T) {
	train := bars(4.8, 12)
	line := turn(20, 12.5, math.Pi/2, 40, 0.25)
	if tr := follow(t, line, train, sweep.Options{}); tr.Fold != nil {
		t.Fatalf("free joint folds: %+v", tr.Fold)
	}
	train.Links[1].MaxArticulationRad = 30 * deg
	tr := follow(t, line, train, sweep.Options{})
	if tr.Fold == nil || tr.Fold.Link != 1 {
		t.Fatalf("fold %+v, want the trailer's", tr.Fold)
	}
	near(t, "fold, deg", tr.Fold.AngleRad/deg, 30, 0.5)
	if _, ok := sweep.Steady(train, 15); ok {
		t.Error("settles beyond the joint's limit")
	}
}

// A long rear overhang swings out on entry; without overhang nothing does. The
// outline of the wheels sweeps less than that of the body.
func TestEndsAndGround(t *testing.T) {
	train := lowBed()
	line := turn(30, 15, math.Pi/2, 40, 0.25)
	s, err := sweep.Swings(line, train, sweep.Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no overhang, no swing", s[1].RearM, 0, 1e-9)
	train.Links[1].RearOverhangM, train.Links[1].SteerRatio, train.Links[1].MaxSteerRad = 5, 0.7, 0.7
	if s, err = sweep.Swings(line, train, sweep.Options{}); err != nil {
		t.Fatal(err)
	}
	if !(s[1].RearM > 0.2) {
		t.Errorf("rear swings %g m", s[1].RearM)
	}
	train.Links[1].GroundWidthM, train.Links[1].GroundFrontM, train.Links[1].GroundRearM = 2.5, -6, 1
	body := follow(t, line, train, sweep.Options{})
	wheels := follow(t, line, train.OnGround(), sweep.Options{})
	b, _ := sweep.SweptWidth(&body, sweep.Window{})
	g, _ := sweep.SweptWidth(&wheels, sweep.Window{})
	if !(g.WidthM < b.WidthM-0.2) {
		t.Errorf("wheels sweep %.2f m, body %.2f", g.WidthM, b.WidthM)
	}
}

// BenchmarkKinematics is a three-unit train: its steps alone, and with the
// outlines that the strip is made of. A step moves all three units.
func BenchmarkKinematics(b *testing.B) {
	for name, widthM := range map[string]float64{"steps": 0, "outlines": 2.5} {
		b.Run(name, func(b *testing.B) {
			train := bars(4.8, 7, 9)
			for i := range train.Links {
				train.Links[i].WidthM = widthM
			}
			line := turn(500, 20, math.Pi/2, 468.6, 0.25)
			var tr sweep.Trace
			for b.Loop() {
				if err := tr.Follow(line, train, sweep.Options{StepM: 0.25}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(tr.Steps)*float64(b.N)/b.Elapsed().Seconds()/1e6, "Msteps/s")
		})
	}
}
