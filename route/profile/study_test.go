package profile

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"drawbar/terrain"
)

// bases are the lengths grade is compared over, metres; 0 is at points.
var bases = [4]float64{0, 50, 100, 300}

// score adds up how one method did on the roads of one law and one error.
type score struct {
	sq       [4]float64 // squared error of grade by base
	n        [4]int
	inside   int // point grades in the 95 % band
	width    float64
	bias     float64 // of the worst 50 m grade
	upper    int     // roads whose worst 50 m grade is under the 95 % bound
	roads    int
	told, in []float64 // P(worst 50 m > limit) and what happened
	elapsed  time.Duration
	stations int
}

func (s *score) rmse(k int) float64 { return 100 * math.Sqrt(s.sq[k]/float64(s.n[k])) }

// grades compares point grades and their standard errors with the truth.
func (s *score) grades(g, se, truth []float64, stepM float64) {
	for k, base := range bases {
		h := int(base / stepM / 2)
		for i := h; i+h < len(g); i++ {
			d := mean(g[i-h:i+h+1]) - mean(truth[i-h:i+h+1])
			s.sq[k] += d * d
			s.n[k]++
		}
	}
	for i := range g {
		if math.Abs(g[i]-truth[i]) <= 1.96*se[i] {
			s.inside++
		}
		s.width += 3.92 * se[i]
	}
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// worst50 is the largest grade over 50 m.
func worst50(z []float64, stepM float64) float64 {
	k := int(50 / stepM)
	w := math.Inf(-1)
	for i := k; i < len(z); i++ {
		w = max(w, (z[i]-z[i-k])/50)
	}
	return w
}

// one is a seeded road with its error, conditioned.
type one struct {
	p       *Profile
	z, g    []float64 // truth
	law     *roadLaw  // generator's; nil for P0
	truth   roadState
	lengthM float64
	c       studyCase
}

const studyStepM = 10.0

func draw(seed int, law *roadLaw, c studyCase, lengthM float64) *one {
	rng := rand.New(rand.NewPCG(uint64(seed), 7))
	o := &one{law: law, lengthM: lengthM, c: c}
	if law == nil {
		o.truth = designRoad(lengthM)
	} else {
		o.truth = trueRoad(rng, law, lengthM)
	}
	n := int(lengthM/studyStepM) + 1
	at := make([]float64, n)
	o.z, o.g = make([]float64, n), make([]float64, n)
	for i := range at {
		at[i] = studyStepM * float64(i)
	}
	o.truth.heights(at, o.z)
	o.truth.grades(at, o.g)
	y := c.errors(rng, n, studyStepM)
	for i := range y {
		y[i] += o.z[i]
	}
	o.p = profileOf(at, y, terrain.Source{CellM: studyStepM, SEM: c.sigma, CorrM: c.corr})
	return o
}

// everywhere scores method A.
func (o *one) everywhere(s *score) {
	start := time.Now()
	var g Series
	o.p.Grade(studyStepM, &g)
	s.elapsed += time.Since(start)
	s.grades(g.Value, g.SE, o.g, studyStepM)
	s.bias += worst50(o.p.ZM, studyStepM) - worst50(o.z, studyStepM)
	s.roads++
	s.stations += len(o.z)
}

// roads scores sampled roads: draws of the whole profile.
func (o *one) roads(s *score, smp *sampler, moves, draws int) {
	start := time.Now()
	n := len(o.z)
	smp.run(moves * n / 4)
	sum, sum2, out, z := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	worst := make([]float64, 0, draws)
	for range draws {
		smp.run(moves * n * 3 / 4 / draws)
		smp.roadState.grades(o.p.ChainageM, out)
		smp.heights(o.p.ChainageM, z)
		worst = append(worst, worst50(z, studyStepM))
		for i, v := range out {
			sum[i] += v
			sum2[i] += v * v
		}
	}
	s.elapsed += time.Since(start)
	k := float64(draws)
	for i := range sum {
		sum[i] /= k
		sum2[i] = math.Sqrt(max(sum2[i]/k-sum[i]*sum[i], 0))
	}
	s.grades(sum, sum2, o.g, studyStepM)
	truth := worst50(o.z, studyStepM)
	s.bias += quantile(worst, 0.5) - truth
	if truth <= quantile(worst, 0.95) {
		s.upper++
	}
	for _, limit := range []float64{0.06, 0.08, 0.09, 0.10, 0.105, 0.11, 0.115} {
		over := 0.0
		for _, w := range worst {
			if w > limit {
				over += 1 / k
			}
		}
		happened := 0.0
		if truth > limit {
			happened = 1
		}
		s.told, s.in = append(s.told, over), append(s.in, happened)
	}
	s.roads++
	s.stations += n
}

// window is method B as the program runs it; bound the same sampler with the
// generator's own law and error, started at the truth: about what any method
// can reach.
func (o *one) window(s *score) {
	c := &o.p.chains[0]
	d := c.evidence(0, o.lengthM, nil)
	smp := newSampler(d, defaultLaw(c.fit.gradeSD, 0.15), c.seM*c.fit.scale, d.startKnotsFor(c.fit.gradeSD, 0.15, 150), rand.New(rand.NewPCG(1, 2)))
	smp.bySigma, smp.byGrade = learned{smp.sigma, 0.35}, learned{smp.law.gradeSD, 0.35}
	o.roads(s, smp, studyMoves, 200)
}

const studyMoves = 36

func (o *one) bound(s *score) {
	if o.law == nil {
		return
	}
	d := o.p.chains[0].evidence(0, o.lengthM, nil)
	o.roads(s, newSampler(d, *o.law, o.c.sigma, o.truth.cut(o.lengthM), rand.New(rand.NewPCG(3, 4))), studyMoves, 200)
}

// calibration is the worst difference, over fifths of what was told that hold
// 25 cases or more, between told and happened; and those fifths.
func (s *score) calibration() (worst float64, text string) {
	var sumT, sumH, n [5]float64
	for i, t := range s.told {
		k := min(int(5*t), 4)
		sumT[k], sumH[k], n[k] = sumT[k]+t, sumH[k]+s.in[i], n[k]+1
	}
	for k := range n {
		if n[k] < 25 {
			continue
		}
		t, h := sumT[k]/n[k], sumH[k]/n[k]
		worst = max(worst, math.Abs(t-h))
		text += fmt.Sprintf(" %.2f>%.2f", t, h)
	}
	return worst, text
}

func (s *score) row(name string) string {
	n := float64(s.n[0])
	if n == 0 {
		return ""
	}
	row := fmt.Sprintf("  %-18s %5.2f (%.2f/%.2f/%.2f)  band %4.1f %% width %4.1f %%  worst 50 m %+5.2f", name, s.rmse(0), s.rmse(1), s.rmse(2), s.rmse(3),
		100*float64(s.inside)/n, 100*s.width/n, 100*s.bias/float64(s.roads))
	if len(s.told) > 0 {
		w, text := s.calibration()
		row += fmt.Sprintf("  under bound %3.0f %%  told>happened%s (off %.2f)", 100*float64(s.upper)/float64(s.roads), text, w)
	}
	return row + fmt.Sprintf("  %.2f us/station\n", s.elapsed.Seconds()*1e6/float64(s.stations))
}

// study runs all seeds of one law and error on the processors there are.
func study(law *roadLaw, c studyCase, seeds int, lengthM float64) (a, b, bound score) {
	parts := make([][3]score, seeds)
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for seed := range next {
				o := draw(seed, law, c, lengthM)
				o.everywhere(&parts[seed][0])
				o.window(&parts[seed][1])
				o.bound(&parts[seed][2])
			}
		})
	}
	for seed := range seeds {
		next <- seed
	}
	close(next)
	wg.Wait()
	for _, p := range parts {
		a.add(&p[0])
		b.add(&p[1])
		bound.add(&p[2])
	}
	return a, b, bound
}

func (s *score) add(t *score) {
	for k := range s.sq {
		s.sq[k] += t.sq[k]
		s.n[k] += t.n[k]
	}
	s.inside += t.inside
	s.width += t.width
	s.bias += t.bias
	s.upper += t.upper
	s.roads += t.roads
	s.told, s.in = append(s.told, t.told...), append(s.in, t.in...)
	s.elapsed += t.elapsed
	s.stations += t.stations
}

// TestStudy prints how well grade is found, by which method, beside two bounds:
// the best linear estimator (true second moments) and the Bayes bound (the road
// sampler under the generator's own laws, from the truth). With
// DRAWBAR_ROADS=full 200 seeds over 10 km; the short form is 4 seeds over 4 km
// and holds only that the order is right.
func TestStudy(t *testing.T) {
	seeds, lengthM := 4, 4000.0
	if os.Getenv("DRAWBAR_ROADS") == "full" {
		seeds, lengthM = 200, 10000
	}
	var out strings.Builder
	fmt.Fprintf(&out, "RMSE of grade %% at points (over 50/100/300 m), %d seeds of %.0f km\n", seeds, lengthM/1000)
	for _, l := range []struct {
		name string
		law  *roadLaw
	}{{"P0", nil}, {"P1", &lawP1}, {"P2", &lawP2}} {
		for _, c := range studyCases {
			a, b, bound := study(l.law, c, seeds, lengthM)
			fmt.Fprintf(&out, "%s, %s\n%s%s", l.name, c.name, a.row("everywhere"), b.row("sampled roads"))
			if l.law != nil {
				fmt.Fprintf(&out, "  %-18s %5.2f\n%s", "best linear", 100*bestLinear(l.law, c), bound.row("Bayes bound"))
			}
			if l.law != nil && !(b.rmse(0) < a.rmse(0)) {
				t.Errorf("%s %s: sampled roads %.2f, everywhere %.2f", l.name, c.name, b.rmse(0), a.rmse(0))
			}
			if cover := float64(b.inside) / float64(b.n[0]); cover < 0.80 || float64(a.inside)/float64(a.n[0]) < 0.90 {
				t.Errorf("%s %s: bands hold %.3f and %.3f", l.name, c.name, cover, float64(a.inside)/float64(a.n[0]))
			}
		}
	}
	t.Log("\n" + out.String())
}

// bestLinear is the root mean square error of the best linear estimate of point
// grade, from the generator's own second moments: grades at the middles of 1000
// steps, heights differenced so that the level falls out.
func bestLinear(law *roadLaw, c studyCase) float64 {
	const n = 300
	cov := gradeCovariance(law, n)
	rho := math.Exp(-studyStepM / c.corr)
	errCov := func(k int) float64 { return c.sigma * c.sigma * math.Pow(rho, math.Abs(float64(k))) }
	a := make([][]float64, n) // of the differences
	for i := range a {
		a[i] = make([]float64, n)
		for j := range a[i] {
			k := i - j
			a[i][j] = studyStepM*studyStepM*cov[max(k, -k)] + 2*errCov(k) - errCov(k+1) - errCov(k-1)
		}
	}
	mid := n / 2
	r := make([]float64, n)
	for j := range r {
		k := mid - j
		r[j] = studyStepM * cov[max(k, -k)]
	}
	x := gauss(a, append([]float64(nil), r...))
	left := cov[0]
	for j := range r {
		left -= x[j] * r[j]
	}
	return math.Sqrt(max(left, 0))
}

// gradeCovariance is that of grades averaged over a step, by lag, from 150
// roads of 30 km. Every lag is divided by the same count: so it is a covariance
// (nowhere negative), at the price of 10 % at the farthest lags.
func gradeCovariance(law *roadLaw, lags int) []float64 {
	const roads, n = 150, 3000
	rng := rand.New(rand.NewPCG(99, 1))
	sum, g := make([]float64, lags), make([]float64, n)
	at, z := make([]float64, n+1), make([]float64, n+1)
	for i := range at {
		at[i] = studyStepM * float64(i)
	}
	for range roads {
		r := trueRoad(rng, law, at[n])
		r.heights(at, z)
		for i := range g {
			g[i] = (z[i+1] - z[i]) / studyStepM
		}
		for k := range sum {
			for i := 0; i+k < n; i++ {
				sum[k] += g[i] * g[i+k]
			}
		}
	}
	for k := range sum {
		sum[k] /= roads * n
	}
	return sum
}
