package profile

import (
	"math"
	"sort"

	"drawbar/route"
)

// The model of a chain of nodes at chainages s_0 < s_1 < ...
//
//	grade  g_i = (z_{i+1}-z_i)/(s_{i+1}-s_i), an Ornstein-Uhlenbeck process:
//	       mean 0, standard deviation gradeSD, correlation exp(-d/gradeM)
//	error  e_k = y_k - z_k at the observed nodes, first-order autoregressive:
//	       mean 0, standard deviation scale times the stated one, correlation exp(-d/CorrM)
//
// The prior on the first height is flat. Both are Markov, so the precision of z
// given y is banded; the three numbers gradeSD, gradeM and scale maximise the
// marginal likelihood of y times a log-normal prior around the start values.
// Derived; the same model is method A of the usual state-space smoothers
// (Rauch-Tung-Striebel), written as one linear system.

// theta holds what is learned.
type theta struct{ gradeSD, gradeM, scale float64 }

// Start values and spread (log standard deviation) of the prior; all choices.
var (
	start  = theta{gradeSD: 0.05, gradeM: 200, scale: 1}
	spread = theta{gradeSD: 0.7, gradeM: 0.8, scale: 0.7}
)

// chain is a part of the way without a break in heights: nodes, what was
// observed of them, and after estimate the factored precision.
type chain struct {
	at      []float64 // chainage of the nodes, in the order of the estimate
	y       []float64 // observed height less mean; NaN where not observed
	mean    float64
	sd      []float64 // stated standard error at the nodes, metres
	src     []uint8   // source of the heights at the nodes
	seM     float64   // root mean square of it over the observed nodes
	corrM   float64
	z       []float64 // estimated height
	fit     theta
	a       *band
	tails   []float64 // of the factored a
	exact   bool      // heights somebody gave: no error but that of the pitches
	pitches []pitch   // of an exact chain
	lengthM float64   // > 0 once the profile was reversed: chainage is lengthM - at
	seen    []int     // observed nodes
	read    []segmentReading
	centre  theta // of the prior of fit
}

// bandwidth is the distance in nodes that the precision couples: two for the
// grade process, more where observations are sparser than nodes.
func (c *chain) bandwidth() int {
	p := min(2, len(c.at)-1)
	for k := 1; k < len(c.seen); k++ {
		p = max(p, c.seen[k]-c.seen[k-1])
	}
	return p
}

// assemble fills a with the precision of z under t and r with its right-hand
// side, and returns the part of -2 log likelihood that does not need the
// factor.
func (c *chain) assemble(t theta, a *band, r []float64) float64 {
	a.clear()
	clear(r)
	dev := c.addGrade(t, a) + c.addError(t, a, r)
	return dev + c.addReadings(a, r)
}

// decay is exp(-d/over). Stations are mostly as far apart as the ones before
// them, so the last value serves again.
type decay struct{ over, d, v float64 }

func (e *decay) at(d float64) float64 {
	if d != e.d {
		e.d, e.v = d, math.Exp(-d/e.over)
	}
	return e.v
}

// addGrade adds the grade process.
func (c *chain) addGrade(t theta, a *band) (dev float64) {
	n := len(c.at)
	if n < 2 {
		return 0
	}
	q := 1 / (t.gradeSD * t.gradeSD)
	d := c.at[1] - c.at[0]
	addRank1(a, 1, []float64{-1 / d, 1 / d}, q)
	var l logProduct
	l.times(q)
	decay := decay{over: t.gradeM}
	for i := 2; i < n; i++ {
		d2 := c.at[i] - c.at[i-1]
		rho := decay.at((d + d2) / 2)
		q := 1 / (t.gradeSD * t.gradeSD * (1 - rho*rho))
		u0, u2 := rho/d, 1/d2
		u1 := -u0 - u2
		row := i * (a.p + 1)
		a.at[row] += q * u2 * u2
		a.at[row+1] += q * u2 * u1
		a.at[row+2] += q * u2 * u0
		row -= a.p + 1
		a.at[row] += q * u1 * u1
		a.at[row+1] += q * u1 * u0
		a.at[row-a.p-1] += q * u0 * u0
		l.times(q)
		d = d2
	}
	return -l.log()
}

// addRank1 adds q u u' for the nodes that end at row i.
func addRank1(a *band, i int, u []float64, q float64) {
	m := len(u)
	for j := range m {
		for k := 0; k <= j; k++ {
			a.add(i-m+1+j, i-m+1+k, q*u[j]*u[k])
		}
	}
}

// addError adds the observations. The error over its own standard deviation is
// the autoregressive process, so that a height on a steep hillside, which may
// be that of a point beside the road, counts less.
func (c *chain) addError(t theta, a *band, r []float64) (dev float64) {
	var l logProduct
	decay := decay{over: c.corrM}
	before, ub := -1, 0.0
	for _, i := range c.seen {
		ui := 1 / max(t.scale*c.sd[i], 1e-4)
		if before < 0 {
			q := ui * ui
			a.add(i, i, q)
			r[i] += q * c.y[i]
			dev += q * c.y[i] * c.y[i]
			l.times(q)
			before, ub = i, ui
			continue
		}
		rho := 0.0 // two rasters err on their own
		if c.src[i] == c.src[before] {
			rho = decay.at(c.at[i] - c.at[before])
		}
		q := 1 / (1 - rho*rho)
		w := rho * ub
		v := ui*c.y[i] - w*c.y[before]
		a.add(i, i, q*ui*ui)
		a.add(i, before, -q*ui*w)
		a.add(before, before, q*w*w)
		r[i] += q * ui * v
		r[before] -= q * w * v
		dev += q * v * v
		l.times(q * ui * ui)
		before, ub = i, ui
	}
	return dev - l.log()
}

// deviance is -2 log of the marginal likelihood, up to a constant; +Inf where the matrix cannot be factored.
func (c *chain) deviance(t theta, a *band, r []float64) float64 {
	dev := c.assemble(t, a, r)
	if !a.factor() {
		return math.Inf(1)
	}
	dev += a.logDet() - a.forward(r)
	return dev
}

// penalty is -2 log of the prior of theta around a centre, up to a constant.
func (t theta) penalty(centre theta) float64 {
	pen := func(v, v0, sd float64) float64 { l := math.Log(v/v0) / sd; return l * l }
	return pen(t.gradeSD, centre.gradeSD, spread.gradeSD) +
		pen(t.gradeM, centre.gradeM, spread.gradeM) + pen(t.scale, centre.scale, spread.scale)
}

// estimate learns theta and the heights. Readings that the heights contradict
// are left out and returned. It reports false for a chain with fewer than two
// observed nodes.
func (c *chain) estimate(read []Reading) (left []Reading, ok bool) {
	if len(c.seen) < 2 {
		return nil, false
	}
	for _, i := range c.seen {
		c.mean += c.y[i]
	}
	c.mean /= float64(len(c.seen))
	for _, i := range c.seen {
		c.y[i] -= c.mean
	}
	if !c.solve() {
		return nil, false
	}
	kept, left := c.agreeing(read)
	if len(kept) == 0 {
		return left, true
	}
	c.lay(kept)
	return left, c.solve()
}

// solve fits theta and solves for the heights.
func (c *chain) solve() bool {
	c.a = newBand(len(c.at), c.bandwidth())
	c.fit = c.learn()
	c.z = make([]float64, len(c.at))
	c.assemble(c.fit, c.a, c.z)
	if !c.a.factor() {
		return false
	}
	c.a.solve(c.z)
	c.tails = c.a.tails()
	for i := range c.z {
		c.z[i] += c.mean
	}
	return true
}

// find places a chainage between two nodes: z = (1-f) z[j] + f z[j+1]. It
// reports false outside the chain.
func (c *chain) find(s float64) (j int, f float64, ok bool) { return c.findNear(s, -1) }

// findNear is find with a guess at j, which costs no search when it is right
// or one off.
func (c *chain) findNear(s float64, guess int) (j int, f float64, ok bool) {
	if c.lengthM > 0 {
		s = c.lengthM - s
	}
	n := len(c.at)
	const slack = 1e-6 // metres: chainage summed in the other order
	if s < c.at[0]-slack || s > c.at[n-1]+slack {
		return 0, 0, false
	}
	j = c.node(s, guess)
	f = (s - c.at[j]) / (c.at[j+1] - c.at[j])
	return j, min(max(f, 0), 1), true
}

// node is the last node before s that has one after it.
func (c *chain) node(s float64, guess int) int {
	for _, j := range [3]int{guess, guess + 1, guess - 1} {
		if j >= 0 && j < len(c.at)-1 && c.at[j] < s && s <= c.at[j+1] {
			return j
		}
	}
	return min(max(sort.SearchFloat64s(c.at, s)-1, 0), len(c.at)-2)
}

// stretch is the part of the way the chain covers, as travelled.
func (c *chain) stretch() route.Stretch {
	a, b := c.at[0], c.at[len(c.at)-1]
	if c.lengthM > 0 {
		a, b = c.lengthM-b, c.lengthM-a
	}
	return route.Stretch{FromM: a, ToM: b}
}
