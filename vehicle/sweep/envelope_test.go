package sweep_test

import (
	"math"
	"testing"

	"drawbar/vehicle/sweep"
)

// The strip found by following six points a body must be the one found by
// cutting every body at every moment with the normal of every station.
func TestEdgesAgainstCutting(t *testing.T) {
	fixed := sweep.Train{Links: []sweep.Link{
		{LengthM: 4.8, HitchOffsetM: 0.4, WidthM: 2.5, FrontOverhangM: 1.4, RearOverhangM: 1},
		{LengthM: 12, WidthM: 3, FrontOverhangM: 1.2, RearOverhangM: 3},
	}}
	steered := sweep.Train{Links: append([]sweep.Link(nil), fixed.Links...)}
	steered.Links[1].SteerRatio, steered.Links[1].MaxSteerRad = 0.6, 40*deg
	pushed := sweep.Train{Links: append([]sweep.Link(nil), fixed.Links...)}
	pushed.Links[0].HitchOffsetM = -1.2
	for name, v := range map[string]struct {
		train  sweep.Train
		r, deg float64
	}{
		"fixed, short turn": {fixed, 12.5, 30},
		"fixed":             {fixed, 20, 90},
		"fixed, right":      {fixed, 15, -120},
		"steered":           {steered, 15, 90},
		"hitch behind":      {pushed, 25, 60},
	} {
		t.Run(name, func(t *testing.T) {
			const step = 0.05
			tr := follow(t, turn(12, v.r, v.deg*deg, 12, step), v.train, sweep.Options{StepM: step})
			checked := 0
			for j := 0; tr.StationM[j] < 24+v.r*math.Abs(v.deg)*deg; j += 13 {
				for i := range v.train.Links {
					wantL, wantR := cut(&tr, j, i)
					left, right, ok := tr.EdgesM(j, i)
					if !ok {
						t.Fatalf("station %g: link %d left no edge", tr.StationM[j], i)
					}
					// Cutting sees single moments: a corner passes the normal up to
					// 0.6 steps away (it moves up to 1.2 times as fast as the pivot),
					// beside it the body recedes at up to 45 degrees. So cutting
					// falls short by up to 0.6 steps and must not show more.
					// Beyond that only the normals of a polygon, which cross on
					// the inner side, may differ: 5 mm.
					const short, more = 0.6 * step, 0.005
					if left < wantL-more || left > wantL+short || right > wantR+more || right < wantR-short {
						t.Errorf("station %.2f link %d: edges %.4f, %.4f; cutting %.4f, %.4f", tr.StationM[j], i, left, right, wantL, wantR)
					}
					checked++
				}
			}
			if checked < 50 {
				t.Errorf("only %d edges compared", checked)
			}
		})
	}
}

// cut is the reach of a body across station j over all moments.
func cut(tr *sweep.Trace, j, link int) (left, right float64) {
	left, right = math.Inf(-1), math.Inf(1)
	a, b := tr.Line[max(j-1, 0)], tr.Line[j+1]
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	ux, uy := (b.X-a.X)/d, (b.Y-a.Y)/d
	for k := range tr.Steps {
		c := tr.Corners(k, link)
		for e := range c {
			p, q := c[e], c[(e+1)%4]
			// Along and across the normal through the station.
			pa, qa := (p.X-tr.Line[j].X)*ux+(p.Y-tr.Line[j].Y)*uy, (q.X-tr.Line[j].X)*ux+(q.Y-tr.Line[j].Y)*uy
			if (pa > 0) == (qa > 0) {
				continue
			}
			py, qy := (p.Y-tr.Line[j].Y)*ux-(p.X-tr.Line[j].X)*uy, (q.Y-tr.Line[j].Y)*ux-(q.X-tr.Line[j].X)*uy
			y := py + (qy-py)*pa/(pa-qa)
			if math.Abs(y) < 0.7*20 { // other legs of the turn do not count
				left, right = math.Max(left, y), math.Min(right, y)
			}
		}
	}
	return left, right
}
