package sweep_test

import (
	"errors"
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

// Source: centreline radius and inside radius, rows P to WB-40: TxDOT Roadway
// Design Manual section 4.3.3, Table 4-1 (read). WB-62 inside: SDDC-TEA turning
// page (read); its centreline radius 41.0 ft, and all of the WB-67 row, from
// memory, unverified. Link lengths of every row from memory, cross-checked by
// overall length less overhangs for SU-30, WB-40, WB-62, WB-67 only.
// Widths from memory.
func TestTurningPaths(t *testing.T) {
	for _, v := range vectors(t).Turning {
		t.Run(v.Vehicle, func(t *testing.T) {
			train := bars(v.Links...) // feet: kinematics know no unit
			for i := range train.Links {
				train.Links[i].WidthM = v.Width
			}
			const inFt = 60
			tr := follow(t, turn(inFt, v.CTR, math.Pi, 60, 0.05), train, sweep.Options{StepM: 0.25})
			last := len(v.Links) - 1
			inside := math.Inf(1)
			for j := range tr.Steps {
				p := tr.AxleAt(j, last)
				inside = math.Min(inside, math.Hypot(p.X-inFt, p.Y-v.CTR)-v.Width/2)
			}
			near(t, "inside radius against the table, ft", inside, v.Published, 0.1)
			near(t, "inside radius against other code, ft", inside, v.Integrated, 2e-3)

			// The strip seen from the line must tell the same.
			s, err := sweep.SweptWidth(&tr, sweep.Window{FromM: inFt, ToM: inFt + math.Pi*v.CTR})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "reach to the inside from the line, ft", s.Left.OffsetM, v.CTR-inside, 0.01)
			if s.Left.Link != last {
				t.Errorf("link %d reaches farthest inside, want the last, %d", s.Left.Link, last)
			}
		})
	}
}

// Both tractors with semi-trailer have no steady state on their own circle:
// the turn is possible only because it ends.
func TestTurningNeedsTransient(t *testing.T) {
	if off, ok := sweep.SteadyOfftracking(bars(19.5, 41), 41); ok {
		t.Errorf("WB-62 settles at %g, want never", off)
	}
	train := bars(19.5, 45.5)
	tr := follow(t, turn(60, 41, 4*math.Pi, 60, 0.1), train, sweep.Options{})
	if tr.Fold == nil || tr.Fold.Link != 1 {
		t.Fatalf("two full circles must fold the semi-trailer, got %+v", tr.Fold)
	}
	for _, w := range []sweep.Window{{}, {FromM: 0, ToM: tr.LineM}, {FromM: 0, ToM: tr.Fold.StationM}} {
		s, err := sweep.SweptWidth(&tr, w)
		if !errors.Is(err, sweep.ErrFolds) || s.WidthM < math.Inf(1) || s.Left.OffsetM < math.Inf(1) || s.Right.OffsetM > math.Inf(-1) {
			t.Errorf("window %+v: %+v, %v; want a boundless strip and ErrFolds", w, s, err)
		}
	}
	if s, err := sweep.SweptWidth(&tr, sweep.Window{FromM: 0, ToM: 1}); err != nil || !(s.WidthM < 3) {
		t.Errorf("stretch passed before the fold: %+v, %v", s, err)
	}
	if tr.CoveredM > tr.Fold.StationM-45 {
		t.Errorf("folded at %g m but covered to %g m", tr.Fold.StationM, tr.CoveredM)
	}
	near(t, "fold angle, deg", tr.Fold.AngleRad/deg, 80, 0.2)
}

// Fifth wheel 0.5 m ahead of the bogie, L 6 and 12 m, steer 18 degrees:
// 38.9606 degrees (reference, derived: ODE and closed form agree; a wrong sign gives 42.06).
func TestFifthWheelAhead(t *testing.T) {
	train := bars(6, 12)
	train.Links[0].HitchOffsetM = 0.5
	r := 6 / math.Sin(18*deg)
	links, ok := sweep.Steady(train, r)
	if !ok {
		t.Fatal("no steady state")
	}
	near(t, "steer, deg", links[0].ArticulationRad/deg, 18, 1e-9)
	near(t, "articulation, deg", links[1].ArticulationRad/deg, 38.9606, 5e-5)

	tr := follow(t, turn(0, r, 8*math.Pi, 1, 0.02), train, sweep.Options{})
	at := stationIndex(t, &tr, tr.LineM-1)
	near(t, "articulation driven, deg", tr.ArticulationRad(at, 1)/deg, 38.9606, 1e-3)
}

// Steered group, pivot on a circle (reference, derived). The tractor's axle is
// the pivot, so that the articulation is the angle to the pivot's way.
func TestSteeredSteady(t *testing.T) {
	for _, v := range []struct{ pivot, length, ratio, off, steerDeg, tolDeg float64 }{
		{15, 12, 0, 6.00, 0, 0},
		{15, 12, 0.3, 3.19, 11.9, 0.05},
		{15, 12, 0.5, 1.92, 16.7, 0.05},
		{15, 12, 1, 0.00, 23.6, 0.05},
		{12, 12, 0.3, 5.03, 16.9, 0.05},
		{12, 12, 0.5, 2.82, math.NaN(), 0}, // steer not printed
	} {
		const tractor = 4.0
		train := bars(tractor, v.length)
		train.Links[1].SteerRatio, train.Links[1].MaxSteerRad = v.ratio, 60*deg
		r := math.Hypot(v.pivot, tractor)
		links, ok := sweep.Steady(train, r)
		if !ok {
			t.Fatalf("%+v: no steady state", v)
		}
		near(t, "off-tracking behind the pivot, m", v.pivot-links[1].AxleRadiusM, v.off, 0.005)
		if !math.IsNaN(v.steerDeg) {
			near(t, "steer, deg", v.ratio*links[1].ArticulationRad/deg, v.steerDeg, v.tolDeg)
		}
		tr := follow(t, turn(0, r, 6*math.Pi, 1, 0.05), train, sweep.Options{})
		at := stationIndex(t, &tr, tr.LineM-1)
		near(t, "articulation driven, deg", tr.ArticulationRad(at, 1)/deg, links[1].ArticulationRad/deg, 0.01)
		axle := tr.AxleAt(at, 1)
		near(t, "radius driven, m", math.Hypot(axle.X, axle.Y-r), links[1].AxleRadiusM, 2e-3)
	}
}

// A saturated group is a bar of length L cos d: R sin(b+d) = L cos d.
func TestSteerSaturates(t *testing.T) {
	const limit = 10 * deg
	train := bars(4, 12)
	train.Links[1].SteerRatio, train.Links[1].MaxSteerRad = 1, limit
	links, ok := sweep.Steady(train, math.Hypot(15, 4))
	if !ok {
		t.Fatal("no steady state")
	}
	want := math.Asin(12*math.Cos(limit)/15) - limit
	near(t, "articulation, deg", links[1].ArticulationRad/deg, want/deg, 1e-9)
}

// Steering the rear throws the tail out on the way in.
func TestSteeredTailSwings(t *testing.T) {
	train := bars(4, 12)
	train.Links[1].RearOverhangM = 3
	out := func() float64 {
		tr := follow(t, turn(30, 20, math.Pi/2, 30, 0.1), train, sweep.Options{})
		s, err := sweep.SweptWidth(&tr, sweep.Window{FromM: 0, ToM: 30})
		if err != nil {
			t.Fatal(err)
		}
		return -s.Right.OffsetM
	}
	fixed := out()
	train.Links[1].SteerRatio, train.Links[1].MaxSteerRad = 1, 45*deg
	if steered := out(); steered < fixed+0.3 {
		t.Errorf("tail reaches %g m with steered lines, %g m with fixed ones; want clearly more", steered, fixed)
	}
}

// Own simulation of a generic low-bed by other code (reference, derived, no
// external source): off-tracking of the last axle and swept width at one
// station. Its off-tracking lies up to 10.5 mm below Runge-Kutta at 1 cm (coarse
// and cut off rather than rounded), which is what decides here; its width lies
// up to 18 mm below ours in the tightest, shortest turn, otherwise up to 11 mm.
func TestLowBedTable(t *testing.T) {
	train := sweep.Train{Links: []sweep.Link{
		{LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.5, FrontOverhangM: 1.4},
		{LengthM: 12, WidthM: 3},
	}}
	other := ode{l0: 4.8, m: 0.4, l1: 12}
	angles := []float64{30, 60, 90, 120, 180}
	for _, v := range []struct {
		r           float64
		off, width  [5]float64
		steadyOff   float64
		steadyExist bool
	}{
		{12.5, [5]float64{2.18, 3.82, 5.12, 6.15, 7.70}, [5]float64{5.21, 6.98, 8.31, 9.35, 10.92}, 0, false},
		{15, [5]float64{2.10, 3.58, 4.63, 5.39, 6.33}, [5]float64{5.14, 6.70, 7.78, 8.54, 9.49}, 7.38, true},
		{20, [5]float64{1.98, 3.16, 3.84, 4.24, 4.59}, [5]float64{4.98, 6.21, 6.91, 7.31, 7.66}, 4.73, true},
		{25, [5]float64{1.85, 2.79, 3.24, 3.44, 3.57}, [5]float64{4.83, 5.80, 6.26, 6.46, 6.59}, 3.60, true},
		{30, [5]float64{1.74, 2.48, 2.77, 2.87, 2.92}, [5]float64{4.69, 5.46, 5.75, 5.85, 5.90}, 2.92, true},
		{45, [5]float64{1.45, 1.81, 1.88, 1.89, 1.89}, [5]float64{4.35, 4.71, 4.79, 4.80, 4.80}, 1.89, true},
		{60, [5]float64{1.22, 1.39, 1.41, 1.41, 1.41}, [5]float64{4.09, 4.26, 4.28, 4.28, 4.28}, 1.41, true},
	} {
		if off, ok := sweep.SteadyOfftracking(train, v.r); ok != v.steadyExist {
			t.Errorf("R %g: steady state %v, want %v", v.r, ok, v.steadyExist)
		} else if ok {
			near(t, "steady off-tracking, m", off, v.steadyOff, 0.006)
		}
		for k, a := range angles {
			tr := follow(t, turn(30, v.r, a*deg, 30, 0.05), train, sweep.Options{})
			off := v.r - deepest(&tr, v.r, a*deg)
			near(t, "off-tracking against Runge-Kutta, m", off, v.r-other.deepest(v.r, a*deg, 2000), 5e-4)
			near(t, "off-tracking, m", off, v.off[k], 0.011)
			s, err := sweep.SweptWidth(&tr, sweep.Window{})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "swept width, m", s.WidthM, v.width[k], 0.018)
		}
	}
}
