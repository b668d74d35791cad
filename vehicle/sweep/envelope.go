package sweep

import "math"

// The strip that a moving rectangle sweeps is bounded by the paths of its four
// corners and, on each side, of the point that does not move sideways: beside a
// fixed axle group the axle itself. Six points a body trace it. At a moment
// when the body changes from turning left to turning right no point of it moves
// sideways more than another, and its whole side bounds the strip.
const tracked = 6

// yawNoise is a turn in one step, radians, that is only rounding (choice).
const yawNoise = 1e-12

// bodyPoints are front, still point and rear on the left, then on the right.
func (l *Link) bodyPoints(p *pose, stillM float64) [tracked]Point {
	front, rear, half := l.LengthM+l.FrontOverhangM, -l.RearOverhangM, l.WidthM/2
	still := math.Max(rear, math.Min(front, l.LengthM-stillM))
	return [tracked]Point{
		offset(p.axle, p.heading, front, half), offset(p.axle, p.heading, still, half), offset(p.axle, p.heading, rear, half),
		offset(p.axle, p.heading, front, -half), offset(p.axle, p.heading, still, -half), offset(p.axle, p.heading, rear, -half),
	}
}

// place sets the feet of a body at the start and sweeps what lies under it.
func (t *Trace) place(link int, stillM float64) {
	l := &t.Links[link]
	feet := t.feet[link*tracked : (link+1)*tracked]
	for k, p := range l.bodyPoints(&t.poses[link], stillM) {
		feet[k] = t.project(p, 0)
	}
	if l.WidthM > 0 {
		t.sweepSides(link)
	}
}

func (t *Trace) sweepSides(link int) {
	feet := t.feet[link*tracked : (link+1)*tracked]
	for _, k := range [...]int{0, 1, 3, 4} {
		t.sweepTo(link, feet[k+1], feet[k])
	}
}

// move takes the feet of a body to where it stands at station j.
func (t *Trace) move(j, link int, stillM float64) {
	l := &t.Links[link]
	if l.WidthM == 0 {
		return
	}
	feet := t.feet[link*tracked : (link+1)*tracked]
	for k, p := range l.bodyPoints(t.at(j, link), stillM) {
		f := t.project(p, feet[k].chord)
		t.sweepTo(link, feet[k], f)
		feet[k] = f
	}
	yaw := cross(t.at(j-1, link).heading, t.at(j, link).heading)
	if yaw*t.yaws[link] < -yawNoise {
		t.sweepSides(link)
	}
	if math.Abs(yaw) > yawNoise {
		t.yaws[link] = math.Copysign(1, yaw)
	}
}

// close notes how far the whole train came and what the steering had to do.
func (t *Trace) close(lockRad float64) {
	t.poses = t.poses[:t.Steps*len(t.Links)]
	t.CoveredM = math.Inf(1)
	for i := range t.Links {
		for _, f := range t.feet[i*tracked : (i+1)*tracked] {
			if t.Links[i].WidthM > 0 {
				t.CoveredM = math.Min(t.CoveredM, f.along)
			}
		}
	}
	if math.IsInf(t.CoveredM, 1) { // no bodies
		t.CoveredM = t.StationM[t.Steps-1]
	}
	t.CoveredM = math.Max(math.Min(t.CoveredM, t.BesideM[len(t.BesideM)-1]), 0)
	switch {
	case !(lockRad > 0):
		t.Lock = LockUnknown
	case math.Abs(t.Peaks[0].AngleRad) > lockRad:
		t.Lock = LockExceeded
	case t.Fold == nil:
		t.Lock = LockHeld
	}
}
