package profile_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/terrain"
)

// hillside is a slope that rises to the east, under a way due north.
func hillside(cross float64, source terrain.Source) terrain.Func {
	east, _ := terrain.MetresPerDegree(40)
	return terrain.Func{At: func(lon, lat float64) (float64, bool) { return 500 + cross*(lon+27)*east, true }, Source: source}
}

// TestCrossSlope: a height taken on a hillside is less sure, the more the line
// may be off; and the sign of what lies beside the way follows the direction.
func TestCrossSlope(t *testing.T) {
	a := meridian(t, 1500)
	coarse := terrain.Source{Name: "coarse", CellM: 30, SEM: 1, CorrM: 100, CE90M: 6}
	se := func(cross, line float64) float64 {
		p, err := profile.Build(context.Background(), a, nil, hillside(cross, coarse), profile.Options{LineSEM: line})
		if err != nil {
			t.Fatal(err)
		}
		_, se := p.At(750, []float64{-50, 50}, []float64{0.01, -0.01})
		return se
	}
	flat, steep, off := se(0, 2), se(0.6, 2), se(0.6, 8)
	if !(flat < steep && steep < off) {
		t.Errorf("standard error of grade %.4f on the flat, %.4f on 60 %%, %.4f with the line 8 m off", flat, steep, off)
	}
	fineSource := terrain.Source{Name: "fine", CellM: 1, SEM: 0.1, CorrM: 100, CE90M: 1}
	build := func(a *route.Alignment) *profile.Profile {
		p, err := profile.Build(context.Background(), a, nil, hillside(0.2, fineSource), profile.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	up, back := build(a), build(a.Reverse())
	mid := len(up.ChainageM) / 2
	if c := up.CrossSlope[mid]; math.Abs(c+0.2) > 0.005 {
		t.Errorf("going north with the hill to the right the cross slope is %.3f, want -0.2 (it rises to the right)", c)
	}
	if c := back.CrossSlope[len(back.ChainageM)-1-mid]; math.Abs(c-0.2) > 0.005 {
		t.Errorf("going south it is %.3f, want +0.2", c)
	}
	if l, r := up.LeftSlope[mid], up.RightSlope[mid]; math.Abs(l+0.2) > 0.01 || math.Abs(r-0.2) > 0.01 {
		t.Errorf("beside the way %.3f left, %.3f right; want it to fall to the left, rise to the right", l, r)
	}
	if back.LeftSlope[mid] < 0 {
		t.Error("turned round, the hill is still on the right")
	}
}

// TestNarrowCover: beside the way the raster may end; the way keeps its heights
// and takes the nearest cross slope.
func TestNarrowCover(t *testing.T) {
	a := meridian(t, 400)
	f := hillside(0.4, terrain.Source{Name: "strip", CellM: 10, SEM: 1, CorrM: 50})
	whole := f.At
	f.At = func(lon, lat float64) (float64, bool) {
		z, _ := whole(lon, lat)
		return z, math.Abs(lon+27) < 1e-5 || lat > 40.002
	}
	p, err := profile.Build(context.Background(), a, nil, f, profile.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Covered() < 0.999 {
		t.Errorf("only %.2f of the way covered", p.Covered())
	}
	for i, c := range p.CrossSlope {
		if math.Abs(c+0.4) > 0.01 {
			t.Fatalf("station %d: cross slope %.3f", i, c)
		}
	}
}

// heldBy is the share of stations whose true grade over 100 m lies in the 95 %
// band.
func heldBy(t *testing.T, truth, assumed float64) float64 {
	t.Helper()
	const length, step, sigma = 3000, 10, 1.2
	inside, n := 0, 0
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 9))
		r := newRoad(rng, length)
		e := make([]float64, length/step+2)
		rho := math.Exp(-step / truth)
		for i := range e {
			e[i] = sigma * rng.NormFloat64()
			if i > 0 {
				e[i] = rho*e[i-1] + math.Sqrt(1-rho*rho)*e[i]
			}
		}
		a := meridian(t, length)
		k := a.LengthM() / length
		z := func(s float64) float64 {
			return r.z[min(max(int(math.Round(s)), 0), length)] + e[int(math.Round(math.Max(s, 0)/step))]
		}
		p := build(t, a, nil, ground{z: z, source: terrain.Source{CellM: step, SEM: sigma, CorrM: assumed}}, profile.Options{StepM: step * k})
		var g profile.Series
		p.Grade(100, &g)
		for i, s := range p.ChainageM {
			at := int(math.Round(s / k))
			if at < 50 || at > length-50 {
				continue
			}
			n++
			if math.Abs(g.Value[i]-(r.z[at+50]-r.z[at-50])/100/k) <= 1.96*g.SE[i] {
				inside++
			}
		}
	}
	return float64(inside) / float64(n)
}

// TestCorrelationTakenLong: when the true correlation length is not known a
// long one keeps the band honest. Grade over 100 m, 40 seeded roads each.
func TestCorrelationTakenLong(t *testing.T) {
	for _, truth := range []float64{20, 60, 100, 150, 200, 300} {
		held := map[float64]float64{}
		for _, assumed := range []float64{50, 100} {
			held[assumed] = heldBy(t, truth, assumed)
		}
		t.Logf("true %3.0f m: the 95 %% band of grade over 100 m holds %.0f %% with 50 m assumed, %.0f %% with 100 m", truth, 100*held[50], 100*held[100])
		if held[100] < 0.84 {
			t.Errorf("true %g m: only %.2f with the default of 100 m", truth, held[100])
		}
	}
}
