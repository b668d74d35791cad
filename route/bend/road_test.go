package bend

import (
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"

	"drawbar/route"
)

// road is a made road: bends of one radius and turn between straights, drawn
// with vertices some way apart that err.
type road struct {
	radiusM, turnRad float64
	easeM            float64 // length of clothoid at both ends of each arc
	bends            int
	straightM        float64
	spacingM         float64
	jitter           float64 // of the spacing, as a share
	thinM            float64 // tolerance of a thinning afterwards, 0 for none
	noiseM           float64
	corrM            float64 // length of correlation of the noise along the way, 0 for none
}

// trace is the middle line in steps of stepM, with the chainage of each apex.
func (r road) trace(rng *rand.Rand, stepM float64) (line []point, apex []float64) {
	x, y, dir, s := 0.0, 0.0, rng.Float64()*2*math.Pi, 0.0
	line = append(line, point{x, y})
	walk := func(length float64, k0, k1 float64) {
		n := max(int(math.Ceil(length/stepM)), 1)
		h := length / float64(n)
		for i := range n {
			k := k0 + (k1-k0)*(float64(i)+0.5)/float64(n)
			mid := dir + k*h/2
			x, y, dir, s = x+h*math.Cos(mid), y+h*math.Sin(mid), dir+k*h, s+h
			line = append(line, point{x, y})
		}
	}
	walk(r.straightM*(0.5+rng.Float64()), 0, 0)
	for range r.bends {
		k := 1 / r.radiusM
		if rng.IntN(2) == 0 {
			k = -k
		}
		begin := s
		if r.easeM > 0 {
			walk(r.easeM, 0, k)
		}
		if arc := r.radiusM*r.turnRad - r.easeM; arc > 0 {
			walk(arc, k, k)
		}
		if r.easeM > 0 {
			walk(r.easeM, k, 0)
		}
		apex = append(apex, (begin+s)/2)
		walk(r.straightM*(0.5+rng.Float64()), 0, 0)
	}
	return line, apex
}

// drawn is the road as a mapper draws it.
func (r road) drawn(rng *rand.Rand) (*route.Alignment, []float64) {
	const step = 0.05
	line, apex := r.trace(rng, step)
	var pts []point
	var chain []float64
	for s := rng.Float64() * r.spacingM * 0.5; ; {
		i := int(s / step)
		if i >= len(line) {
			break
		}
		pts, chain = append(pts, line[i]), append(chain, s)
		s += r.spacingM * (1 + r.jitter*(2*rng.Float64()-1))
	}
	ex, ey := 0.0, 0.0
	for i := range pts {
		keep := 0.0
		if r.corrM > 0 && i > 0 {
			keep = math.Exp(-(chain[i] - chain[i-1]) / r.corrM)
		}
		n := math.Sqrt(1 - keep*keep)
		ex, ey = keep*ex+n*rng.NormFloat64(), keep*ey+n*rng.NormFloat64()
		pts[i] = point{pts[i].x + r.noiseM*ex, pts[i].y + r.noiseM*ey}
	}
	if r.thinM > 0 {
		var out []point
		for _, i := range thin(pts, r.thinM) {
			out = append(out, pts[i])
		}
		pts = out
	}
	// Chainage of the drawn line runs longer with the noise: an apex is where the
	// vertices near it are.
	a := onEarth(pts)
	where := make([]float64, len(apex))
	for i, s := range apex {
		p, near := line[min(int(s/step), len(line)-1)], math.Inf(1)
		for j, q := range pts {
			if d := length(p, q); d < near {
				where[i], near = a.ChainageM[j], d
			}
		}
	}
	return a, where
}

const earthLat, earthLon = 47.0, 9.0

// onEarth puts points in metres on the ellipsoid by its radii of curvature at
// each latitude, true to 1e-5 over a few kilometres.
func onEarth(pts []point) *route.Alignment {
	const a, e2, deg = 6378137.0, 0.00669437999014, math.Pi / 180 // WGS84
	line := make(orb.LineString, len(pts))
	for i, p := range pts {
		w := 1 - e2*math.Pow(math.Sin(earthLat*deg), 2)
		lat := earthLat + p.y/(a*(1-e2)/(w*math.Sqrt(w)))/deg
		w = 1 - e2*math.Pow(math.Sin(lat*deg), 2)
		// Along the parallel half way to the point's, as Alignment.Plane reads it.
		line[i] = orb.Point{earthLon + p.x/(a/math.Sqrt(w)*math.Cos((lat+earthLat)/2*deg))/deg, lat}
	}
	al, err := route.Align(&route.Route{ID: "made", Line: line, Pieces: []route.Piece{{First: 0, Last: len(line) - 1}}})
	if err != nil {
		panic(err)
	}
	return al
}
