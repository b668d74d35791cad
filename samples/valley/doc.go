// Package valley makes Drawbar's sample scenario: an invented island valley
// with its ground, five roads benched into it, and five routes from the same
// recovery point to the same depot. No such place exists; the coordinates lie
// in the open Atlantic (UTM zone 26 north), far from any land.
//
// Lengths and heights are metres. x is east and y is north of the south-west
// corner of the raster, on the map grid; grades are rise over run. A map
// length is 0.9996 of the length on the ellipsoid (the scale of UTM near its
// central meridian), so chainages here are 0.04 % shorter than those measured
// on the ellipsoid, and grades 0.04 % of themselves steeper.
//
// # Same bytes everywhere
//
// The files are compared byte for byte, so every number in them must come out
// alike on every machine. Go may fuse x*y+z into one operation with one
// rounding where the processor has it, and the functions of package math may
// differ in the last bit between processors. Hence three rules, held by a test
// that reads this package's own source: every product of floats is converted
// explicitly, float64(x*y), which the language defines to forbid fusing
// (almost always through [mul]); of package math only functions that are exact
// by definition are used (Sqrt, Floor, Abs, Inf, constants); sine, cosine,
// arc tangent and the hyperbolic functions are the plain series in number.go.
// A division by a power of two may still be compiled into a fused product;
// that product is exact, so the sum is rounded once either way.
package valley
