package loadeffect

import (
	"errors"
	"math"
	"slices"
)

// ErrSpans is returned for spans that make no beam.
var ErrSpans = errors.New("a continuous beam needs one to three spans, each above 0 m")

// Beam is a continuous beam on rigid supports, of the same bending stiffness
// all along.
type Beam struct {
	spans []float64
	ends  []float64 // supports from the left end, metres
}

// NewBeam makes a beam of one to three spans, metres.
func NewBeam(spansM ...float64) (*Beam, error) {
	if len(spansM) < 1 || len(spansM) > 3 {
		return nil, ErrSpans
	}
	b := &Beam{spans: slices.Clone(spansM), ends: []float64{0}}
	for _, l := range spansM {
		if !(l > 0) || math.IsInf(l, 0) {
			return nil, ErrSpans
		}
		b.ends = append(b.ends, b.ends[len(b.ends)-1]+l)
	}
	return b, nil
}

// cubic is c[0] + c[1] x + c[2] x2 + c[3] x3.
type cubic [4]float64

func (c cubic) at(x float64) float64 { return c[0] + x*(c[1]+x*(c[2]+x*c[3])) }

func (c cubic) plus(d cubic, by float64) cubic {
	for i := range c {
		c[i] += by * d[i]
	}
	return c
}

// shifted is the cubic of x + by.
func (c cubic) shifted(by float64) cubic {
	return cubic{c.at(by), c[1] + by*(2*c[2]+3*by*c[3]), c[2] + 3*by*c[3], c[3]}
}

// turns are the places where the slope is nought.
func (c cubic) turns() (x [2]float64, n int) {
	a, b, k := 3*c[3], 2*c[2], c[1]
	if math.Abs(a) < 1e-14*(math.Abs(b)+math.Abs(k)) {
		if b == 0 {
			return x, 0
		}
		return [2]float64{-k / b}, 1
	}
	disc := b*b - 4*a*k
	if disc < 0 {
		return x, 0
	}
	q := -(b + math.Copysign(math.Sqrt(disc), b)) / 2
	if q == 0 {
		return [2]float64{0}, 1
	}
	return [2]float64{q / a, k / q}, 2
}

// line is an influence line: pieces of cubics in metres from the left end.
type line []linePiece

type linePiece struct {
	from, to float64
	c        cubic
}

// supportMoments gives, for a unit load at a in span j, the moments at the
// supports as cubics of a, sagging positive, by the three-moment equation.
func (b *Beam) supportMoments(j int) []cubic {
	n := len(b.spans)
	out := make([]cubic, n+1)
	l := b.spans[j]
	// loads on the right-hand sides of the supports left and right of span j
	left := cubic{0, -2 * l, 3, -1 / l} // -b(L2-b2)/L, b = L - a
	right := cubic{0, -l, 0, 1 / l}     // -a(L2-a2)/L
	rhs := make([]cubic, n+1)
	rhs[j], rhs[j+1] = left, right
	switch n {
	case 2:
		out[1] = cubic{}.plus(rhs[1], 1/(2*(b.spans[0]+b.spans[1])))
	case 3:
		p, q, r := 2*(b.spans[0]+b.spans[1]), b.spans[1], 2*(b.spans[1]+b.spans[2])
		det := p*r - q*q
		out[1] = cubic{}.plus(rhs[1], r/det).plus(rhs[2], -q/det)
		out[2] = cubic{}.plus(rhs[2], p/det).plus(rhs[1], -q/det)
	}
	return out
}

// moment is the influence line of the moment at x in span k.
func (b *Beam) moment(k int, x float64) line {
	l := b.spans[k]
	return b.influence(k, x, 1-x/l, x/l, cubic{0, 1 - x/l}, cubic{x, -x / l})
}

// shear is the influence line of the shear at x in span k.
func (b *Beam) shear(k int, x float64) line {
	l := b.spans[k]
	return b.influence(k, x, -1/l, 1/l, cubic{0, -1 / l}, cubic{1, -1 / l})
}

// influence joins the parts of the support moments with those of the simple
// span, before and behind the section.
func (b *Beam) influence(k int, x, left, right float64, before, behind cubic) (out line) {
	for j := range b.spans {
		m := b.supportMoments(j)
		c := cubic{}.plus(m[k], left).plus(m[k+1], right)
		from, to := b.ends[j], b.ends[j+1]
		if j != k {
			out = append(out, linePiece{from, to, c.shifted(-from)})
			continue
		}
		if x > 0 {
			out = append(out, linePiece{from, from + x, c.plus(before, 1).shifted(-from)})
		}
		if x < b.spans[k] {
			out = append(out, linePiece{from + x, to, c.plus(behind, 1).shifted(-from)})
		}
	}
	return out
}

// extremes are the least and the largest effect of a train anywhere on an
// influence line, both directions not included: exact, since between axles
// crossing a break of the line the effect is one cubic.
func (n line) extremes(t Train) (least, most float64) {
	var breaks []float64
	for _, p := range n {
		for _, x := range t.AtM {
			breaks = append(breaks, p.from+x, p.to+x)
		}
	}
	slices.Sort(breaks)
	breaks = slices.Compact(breaks)
	for i := 1; i < len(breaks); i++ {
		lo, hi := breaks[i-1], breaks[i]
		c, mid := cubic{}, (lo+hi)/2
		for k, x := range t.AtM {
			for _, p := range n {
				if mid-x > p.from && mid-x < p.to {
					c = c.plus(p.c.shifted(lo-x), t.LoadN[k]) // in metres from lo
				}
			}
		}
		at := []float64{0, hi - lo}
		turns, m := c.turns()
		for _, x := range turns[:m] {
			if x > 0 && x < hi-lo {
				at = append(at, x)
			}
		}
		for _, x := range at {
			v := c.at(x)
			least, most = min(least, v), max(most, v)
		}
	}
	return least, most
}

// area is the effect of 1 N/m between two places, metres from the left end.
func (n line) area(from, to float64) (sum float64) {
	for _, p := range n {
		lo, hi := max(p.from, from), min(p.to, to)
		if hi <= lo {
			continue
		}
		whole := func(x float64) float64 {
			return x * (p.c[0] + x*(p.c[1]/2+x*(p.c[2]/3+x*p.c[3]/4)))
		}
		sum += whole(hi) - whole(lo)
	}
	return sum
}

// Extremes are the largest effects of a train on a continuous beam.
type Extremes struct {
	SagNm     float64 // largest sagging moment in any span
	HogNm     float64 // largest hogging moment over a support, positive
	EndShearN float64 // at an outer support
	ShearN    float64 // at any support
}

// sectionsASpan is how many sections of a span are tried for the sagging moment
// before the best is narrowed. Choice.
const sectionsASpan = 24

// Effects of a train in both directions: exact over positions; the section of
// the sagging moment is narrowed to a thousandth of its span.
func (b *Beam) Effects(t Train) (e Extremes) {
	for _, t := range []Train{t, t.Reversed()} {
		for k, l := range b.spans {
			e.SagNm = max(e.SagNm, b.sag(t, k))
			for side, x := range []float64{0, l} {
				least, most := b.shear(k, x).extremes(t)
				v := max(-least, most)
				e.ShearN = max(e.ShearN, v)
				if k+side == 0 || k+side == len(b.spans) {
					e.EndShearN = max(e.EndShearN, v)
				}
			}
			if k > 0 {
				least, _ := b.moment(k, 0).extremes(t)
				e.HogNm = max(e.HogNm, -least)
			}
		}
	}
	return e
}

// sag is the largest sagging moment in span k.
func (b *Beam) sag(t Train, k int) float64 {
	l := b.spans[k]
	at := func(x float64) float64 {
		_, most := b.moment(k, x).extremes(t)
		return most
	}
	best, place := 0.0, 0.0
	for i := 1; i < sectionsASpan; i++ {
		if v := at(l * float64(i) / sectionsASpan); v > best {
			best, place = v, l*float64(i)/sectionsASpan
		}
	}
	for step := l / sectionsASpan / 2; step > l/1000; step /= 2 {
		for _, x := range []float64{place - step, place + step} {
			if v := at(x); v > best {
				best, place = v, x
			}
		}
	}
	return best
}

// Uniform are the effects of a load of q N/m on every span.
func (b *Beam) Uniform(q float64) (e Extremes) {
	end := b.ends[len(b.ends)-1]
	for k, l := range b.spans {
		v0, v1 := b.shear(k, 0).area(0, end), b.shear(k, l).area(0, end)
		m0 := b.moment(k, 0).area(0, end)
		e.ShearN = max(e.ShearN, q*math.Abs(v0), q*math.Abs(v1))
		e.HogNm = max(e.HogNm, -q*m0)
		if x := v0; x > 0 && x < l { // shear falls by 1 N/m: nought at v0
			e.SagNm = max(e.SagNm, q*(m0+v0*v0/2))
		}
		if k == 0 {
			e.EndShearN = max(e.EndShearN, q*math.Abs(v0))
		}
		if k == len(b.spans)-1 {
			e.EndShearN = max(e.EndShearN, q*math.Abs(v1))
		}
	}
	return e
}

// Reversed is the train going the other way.
func (t Train) Reversed() Train {
	n := len(t.AtM)
	r := Train{AtM: make([]float64, n), LoadN: make([]float64, n)}
	for i := range n {
		r.AtM[i], r.LoadN[i] = t.AtM[n-1]-t.AtM[n-1-i], t.LoadN[n-1-i]
	}
	return r
}

// MomentAt is the moment at x in span k, sagging positive, with the foremost axle
// frontM from the left end of the beam.
func (b *Beam) MomentAt(t Train, k int, x, frontM float64) (sum float64) {
	n := b.moment(k, x)
	for i, at := range t.AtM {
		for _, p := range n {
			if s := frontM - at; s >= p.from && s < p.to {
				sum += t.LoadN[i] * p.c.at(s)
			}
		}
	}
	return sum
}
