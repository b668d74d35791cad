package sweep

import "math"

// SteadyLink is a link going round for ever on a circle.
type SteadyLink struct {
	ArticulationRad float64 // against the link ahead, for the first link the steer
	AxleRadiusM     float64 // circle of the centre of its axle group
}

// Steady is where the train settles when the steering axle keeps to a circle
// of radiusM, metres. ok is false, and the links nil, when it never settles:
// the train folds, to DefaultFoldRad or over, if the circle goes on. Fixed axles are in closed form, axle
// radius^2 = pivot radius^2 - length^2; steered ones by bisection of
// R sin b + R cos b tan(steer) = L, to 1e-12 rad.
func Steady(t Train, radiusM float64) (links []SteadyLink, ok bool) {
	if t.Check() != nil || !(radiusM > 0) || !finite(radiusM) {
		return nil, false
	}
	pivot, lead := radiusM, 0.0
	for i := range t.Links {
		l := &t.Links[i]
		b, ok := l.settled(pivot, lead)
		if limit := l.foldRad(); !ok || !(math.Abs(b-lead) < limit) {
			return nil, false
		}
		// The centre of the turn in the frame of the axle group, x ahead, y left.
		x, y := l.LengthM-pivot*math.Sin(b), pivot*math.Cos(b)
		links = append(links, SteadyLink{b - lead, math.Hypot(x, y)})
		pivot = math.Hypot(l.HitchOffsetM-x, y)
		lead = math.Atan2(l.HitchOffsetM-x, y)
	}
	return links, true
}

// SteadyOfftracking is how far inside the circle of the steering axle the
// centre of the last axle group settles, metres. For fixed axles it is the sum
// of squares, R - sqrt(R^2 - sum L^2 + sum k^2), k the hitch offsets. NaN and
// false when the train never settles: that is a failure, not a pass.
func SteadyOfftracking(t Train, radiusM float64) (float64, bool) {
	links, ok := Steady(t, radiusM)
	if !ok {
		return math.NaN(), false
	}
	return radiusM - links[len(links)-1].AxleRadiusM, true
}

// settled is the angle between the pivot's way and the link, for a pivot on a
// circle to the left whose way is turned by lead from the link ahead.
func (l *Link) settled(pivotM, lead float64) (float64, bool) {
	want := l.LengthM / pivotM
	if !l.steers() {
		return math.Asin(want), want < 1
	}
	excess := func(b float64) float64 {
		return math.Sin(b) + math.Cos(b)*math.Tan(l.steer(b-lead)) - want
	}
	return firstRise(excess)
}

// firstRise is the zero of f that the link comes to from straight ahead: the
// nearest one to 0 on the side to which it turns, where f rises.
func firstRise(f func(float64) float64) (float64, bool) {
	const parts = 900 // a tenth of a degree each
	dir := 1.0
	if f(0) > 0 {
		dir = -1
	}
	inner := 0.0
	for k := 1; k <= parts; k++ {
		outer := dir * float64(k) / parts * math.Pi / 2
		if f(outer)*dir >= 0 {
			return bisect(f, inner, outer, dir), true
		}
		inner = outer
	}
	return math.NaN(), false
}

func bisect(f func(float64) float64, inner, outer, dir float64) float64 {
	for math.Abs(outer-inner) > 1e-12 {
		mid := (inner + outer) / 2
		if f(mid)*dir >= 0 {
			outer = mid
		} else {
			inner = mid
		}
	}
	return (inner + outer) / 2
}

// StraightPullRad is the articulation left of startRad when a link of lengthM
// is drawn straight for pullM: tan(b/2) = tan(b0/2) e^(-s/L). Any angle short
// of half a turn.
func StraightPullRad(startRad, lengthM, pullM float64) float64 {
	return 2 * math.Atan(math.Tan(startRad/2)*math.Exp(-pullM/lengthM))
}

// ArcPullRad is the articulation, against the pivot's way, of a link with
// fixed axles whose pivot goes round an arc of turnRad to the left on a circle
// of radiusM: closed form of u' = (u^2 - 2nu + 1)/2, u = tan(b/2), n = R/L.
// startRad is the articulation at the start of the arc, in -90..90 degrees.
// NaN once the link has swung through half a turn (only for R < L).
func ArcPullRad(startRad, lengthM, radiusM, turnRad float64) float64 {
	u, n := math.Tan(startRad/2), radiusM/lengthM
	switch {
	case n > 1:
		q := math.Sqrt(n*n - 1)
		u1, u2 := n-q, n+q
		if u == u2 {
			return startRad
		}
		c := (u - u1) / (u - u2) * math.Exp(-q*turnRad)
		u = (u1 - u2*c) / (1 - c)
	case n == 1:
		if u == 1 {
			return startRad
		}
		u = 1 - 1/(turnRad/2+1/(1-u))
	default:
		p := math.Sqrt(1 - n*n)
		a := p*turnRad/2 + math.Atan((u-n)/p)
		if a >= math.Pi/2 {
			return math.NaN()
		}
		u = n + p*math.Tan(a)
	}
	return 2 * math.Atan(u)
}
