package profile

// The values tried for each of the three numbers. The data may halve the stated
// error, not more: a drape of interpolated cells looks smoother than its error
// is.
var (
	tryGradeSD = []float64{0.01, 0.014, 0.02, 0.03, 0.04, 0.05, 0.065, 0.09, 0.13, 0.18}
	tryGradeM  = []float64{50, 70, 100, 140, 200, 280, 400, 560, 800}
	tryScale   = []float64{0.5, 0.7, 1, 1.4, 2, 2.8, 4, 5.6}
)

const (
	// learnAtLeast is the least number of observed nodes the numbers are
	// learned from; below it the start values hold.
	learnAtLeast = 8
	// learnBlock and learnWhole: a chain of more than learnWhole nodes is
	// learned from every fourth block of learnBlock.
	learnBlock = 500
	learnWhole = 2000
)

// learner weighs theta on parts of a chain.
type learner struct {
	parts  []chain
	a      []*band
	r      []float64
	known  map[theta]float64
	centre theta
}

// learn finds theta by climbing from the start values, one number after the
// other, to the neighbouring value that fits better, until none does.
func (c *chain) learn() theta {
	t := start
	if len(c.seen) < learnAtLeast {
		return t
	}
	l := c.learner()
	best := l.deviance(t)
	for range 8 {
		was := t
		for _, set := range []struct {
			try []float64
			of  func(*theta) *float64
		}{
			{tryScale, func(t *theta) *float64 { return &t.scale }},
			{tryGradeSD, func(t *theta) *float64 { return &t.gradeSD }},
			{tryGradeM, func(t *theta) *float64 { return &t.gradeM }},
		} {
			t, best = l.climb(t, best, set.try, set.of)
		}
		if t == was {
			break
		}
	}
	return t
}

// climb moves one number up or down its list while that fits better.
func (l *learner) climb(t theta, best float64, try []float64, of func(*theta) *float64) (theta, float64) {
	at := 0
	for i, v := range try {
		if v == *of(&t) {
			at = i
		}
	}
	for _, dir := range [2]int{1, -1} {
		moved := false
		for i := at + dir; i >= 0 && i < len(try); i += dir {
			u := t
			*of(&u) = try[i]
			d := l.deviance(u)
			if d >= best {
				break
			}
			t, best, moved = u, d, true
		}
		if moved {
			break
		}
	}
	return t, best
}

// learner cuts a long chain into the parts it is learned from.
func (c *chain) learner() *learner {
	l := &learner{known: map[theta]float64{}, centre: c.centre}
	n := len(c.at)
	if n <= learnWhole {
		l.add(c, 0, n)
		return l
	}
	for from := 0; from+learnBlock <= n; from += 4 * learnBlock {
		l.add(c, from, from+learnBlock)
	}
	return l
}

// add takes the nodes from .. to-1 as a part.
func (l *learner) add(c *chain, from, to int) {
	part := chain{at: c.at[from:to], y: c.y[from:to], sd: c.sd[from:to], src: c.src[from:to], corrM: c.corrM}
	for _, i := range c.seen {
		if i >= from && i < to {
			part.seen = append(part.seen, i-from)
		}
	}
	if len(part.seen) < 2 {
		return
	}
	for _, r := range c.read {
		if r.node > from && r.node < to {
			r.node -= from
			part.read = append(part.read, r)
		}
	}
	l.parts = append(l.parts, part)
	l.a = append(l.a, newBand(to-from, part.bandwidth()))
	if len(l.r) < to-from {
		l.r = make([]float64, to-from)
	}
}

// deviance is that of all parts, remembered.
func (l *learner) deviance(t theta) float64 {
	if d, ok := l.known[t]; ok {
		return d
	}
	d := t.penalty(l.centre)
	for i := range l.parts {
		d += l.parts[i].deviance(t, l.a[i], l.r[:len(l.parts[i].at)])
	}
	l.known[t] = d
	return d
}
