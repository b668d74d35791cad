package check

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/vehicle/stability"
)

// leaning is what one part of the train does at one station.
type leaning struct {
	reading
	part    *tipPart
	fall    float64 // crossfall under it, to the right positive; NaN when not known
	lateral float64 // of the bend at BendSpeedMS, to the right positive
	radiusM float64
	open    bool    // this data does not decide it here
	known   bool    // the crossfall under it is
	hilly   bool    // a mapped road and steeper than one is built: the hillside's, or its own?
	gap     bool    // it stands on a deck or a void
	slowMS  float64 // speed at which a bend passes, 0 when none is asked for
	skids   bool    // it rather slides sideways than not
	slick   bool    // it does not surely hold sideways
	ground  *option // least grip under the part
	reserve bool    // sure, but less than practice keeps in hand
}

// leaner walks a way with a train.
type leaner struct {
	s        *Situation
	fall, se []float64 // by station
	wide     []bool    // the base of the reading lies on the carriageway
	road     []bool    // a road is mapped there
	turn     []float64 // radians turned up to each vertex, that vertex included
	hint     int       // station looked at last
	gaps     bool      // so far only decks and voids are left open
	slick    *option   // least grip of where it may slide sideways, nil for nowhere
}

// crossfall compares how the train leans on crossfall and in bends with the lean
// at which a part of it tips. A unit leans with the mean under its axles, as a
// suspension that levels among them does. A trailer takes the bend of the line at
// the place of its axles: it cuts in, and goes the slower for it.
func crossfall(s *Situation, k *Sink) {
	if s.noTips != nil {
		f := standing(s, "tipping is not computed: {why}", "give the missing field in the transporter's file", 1)
		f.Q = append(f.Q, Quantity{Name: "why", Text: s.noTips.Error(), Unit: Literal})
		k.Place(f)
		return
	}
	for i := range s.tips {
		if p := &s.tips[i]; p.straightly <= 0 {
			k.Place(s.topHeavy(p))
			return
		}
	}
	l := newLeaner(s)
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(at route.Stretch, w reading) {
		worst, _ := l.at(w.i)
		k.Place(s.tipFinding(at, &worst))
	}
	passed, decided, found := leaning{}, 0.0, false
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		w, open := l.at(i)
		g.add(w.reading, s.spacing(i))
		found = found || w.outcome != Pass
		w.explain(k, s.BendSpeedMS)
		if open || w.outcome == Undecided || w.outcome == NotLooked {
			continue
		}
		decided += s.spacing(i)
		if passed.part == nil || w.closer(&passed) {
			passed = w
		}
	}
	g.close()
	if decided > 0 && !found {
		k.Place(s.tipPassed(&passed))
	}
	s.tipUndecided(k, decided/s.Window.LengthM(), found, l)
}

func newLeaner(s *Situation) *leaner {
	n := len(s.Profile.ChainageM)
	l := &leaner{s: s, gaps: true, fall: make([]float64, n), se: make([]float64, n), wide: make([]bool, n), road: make([]bool, n)}
	leg := 0
	for i, c := range s.Profile.ChainageM {
		for leg+1 < len(s.Way.Legs) && s.Way.Legs[leg].At.ToM < c {
			leg++
		}
		tags, width := s.Way.Legs[leg].Tags, narrowM
		if tags.WidthM.State == route.Known {
			width = tags.WidthM.Value
		}
		l.fall[i], l.se[i] = s.Profile.CrossfallAt(i, width)
		l.wide[i] = tags.WidthM.State == route.Known && width >= crossBaseM
		l.road[i] = tags.Mapped && tags.Highway != "" && tags.Highway != "track" && tags.Highway != "path"
	}
	sum := 0.0
	for _, t := range s.Way.TurnRad {
		sum += t
		l.turn = append(l.turn, sum)
	}
	return l
}

// curvature is that of the line at a chainage, left positive, over overM.
func (l *leaner) curvature(at float64) float64 {
	c := l.s.Way.ChainageM
	upTo := func(s float64) float64 {
		if i := sort.SearchFloat64s(c, s); i > 0 {
			return l.turn[i-1]
		}
		return 0
	}
	return (upTo(at+overM/2) - upTo(at-overM/2)) / overM
}

// station is the one nearest to a chainage.
func (l *leaner) station(at float64) int {
	c := l.s.Profile.ChainageM
	i := l.hint
	for i+1 < len(c) && c[i+1] <= at {
		i++
	}
	for i > 0 && c[i] > at {
		i--
	}
	l.hint = i
	if i+1 < len(c) && c[i+1]-at < at-c[i] {
		return i + 1
	}
	return i
}

// at is the part that leans worst with the foremost axle at a station, and whether
// any part's lean is left open by this data.
func (l *leaner) at(i int) (worst leaning, open bool) {
	s := l.s
	behind := s.Train.Axles[len(s.Train.Axles)-1].AtM
	front := max(s.Profile.ChainageM[i], min(behind, s.Profile.LengthM())) // judged once all of it is on the line
	for k := range s.tips {
		r := l.partAt(&s.tips[k], front)
		r.i, r.s = i, s.Profile.ChainageM[i]
		open = open || r.open
		l.gaps = l.gaps && (!r.open || r.gap)
		if k == 0 || r.graver(&worst) {
			worst = r
		}
	}
	return worst, open
}

// partAt reads crossfall and curvature under a part and judges it.
func (l *leaner) partAt(p *tipPart, front float64) leaning {
	r := leaning{part: p}
	se, road, wide := 0.0, true, true
	for k, a := range p.axleM {
		i := l.station(max(front-a, 0))
		r.fall += p.share[k] * l.fall[i]
		se += p.share[k] * l.se[i] // taken as one error: means of it are no better
		road, wide = road && l.road[i], wide && l.wide[i]
		r.gap = r.gap || l.s.Profile.Mark[i] != profile.Measured
		if o := l.s.grounds[i].span[braking].worst; r.ground == nil || o.bare.Mu.Low.V < r.ground.bare.Mu.Low.V {
			r.ground = o
		}
	}
	curve := l.curvature(front - p.middleM)
	r.radiusM = math.Inf(1)
	if curve != 0 {
		r.radiusM = 1 / math.Abs(curve)
	}
	r.lateral = math.Copysign(stability.Lateral(l.s.BendSpeedMS, r.radiusM), curve)
	r.judge(se, road, wide)
	r.slide()
	if r.slick && (l.slick == nil || r.grip() < l.slick.bare.Mu.Low.V) {
		l.slick = r.ground
	}
	return r
}

// grip is what the ground surely gives sideways to wheels without chains.
func (r *leaning) grip() float64 { return r.ground.bare.Mu.Low.V }

// slide compares the lean with the ground's grip. Rather sliding is a question,
// or a caution where a lower speed mends a bend; rather holding, but not surely,
// is left open as the reading's error is.
func (r *leaning) slide() {
	fall := r.fall
	if !r.known {
		fall = 0
	}
	switch {
	case r.outcome == Fail || r.demand+oneSided*math.Sqrt(r.varDemand) <= r.grip():
	case r.hilly || r.demand < r.grip():
		r.open, r.slick = true, true
	case r.slower(fall, r.grip()):
		r.outcome, r.skids, r.slick = max(r.outcome, Caution), true, true
	case r.outcome < NotLooked: // what asks already goes on asking
		r.outcome, r.skids, r.slick = NotLooked, true, true
	}
}

// judge compares. Without a known crossfall the bend alone is looked at, and the
// place stays open.
func (r *leaning) judge(se float64, road, wide bool) {
	p, fall := r.part, r.fall
	r.known = !math.IsNaN(fall + se)
	if !r.known {
		fall, se = 0, 0
	}
	r.hilly = road && math.Abs(fall) > builtFall && !wide
	r.demand, r.capacity = math.Abs(stability.Lean(fall, r.lateral)), p.limit
	r.varDemand, r.varSupply = se*se, p.varLimit
	r.p = chance(r.demand, p.limit, r.se())
	r.pBest = chance(r.demand, p.rigid, math.Sqrt(se*se+p.varRigid))
	r.open = !r.known
	steep := math.Tan(sideSlopeDeg * math.Pi / 180)
	switch {
	case r.demand <= p.sureLean(se*se):
		if r.known && !r.hilly && chance(math.Abs(fall), steep, se) <= 0.5 { // rather above than not
			r.outcome = Caution
		}
	case r.slower(fall, p.sureLean(se*se)):
		r.outcome = Caution
	case r.known && road && r.demand <= p.sureLean(0), r.hilly:
		r.open = true // the reading's error, or the hillside's slope
	case r.p >= safePassAt:
		r.outcome, r.reserve = NotLooked, true
	case r.pBest <= FailAt && wide:
		r.outcome = Fail
	case r.pBest <= FailAt || !r.known:
		r.outcome = NotLooked
	default:
		r.outcome = Undecided
	}
}

// slower looks for a speed at which a bend leans no more than sure.
func (r *leaning) slower(fall, sure float64) bool {
	if r.lateral == 0 || math.Abs(fall) > sure {
		return false
	}
	v := stability.LargestSpeed(sure, math.Copysign(fall, fall*r.lateral), r.radiusM)
	if v < walkingMS {
		return false
	}
	if r.slowMS == 0 || v < r.slowMS {
		r.slowMS = v
	}
	return true
}

// graver orders parts: what stops before what asks before what warns, then by how
// near the limit is.
func (r *leaning) graver(b *leaning) bool {
	rank := func(o Outcome) Outcome {
		if o == NotLooked {
			return Undecided
		}
		return o
	}
	if x, y := rank(r.outcome), rank(b.outcome); x != y {
		return x > y
	}
	return r.closer(b)
}

// closer compares margins in standard errors; chances near 1 look alike.
func (r *leaning) closer(b *leaning) bool {
	const least = 1e-9 // a train without load and a bend alone have no error
	return (r.capacity-r.demand)*max(b.se(), least) < (b.capacity-b.demand)*max(r.se(), least)
}
