package sweep_test

import (
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

// lowBed is the generic low-bed of geometry: tractor 4.80 m with the fifth wheel
// 0.40 m ahead, 12.0 m from kingpin to bogie, a trailer 3.0 m wide.
func lowBed() sweep.Train {
	return sweep.Train{Links: []sweep.Link{
		{Name: "tractor", LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.5, FrontOverhangM: 1.4},
		{Name: "trailer", LengthM: 12, WidthM: 3, FrontOverhangM: 0, RearOverhangM: 0},
	}}
}

func roadOf(radiusM, turnRad float64) sweep.Road {
	const lead = 15.0
	line := turn(lead, radiusM, turnRad, 25, 1)
	return sweep.Road{Middle: line, FromM: lead, ToM: lead + radiusM*math.Abs(turnRad), LeftTurn: turnRad > 0}
}

// The best line never asks for more than the middle of the road, nor for less
// than the bodies are wide, and what it says of itself is what following it
// again gives. Left and right alike.
func TestBestLine(t *testing.T) {
	var tr sweep.Trace
	for _, radius := range []float64{15, 20, 30, 60} {
		for _, angle := range []float64{30, 60, 90, 150} {
			l, err := sweep.BestLine(&tr, roadOf(radius, angle*deg), lowBed(), sweep.Options{StepM: 1})
			if err != nil {
				t.Fatal(err)
			}
			r, err := sweep.BestLine(&tr, roadOf(radius, -angle*deg), lowBed(), sweep.Options{StepM: 1})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "left and right alike", l.NeedM, r.NeedM, 1e-6)
			plain := sweep.Options{StepM: 1}
			one, _ := sweep.Follow(roadOf(radius, angle*deg).Middle, lowBed(), plain)
			s, _ := sweep.SweptWidth(&one, sweep.Window{})
			t.Logf("R %2.0f, %3.0f deg: on the middle %.2f (strip %.2f), best %.2f: out %.1f before, %.1f in, %.1f after, apex late by %.1f m, %d lines",
				radius, angle, l.PlainM, s.WidthM, l.NeedM, l.EntryM, l.ApexM, l.ExitM, l.LateM, l.Lines)
			if !(l.NeedM <= l.PlainM) || l.NeedM < 3 || math.Abs(l.NeedM-2*math.Max(l.InM, l.OutM)) > 1e-9 {
				t.Errorf("R %g, %g deg: %+v", radius, angle, l)
			}
			if l.NeedM > s.WidthM+0.5 {
				t.Errorf("R %g, %g deg: best %.2f m is worse than the strip moved over, %.2f", radius, angle, l.NeedM, s.WidthM)
			}
		}
	}
}

// A train that folds on every line has no best one.
func TestBestLineThatFolds(t *testing.T) {
	var tr sweep.Trace
	b, err := sweep.BestLine(&tr, roadOf(5, math.Pi), bars(4, 14), sweep.Options{})
	if err != nil || !math.IsInf(b.NeedM, 1) {
		t.Errorf("%+v, %v: want an infinite need", b, err)
	}
}

func BenchmarkBestLine(b *testing.B) {
	var tr sweep.Trace
	r := roadOf(20, math.Pi/2)
	n := 0
	for b.Loop() {
		best, err := sweep.BestLine(&tr, r, lowBed(), sweep.Options{StepM: 1})
		if err != nil {
			b.Fatal(err)
		}
		n = best.Lines
	}
	b.ReportMetric(float64(n), "lines")
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N), "ms/bend")
}
