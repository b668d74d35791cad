package valley

import "math"

// mul is the product, rounded: the conversion forbids the compiler to fuse it
// with an addition, so that every processor gives the same bits.
func mul(a, b float64) float64 { return float64(a * b) }

// sq is a squared, rounded.
func sq(a float64) float64 { return mul(a, a) }

// The quarter turn, pi/2, in two parts: the first has 33 bits, so that its
// product with a small whole number is exact. Derived from the value of pi.
const (
	quarterHi = 1.57079632673412561417e+00
	quarterLo = math.Pi/2 - quarterHi
)

// sincos is the sine and cosine of an angle in radians, good to 4e-16 for
// |a| < 1000: reduction by quarter turns and the power series.
func sincos(a float64) (sin, cos float64) {
	turns := math.Floor(a/(math.Pi/2) + 0.5)
	r := a - mul(turns, quarterHi) - mul(turns, quarterLo)
	r2 := sq(r)
	sin, cos = 1, 1
	for k := 20.0; k >= 2; k -= 2 { // next terms: r^21/21!, r^20/20!, below 1e-19 for |r| < pi/4
		sin = 1 - mul(r2/mul(k, k+1), sin)
		cos = 1 - mul(r2/mul(k-1, k), cos)
	}
	sin = mul(sin, r)
	switch int(turns) & 3 {
	case 1:
		return cos, -sin
	case 2:
		return -sin, -cos
	case 3:
		return -cos, sin
	}
	return sin, cos
}

// atan is the arc tangent in radians, good to 1e-15: two half-angle steps
// bring |x| below 0.42 even for large x, then the power series.
func atan(x float64) float64 {
	for range 2 {
		x = x / (1 + math.Sqrt(1+sq(x)))
	}
	x2 := sq(x)
	sum := 0.0
	for k := 45.0; k >= 1; k -= 2 { // next term: 0.42^47/47, below 1e-19
		sum = 1/k - mul(x2, sum)
	}
	return mul(4, mul(x, sum))
}

// atan2 is the angle of the vector (x, y) from the x axis, -pi to pi; 0 for
// the null vector.
func atan2(y, x float64) float64 {
	switch {
	case x > 0:
		return atan(y / x)
	case x < 0 && y >= 0:
		return atan(y/x) + math.Pi
	case x < 0:
		return atan(y/x) - math.Pi
	case y > 0:
		return math.Pi / 2
	case y < 0:
		return -math.Pi / 2
	}
	return 0
}

// sinhcosh is the hyperbolic sine and cosine for |x| <= 1, good to 1e-15:
// the power series.
func sinhcosh(x float64) (sinh, cosh float64) {
	x2 := sq(x)
	sinh, cosh = 1, 1
	for k := 20.0; k >= 2; k -= 2 {
		sinh = 1 + mul(x2/mul(k, k+1), sinh)
		cosh = 1 + mul(x2/mul(k-1, k), cosh)
	}
	return mul(sinh, x), cosh
}

// hash mixes a seed and two whole numbers into 64 bits: the finaliser of the
// splitmix64 generator (Steele, Lea, Flood 2014), applied once a number.
func hash(seed uint64, i, j int) uint64 {
	h := seed
	for _, n := range [2]int{i, j} {
		h += 0x9e3779b97f4a7c15 * (uint64(int64(n)) + 1)
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		h ^= h >> 31
	}
	return h
}

// uniform is a number from -1 up to 1 that depends on its arguments alone.
func uniform(seed uint64, i, j int) float64 {
	const half = 1 << 52
	return float64(int64(hash(seed, i, j)>>11)-half) / half
}

// waves is smooth noise from -1 to 1 with the given wavelength in metres:
// random values on a lattice, joined by cubic steps.
func waves(seed uint64, x, y, lengthM float64) float64 {
	u, v := x/lengthM, y/lengthM
	i, j := math.Floor(u), math.Floor(v)
	fu, fv := smooth(u-i), smooth(v-j)
	a, b := int(i), int(j)
	south := mix(uniform(seed, a, b), uniform(seed, a+1, b), fu)
	north := mix(uniform(seed, a, b+1), uniform(seed, a+1, b+1), fu)
	return mix(south, north, fv)
}

// smooth rises from 0 at 0 to 1 at 1 without a kink; held at 0 and 1 outside.
func smooth(t float64) float64 {
	t = min(max(t, 0), 1)
	return mul(sq(t), 3-mul(2, t))
}

// mix is a at t = 0 and b at t = 1.
func mix(a, b, t float64) float64 { return a + mul(b-a, t) }
