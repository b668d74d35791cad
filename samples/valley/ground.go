package valley

import "math"

// Shape of the earthworks and of the noise.
const (
	platformM  = 6    // half width of the levelled ground beside a centreline; choice
	batterRun  = 1.5  // run over rise of cuts and fills; common practice for soil, no source
	reachM     = 60   // earthworks end this far from a centreline; choice
	abutmentM  = 4    // the platform goes on this far into a bridge or tunnel; choice
	bedHalfM   = 3    // half width of the beck's bed; choice
	bankRatio  = 0.45 // rise over run of the beck's banks at the bed; choice
	bankBendM  = 60   // the banks steepen by their distance squared over this; choice
	shoreRatio = 0.06 // rise over run of the lake's shore; choice
	noiseM     = 0.1  // largest height noise, uniform: standard deviation 0.058 m; choice
	controlM   = 20   // spacing of the coarse grid and of the points along roads that hold it
	wildM      = 26   // largest relief of hills far from roads; choice
	wildStartM = 40   // relief begins this far from a road
	wildFullM  = 300
)

// Seeds of the noises, any numbers.
const (
	seedRelief = 0x6f6d6d6572
	seedNoise  = 0x76697373656c
)

// ground is the natural land: a coarse grid of heights and of how wild the
// relief is there.
type ground struct {
	cols, rows   int
	zM, wildness []float64
	beck         []element
}

// nature makes the land fit the roads: inverse-distance weights of the roads'
// heights, the beck's banks and the hills, on a coarse grid.
func nature(roads []*Road, eastM, northM float64) *ground {
	g := &ground{cols: int(eastM/controlM) + 4, rows: int(northM/controlM) + 4, beck: course()}
	onRoad, other := controls(roads, g.beck)
	all := append(append([][3]float64{}, onRoad...), other...)
	for j := range g.rows {
		for i := range g.cols {
			x, y := mul(float64(i-1), controlM), mul(float64(j-1), controlM)
			sum, weights, near := 0.0, 0.0, math.Inf(1)
			for k, c := range all {
				d2 := sq(x-c[0]) + sq(y-c[1]) + 100
				w := 1 / mul(d2, math.Sqrt(d2))
				if k >= len(all)-len(hills) {
					w = mul(w, 8) // one hill stands for many points
				}
				sum += mul(w, c[2])
				weights += w
				if k < len(onRoad) {
					near = min(near, d2)
				}
			}
			g.zM = append(g.zM, sum/weights)
			g.wildness = append(g.wildness, smooth((math.Sqrt(near)-wildStartM)/(wildFullM-wildStartM)))
		}
	}
	return g
}

// controls lists the points (x, y, z) that hold the land: along the roads
// where the ground carries them, and elsewhere.
func controls(roads []*Road, beckLine []element) (onRoad, other [][3]float64) {
	for _, r := range roads {
		for s := 0.0; s <= r.LengthM; s += controlM {
			if _, inside := r.gap(s); inside {
				continue
			}
			x, y := r.At(s)
			onRoad = append(onRoad, [3]float64{x, y, r.HeightM(s)})
		}
	}
	for k, e := range beckLine {
		for t := 0.0; t < e.lengthM; t += controlM {
			x, y := e.at(t)
			other = append(other, [3]float64{x, y, mix(beck[k].bedM, beck[k+1].bedM, t/e.lengthM) + 3})
		}
	}
	for _, h := range hills {
		other = append(other, [3]float64{h.x, h.y, h.zM})
	}
	return onRoad, other
}

// course is the beck as straights.
func course() []element {
	var line []element
	for k := 1; k < len(beck); k++ {
		a, b := beck[k-1], beck[k]
		ux, uy, length := unit(b.x-a.x, b.y-a.y)
		line = append(line, element{lengthM: length, x: a.x, y: a.y, ux: ux, uy: uy})
	}
	return line
}

// natural is the land at (x, y) before any road: hills, lake and beck.
func (g *ground) natural(x, y float64) (zM float64, water bool) {
	z, wild := g.spline(x/controlM+1, y/controlM+1)
	relief := 0.0
	for k, length := 0, 400.0; k < 5; k, length = k+1, length/2 {
		relief += mul(length/400, waves(seedRelief+uint64(k), x, y, length))
	}
	z += mul(relief, 0.6+mul(wildM, wild)/2)
	edge := math.Sqrt(sq((x-lake.x)/lake.halfEastM) + sq((y-lake.y)/lake.halfNorthM))
	if edge < 1 {
		return lake.levelM, true
	}
	shore := lake.levelM + mul(shoreRatio, mul(edge-1, lake.halfEastM))
	z = mix(shore, max(z, lake.levelM+0.5), smooth((edge-1)/0.4))
	for k, e := range g.beck {
		t, d := e.foot(x, y)
		bed := mix(beck[k].bedM, beck[k+1].bedM, t/e.lengthM)
		d = max(0, d-bedHalfM)
		z = min(z, max(bed, lake.levelM)+mul(bankRatio, d)+sq(d)/bankBendM)
	}
	return z, false
}

// spline is the coarse grid at (u, v) in its cells, by cubic B-splines: smooth
// to the second derivative.
func (g *ground) spline(u, v float64) (zM, wild float64) {
	i, j := math.Floor(u), math.Floor(v)
	wu, wv := basis(u-i), basis(v-j)
	for b, fv := range wv {
		row := min(max(int(j)+b-1, 0), g.rows-1)
		for a, fu := range wu {
			k := row*g.cols + min(max(int(i)+a-1, 0), g.cols-1)
			w := mul(fu, fv)
			zM += mul(w, g.zM[k])
			wild += mul(w, g.wildness[k])
		}
	}
	return zM, wild
}

// basis is the four uniform cubic B-spline weights at t from 0 to 1.
func basis(t float64) [4]float64 {
	t2 := sq(t)
	t3, r := mul(t2, t), 1-t
	return [4]float64{
		mul(sq(r), r) / 6,
		(mul(3, t3) - mul(6, t2) + 4) / 6,
		(mul(3, t2) + mul(3, t) - mul(3, t3) + 1) / 6,
		t3 / 6,
	}
}
