package sweep_test

import (
	"encoding/json"
	"errors"
	"io/fs"
	"math"
	"os"
	"testing"

	"drawbar/vehicle/sweep"
)

const deg = math.Pi / 180

// reference is what the shared vectors hold for this room.
type reference struct {
	Straight []struct {
		L, S  float64
		B0Deg float64 `json:"b0_deg"`
		BDeg  float64 `json:"b_deg"`
	} `json:"tractrix_straight"`
	Circle []struct {
		R, L       float64
		TurnDeg    float64 `json:"turn_deg"`
		BDeg       float64 `json:"b_deg"`
		RearRadius float64 `json:"rear_radius"`
	} `json:"tractrix_circle"`
	Turning []struct {
		Vehicle, Source                   string
		CTR, Width, Published, Integrated float64
		Links                             []float64
	} `json:"aashto_min_inside_ft"`
	Annulus []struct {
		Width        float64
		MaxWheelbase float64 `json:"max_wheelbase"`
	} `json:"eu_wheelbase"`
	SAE []struct{ WB, TR, HT, KO, KA, MOT float64 } `json:"sae_j695"`
}

func vectors(t *testing.T) reference {
	t.Helper()
	const folder = "../../../shared/reference/vectors"
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		t.Skip("folder of shared reference vectors is absent: nothing to compare with")
	}
	b, err := os.ReadFile(folder + "/testvectors.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Straight) < 2 || len(r.Circle) < 6 || len(r.Turning) < 11 || len(r.Annulus) < 3 || len(r.SAE) < 10 {
		t.Fatalf("vectors are fewer than they were: %+v", r)
	}
	return r
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// turn is a line that runs straight for inM, turns left by turnRad on a radius
// and runs straight for outM. Arc vertices stand on the arc, stepM apart. It
// starts at the origin to the east.
func turn(inM, radiusM, turnRad, outM, stepM float64) []sweep.Point {
	line := []sweep.Point{{}}
	add := func(p sweep.Point) {
		if p != line[len(line)-1] {
			line = append(line, p)
		}
	}
	add(sweep.Point{X: inM})
	n := int(math.Ceil(radiusM * math.Abs(turnRad) / stepM))
	for k := 1; k <= n; k++ {
		a := turnRad * float64(k) / float64(n)
		add(sweep.Point{
			X: inM + radiusM*math.Sin(math.Abs(a)),
			Y: math.Copysign(radiusM*(1-math.Cos(a)), turnRad),
		})
	}
	s, c := math.Sincos(turnRad)
	end := line[len(line)-1]
	add(sweep.Point{X: end.X + outM*c, Y: end.Y + outM*s})
	return line
}

func follow(t *testing.T, line []sweep.Point, train sweep.Train, o sweep.Options) sweep.Trace {
	t.Helper()
	tr, err := sweep.Follow(line, train, o)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

func bars(lengths ...float64) sweep.Train {
	var t sweep.Train
	for _, l := range lengths {
		t.Links = append(t.Links, sweep.Link{LengthM: l, WidthM: 2.5})
	}
	return t
}

// Closed forms: derived from the kinematics, agree with independent
// integration (reference, derived).
func TestClosedForms(t *testing.T) {
	r := vectors(t)
	for _, v := range r.Straight {
		near(t, "straight pull, deg", sweep.StraightPullRad(v.B0Deg*deg, v.L, v.S)/deg, v.BDeg, 1e-9)
	}
	for _, v := range r.Circle {
		b := sweep.ArcPullRad(0, v.L, v.R, v.TurnDeg*deg)
		near(t, "arc pull, deg", b/deg, v.BDeg, 1e-9)
		near(t, "rear radius, m", math.Sqrt(v.R*v.R+v.L*v.L-2*v.R*v.L*math.Sin(b)), v.RearRadius, 1e-9)
	}
}

// A straight chord is exact whatever the step.
func TestFollowStraightPull(t *testing.T) {
	for _, v := range vectors(t).Straight {
		for _, step := range []float64{0, 0.1, 1, 7} {
			tr := follow(t, []sweep.Point{{}, {X: v.S}}, bars(v.L),
				sweep.Options{StepM: step, FoldRad: math.Pi / 2, StartRad: []float64{v.B0Deg * deg * (1 - 1e-12)}})
			at := stationIndex(t, &tr, v.S)
			near(t, "articulation, deg", tr.ArticulationRad(at, 0)/deg, v.BDeg, 1e-6)
			near(t, "axle beside line, m", math.Abs(tr.AxleAt(at, 0).Y), v.L*math.Sin(v.BDeg*deg), 1e-6)
		}
	}
}

func stationIndex(t *testing.T, tr *sweep.Trace, s float64) int {
	t.Helper()
	for j, at := range tr.StationM[:tr.Steps] {
		if math.Abs(at-s) < 1e-6 {
			return j
		}
	}
	t.Fatalf("no station at %g m, train got to %g m", s, tr.StationM[tr.Steps-1])
	return 0
}

// The arc is a polygon of ever shorter chords: the result must come to the
// closed form within 1e-6 (degrees and metres) and at second order on the way.
func TestFollowArc(t *testing.T) {
	for _, v := range vectors(t).Circle {
		var last float64
		for _, step := range []float64{0.02, 0.002} {
			arc := turn(1, v.R, v.TurnDeg*deg, 1, step) // a train that starts along a chord would start turned
			arc = arc[:len(arc)-1]
			tr := follow(t, arc, bars(v.L), sweep.Options{StepM: 1})
			at := stationIndex(t, &tr, tr.LineM)
			axle := tr.AxleAt(at, 0)
			radius := math.Hypot(axle.X-1, axle.Y-v.R)
			// The last chord lies half a chord's turn behind the tangent.
			b := tr.ArticulationRad(at, 0) + v.TurnDeg*deg/2/float64(len(arc)-2)
			err := math.Abs(b/deg - v.BDeg)
			if step == 0.002 {
				near(t, "articulation, deg", b/deg, v.BDeg, 1e-6)
				near(t, "rear radius, m", radius, v.RearRadius, 1e-6)
				if err > last/30 {
					t.Errorf("R %g L %g: error fell from %g to %g deg on a tenth of the step, want about a hundredth", v.R, v.L, last, err)
				}
			}
			last = err
		}
	}
}

// Source: SAE J695 chart page, wheelbase form for two axles with a hitch
// behind the drive axle (read); the chart's curve itself was not digitised, so
// the values are that form evaluated (derived). On the circle of the steering
// axle's centre it is the sum of squares.
func TestSteadySAE(t *testing.T) {
	for _, v := range vectors(t).SAE {
		u := math.Sqrt(v.TR*v.TR-v.WB*v.WB) - v.HT
		train := bars(v.WB, v.KA)
		train.Links[0].HitchOffsetM = -v.KO
		got, ok := sweep.SteadyOfftracking(train, math.Hypot(v.WB, u))
		if !ok {
			t.Fatalf("no steady state at %g ft", v.TR)
		}
		near(t, "off-tracking, ft", got, v.MOT, 1e-9)
	}
}

// Source: Directive 97/27/EC Annex I 7.6.1.2 (quoted by a trade FAQ, read):
// kingpin on 12.50-2.04 m, inner side on 5.30 m. 2.55 m gives the published 8135 mm.
func TestAnnulusWheelbase(t *testing.T) {
	const kingpinM, innerM = 12.50 - 2.04, 5.30
	for _, v := range vectors(t).Annulus {
		off, ok := sweep.SteadyOfftracking(bars(v.MaxWheelbase), kingpinM)
		if !ok {
			t.Fatal("no steady state")
		}
		near(t, "inner side, m", kingpinM-off-v.Width/2, innerM, 1e-9)
		// The same by going round four times.
		train := bars(v.MaxWheelbase)
		train.Links[0].WidthM = v.Width
		tr := follow(t, turn(0, kingpinM, 8*math.Pi, 1, 0.05), train, sweep.Options{})
		at := stationIndex(t, &tr, tr.LineM-1)
		axle := tr.AxleAt(at, 0)
		near(t, "inner side driven, m", math.Hypot(axle.X, axle.Y-kingpinM)-v.Width/2, innerM, 1e-3)
	}
	off, _ := sweep.SteadyOfftracking(bars(8.135), kingpinM)
	near(t, "2.55 m wide at the published 8135 mm", kingpinM-off-2.55/2, innerM, 5e-4)
}

func TestNoSteadyState(t *testing.T) {
	for _, train := range []sweep.Train{bars(12, 12), bars(15), bars(6, 6, 6, 12), bars(14.9999)} {
		off, ok := sweep.SteadyOfftracking(train, 15)
		if ok || !math.IsNaN(off) {
			t.Errorf("%d links at 15 m: off-tracking %g, %v; want NaN, false", len(train.Links), off, ok)
		}
	}
	if _, ok := sweep.SteadyOfftracking(sweep.Train{}, 15); ok {
		t.Error("a train without links must not settle")
	}
	if _, ok := sweep.SteadyOfftracking(bars(6), math.NaN()); ok {
		t.Error("no radius must not settle")
	}
}
