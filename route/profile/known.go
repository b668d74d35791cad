package profile

import (
	"math"
	"strings"

	"drawbar/route"
)

// steepestOf is the grade that a paved public road of a class rarely exceeds,
// rise over run. Source for the lower classes: TxDOT Roadway Design Manual,
// grades of rural local roads in rolling terrain, 12 % at 15-20 mph down to 6 %
// at 60 mph (read); the assignment to OpenStreetMap classes is a choice.
var steepestOf = map[string]float64{
	"motorway": 0.06, "trunk": 0.06, "primary": 0.08, "secondary": 0.10, "tertiary": 0.11,
	"unclassified": 0.12, "residential": 0.12, "service": 0.12,
}

// unpaved are surfaces that tell of a road no design rule was kept on.
var unpaved = []string{"unpaved", "compacted", "gravel", "fine_gravel", "ground", "dirt", "earth", "grass", "sand", "mud", "pebblestone", "rock", "clay"}

// classPrior gives the centre of the prior of the grade's spread: half the
// steepest grade of the classes driven, weighted by length, where the way is
// tagged as a paved public road; the start value for the rest. share is the
// part of the length with such a class.
func classPrior(a *route.Alignment) (centre theta, share float64) {
	centre = start
	sum := 0.0
	for _, l := range a.Legs {
		steepest, ok := steepestOf[strings.TrimSuffix(l.Tags.Highway, "_link")]
		if !ok || isUnpaved(l.Tags) {
			sum += start.gradeSD * l.At.LengthM()
			continue
		}
		sum += steepest / 2 * l.At.LengthM()
		share += l.At.LengthM()
	}
	if length := a.LengthM(); len(a.Legs) > 0 {
		centre.gradeSD = sum / length
		share /= length
	}
	return centre, share
}

func isUnpaved(t route.Tags) bool {
	for _, u := range unpaved {
		if t.Surface == u {
			return true
		}
	}
	return t.Surface == "" && t.Tracktype != "" && t.Tracktype != "grade1"
}

// Reading is a mean grade that somebody measured or posted over a stretch of a
// way, chainage and sign in the direction of the way that Build is given.
type Reading struct {
	At         route.Stretch
	GradeRatio float64 // rise over run
	SE         float64 // standard error, above 0
	// Measured readings count whatever the raster says; posted ones are left out
	// where the heights contradict them.
	Measured bool
	By       string // who measured it, and when
}

// TurnReadings gives readings as seen from the other end of a way.
func TurnReadings(list []Reading, lengthM float64) []Reading {
	out := make([]Reading, len(list))
	for i, r := range list {
		r.At = route.Stretch{FromM: lengthM - r.At.ToM, ToM: lengthM - r.At.FromM}
		r.GradeRatio = -r.GradeRatio
		out[i] = r
	}
	return out
}

// measured reports whether measured readings lie on a stretch from end to end,
// or nearly: the ends of a reading are paced out, a void ends between cells.
func measured(read []Reading, at route.Stretch) bool {
	const slackM = 5.0
	covered := 0.0
	for _, r := range read {
		if r.Measured {
			covered += max(min(r.At.ToM, at.ToM)-max(r.At.FromM, at.FromM), 0)
		}
	}
	return covered >= at.LengthM()-2*slackM && covered > 0
}

// inclineError is the standard error of an incline tag: figures are rounded to
// whole percents and often give the steepest part. The larger of the two holds.
// Choices.
const (
	inclineError    = 0.015
	inclineRelative = 0.2
)

// inclines are the readings that the way's own incline tags give.
func inclines(a *route.Alignment) (out []Reading) {
	for _, l := range a.Legs {
		if in := l.Tags.InclineRatio; in.State == route.Known && math.Abs(in.Value) < 0.5 {
			out = append(out, Reading{At: l.At, GradeRatio: in.Value, SE: max(inclineError, inclineRelative*math.Abs(in.Value))})
		}
	}
	return out
}

// agreeWithin is how many standard errors a reading may differ from what the
// heights alone say before it is left out: a posted figure is wrong, or of
// another place, more often than the ground. Choice.
const agreeWithin = 2.0

// agreeing parts the readings into those the heights bear out and those they
// contradict. c is estimated without readings.
func (c *chain) agreeing(list []Reading) (kept, left []Reading) {
	for _, r := range list {
		from, to := max(r.At.FromM, c.at[0]), min(r.At.ToM, c.at[len(c.at)-1])
		if to-from < r.At.LengthM()/2 {
			continue // most of the stretch lies elsewhere
		}
		g, se := c.grade(from, to)
		if !r.Measured && math.Abs(g-r.GradeRatio) > agreeWithin*math.Hypot(se, r.SE) {
			left = append(left, r)
		} else {
			kept = append(kept, r)
		}
	}
	return kept, left
}

// grade is the estimated mean grade between two chainages of an estimated
// chain, with its standard error.
func (c *chain) grade(from, to float64) (g, se float64) {
	j1, t1, _ := c.find(from)
	j2, t2, _ := c.find(to)
	w := make([]float64, j2-j1+2)
	d := to - from
	for _, e := range [2]struct {
		j    int
		t, w float64
	}{{j1, t1, -1 / d}, {j2, t2, 1 / d}} {
		w[e.j-j1] += e.w * (1 - e.t)
		w[e.j-j1+1] += e.w * e.t
		g += e.w * ((1-e.t)*c.z[e.j] + e.t*c.z[e.j+1])
	}
	return g, math.Sqrt(c.a.quadratic(j1, w, c.tails))
}

// segmentReading is a reading laid on the segment that ends at a node.
type segmentReading struct {
	node  int
	grade float64
	prec  float64
}

// lay puts the readings on the chain's segments. A reading is of the mean grade
// over its stretch: its precision is shared among the segments inside it by
// their length, so that together they say what the reading says.
func (c *chain) lay(list []Reading) {
	for _, r := range list {
		inside := 0.0
		for i := 1; i < len(c.at); i++ {
			if c.at[i-1] >= r.At.FromM-1e-6 && c.at[i] <= r.At.ToM+1e-6 {
				inside += c.at[i] - c.at[i-1]
			}
		}
		if inside == 0 {
			continue
		}
		for i := 1; i < len(c.at); i++ {
			if c.at[i-1] >= r.At.FromM-1e-6 && c.at[i] <= r.At.ToM+1e-6 {
				share := (c.at[i] - c.at[i-1]) / inside
				c.read = append(c.read, segmentReading{i, r.GradeRatio, share / (r.SE * r.SE)})
			}
		}
	}
}

// addReadings adds the readings to the precision and the right-hand side.
func (c *chain) addReadings(a *band, r []float64) (dev float64) {
	for _, s := range c.read {
		d := c.at[s.node] - c.at[s.node-1]
		q := s.prec / (d * d)
		a.add(s.node, s.node, q)
		a.add(s.node-1, s.node-1, q)
		a.add(s.node, s.node-1, -q)
		v := s.prec * s.grade / d
		r[s.node] += v
		r[s.node-1] -= v
		dev += s.prec * s.grade * s.grade
	}
	return dev
}
