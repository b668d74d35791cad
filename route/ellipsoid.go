package route

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

// WGS84 defining constants, exact (NIMA TR8350.2, 3rd ed., table 3.1).
const (
	semiMajorM = 6378137.0
	flattening = 1 / 298.257223563
	ecc2       = flattening * (2 - flattening)
)

// localMaxM is the longest edge measured with the local formula. Up to here it
// agrees with the geodesic to 1e-8 m below 70 degrees latitude (measured by
// TestLocalFormula); beyond, the geodesic is solved.
const localMaxM = 100.0

// localMaxLat bounds the latitude of the local formula, degrees: nearer the
// poles the meridians converge too fast for it.
const localMaxLat = 70.0

// radii returns the radii of curvature in the meridian and in the prime
// vertical at a latitude in radians, metres.
func radii(lat float64) (meridian, prime float64) {
	w2 := 1 - ecc2*math.Sin(lat)*math.Sin(lat)
	w := math.Sqrt(w2)
	return semiMajorM * (1 - ecc2) / (w2 * w), semiMajorM / w
}

// inverse gives the length of the geodesic from p to q on the WGS84
// ellipsoid, metres, and its azimuths at p and at q (both forward, radians
// clockwise from north).
//
// Source: Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43-55, by way
// of tidwall/geodesic; for short edges the mid-latitude formula with the radii
// of curvature, derived.
func inverse(p, q orb.Point) (lengthM, azP, azQ float64) {
	dLat := (q[1] - p[1]) * math.Pi / 180
	dLon := (q[0] - p[0]) * math.Pi / 180
	mid := (p[1] + q[1]) / 2 * math.Pi / 180
	mer, prime := radii(mid)
	north, east := mer*dLat, prime*math.Cos(mid)*dLon
	lengthM = math.Hypot(north, east)
	if lengthM <= localMaxM && math.Abs(mid) <= localMaxLat*math.Pi/180 {
		az := math.Atan2(east, north)
		half := dLon * math.Sin(mid) / 2 // meridian convergence
		return lengthM, az - half, az + half
	}
	var a1, a2 float64
	geodesic.WGS84.Inverse(p[1], p[0], q[1], q[0], &lengthM, &a1, &a2)
	return lengthM, a1 * math.Pi / 180, a2 * math.Pi / 180
}

// Distance is the length of the geodesic between two points given as
// longitude, latitude in degrees, metres on the WGS84 ellipsoid. Longitudes may
// run beyond 180.
func Distance(p, q orb.Point) float64 {
	d, _, _ := inverse(p, q)
	return d
}

// signedTurn brings an angle to (-pi, pi].
func signedTurn(rad float64) float64 {
	r := math.Mod(rad, 2*math.Pi)
	switch {
	case r > math.Pi:
		r -= 2 * math.Pi
	case r <= -math.Pi:
		r += 2 * math.Pi
	}
	return r
}
