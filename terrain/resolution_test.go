package terrain_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// resolution is what a raster of one cell size does to the height of a road in
// a hillside.
type resolution struct {
	cellM, slope float64
	rough        bool
	biasM        float64    // mean error on the true line
	sdM          [3]float64 // of the error, lines 0, 3, 5 m off to either side
	corrM        float64    // lag at which the correlation on the true line is 1/e
}

var resolutionOffsetsM = [3]float64{0, 3, 5}

func measureResolution(t *testing.T, cellM, slope float64, rough bool) resolution {
	t.Helper()
	r := resolution{cellM: cellM, slope: slope, rough: rough}
	const seeds = 4
	var pooled [3]moments
	for seed := range uint64(seeds) {
		h := newHillside(slope, rough, seed+1, 1200)
		var pts []orb.Point
		offs := []float64{0, 3, -3, 5, -5}
		for _, off := range offs {
			pts = append(pts, h.line(off)...)
		}
		grid, err := h.raster(cellM, pts...)
		if err != nil {
			t.Fatal(err)
		}
		n := len(h.lineXM)
		var onLine []float64
		for i, s := range at(t, grid, pts...) {
			if s.Why != terrain.Valid {
				t.Fatalf("cell %v m: %v at point %d", cellM, s.Why, i)
			}
			e := s.ZM - roadHeight(h.lineXM[i%n])
			pooled[(i/n+1)/2].add(e)
			if i < n {
				onLine = append(onLine, e)
			}
		}
		r.corrM += pointStepM * decay(onLine) / seeds
	}
	for k := range pooled {
		r.sdM[k] = pooled[k].sd()
	}
	r.biasM = pooled[0].sum / pooled[0].n
	return r
}

type moments struct{ n, sum, squares float64 }

func (m *moments) add(v float64) { m.n, m.sum, m.squares = m.n+1, m.sum+v, m.squares+v*v }

func (m *moments) sd() float64 {
	return math.Sqrt(math.Max(0, m.squares/m.n-m.sum*m.sum/m.n/m.n))
}

// decay is the lag, in steps, at which the correlation of e falls to 1/e.
func decay(e []float64) float64 {
	var m moments
	for _, v := range e {
		m.add(v)
	}
	mean := m.sum / m.n
	before := 1.0
	for lag := 1; lag < len(e)/2; lag++ {
		sum := 0.0
		for i := range e[lag:] {
			sum += (e[i] - mean) * (e[i+lag] - mean)
		}
		rho := sum / float64(len(e)-lag) / (m.sd() * m.sd())
		if rho < 1/math.E {
			return float64(lag-1) + (before-1/math.E)/(before-rho)
		}
		before = rho
	}
	return float64(len(e) / 2)
}

// Calibration of ResolutionPerCell and ResolutionCorrCells. Source: derived
// here; the hillsides are invented.
func TestResolutionIsCalibrated(t *testing.T) {
	var table strings.Builder
	fmt.Fprintf(&table, "\n%6s %6s %7s %7s | %9s %9s %9s | %7s %11s | model/measured 3 m, 5 m\n",
		"cell m", "cross", "ground", "bias m", "sd0/cross", "sd3/cross", "sd5/cross", "k", "corr cells")
	var k2, logCorr, n float64
	for _, cellM := range []float64{1, 10, 30, 90} {
		for _, slope := range []float64{0.20, 0.40, 0.67} {
			for _, rough := range []bool{false, true} {
				r := measureResolution(t, cellM, slope, rough)
				k := r.sdM[0] / slope / cellM
				var ratio [3]float64
				for i, off := range resolutionOffsetsM {
					ratio[i] = slope * math.Hypot(off, terrain.ResolutionPerCell*cellM) / r.sdM[i]
				}
				fmt.Fprintf(&table, "%6g %5.0f%% %7s %7.2f | %9.2f %9.2f %9.2f | %7.3f %11.2f | %.2f %.2f\n", cellM, 100*slope,
					map[bool]string{false: "smooth", true: "rough"}[rough], r.biasM, r.sdM[0]/slope, r.sdM[1]/slope, r.sdM[2]/slope, k, r.corrM/cellM, ratio[1], ratio[2])
				if cellM >= platformM {
					k2, logCorr, n = k2+k*k, logCorr+math.Log(r.corrM/cellM), n+1
				}
				for i := 1; i < 3; i++ {
					if ratio[i] < 0.9 {
						t.Errorf("cell %v m, cross slope %v, line %v m off: the model gives %.2f of what is measured", cellM, slope, resolutionOffsetsM[i], ratio[i])
					}
				}
			}
		}
	}
	k, corr := math.Sqrt(k2/n), math.Exp(logCorr/n)
	t.Logf("%sk = %.4f, correlation length %.2f cells (cells of 10 m and more)", table.String(), k, corr)
	if math.Abs(k/terrain.ResolutionPerCell-1) > 0.03 || math.Abs(corr/terrain.ResolutionCorrCells-1) > 0.05 {
		t.Errorf("k %v, pinned %v; correlation %v cells, pinned %v", k, terrain.ResolutionPerCell, corr, terrain.ResolutionCorrCells)
	}
}
