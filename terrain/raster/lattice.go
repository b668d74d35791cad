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
	patchDeg     = 0.05 // side of a patch in degrees; a choice
	patchNodes   = 4
	patchMissMax = 1e-5    // largest miss at a check point, cells: 0.1 mm on 10 m cells
	patchesKept  = 1 << 15 // 10 MB; a choice
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
	col, row [patchNodes * patchNodes]float64
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
	return patchID{int32(math.Floor(lon / patchDeg)), int32(math.Floor(lat / patchDeg))}
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
		lon = append(lon, (float64(id.x)+0.5+u/2)*patchDeg)
		lat = append(lat, (float64(id.y)+0.5+v/2)*patchDeg)
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
	u := 2*(lon/patchDeg-float64(id.x)) - 1
	v := 2*(lat/patchDeg-float64(id.y)) - 1
	return p.eval(u, v)
}

func (p *patch) eval(u, v float64) (col, row float64) {
	wu, wv := lagrange(u), lagrange(v)
	for j, b := range wv {
		var c, r float64
		for i, a := range wu {
			c += float64(a * p.col[j*patchNodes+i])
			r += float64(a * p.row[j*patchNodes+i])
		}
		col += float64(b * c)
		row += float64(b * r)
	}
	return col, row
}

// lagrange gives the weights of the nodes at u.
func lagrange(u float64) (w [patchNodes]float64) {
	d0, d1, d2, d3 := u-nodeAt[0], u-nodeAt[1], u-nodeAt[2], u-nodeAt[3]
	d01, d23 := d0*d1, d2*d3
	w[0] = d1 * d23 * nodeScale[0]
	w[1] = d0 * d23 * nodeScale[1]
	w[2] = d01 * d3 * nodeScale[2]
	w[3] = d01 * d2 * nodeScale[3]
	return w
}

var nodeScale = func() (s [patchNodes]float64) {
	for i := range s {
		s[i] = 1
		for k := range s {
			if k != i {
				s[i] /= nodeAt[i] - nodeAt[k]
			}
		}
	}
	return s
}()
