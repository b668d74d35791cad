package raster

import (
	"math"
	"sync"
)

// A projection costs ten times what the rest of a sample costs, and PROJ picks
// the operation between two datums by the middle of the points it is given
// together: a point's place would depend on its neighbours in the call. Both
// are settled by patches fixed to the Earth: in each the place in the raster is
// a cubic in longitude and latitude through 4 x 4 nodes, whichever points are
// asked for. A patch whose cubic misses the projection at any of its check
// points (a grid of datum shifts with kinks, the edge of a projection) is
// marked exact: there each point is projected alone.
const (
	patchesPerDeg = 20 // patches of 0.05 degrees; a choice
	patchNodes    = 4
	patchMissMax  = 1e-5    // largest miss at a check point, cells: 0.1 mm on 10 m cells
	patchesKept   = 1 << 15 // 10 MB; a choice
)

// nodeAt are the Chebyshev nodes on -1..1. The error of the cubic is at most
// h^4/192 times the fourth derivative with h half a side: for a projection
// of the Earth 1e-9 to 1e-7 m. Derived.
var nodeAt = func() (at [patchNodes]float64) {
	for i := range at {
		at[i] = math.Cos(float64(2*i+1) * math.Pi / (2 * patchNodes))
	}
	return at
}()

var checkAt = [][2]float64{{0, 0}, {-1, -1}, {1, -1}, {-1, 1}, {1, 1}, {0.35, -0.6}, {-0.7, 0.15}, {0.1, 0.7}}

// projector projects longitudes and latitudes in place into the raster's
// coordinate system; ok[i] is false where it cannot.
type projector interface {
	project(lon, lat []float64, ok []bool)
}

type patchID struct{ x, y int32 }

type patch struct {
	exact    bool
	col, row [patchNodes * patchNodes]float64 // factors of u^k v^l at l*patchNodes+k
}

// lattice keeps the patches touched so far.
type lattice struct {
	inv inverse

	mu      sync.RWMutex
	patches map[patchID]*patch
}

func newLattice(inv inverse) *lattice {
	return &lattice{inv: inv, patches: map[patchID]*patch{}}
}

func patchOf(lon, lat float64) patchID {
	return patchID{int32(math.Floor(lon * patchesPerDeg)), int32(math.Floor(lat * patchesPerDeg))}
}

// get gives a patch, making it when it is not kept. Two goroutines may make
// the same one: they make equal ones.
func (l *lattice) get(id patchID, pr func() (projector, error)) (*patch, error) {
	l.mu.RLock()
	p := l.patches[id]
	l.mu.RUnlock()
	if p != nil {
		return p, nil
	}
	proj, err := pr()
	if err != nil {
		return nil, err
	}
	p = l.build(id, proj)
	l.mu.Lock()
	defer l.mu.Unlock()
	if len(l.patches) >= patchesKept {
		clear(l.patches)
	}
	l.patches[id] = p
	return p, nil
}

func (l *lattice) build(id patchID, proj projector) *patch {
	n := patchNodes*patchNodes + len(checkAt)
	lon, lat, ok := make([]float64, 0, n), make([]float64, 0, n), make([]bool, n)
	add := func(u, v float64) {
		lon = append(lon, (float64(id.x)+0.5+u/2)/patchesPerDeg)
		lat = append(lat, (float64(id.y)+0.5+v/2)/patchesPerDeg)
	}
	for _, v := range nodeAt {
		for _, u := range nodeAt {
			add(u, v)
		}
	}
	for _, c := range checkAt {
		add(c[0], c[1])
	}
	proj.project(lon, lat, ok)
	p := &patch{}
	for i := range n {
		if !ok[i] {
			return &patch{exact: true}
		}
		col, row := l.inv.cell(lon[i], lat[i])
		if i < len(p.col) {
			p.col[i], p.row[i] = col, row
			continue
		}
		if i == len(p.col) {
			p.powers()
		}
		c := checkAt[i-len(p.col)]
		atCol, atRow := p.eval(c[0], c[1])
		if !(math.Abs(atCol-col) <= patchMissMax && math.Abs(atRow-row) <= patchMissMax) {
			return &patch{exact: true}
		}
	}
	return p
}

// cell gives column and row of a point of the patch.
func (p *patch) cell(id patchID, lon, lat float64) (col, row float64) {
	u := 2*(lon*patchesPerDeg-float64(id.x)) - 1
	v := 2*(lat*patchesPerDeg-float64(id.y)) - 1
	return p.eval(u, v)
}

// eval sums the powers, innermost u. The products are converted, which forbids
// a fused multiply-add: the same place, bit for bit, on every processor.
func (p *patch) eval(u, v float64) (col, row float64) {
	c, r := &p.col, &p.row
	c0, r0 := horner(c[0], c[1], c[2], c[3], u), horner(r[0], r[1], r[2], r[3], u)
	c1, r1 := horner(c[4], c[5], c[6], c[7], u), horner(r[4], r[5], r[6], r[7], u)
	c2, r2 := horner(c[8], c[9], c[10], c[11], u), horner(r[8], r[9], r[10], r[11], u)
	c3, r3 := horner(c[12], c[13], c[14], c[15], u), horner(r[12], r[13], r[14], r[15], u)
	return horner(c0, c1, c2, c3, v), horner(r0, r1, r2, r3, v)
}

func horner(a0, a1, a2, a3, x float64) float64 {
	return a0 + float64(x*(a1+float64(x*(a2+float64(x*a3)))))
}

// powers turns values at the nodes into the factors of the powers of u and v.
func (p *patch) powers() {
	for _, z := range []*[patchNodes * patchNodes]float64{&p.col, &p.row} {
		var rows, both [patchNodes * patchNodes]float64
		for j := range patchNodes {
			for k := range patchNodes {
				for i := range patchNodes {
					rows[j*patchNodes+k] += nodePower[k][i] * z[j*patchNodes+i]
				}
			}
		}
		for l := range patchNodes {
			for k := range patchNodes {
				for j := range patchNodes {
					both[l*patchNodes+k] += nodePower[l][j] * rows[j*patchNodes+k]
				}
			}
		}
		*z = both
	}
}

// nodePower[k][i] is the factor of x^k in the cubic that is one at node i and
// zero at the others.
var nodePower = func() (m [patchNodes][patchNodes]float64) {
	for i, at := range nodeAt {
		poly := [patchNodes]float64{1}
		for j, other := range nodeAt {
			if j == i {
				continue
			}
			var next [patchNodes]float64
			for k, a := range poly {
				next[k] -= a * other / (at - other)
				if k+1 < patchNodes {
					next[k+1] += a / (at - other)
				}
			}
			poly = next
		}
		for k := range patchNodes {
			m[k][i] = poly[k]
		}
	}
	return m
}()
