package sweep

import (
	"errors"
	"fmt"
	"math"
)

// DefaultStepM is the longest step between stations, metres (choice; accuracy
// measured in TestStepAccuracy).
const DefaultStepM = 0.25

// stepsPerLink bounds the step to a part of the shortest link (choice).
const stepsPerLink = 20

// DefaultFoldRad is the articulation at which a train counts as folded: 80
// degrees, short of the right angle where pulling no longer turns the towed
// unit, and about where bodies touch (choice, no source).
const DefaultFoldRad = 80 * math.Pi / 180

// exitLengths is how many sums of link lengths the train is followed on the
// exit tangent: the last unit goes on cutting in after the bend has ended, and
// a straight pull of 3 lengths leaves a twentieth of the angle (e^-3).
const exitLengths = 3

// Options of [Follow]. The zero value serves.
type Options struct {
	// StepM is the longest step. 0: the least of DefaultStepM and a twentieth
	// of the shortest link.
	StepM float64
	// FoldRad is the limit of articulation, up to a right angle. 0: DefaultFoldRad.
	FoldRad float64
	// ExitM is the least length of exit tangent, metres. Three sums of link
	// lengths and one length of train are always followed.
	ExitM float64
	// StartRad are the articulation angles at the start. nil: the train comes
	// in straight along the first chord.
	StartRad []float64
	// Beside is the line that reaches are measured from, where that is not the
	// followed one: the middle of the road. Its first and last chord go on
	// straight.
	Beside []Point
	// exitM is the exit tangent in place of all else, where the line itself goes
	// on straight.
	exitM float64
}

func (o Options) filled(t Train) (Options, error) {
	if o.StepM == 0 {
		o.StepM = math.Min(DefaultStepM, t.shortestM()/stepsPerLink)
	}
	if o.FoldRad == 0 {
		o.FoldRad = DefaultFoldRad
	}
	if !(o.StepM > 0) || !finite(o.StepM) {
		return o, fmt.Errorf("step %g m must be greater than 0, or 0 for the default", o.StepM)
	}
	if !(o.FoldRad > 0 && o.FoldRad <= math.Pi/2) {
		return o, fmt.Errorf("fold limit %g rad must be greater than 0 and at most a right angle", o.FoldRad)
	}
	if o.ExitM < 0 || !finite(o.ExitM) {
		return o, fmt.Errorf("exit tangent %g m must be 0 or more", o.ExitM)
	}
	if o.StartRad != nil && len(o.StartRad) != len(t.Links) {
		return o, fmt.Errorf("%d start angles for %d links; give one a link", len(o.StartRad), len(t.Links))
	}
	for i, a := range o.StartRad {
		if !(math.Abs(a) < o.FoldRad) {
			return o, fmt.Errorf("start angle %d is %g rad; it must be inside the fold limit %g", i+1, a, o.FoldRad)
		}
	}
	o.ExitM = math.Max(o.ExitM, exitLengths*t.pullM()+t.SpanM())
	if o.exitM > 0 {
		o.ExitM = o.exitM
	}
	return o, nil
}

// ErrOptions is wrapped by errors about options out of range.
var ErrOptions = errors.New("option out of range")

// Follow draws the train along the line, metres on a plane. The line is
// followed as given: a corner drawn as one vertex is a corner, so round it
// first if the road is round. A straight chord is followed exactly by the first
// link, tan(b/2) falling by e^(-s/L); the later links take the chord of their
// pivot's own path and take steer at half way, with an error of second order in
// the step: at the default step, on bends of 12.5 m and more with vertices as
// near, at most 1 mm in the cut and 0.01 degrees (TestStepAccuracy).
//
// A train that folds is no error: the trace ends there and says so.
func Follow(line []Point, train Train, o Options) (Trace, error) {
	var t Trace
	err := t.Follow(line, train, o)
	return t, err
}

// Follow is [Follow] into a trace whose slices are used again. After an error
// the trace is empty.
func (t *Trace) Follow(line []Point, train Train, o Options) error {
	t.reset()
	if err := train.Check(); err != nil {
		return err
	}
	o, err := o.filled(train)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrOptions, err)
	}
	if err := t.lay(line, o.StepM, o.ExitM); err != nil {
		t.reset()
		return err
	}
	if err := t.layBeside(o.Beside, o.StepM, o.ExitM); err != nil {
		t.reset()
		return fmt.Errorf("line beside: %w", err)
	}
	t.Links = append(t.Links, train.Links...)
	t.begin(o.StartRad, o.FoldRad)
	for j := 1; j < len(t.Line) && t.Fold == nil; j++ {
		t.step(j)
	}
	t.close(train.LockRad)
	return nil
}

func (t *Trace) reset() {
	*t = Trace{
		Links: t.Links[:0], StationM: t.StationM[:0], Line: t.Line[:0], Peaks: t.Peaks[:0],
		besideBuf: t.besideBuf[:0], besideMBuf: t.besideMBuf[:0], poses: t.poses[:0], edges: t.edges[:0], feet: t.feet[:0], yaws: t.yaws[:0], peaks: t.peaks[:0],
	}
}

// begin places the train at the first station.
func (t *Trace) begin(startRad []float64, foldRad float64) {
	n, m := len(t.Line), len(t.Links)
	t.poses = grown(t.poses, n*m)
	t.edges = grown(t.edges, len(t.Beside)*m)
	t.feet = grown(t.feet, m*tracked)
	t.yaws = grown(t.yaws, m)
	t.peaks = grown(t.peaks, m)
	clear(t.yaws)
	t.Peaks = grown(t.Peaks, m)
	for k := range t.edges {
		t.edges[k] = edge{math.Inf(-1), math.Inf(1)}
	}
	t.Steps = 1
	heading, pivot := unit(sub(t.Line[1], t.Line[0])), t.Line[0]
	for i := range t.Links {
		var angle float64
		if startRad != nil {
			angle = startRad[i]
		}
		heading = turned(heading, -angle)
		l := &t.Links[i]
		s, c := math.Sincos(angle)
		t.poses[i] = pose{offset(pivot, heading, -l.LengthM, 0), heading, Point{c, s}}
		t.Peaks[i] = Peak{angle, 0}
		t.peaks[i] = peak{c, math.Cos(math.Min(foldRad, l.foldLimit()))}
		t.place(i, l.LengthM/(1+l.SteerRatio))
		pivot = offset(pivot, heading, l.HitchOffsetM-l.LengthM, 0)
	}
}

func grown[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

func unit(v Point) Point {
	d := math.Sqrt(v.X*v.X + v.Y*v.Y)
	return Point{v.X / d, v.Y / d}
}

// step moves the steering axle to station j and draws the rest after it.
func (t *Trace) step(j int) {
	m := len(t.Links)
	was, now := t.poses[(j-1)*m:j*m], t.poses[j*m:(j+1)*m]
	from, to := t.Line[j-1], t.Line[j]
	way := unit(sub(to, from))
	aheadWas, aheadNow := way, way
	// At a corner the steer is largest before the first link has turned.
	if t.peak(j-1, 0, turnTo(was[0].heading, way)); t.Fold != nil {
		return
	}
	for i := range t.Links {
		l := &t.Links[i]
		heading, still := l.drawn(was[i].heading, sub(to, from), aheadWas, aheadNow)
		turn := turnTo(heading, aheadNow)
		now[i] = pose{offset(to, heading, -l.LengthM, 0), heading, turn}
		t.peak(j, i, turn)
		t.move(j, i, still)
		aheadWas, aheadNow = was[i].heading, heading
		from = offset(from, was[i].heading, l.HitchOffsetM-l.LengthM, 0)
		to = offset(to, heading, l.HitchOffsetM-l.LengthM, 0)
	}
	t.Steps = j + 1
}

// turnTo is cosine and sine of the angle between two headings.
func turnTo(a, b Point) Point { return Point{dot(a, b), cross(a, b)} }

// peak is the cosine of a link's largest angle so far, and of its limit: the
// larger the angle the less its cosine, and none is worked out until it is
// asked for.
type peak struct{ cos, limit float64 }

func (t *Trace) peak(j, link int, turn Point) {
	p := &t.peaks[link]
	if turn.X >= p.cos && turn.X > p.limit {
		return
	}
	angle := math.Atan2(turn.Y, turn.X)
	if turn.X < p.cos {
		p.cos = turn.X
		t.Peaks[link] = Peak{angle, t.StationM[j]}
	}
	if t.Fold == nil && !(turn.X > p.limit) {
		t.Fold = &Fold{link, angle, t.StationM[j]}
	}
}

// drawn is the heading after the pivot moved by d, and how far behind the pivot
// the body's axis does not move sideways. With the steer held, a steered group
// is a fixed one of length L cos(steer) seen from an axis turned by the steer:
// sin b + cos b tan d = sin(b+d)/cos d. The steer is taken at half way
// (midpoint rule, second order like the chords).
func (l *Link) drawn(heading, d, aheadWas, aheadNow Point) (after Point, stillM float64) {
	dist := math.Sqrt(d.X*d.X + d.Y*d.Y)
	if dist == 0 {
		return heading, l.LengthM
	}
	way := Point{d.X / dist, d.Y / dist}
	if !l.steers() {
		return pulled(heading, way, dist/l.LengthM), l.LengthM
	}
	steer := l.steer(between(heading, aheadWas))
	half := pulled(heading, turned(way, steer), dist/2/(l.LengthM*math.Cos(steer)))
	mid := unit(Point{aheadWas.X + aheadNow.X, aheadWas.Y + aheadNow.Y})
	steer = l.steer(between(half, mid))
	after = pulled(heading, turned(way, steer), dist/(l.LengthM*math.Cos(steer)))
	return after, l.stillM(between(after, way), l.steer(between(after, aheadNow)))
}

// stillM is L sin b cos d / sin(b+d), and its limit on a straight line.
func (l *Link) stillM(b, steer float64) float64 {
	s := math.Sin(b + steer)
	if math.Abs(s) < 1e-9 {
		return l.LengthM / (1 + l.SteerRatio)
	}
	return l.LengthM * math.Sin(b) * math.Cos(steer) / s
}

// pulled is the heading of a bar whose end is pulled along way by lengths times
// the bar's own length: tan(b/2) = tan(b0/2) e^-lengths, exact.
func pulled(heading, way Point, lengths float64) Point {
	c, s := dot(heading, way), cross(heading, way)
	half := math.Exp(-lengths) * s / (1 + c)
	if !finite(half) {
		return heading // pushed dead straight back: no side to fall to
	}
	den := 1 + half*half
	c, s = (1-half*half)/den, 2*half/den
	return Point{way.X*c + way.Y*s, way.Y*c - way.X*s}
}
