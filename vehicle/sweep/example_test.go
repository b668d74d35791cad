package sweep_test

import (
	"fmt"
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

func ExampleFollow() {
	train := sweep.Train{Links: []sweep.Link{
		{Name: "tractor", LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.5, FrontOverhangM: 1.4, RearOverhangM: 0.8},
		{Name: "low-bed", LengthM: 12, WidthM: 3, RearOverhangM: 2},
	}}
	bend := turn(30, 20, math.Pi/2, 30, 0.25) // 90 degrees to the left on 20 m
	trace, err := sweep.Follow(bend, train, sweep.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	swept, err := sweep.SweptWidth(&trace, sweep.Window{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("swept width %.2f m at %.0f m\n", swept.WidthM, swept.WidthAtM)
	fmt.Printf("%.2f m left of the line (%s), %.2f m right of it (%s)\n",
		swept.Left.OffsetM, trace.Links[swept.Left.Link].Name, -swept.Right.OffsetM, trace.Links[swept.Right.Link].Name)
	fmt.Printf("articulation %.1f deg at %.0f m, steer %.1f deg\n",
		trace.Peaks[1].AngleRad*180/math.Pi, trace.Peaks[1].StationM, trace.Peaks[0].AngleRad*180/math.Pi)
	// Output:
	// swept width 6.92 m at 52 m
	// 5.35 m left of the line (low-bed), 1.58 m right of it (tractor)
	// articulation 30.8 deg at 62 m, steer 14.2 deg
}

func ExampleSteadyOfftracking() {
	train := sweep.Train{Links: []sweep.Link{{LengthM: 4.8, HitchOffsetM: 0.4}, {LengthM: 12}}}
	for _, r := range []float64{30, 15, 12.5} {
		off, ok := sweep.SteadyOfftracking(train, r)
		fmt.Printf("radius %.1f m: %.2f m, settles: %v\n", r, off, ok)
	}
	// Output:
	// radius 30.0 m: 2.92 m, settles: true
	// radius 15.0 m: 7.38 m, settles: true
	// radius 12.5 m: NaN m, settles: false
}

// Time for one metre of line (the exit tangent, 99 m, counts besides).
func BenchmarkFollow(b *testing.B) {
	for _, v := range []struct {
		name  string
		ratio float64
	}{{"fixed", 0}, {"steered", 0.5}} {
		b.Run(v.name, func(b *testing.B) {
			train := sweep.Train{Links: []sweep.Link{
				{LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.5, FrontOverhangM: 1.4, RearOverhangM: 0.8},
				{LengthM: 12, WidthM: 3, RearOverhangM: 2, SteerRatio: v.ratio, MaxSteerRad: 0.7},
			}}
			line := turn(500, 20, math.Pi/2, 468.6, 0.25)
			var tr sweep.Trace
			b.ReportAllocs()
			for b.Loop() {
				if err := tr.Follow(line, train, sweep.Options{StepM: 0.25}); err != nil {
					b.Fatal(err)
				}
			}
			followed := tr.StationM[len(tr.StationM)-1]
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/followed, "ns/m")
		})
	}
}

// A trace used again must tell what a fresh one tells.
func TestTraceUsedAgain(t *testing.T) {
	var again sweep.Trace
	for _, r := range []float64{15, 40, 12} {
		line := turn(20, r, math.Pi/2, 10, 0.25)
		if err := again.Follow(line, bars(5, 11), sweep.Options{}); err != nil {
			t.Fatal(err)
		}
		fresh := follow(t, line, bars(5, 11), sweep.Options{})
		a, errA := sweep.SweptWidth(&again, sweep.Window{})
		f, errF := sweep.SweptWidth(&fresh, sweep.Window{})
		if a != f || (errA == nil) != (errF == nil) || again.Peaks[1] != fresh.Peaks[1] || again.CoveredM != fresh.CoveredM {
			t.Errorf("radius %g m: %+v, fresh %+v", r, a, f)
		}
	}
	line := turn(20, 15, math.Pi/2, 10, 0.25)
	train := bars(5, 11)
	if n := testing.AllocsPerRun(5, func() { _ = again.Follow(line, train, sweep.Options{}) }); n > 0 {
		t.Errorf("%g allocations with a used trace, want none", n)
	}
}
