package profile

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"drawbar/route"
)

// TestWorst: on a road whose worst grade is known the sampler is on both sides
// of it, the same both ways and run for run, and stops when told.
func TestWorst(t *testing.T) {
	o := draw(5, &lawP2, studyCases[1], 4000)
	over := route.Stretch{FromM: 500, ToM: 3500}
	off, w := []float64{-25, 25}, []float64{1.0 / 50, -1.0 / 50}
	truth := math.Inf(-1)
	for i := 53; i <= 347; i++ {
		truth = max(truth, (o.z[i+2]-o.z[i-3])/50)
	}
	limit := make([]float64, len(o.z))
	for i := range limit {
		limit[i] = truth - 0.03
	}
	a, err := o.p.Worst(context.Background(), over, off, w, limit, WorstOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if lo, hi := quantile(a.Value, 0.02), a.Upper(0.98); truth < lo-0.01 || truth > hi+0.01 {
		t.Errorf("truth %.4f, draws from %.4f to %.4f", truth, lo, hi)
	}
	if a.Exceeds() < 0.8 {
		t.Errorf("3 points under the truth is exceeded with %.2f only", a.Exceeds())
	}
	b, err := o.p.Worst(context.Background(), over, off, w, limit, WorstOptions{})
	if err != nil || fmt.Sprint(a.Value) != fmt.Sprint(b.Value) {
		t.Error("the same profile gives another answer")
	}
	o.p.reverse()
	back := route.Stretch{FromM: 4000 - over.ToM, ToM: 4000 - over.FromM}
	c, err := o.p.Worst(context.Background(), back, off, []float64{-w[0], -w[1]}, nil, WorstOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(c.Median()-a.Median()) > 1e-9 {
		t.Errorf("backwards the median of the steepest descent is %.6f, forwards of the climb %.6f", c.Median(), a.Median())
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := o.p.Worst(ctx, back, off, w, nil, WorstOptions{}); err == nil {
		t.Error("a cancelled context gives an answer")
	}
}

// TestPriorOnly: without observations that matter the chain draws roads from
// its law: grades spread and ramps as long as it says.
func TestPriorOnly(t *testing.T) {
	const lengthM = 20000.0
	at, y := make([]float64, 41), make([]float64, 41)
	for i := range at {
		at[i] = 500 * float64(i)
	}
	d := newEvidence(at, y, make([]float64, 41), nil, nil, 1, 0, lengthM)
	law := defaultLaw(0.04, 0.15)
	s := newSampler(d, law, 1e6, d.startKnots(&law, 150), rand.New(rand.NewPCG(8, 8)))
	s.run(40000)
	var knots, sum, sum2, n float64
	for range 400 {
		s.run(400)
		knots += float64(len(s.kn) - 2)
		for i := 1; i < len(s.kn); i++ {
			run := s.kn[i].x - s.kn[i-1].x
			g := (s.kn[i].v - s.kn[i-1].v) / run
			sum, sum2, n = sum+g, sum2+g*g, n+1
		}
	}
	sd := math.Sqrt(sum2/n - sum/n*sum/n)
	if math.Abs(sd-0.04) > 0.004 {
		t.Errorf("grades spread by %.4f, the law says 0.04", sd)
	}
	want := lengthM / law.meanRamp()
	if got := knots / 400; math.Abs(got/want-1) > 0.15 {
		t.Errorf("%.1f intersections on 20 km, the law says %.1f", got, want)
	}
}

// meanRamp is the mean of the ramp law, by quadrature.
func (l *roadLaw) meanRamp() float64 {
	sum := 0.0
	var xs []float64
	for x := 1.0; x < 60000; x *= 1.002 {
		xs = append(xs, x)
	}
	sort.Float64s(xs)
	for i := 1; i < len(xs); i++ {
		x := (xs[i] + xs[i-1]) / 2
		sum += x * math.Exp(l.ramp(x)) * (xs[i] - xs[i-1])
	}
	return sum
}
