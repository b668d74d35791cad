package profile

import (
	"math"
	"math/rand/v2"
	"testing"
)

// costChain is a chain of n observed nodes 10 m apart, a hilly road under an
// error of 1.2 m over 60 m.
func costChain(n int) *chain {
	rng := rand.New(rand.NewPCG(5, 5))
	c := &chain{corrM: 60, seM: 1.2, centre: start}
	e, rho := 0.0, math.Exp(-10.0/60)
	for i := range n {
		e = rho*e + math.Sqrt(1-rho*rho)*1.2*rng.NormFloat64()
		s := 10 * float64(i)
		c.at, c.y = append(c.at, s), append(c.y, 40*math.Sin(s/700)+5*math.Sin(s/90)+e)
		c.sd, c.src, c.seen = append(c.sd, 1.2), append(c.src, 0), append(c.seen, i)
	}
	return c
}

const costNodes = 100_100

func perStation(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/costNodes, "ns/station")
}

// BenchmarkSolve is the everywhere-method with its three numbers given: the
// heights, and the grade with its standard error at every station.
func BenchmarkSolve(b *testing.B) {
	c := costChain(costNodes)
	c.a = newBand(costNodes, c.bandwidth())
	c.z = make([]float64, costNodes)
	for b.Loop() {
		clear(c.z)
		c.assemble(start, c.a, c.z)
		if !c.a.factor() {
			b.Fatal("not factored")
		}
		c.a.solve(c.z)
	}
	perStation(b)
}

// BenchmarkGradeSE adds the standard error of the grade of every step.
func BenchmarkGradeSE(b *testing.B) {
	c := costChain(costNodes)
	if _, ok := c.estimate(nil); !ok {
		b.Fatal("not estimated")
	}
	se := make([]float64, costNodes)
	w := make([]float64, 2)
	for b.Loop() {
		t := c.a.tails()
		for i := 0; i+1 < costNodes; i++ {
			w[0], w[1] = -0.1, 0.1
			se[i] = math.Sqrt(c.a.quadratic(i, w, t))
		}
	}
	perStation(b)
}

// BenchmarkLearn is the fit of the three numbers, on a quarter of the chain.
func BenchmarkLearn(b *testing.B) {
	c := costChain(costNodes)
	for b.Loop() {
		if c.learn() == (theta{}) {
			b.Fatal("nothing learned")
		}
	}
	perStation(b)
}

// BenchmarkSample is the window-method at its default 36 moves a station, on a
// window of 10 km.
func BenchmarkSample(b *testing.B) {
	o := draw(1, &lawP1, studyCases[1], 10000)
	c := &o.p.chains[0]
	d := c.evidence(0, o.lengthM, nil)
	for b.Loop() {
		s := newSampler(d, defaultLaw(c.fit.gradeSD, 0.15), c.seM*c.fit.scale, d.startKnotsFor(c.fit.gradeSD, 0.15, 150), rand.New(rand.NewPCG(1, 2)))
		s.run(studyMoves * len(d.s))
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(d.s)), "ns/station")
}
