package profile

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"drawbar/route"
)

// WorstOptions steer Worst. The zero value takes every default.
type WorstOptions struct {
	// CapRatio is the grade no road is believed to exceed; 0 takes 15 %, or
	// what the estimate itself asks for where it is steeper.
	CapRatio float64
	// Moves is the number of moves a station; 0 takes 36.
	Moves int
	// Draws is the number of roads kept; 0 takes 200.
	Draws int
}

// Worst is what sampled roads say of the worst value of a linear form over a
// stretch. Draws are even in weight and in the order they were made.
type Worst struct {
	Value    []float64 // the largest value of the form, one a draw
	Margin   []float64 // the least of limit less value, one a draw; +Inf without limit
	Moves    int
	CapRatio float64
	// Apart is how far two chains from different starts differ in P(margin < 0):
	// small when the sampling has mixed.
	Apart float64
}

// Median is the median of the worst value.
func (w *Worst) Median() float64 { return quantile(w.Value, 0.5) }

// Upper is the bound that the worst value stays under with a probability.
func (w *Worst) Upper(p float64) float64 { return quantile(w.Value, p) }

// Exceeds is P(the form exceeds its limit somewhere).
func (w *Worst) Exceeds() float64 { return negative(w.Margin) }

func negative(v []float64) float64 {
	n := 0
	for _, m := range v {
		if m < 0 {
			n++
		}
	}
	return float64(n) / float64(len(v))
}

func quantile(v []float64, p float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[min(int(p*float64(len(s))), len(s)-1)]
}

// ErrNoRoad is returned where there are too few heights to sample roads.
var ErrNoRoad = errors.New("too few heights to sample roads")

// leadM is how much of the way either side of a stretch the sampler sees,
// metres. Choice: a few ramps.
const leadM = 1000.0

// burnMoves is how many moves go by between two looks at the context: some 10 ms.
const burnMoves = 4000

// Worst samples roads over a stretch: points of vertical intersection joined by
// tangents and parabolas, given the heights and their correlated error, sizes
// learned. It gives draws of the largest value of a linear form (offsets and
// weights as in Linear) over the stations of the stretch and of its least
// margin under the limits, one a station of the profile, nil for none. Draws of
// a Gaussian estimate would wiggle inside ramps and overstate the worst; roads
// do not. The seed is fixed: same profile, same answer, whatever the workers.
//
// It fails with ErrNoRoad on fewer than eight observed heights or where the
// stretch has none at all, on any side of a void in it, and when the context ends.
func (p *Profile) Worst(ctx context.Context, over route.Stretch, offsetM, weight, limit []float64, o WorstOptions) (*Worst, error) {
	if o.Moves == 0 {
		o.Moves = 36
	}
	if o.Draws == 0 {
		o.Draws = 200
	}
	forms := p.formsOver(over, offsetM, weight, limit)
	if len(forms) == 0 {
		return nil, noRoad(over)
	}
	whole := &Worst{}
	for k, f := range forms {
		w, err := p.worstOf(ctx, f, o)
		if err != nil {
			return nil, fmt.Errorf("from %.0f to %.0f m: %w", over.FromM, over.ToM, err)
		}
		if k == 0 {
			whole = w
			continue
		}
		whole.join(w)
	}
	return whole, nil
}

func noRoad(over route.Stretch) error {
	return fmt.Errorf("from %.0f to %.0f m: %w", over.FromM, over.ToM, ErrNoRoad)
}

// join takes another chain of the same stretch in: the errors either side of a
// void are drawn apart, so that draw goes with draw.
func (w *Worst) join(o *Worst) {
	for i := range w.Value {
		w.Value[i] = max(w.Value[i], o.Value[i])
		w.Margin[i] = min(w.Margin[i], o.Margin[i])
	}
	w.Moves += o.Moves
	w.CapRatio = max(w.CapRatio, o.CapRatio)
	w.Apart = max(w.Apart, o.Apart)
}

// worstOf samples roads along one chain.
func (p *Profile) worstOf(ctx context.Context, f *formOver, o WorstOptions) (*Worst, error) {
	d := f.chain.evidence(f.fromM, f.toM, p.straights(f.chain))
	if d == nil {
		return nil, ErrNoRoad
	}
	w := &Worst{CapRatio: o.CapRatio}
	if w.CapRatio == 0 {
		w.CapRatio = max(0.15, 1.2*f.chain.steepest(d))
	}
	part := [2]float64{}
	for k, every := range []float64{150, 60} { // two starts: smooth and busy
		s := newSampler(d, defaultLaw(f.chain.fit.gradeSD, w.CapRatio), f.chain.seM*f.chain.fit.scale,
			d.startKnotsFor(f.chain.fit.gradeSD, w.CapRatio, every), rand.New(rand.NewPCG(0x726f616473, uint64(k))))
		s.bySigma, s.byGrade = learned{s.sigma, 0.35}, learned{s.law.gradeSD, 0.35}
		from := len(w.Margin)
		if err := f.draw(ctx, s, o.Moves*len(d.s)/2, o.Draws/2, w); err != nil {
			return nil, err
		}
		part[k] = negative(w.Margin[from:])
		w.Moves += o.Moves * len(d.s) / 2
	}
	w.Apart = math.Abs(part[0] - part[1])
	return w, nil
}

// draw burns a quarter of the moves and keeps roads evenly from the rest.
func (f *formOver) draw(ctx context.Context, s *sampler, moves, draws int, w *Worst) error {
	for left := moves / 4; left > 0; left -= burnMoves {
		if err := ctx.Err(); err != nil {
			return err
		}
		s.run(min(left, burnMoves))
	}
	for range max(draws, 1) {
		if err := ctx.Err(); err != nil {
			return err
		}
		s.run(max(moves*3/4/max(draws, 1), 1))
		value, margin := f.worst(&s.roadState)
		w.Value, w.Margin = append(w.Value, value), append(w.Margin, margin)
	}
	return nil
}

// formOver is a linear form over the stations of a stretch, in the order of the
// chain.
type formOver struct {
	chain      *chain
	fromM, toM float64     // what of the chain the sampler sees
	at         [][]float64 // by offset: ascending chainages
	weight     []float64
	limit      []float64 // nil for none
	sum, out   []float64
}

// formsOver is the form over a stretch, one for every chain that holds a station
// of it: a void parts the stretch, and either side is judged.
func (p *Profile) formsOver(over route.Stretch, offsetM, weight, limit []float64) (out []*formOver) {
	behind, ahead := 0.0, 0.0
	for _, o := range offsetM {
		behind, ahead = max(behind, o), max(ahead, -o)
	}
	for k := range p.chains {
		f := &formOver{weight: weight, chain: &p.chains[k]}
		var stations []float64
		for i, s := range p.ChainageM {
			if s < over.FromM || s > over.ToM || s-behind < -1e-6 || s+ahead > p.LengthM()+1e-6 {
				continue
			}
			if !f.chain.holds(s-behind) || !f.chain.holds(s+ahead) {
				continue // the pattern reaches into a void, or over it
			}
			stations = append(stations, s)
			if limit != nil {
				f.limit = append(f.limit, limit[i])
			}
		}
		if len(stations) > 0 {
			f.lay(stations, offsetM)
			f.see(stations[0]-behind, stations[len(stations)-1]+ahead)
			out = append(out, f)
		}
	}
	return out
}

func (c *chain) holds(s float64) bool {
	_, _, ok := c.find(s)
	return ok
}

// see sets what of the chain the sampler is given, from route chainages.
func (f *formOver) see(a, b float64) {
	first, last := f.chain.at[0], f.chain.at[len(f.chain.at)-1]
	if l := f.chain.lengthM; l > 0 {
		a, b = l-b, l-a
	}
	f.fromM, f.toM = max(a-leadM, first), min(b+leadM, last)
}

// lay puts the chainages of every offset in ascending order of the chain.
func (f *formOver) lay(stations, offsetM []float64) {
	l := f.chain.lengthM
	f.sum, f.out = make([]float64, len(stations)), make([]float64, len(stations))
	for _, o := range offsetM {
		at := make([]float64, len(stations))
		for i, s := range stations {
			if at[i] = s - o; l > 0 {
				at[i] = l - at[i]
			}
		}
		if l > 0 {
			slices.Reverse(at)
		}
		f.at = append(f.at, at)
	}
	if l > 0 {
		slices.Reverse(f.limit)
	}
}

// worst is the largest value of the form on a road and its least margin.
func (f *formOver) worst(r *roadState) (value, margin float64) {
	clear(f.sum)
	for k, at := range f.at {
		r.heights(at, f.out)
		for i, z := range f.out {
			f.sum[i] += f.weight[k] * z
		}
	}
	value, margin = math.Inf(-1), math.Inf(1)
	for i, v := range f.sum {
		value = max(value, v)
		if f.limit != nil {
			margin = min(margin, f.limit[i]-v)
		}
	}
	return value, margin
}

// evidence is what a chain observed between two of its chainages, nil when that
// is too little.
func (c *chain) evidence(fromM, toM float64, keep [][2]float64) *evidence {
	var s, y, guess, rel []float64
	var fresh []bool
	before := -1
	for _, i := range c.seen {
		if c.at[i] < fromM || c.at[i] > toM {
			continue
		}
		s, y, guess = append(s, c.at[i]), append(y, c.y[i]+c.mean), append(guess, c.z[i])
		rel = append(rel, c.sd[i]/c.seM)
		fresh = append(fresh, before >= 0 && c.src[i] != c.src[before])
		before = i
	}
	if len(s) < learnAtLeast {
		return nil
	}
	d := newEvidence(s, y, guess, rel, fresh, c.corrM, fromM, toM)
	d.keep = keep
	return d
}

// straights are the stretches carried straight, as chainages of a chain.
func (p *Profile) straights(c *chain) (out [][2]float64) {
	n := len(p.Mark)
	for i := 0; i < n; i++ {
		if p.Mark[i] != Carried {
			continue
		}
		j := i
		for j+1 < n && p.Mark[j+1] == Carried {
			j++
		}
		a, b := p.ChainageM[i], p.ChainageM[j]
		if c.lengthM > 0 {
			a, b = c.lengthM-b, c.lengthM-a
		}
		out = append(out, [2]float64{a, b})
		i = j
	}
	return out
}

// steepest is the steepest estimated grade over about 50 m that a window shows,
// either way.
func (c *chain) steepest(d *evidence) (g float64) {
	j := 0
	for i := range d.s {
		for d.s[i]-d.s[j] > 50 && j+1 < i {
			j++
		}
		if run := d.s[i] - d.s[j]; run > 20 {
			g = max(g, math.Abs(d.guess[i]-d.guess[j])/run)
		}
	}
	return g
}

// startKnotsFor is startKnots under the default law.
func (d *evidence) startKnotsFor(gradeSD, capRatio, everyM float64) []knot {
	law := defaultLaw(gradeSD, capRatio)
	return d.startKnots(&law, everyM)
}
