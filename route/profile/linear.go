package profile

import "math"

// Series is a quantity along the way, one entry a station, with its standard
// error. NaN where it cannot be told.
type Series struct{ Value, SE []float64 }

// Linear gives sum(weight[k] * z(s-offsetM[k])) with its standard error at
// every station s, into out, whose slices are reused. Offsets are metres
// behind the station, negative ahead. Grade over a base, grade under a train,
// the ordinate under a hull and the pitch at a coupling all have this form.
//
// Where the pattern would reach beyond an end of the way it is moved along
// until it fits: a train is first judged when all of it is on the line. Where
// the pattern touches a stretch without height, or is longer than the way, the
// value is NaN.
//
// The standard error is that of the estimate; for weights that do not sum to
// zero it includes the error of the level.
func (p *Profile) Linear(offsetM, weight []float64, out *Series) {
	n := len(p.ChainageM)
	out.Value, out.SE = grow(out.Value, n), grow(out.SE, n)
	behind, ahead := 0.0, 0.0
	for _, o := range offsetM {
		behind, ahead = max(behind, o), max(ahead, -o)
	}
	f := form{j: make([]int, len(offsetM))}
	for i, s := range p.ChainageM {
		s = min(max(s, behind), p.LengthM()-ahead)
		out.Value[i], out.SE[i] = p.linearAt(s, behind, offsetM, weight, &f)
	}
}

// At is Linear at one chainage.
func (p *Profile) At(s float64, offsetM, weight []float64) (value, se float64) {
	behind, ahead := 0.0, 0.0
	for _, o := range offsetM {
		behind, ahead = max(behind, o), max(ahead, -o)
	}
	s = min(max(s, behind), p.LengthM()-ahead)
	return p.linearAt(s, behind, offsetM, weight, &form{})
}

// form is the working space of one linear form.
type form struct {
	w []float64
	j []int     // node before each point, also the hint for the next station
	t []float64 // share of the way from it to the next node
}

func (p *Profile) linearAt(s, behind float64, offsetM, weight []float64, f *form) (value, se float64) {
	c := p.chainAt(s - behind)
	if c == nil || s < behind-1e-6 {
		return math.NaN(), math.NaN()
	}
	f.j, f.t = grow(f.j, len(offsetM)), grow(f.t, len(offsetM))
	lo, hi := math.MaxInt, -1
	for k, o := range offsetM {
		j, t, ok := c.findNear(s-o, f.j[k])
		if !ok {
			return math.NaN(), math.NaN()
		}
		f.j[k], f.t[k] = j, t
		lo, hi = min(lo, j), max(hi, j+1)
	}
	f.w = grow(f.w, hi-lo+1)
	clear(f.w)
	for k, j := range f.j {
		t := f.t[k]
		f.w[j-lo] += weight[k] * (1 - t)
		f.w[j+1-lo] += weight[k] * t
		value += weight[k] * ((1-t)*c.z[j] + t*c.z[j+1])
	}
	if c.exact {
		return value, c.pitchSE(lo, f.w)
	}
	if c.a == nil {
		return math.NaN(), math.NaN() // released
	}
	return value, math.Sqrt(c.a.quadratic(lo, f.w, c.tails))
}

// Release gives back the memory that standard errors need: heights stay, every
// further Linear is NaN. For a run over many routes.
func (p *Profile) Release() {
	for i := range p.chains {
		p.chains[i].a, p.chains[i].tails = nil, nil
	}
}

// chainAt is the chain that covers a chainage, nil if none.
func (p *Profile) chainAt(s float64) *chain {
	for i := range p.chains {
		if _, _, ok := p.chains[i].find(s); ok {
			return &p.chains[i]
		}
	}
	return nil
}

// Grade is the grade over a base centred on each station, rise over run.
func (p *Profile) Grade(baseM float64, out *Series) {
	h := baseM / 2
	p.Linear([]float64{-h, h}, []float64{1 / baseM, -1 / baseM}, out)
}

// RawGrade is the difference of the sampled heights over one step either side,
// without any conditioning; NaN where one of them is missing. Noise makes its
// worst values too steep.
func (p *Profile) RawGrade() Series {
	n := len(p.ChainageM)
	out := Series{Value: make([]float64, n), SE: make([]float64, n)}
	for i := range n {
		lo, hi := max(i-1, 0), min(i+1, n-1)
		out.Value[i] = (p.RawZM[hi] - p.RawZM[lo]) / (p.ChainageM[hi] - p.ChainageM[lo])
		out.SE[i] = math.NaN()
	}
	return out
}

func grow[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
