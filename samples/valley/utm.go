package valley

import "math"

// ellipsoid is a reference ellipsoid: half axis in metres and the reciprocal
// of the flattening.
type ellipsoid struct{ aM, invF float64 }

// Defining constants, exact.
var (
	wgs84 = ellipsoid{6378137, 298.257223563} // EPSG:7030
)

// Constants of UTM, exact by definition.
const (
	utmScale        = 0.9996
	utmFalseEastM   = 500000
	utmFalseSouthM  = 10000000 // added to northings south of the equator
	utmZoneWidthDeg = 6
)

// geographic turns UTM easting and northing (metres) into longitude and
// latitude (degrees): the inverse series of Krueger to the fourth power of
// the third flattening n, good to a micrometre within a zone. Coefficients:
// Krueger 1912 as given by Karney 2011 (J. Geodesy 85, eq. 36) for the
// transverse step, and Kawase 2011 for the conformal latitude; here from
// memory, checked by the tests against published points.
func (e ellipsoid) geographic(zone int, south bool, eastM, northM float64) (lonDeg, latDeg float64) {
	if south {
		northM -= utmFalseSouthM
	}
	n := 1 / (mul(2, e.invF) - 1)
	n2 := sq(n)
	radius := e.aM / (1 + n)
	radius = mul(radius, 1+n2/4+sq(n2)/64)
	xi := northM / mul(utmScale, radius)
	eta := (eastM - utmFalseEastM) / mul(utmScale, radius)

	xi1, eta1 := xi, eta
	for k, b := range krueger(n) {
		order := float64(2 * (k + 1))
		sin, cos := sincos(mul(order, xi))
		sinh, cosh := sinhcosh(mul(order, eta))
		xi1 -= mul(b, mul(sin, cosh))
		eta1 -= mul(b, mul(cos, sinh))
	}
	sin, cos := sincos(xi1)
	sinh, cosh := sinhcosh(eta1)
	s := sin / cosh
	chi := atan2(s, math.Sqrt(1-sq(s)))
	lat := chi
	for k, d := range conformal(n) {
		sin, _ := sincos(mul(float64(2*(k+1)), chi))
		lat += mul(d, sin)
	}
	const deg = 180 / math.Pi
	middle := float64(utmZoneWidthDeg*zone - 183)
	return middle + mul(atan2(sinh, cos), deg), mul(lat, deg)
}

// krueger is beta 1..4 of the inverse transverse step, as series in n.
func krueger(n float64) [4]float64 {
	return [4]float64{
		series(n, 0, 1./2, -2./3, 37./96, -1./360),
		series(n, 0, 0, 1./48, 1./15, -437./1440),
		series(n, 0, 0, 0, 17./480, -37./840),
		series(n, 0, 0, 0, 0, 4397./161280),
	}
}

// conformal is delta 1..4 from conformal to geodetic latitude.
func conformal(n float64) [4]float64 {
	return [4]float64{
		series(n, 0, 2, -2./3, -2, 116./45),
		series(n, 0, 0, 7./3, -8./5, -227./45),
		series(n, 0, 0, 0, 56./15, -136./35),
		series(n, 0, 0, 0, 0, 4279./630),
	}
}

// series is the polynomial in n with the given coefficients, lowest first.
func series(n float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = c[i] + mul(n, sum)
	}
	return sum
}
