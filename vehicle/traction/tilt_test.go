package traction_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"

	"pgregory.net/rapid"
)

// behind is train A with its fifth wheel behind the rear axle group, 7 or 7.9 m
// after the foremost axle: legal to couple, and light in front.
func behind(t *testing.T, hitchM float64) *vehicle.Combination {
	t.Helper()
	s := trainA.spec()
	s.Units[0].Hitch.AtM = p(hitchM)
	return make1(t, s)
}

// The front group of a tractor whose kingpin stands behind its rear axles lifts
// on a climb that grip and effort still allow. By hand: moments about the rear
// group's centre, kingpin load and pull from the trailer's own balance; no
// formula is shared with Statics.
func TestFrontGroupLifts(t *testing.T) {
	c := behind(t, 7)
	const mu, f = 0.6, 0.012
	l := traction.Climb(c, mu, f)
	if l.Decides != traction.Lift || !strings.Contains(l.Lifts, "front axle group") {
		t.Fatalf("decided by %s (%s) at %.4f, want lift of the front axle group", l.Decides, l.Lifts, l.GradeRatio)
	}
	if !(l.GradeRatio < math.Min(l.GripGrade, l.EffortGrade)) {
		t.Errorf("lift at %.4f, grip %.4f, effort %.4f", l.GradeRatio, l.GripGrade, l.EffortGrade)
	}
	near(t, "front group at the limit, kN", frontByHand(c, l.GradeRatio, f)/1e3, 0, 1e-3)
	if over := frontByHand(c, l.GradeRatio+0.01, f); over >= 0 {
		t.Errorf("a percent beyond the limit the front group still carries %.0f N", over)
	}
}

// frontByHand is the load on the front group of a tractor with one semi-trailer
// at steady crawl.
func frontByHand(c *vehicle.Combination, grade, f float64) float64 {
	theta := math.Atan(grade)
	tr, semi := &c.Units[0], &c.Units[1]
	w, wt := semi.MassKg*9.80665, tr.MassKg*9.80665
	// Trailer, moments about the point on the road below its axle group's centre.
	x, h := semi.GroupXM[0]-semi.CGXM, semi.CGHM
	// Unknown kingpin load v and pull p: v L + p hf = w (cos x - sin h) turned about,
	// p = w sin + f (w cos - v).
	length, hf := semi.GroupXM[0], tr.HitchHM
	sin, cos := math.Sin(theta), math.Cos(theta)
	v := (w*(cos*x-sin*h) + hf*(w*sin+f*w*cos)) / (length + f*hf)
	p := w*sin + f*(w*cos-v)
	// Tractor, moments about the point on the road below its rear group.
	rear := tr.GroupXM[1]
	arm := rear - tr.GroupXM[0]
	return (wt*(cos*(rear-tr.CGXM)-sin*tr.CGHM) + v*(rear-tr.HitchXM) - p*hf) / arm
}

// A kingpin lifts when the load's centre of gravity stands near the trailer's
// axles and high: the trailer tips over them on a climb.
func TestKingpinLifts(t *testing.T) {
	s := trainA.spec()
	s.Units[1].Load.CGXM, s.Units[1].Load.CGHeightM = p(11.6), p(4.2)
	s.Units[1].Load.TopHeightM = nil
	c := make1(t, s)
	l := traction.Climb(c, 0.6, 0.012)
	if l.Decides != traction.Lift || !strings.Contains(l.Lifts, "kingpin") {
		t.Fatalf("decided by %s (%s) at %.4f, want lift of the kingpin", l.Decides, l.Lifts, l.GradeRatio)
	}
	f := c.Statics(l.GradeRatio, 0.012, 0)
	near(t, "kingpin at the limit, kN", f.HitchV[1]/1e3, 0, 1e-3)
}

// A start lifts sooner than a climb: acceleration leans the train further.
func TestStartLiftsSooner(t *testing.T) {
	c := behind(t, 7)
	climb, start := traction.Climb(c, 0.6, 0.012), traction.Start(c, 0.6, 0.012, traction.DefaultStart())
	if start.Decides != traction.Lift || !(start.GradeRatio < climb.GradeRatio) {
		t.Errorf("start %.4f by %s, climb %.4f by %s", start.GradeRatio, start.Decides, climb.GradeRatio, climb.Decides)
	}
}

// A bar takes load off the helper's front and puts it on the front of the
// tractor behind, the more the higher it is.
func TestBarMovesLoad(t *testing.T) {
	h, a := make1(t, helper(40000)), make1(t, trainA.spec())
	var front, behind []float64
	for _, height := range []float64{0.5, 1, 2, 3} {
		pair, err := vehicle.Couple(h, a, vehicle.Bar{LengthM: 4, HeightM: height})
		if err != nil {
			t.Fatal(err)
		}
		f := pair.Statics(0.2, 0.012, 0)
		front, behind = append(front, -f.GroupN[0][0]), append(behind, f.GroupN[1][0])
	}
	if !slices.IsSorted(front) || !slices.IsSorted(behind) {
		t.Errorf("front of the helper (negated) %.0f N, of the tractor behind %.0f N: both must rise with the bar", front, behind)
	}
}

// On the bounds something carries nothing, inside them everything carries; the
// bisection between two ends misses no crossing on the way.
func TestTiltProperties(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := trainA.spec()
		s.Units[0].Hitch.AtM = p(rapid.Float64Range(3, 7.5).Draw(r, "hitch"))
		s.Units[1].Load.CGXM = p(rapid.Float64Range(6, 10).Draw(r, "load at"))
		s.Units[1].Load.CGHeightM = p(rapid.Float64Range(1.5, 4).Draw(r, "load height"))
		s.Units[1].Load.TopHeightM = nil
		c, _, err := vehicle.New(s)
		if err != nil {
			r.Skip(err)
		}
		if rapid.Bool().Draw(r, "coupled") {
			if c, err = vehicle.Couple(make1(t, helper(28000)), c, vehicle.Bar{LengthM: 4, HeightM: rapid.Float64Range(0.5, 2).Draw(r, "bar")}); err != nil {
				r.Fatal(err)
			}
		}
		f := rapid.Float64Range(0.005, 0.2).Draw(r, "f")
		tilt := traction.TiltOf(c, f)
		for g := -0.495; g < 0.5; g += 0.01 {
			fs := c.Statics(g, f, 0)
			_, n := c.Lightest(&fs)
			_, share := c.SteerShare(&fs)
			if fs.NeedN < 0 { // held back by the rearmost unit alone
				brakes := make([]float64, len(c.Units))
				brakes[len(brakes)-1] = fs.NeedN
				other := c.StaticsWith(g, f, 0, brakes)
				_, m := c.Lightest(&other)
				_, light := c.SteerShare(&other)
				n, share = math.Min(n, m), math.Min(share, light)
			}
			if tilt.LiftUp.GradeRatio == 0 || tilt.SteerUp.GradeRatio == 0 {
				continue // not on the level either: said so
			}
			if inside := g > tilt.LiftDown.GradeRatio && g < tilt.LiftUp.GradeRatio; inside != (n >= 0) {
				r.Fatalf("at %.3f the lightest support carries %.0f N; tilt %+v", g, n, tilt)
			}
			if inside := g > tilt.SteerDown.GradeRatio && g < tilt.SteerUp.GradeRatio; inside != (share >= traction.SteerFloor) {
				r.Fatalf("at %.3f the front group has %.3f of the weight; tilt %+v", g, share, tilt)
			}
		}
	})
}

func BenchmarkTiltOf(b *testing.B) {
	c, _, err := vehicle.New(trainA.spec())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		traction.TiltOf(c, 0.012)
	}
}
