package check

import (
	"errors"
	"math"
	"sync"

	"drawbar/route"
	"drawbar/route/bend"
	"drawbar/vehicle/sweep"
)

// Choices of the path through a bend, metres unless said.
const (
	// sweepStepM is the step the train is drawn along by: the width is then right
	// to 14 mm (TestSweepStep).
	sweepStepM = 1.0
	// mostSweptM is where a swept width stops meaning one: measured across a
	// bend, a train that cuts over the inside has no width there.
	mostSweptM = 12.0
	// floorRadiusM is the tightest circle of the steering axle where the file
	// does not say how far it steers.
	floorRadiusM = 10.0
	// cornerRadiusM is the radius of the kerb at a junction corner.
	cornerRadiusM = 6.0
	// searchM: a known width within this of the strip asks for a line that is
	// followed to its end. The strip alone is no line: tail swing before a bend and
	// cut in it do not fit one road that is nowhere wider (0.9 m more at R 12.5 m).
	searchM = 1.5
	// leadInM is straight before a bend: the train comes in straight.
	leadInM = 15.0
	// sharpRad is a turn beyond which a corner without radius has no line at all.
	sharpRad = 150 * math.Pi / 180
)

// path is a bend at one radius: what the train asks for on it.
type path struct {
	radiusM float64
	// stripM is the widest strip across the way with the steering axle on the
	// line; needM that, or what the best line asks for where it was looked for.
	stripM, needM float64
	leftM, rightM float64 // reach of the bodies to either side of the line, both positive
	atM           float64 // chainage of the widest place
	folds, locked bool    // folds up; asks for more than the lock
	lockless      bool    // the file does not say how far it steers
	// aloneM is the strip of the bend without its neighbours, where with them no
	// width means anything; else 0. What they ask for is told at their own place.
	aloneM float64
	best   *sweep.Best
}

// leastM is the least that any of the lines looked at may ask for: where more
// than the strip is needed only by the lines that were tried, nothing fails.
func (p *path) leastM() float64 {
	if p.aloneM > 0 {
		return min(p.stripM, p.needM, p.aloneM)
	}
	return min(p.stripM, p.needM)
}

// over reports a swept width that has stopped meaning one.
func (p *path) over() bool { return p.needM > mostSweptM && !math.IsInf(p.needM, 1) }

// asked is the width to ask for.
func (p *path) asked() float64 { return min(p.needM, mostSweptM) }

// place is a bend with what the train asks for at the low, the middle and the
// high radius that the line allows: the most, the likely and the least.
type place struct {
	bend.Bend
	at                 route.Stretch // what it colours, never shorter than shortestM
	most, mid, least   path
	widthM             route.Limit
	class              float64
	reachedM           []reached
	cornerM            float64 // room beyond the width that a junction corner has
	inSide             string  // left or right
	radiusM, lowM, hiM float64
}

// reached is how far the bodies came to either side of the line at a chainage.
type reached struct{ atM, leftM, rightM float64 }

// shortestM is the shortest stretch that a bend colours: a corner drawn as one
// vertex is a place where a train turns, not a point.
const shortestM = 15.0

// bendPlaces are the bends of the way that a train may ask for more than a lane
// or the known width in; the others are screened out by where it settles.
func (s *Situation) bendPlaces() []place { return s.bends() }

func (s *Situation) findBends() []place {
	if s.noSweep != nil {
		return nil
	}
	var trace sweep.Trace
	var out []place
	all := bend.Find(s.Way, bend.Options{})
	for i := range all {
		if p := s.placeOf(all, i); !s.screened(p) {
			s.follow(&trace, all, i, p)
			out = append(out, *p)
		}
	}
	return out
}

// placeOf is a bend with its width and the radii to look at.
func (s *Situation) placeOf(all []bend.Bend, i int) *place {
	b := &all[i]
	p := &place{Bend: *b, at: b.At, inSide: "left"}
	if b.TurnRad < 0 {
		p.inSide = "right"
	}
	if lack := shortestM - p.at.LengthM(); lack > 0 {
		p.at = clip(route.Stretch{FromM: p.at.FromM - lack/2, ToM: p.at.ToM + lack/2}, route.Stretch{ToM: s.Way.LengthM()})
	}
	p.widthM, p.class = s.widthIn(p.at)
	p.lowM, p.radiusM, p.hiM = b.RadiusLowM, b.RadiusM, b.RadiusHighM
	if b.Kind == bend.Corner {
		// The kerb's radius and half of the narrower way, or the tightest circle
		// where that is wider. The outer edges of the two ways meet in a corner, not
		// in an arc: an annulus whose outer radius is less than kerb and width by x
		// has (sec(turn/2) - 1) x more room (derived).
		w := p.class
		if p.widthM.State == route.Known {
			w = p.widthM.Value
		}
		floor, _ := s.floorM()
		r := max(cornerRadiusM+w/2, floor)
		k := 1 / math.Cos(min(math.Abs(b.TurnRad), 2*math.Pi/3)/2)
		p.cornerM = (k - 1) * max(cornerRadiusM+w/2-r+(w-s.Train.WidthM)/2, 0)
		p.hiM = max(p.hiM, r)
		p.radiusM = max(p.radiusM, r)
		if math.IsNaN(b.RadiusM) {
			p.radiusM, p.hiM = r, r
		}
	}
	return p
}

// screened reports a bend where even the tightest circle that it may be leaves
// the settled train on a lane, and on the known width. A bend that ends sooner
// asks for less.
func (s *Situation) screened(p *place) bool {
	room := usableLaneM
	if p.widthM.State == route.Known {
		room = min(room, p.widthM.Value)
	}
	return p.lowM > 0 && s.settledM(p.lowM) <= room
}

// settledM is the width a train sweeps that has settled on a circle, infinite
// where it never does: the sum of the cut and the wider half of each end.
func (s *Situation) settledM(radiusM float64) float64 {
	links, ok := sweep.Steady(s.sweep, radiusM)
	if !ok {
		return math.Inf(1)
	}
	in, out := math.Inf(1), 0.0
	pivot := radiusM
	for i := range links {
		l, r := &s.sweep.Links[i], links[i].AxleRadiusM
		if l.WidthM > 0 {
			in = min(in, r-l.WidthM/2)
			out = max(out, math.Hypot(r+l.WidthM/2, max(l.LengthM+l.FrontOverhangM, l.RearOverhangM, 0)))
			if l.SteerRatio > 0 { // turns about a place between pivot and group
				out = max(out, math.Hypot(pivot+l.WidthM/2, l.LengthM+max(l.FrontOverhangM, 0)))
			}
		}
		pivot = math.Hypot(r, l.HitchOffsetM)
	}
	return out - in
}

// floorM is the tightest circle that the steering axle goes round.
func (s *Situation) floorM() (radiusM float64, known bool) {
	if l := s.sweep.LockRad; l > 0 {
		return s.sweep.Links[0].LengthM / math.Sin(l), true
	}
	return floorRadiusM, false
}

// follow sweeps a bend at the three radii.
func (s *Situation) follow(t *sweep.Trace, all []bend.Bend, i int, p *place) {
	switch {
	case math.IsNaN(p.radiusM) || !(p.radiusM > 0):
		p.mid = s.drawn(t, p)
	default:
		p.mid = s.sweptAt(t, all, i, p, p.radiusM, true)
	}
	width := p.widthM.State == route.Known
	p.least, p.most = p.mid, p.mid
	switch {
	case math.IsInf(p.hiM, 1) || math.IsNaN(p.hiM):
		p.least = path{radiusM: math.Inf(1), stripM: s.Train.WidthM, needM: s.Train.WidthM, atM: p.mid.atM}
	case p.hiM != p.radiusM && (width || p.mid.needM > p.class):
		p.least = s.sweptAt(t, all, i, p, p.hiM, false)
	}
	if p.lowM != p.radiusM && width {
		p.most = s.sweptAt(t, all, i, p, p.lowM, false)
	}
}

// room is the width to hold a demand against: the known one, else the class's.
func (p *place) room() float64 {
	if p.widthM.State == route.Known {
		return p.widthM.Value + p.cornerM
	}
	return p.class + p.cornerM
}

// sweptAt follows the train through tangent, arc and tangent at one radius,
// with the neighbours where a train is not straight between. A road tighter
// than the steering axle turns is followed on its tightest circle, which leaves
// the road's middle by (floor - R)(sec(turn/2) - 1).
func (s *Situation) sweptAt(t *sweep.Trace, all []bend.Bend, i int, p *place, radiusM float64, keep bool) path {
	out := path{radiusM: radiusM, stripM: math.Inf(1), needM: math.Inf(1), atM: p.ApexM}
	floor, known := s.floorM()
	out.lockless = !known
	stray := 0.0
	turn := math.Abs(p.TurnRad)
	used := radiusM
	if radiusM < floor && known || radiusM < 3 {
		out.locked = known
		if turn > sharpRad {
			out.folds = !known
			if !known {
				return out
			}
		} else {
			used = floor
			stray = (floor - radiusM) * (1/math.Cos(turn/2) - 1)
		}
	}
	if used < 3 {
		return out
	}
	r := s.road(all, i, used)
	err := t.Follow(r.line, s.sweep, sweep.Options{StepM: sweepStepM})
	// The neighbour's fold is the neighbour's, and so is a train that cuts over its
	// inside and never passes it whole.
	if r.crowded && (err != nil || t.Fold != nil || t.CoveredM < r.toM) {
		r = s.road(all[i:i+1], 0, used)
		err = t.Follow(r.line, s.sweep, sweep.Options{StepM: sweepStepM})
	}
	if err != nil {
		return out
	}
	w := sweep.Window{FromM: r.fromM - min(leadInM, r.gapBeforeM/2), ToM: min(r.toM+min(s.Train.LengthM, r.gapAfterM/2), t.LineM)}
	if t.Fold == nil {
		w.ToM = min(w.ToM, t.CoveredM)
	}
	sw, err := sweep.SweptWidth(t, w)
	if err != nil {
		out.folds = errors.Is(err, sweep.ErrFolds)
		return out
	}
	out.stripM, out.needM = sw.WidthM+stray, sw.WidthM+stray
	out.leftM, out.rightM = sw.Left.OffsetM, -sw.Right.OffsetM
	out.atM = min(max(p.ApexM+sw.WidthAtM-(r.fromM+r.toM)/2, 0), s.Way.LengthM())
	if keep {
		p.reachedM = reaches(t, w, p.ApexM-(r.fromM+r.toM)/2)
	}
	margin := 0.0
	if p.widthM.State == route.Known {
		margin = searchM
	}
	if out.stripM > p.room()-margin && out.stripM < mostSweptM+1 {
		s.better(t, r, p, &out, stray)
	}
	if r.crowded && out.needM > mostSweptM {
		out.aloneM = s.alone(t, all[i], used) + stray
	}
	return out
}

// alone is the strip of a bend between straights, 0 where that has none.
func (s *Situation) alone(t *sweep.Trace, b bend.Bend, radiusM float64) float64 {
	r := s.road([]bend.Bend{b}, 0, radiusM)
	if t.Follow(r.line, s.sweep, sweep.Options{StepM: sweepStepM}) != nil || t.Fold != nil {
		return 0
	}
	sw, err := sweep.SweptWidth(t, sweep.Window{FromM: r.fromM - leadInM, ToM: min(r.toM+s.Train.LengthM, t.CoveredM)})
	if err != nil {
		return 0
	}
	return sw.WidthM
}

// reaches are what the bodies came to at each station.
func reaches(t *sweep.Trace, w sweep.Window, shiftM float64) (out []reached) {
	for j, at := range t.BesideM {
		if at < w.FromM || at > w.ToM {
			continue
		}
		r := reached{atM: at + shiftM, leftM: math.Inf(-1), rightM: math.Inf(-1)}
		for i := range t.Links {
			if left, right, ok := t.EdgesM(j, i); ok {
				r.leftM, r.rightM = max(r.leftM, left), max(r.rightM, -right)
			}
		}
		if !math.IsInf(r.leftM, -1) {
			out = append(out, r)
		}
	}
	return out
}

// better looks for the best line where the strip is tight.
func (s *Situation) better(t *sweep.Trace, r bendRoad, p *place, out *path, strayM float64) {
	if r.crowded {
		return // neighbours turn within the train's length: the offsets would reach into them
	}
	b, err := sweep.BestLine(t, sweep.Road{Middle: r.line, FromM: r.fromM, ToM: r.toM, LeftTurn: p.TurnRad > 0},
		s.sweep, sweep.Options{StepM: sweepStepM})
	if err != nil || math.IsInf(b.NeedM, 1) {
		return
	}
	out.best, out.needM = &b, b.NeedM+strayM
}

// drawn follows the line as drawn, for a turn that no arc goes with.
func (s *Situation) drawn(t *sweep.Trace, p *place) path {
	lead := s.Train.LengthM
	out := path{radiusM: nan, stripM: math.Inf(1), needM: math.Inf(1), atM: p.ApexM}
	around := clip(route.Stretch{FromM: p.at.FromM - lead, ToM: p.at.ToM + 2*lead}, route.Stretch{ToM: s.Way.LengthM()})
	if t.Follow(rounded(s.Way.Plane(around)), s.sweep, sweep.Options{StepM: sweepStepM}) != nil {
		return out
	}
	w := sweep.Window{ToM: p.at.ToM + lead - around.FromM}
	if t.Fold == nil {
		w.ToM = min(w.ToM, t.CoveredM)
	}
	sw, err := sweep.SweptWidth(t, w)
	out.locked, out.lockless = t.Lock == sweep.LockExceeded, t.Lock == sweep.LockUnknown
	if err != nil {
		out.folds = errors.Is(err, sweep.ErrFolds)
		return out
	}
	out.stripM, out.needM, out.atM = sw.WidthM, sw.WidthM, min(around.FromM+sw.WidthAtM, s.Way.LengthM())
	out.leftM, out.rightM = sw.Left.OffsetM, -sw.Right.OffsetM
	p.reachedM = reaches(t, w, around.FromM)
	return out
}

// sideReach is how far left and right of the line the bodies come anywhere on
// a stretch with the steering axle on the line, metres, both positive; half of
// the widest body where the way is straight or the bend was screened out as
// wide. ok is false where it cannot be said: the outline is not in the file, or
// the train folds there.
func (s *Situation) sideReach(at route.Stretch) (leftM, rightM float64, ok bool) {
	if s.noSweep != nil {
		return nan, nan, false
	}
	leftM, rightM = s.Train.WidthM/2, s.Train.WidthM/2
	for _, p := range s.bendPlaces() {
		if len(p.reachedM) == 0 {
			if p.at.Overlaps(at) {
				return nan, nan, false
			}
			continue
		}
		for _, r := range p.reachedM {
			if r.atM >= at.FromM-sweepStepM && r.atM <= at.ToM+sweepStepM {
				leftM, rightM = max(leftM, r.leftM), max(rightM, r.rightM)
			}
		}
	}
	return leftM, rightM, true
}

// layBends prepares the bends, found when a check first asks.
func (s *Situation) layBends() { s.bends = sync.OnceValue(s.findBends) }
