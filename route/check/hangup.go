package check

import (
	"fmt"
	"math"
	"sort"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/route/structure"
	"drawbar/vehicle/sweep"
)

// Choices of the hang-up check, metres.
const (
	// hangNuggetM is the standard error of each cell by itself, beside the error
	// that neighbours share.
	hangNuggetM = 0.05
	// hangSpringsM is the standard error of the clearance: tyres, springs, a load
	// that squats.
	hangSpringsM = 0.02
	// hangSampleShare, times the distance of the samples, is what a sharp kink
	// between two of them hides: 8 % over a quarter of it.
	hangSampleShare = 0.02
	// ruleDropM is the fall of a road beside a level crossing that the usual rule
	// allows within 28 ft: 3 in.
	ruleDropM = 3 * 0.0254
	mostSpots = 10 // places to look at on foot that are named
)

// hangAssumed lists them.
func hangAssumed() []route.Assumption {
	return []route.Assumption{
		{Key: "hangup.cell_m", Value: profile.CrossCellM, Unit: "m", Source: "largest cell that humps are read from", Standing: "choice"},
		{Key: "hangup.nugget_m", Value: hangNuggetM, Unit: "m", Source: "standard error of one cell by itself, where humps are read", Standing: "choice"},
		{Key: "hangup.springs_m", Value: hangSpringsM, Unit: "m", Source: "standard error of the ground clearance: tyres, springs, a load that squats", Standing: "choice"},
		{Key: "hangup.sample", Value: hangSampleShare, Unit: "1", Source: "of the distance of samples, what a kink of 8 % between two hides", Standing: "choice"},
	}
}

// hangUp holds the underside of every unit against the road under it. Only a
// raster that shows the road itself decides: elsewhere the places where trains
// ground are named, to be looked at on foot.
func hangUp(s *Situation, k *Sink) {
	if s.noHulls != nil {
		f := standing(s, "grounding on humps is not computed: {why}", "give the lowest points of the underside in the transporter's file; and look at level crossings, bridge ends and dam crests on foot", 1)
		f.Q = append(f.Q, Quantity{Name: "why", Text: lackOf(s.noHulls), Unit: Literal})
		k.Place(f)
		return
	}
	w := newHullWalk(s)
	decided, found, passed := 0.0, false, hanging{reading: reading{p: 2}}
	lo, hi := math.Inf(1), math.Inf(-1)
	worst := hanging{}
	g := runs{gapM: s.Train.LengthM}
	g.emit = func(_ route.Stretch, _ reading) {
		k.Place(s.hangFinding(route.Stretch{FromM: lo, ToM: hi}, &worst))
		lo, hi, worst = math.Inf(1), math.Inf(-1), hanging{}
	}
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		h, ok := w.at(i)
		if !ok {
			continue
		}
		decided += s.spacing(i)
		if h.outcome != Pass {
			if g.open && h.s-s.spacing(i)/2-g.at.ToM > g.gapM {
				g.close()
			}
			found = true
			lo, hi = min(lo, h.placeM-h.nearM), max(hi, h.placeM+h.nearM)
			if worst.hull == nil || h.worse(&worst.reading) {
				worst = h
			}
		} else if h.p < passed.p || passed.hull == nil {
			passed = h
		}
		g.add(h.reading, s.spacing(i))
	}
	g.close()
	if passed.hull != nil && !found {
		k.Place(s.hangFinding(route.Stretch{FromM: passed.placeM, ToM: passed.placeM}, &passed))
	}
	if share := decided / s.Window.LengthM(); share < 0.999 || len(s.hullLacks) > 0 {
		k.Place(s.hangStanding(share))
	}
}

// hanging is the tightest place of a train with its foremost axle at a station.
type hanging struct {
	reading
	hull   *sweep.Hull
	place  sweep.HullPlace
	placeM float64 // chainage of the place
	nearM  float64 // it may be off by
}

// hullWalk reads the road under the hulls.
type hullWalk struct {
	s    *Situation
	road []bool // the raster shows the road itself here
	hint int
}

func newHullWalk(s *Situation) *hullWalk {
	w := &hullWalk{s: s, road: make([]bool, len(s.Profile.ChainageM))}
	p := s.Profile
	if p.Crossfall == nil {
		return w
	}
	leg := 0
	for i, c := range p.ChainageM {
		for leg+1 < len(s.Way.Legs) && s.Way.Legs[leg].At.ToM < c {
			leg++
		}
		width := s.Way.Legs[leg].Tags.WidthM
		w.road[i] = !math.IsNaN(p.Crossfall[i]) && p.Mark[i] == profile.Measured &&
			width.State == route.Known && oneSided*p.LineSEM <= width.Value/2
	}
	return w
}

// z is the height of the raster at a chainage, NaN where it does not show the road.
func (w *hullWalk) z(at float64) float64 {
	c, p := w.s.Profile.ChainageM, w.s.Profile
	j := w.hint
	if j >= len(c)-1 || c[j] > at || c[j+1] < at {
		j = min(max(sort.SearchFloat64s(c, at)-1, 0), len(c)-2)
		w.hint = j
	}
	if at < c[j]-1e-6 || at > c[j+1]+1e-6 || !w.road[j] || !w.road[j+1] {
		return nan
	}
	t := (at - c[j]) / (c[j+1] - c[j])
	return (1-t)*p.RawZM[j] + t*p.RawZM[j+1]
}

// at judges the train at a station: the place that most likely grounds. ok is
// false where the raster does not show the road under all of it.
func (w *hullWalk) at(i int) (h hanging, ok bool) {
	s := w.s
	if !w.road[i] {
		return h, false
	}
	front := s.Profile.ChainageM[i]
	least := math.Inf(1)
	for k := range s.hulls {
		clear, place := s.hulls[k].ClearM(func(behind float64) float64 { return w.z(front - behind) })
		if math.IsInf(clear, 1) || math.IsNaN(clear) {
			return h, false
		}
		// The clearance that is left, as a share of the place's own: what lies low
		// is not always what comes nearest.
		if left := clear / place.HeightM; h.hull == nil || left < least {
			least, h.hull, h.place = left, &s.hulls[k], place
			h.demand, h.capacity = place.HeightM-clear, place.HeightM
		}
	}
	h.i, h.s, h.placeM = i, front, front-h.place.BehindM
	h.varDemand = w.variance(&h)
	h.varSupply = hangSpringsM * hangSpringsM
	h.p = chance(h.demand, h.capacity, h.se())
	h.pBest, h.outcome = h.p, judge(h.p)
	h.nearM = s.Profile.StepM
	if h.outcome == Fail && w.doubtful(&h) {
		h.outcome = Undecided
	}
	return h, true
}

// doubtful reports a place where the raster may show something else than the road.
func (w *hullWalk) doubtful(h *hanging) bool {
	if !w.s.Profile.BareGround(h.i) {
		return true
	}
	under := w.s.under(h.s)
	for _, q := range w.s.suspects {
		if q.At.Overlaps(under) {
			return true
		}
	}
	return false
}

// variance of the rise of the road above the line between the rests: the error
// that the heights share falls off with distance, that of a cell by itself does
// not, and samples hide a kink between them.
func (w *hullWalk) variance(h *hanging) (v float64) {
	p := w.s.Profile
	src := &p.Sources[p.Source[h.i]]
	t := h.hull.Chord(h.place)
	at, weight := []float64{h.place.BehindM}, []float64{1}
	for r, rest := range []*sweep.Rest{&h.hull.Front, &h.hull.Rear} {
		share := []float64{1 - t, t}[r]
		for k, o := range rest.OffsetM {
			at, weight = append(at, o), append(weight, -share*rest.Weight[k])
		}
	}
	for i := range at {
		v += hangNuggetM * hangNuggetM * weight[i] * weight[i]
		for j := range at {
			v += src.SEM * src.SEM * weight[i] * weight[j] * math.Exp(-math.Abs(at[i]-at[j])/max(src.CorrM, 1e-9))
		}
	}
	return max(v, 0) + square(hangSampleShare*max(src.CellM, p.StepM))
}

// hangFinding words one place.
func (s *Situation) hangFinding(at route.Stretch, h *hanging) Finding {
	unit := s.Train.Units[h.hull.Unit].Name
	se := h.se()
	f := Finding{At: clip(at, route.Stretch{ToM: s.Way.LengthM()}), WorstM: h.s, Demand: h.demand, Capacity: h.capacity, SE: se, P: h.p, PBest: h.p, Unit: Metre, Outcome: h.outcome,
		Q: []Quantity{
			{Name: "unit", Text: unit, Unit: Literal}, {Name: "at", Value: h.placeM, Unit: Chain},
			{Name: "clear", Value: h.capacity, SE: hangSpringsM, Unit: Metre}, {Name: "rise", Value: h.demand, SE: math.Sqrt(h.varDemand), Unit: Metre},
			{Name: "most", Value: max(h.capacity-oneSided*hangSpringsM, 0), Unit: Metre}, {Name: "span", Value: h.hull.SpanM(), Unit: Metre},
			{Name: "left", Value: h.capacity - h.demand, SE: se, Unit: Metre},
		}}
	f.Say = "the road rises {rise} into the {clear} under the {unit} at {at}"
	switch h.outcome {
	case Pass:
		f.Say = "the tightest for the {unit}, {clear} above the wheels' line, at {at}: {left} are left"
	case Fail:
		f.Say += ": it grounds"
		f.Do = "go round; or ramp the hump up before and behind it, or raise the suspension as far as its maker allows; guide on foot"
	default:
		f.Close = "stretch a line over the hump, from wheels to wheels {span} apart: passes where the road rises at most {most} above it"
		f.Do = "guide over it on foot"
	}
	return f
}

// hangStanding names what is left to look at on foot.
func (s *Situation) hangStanding(share float64) Finding {
	kink := sweep.LargestKink(s.hulls)
	f := standing(s, "grounding on humps is decided on {decided} of the length; the train clears a kink of up to {kink} anywhere, and {left} are left over a level crossing built to the usual rule",
		"", 1-share)
	if over := sweep.OverRailCrossing(s.hulls, ruleDropM); over > 0 {
		f.Q = append(f.Q, Quantity{Name: "left", Value: over, Unit: Metre})
	} else {
		f.Say = "grounding on humps is decided on {decided} of the length; the train clears a kink of up to {kink} anywhere, and grounds on a level crossing built to the usual rule"
	}
	f.Q = append(f.Q, Quantity{Name: "decided", Value: share, Unit: Share}, Quantity{Name: "kink", Value: kink, Unit: AtMost}, Quantity{Name: "cell", Value: profile.CrossCellM, Unit: Metre})
	f.Close = "look at level crossings, bridge ends and dam crests on foot with the ground clearance in hand; or give a ground raster with cells up to {cell}, the width of the way and --line-error"
	if spots := s.humpSpots(); len(spots) > 0 {
		f.Close = "look on foot, with the ground clearance in hand, at"
		for i, at := range spots[:min(len(spots), mostSpots)] {
			name := fmt.Sprintf("spot%d", i+1)
			f.Q = append(f.Q, Quantity{Name: name, Value: at, Unit: Chain})
			if i > 0 {
				f.Close += ","
			}
			f.Close += " {" + name + "}"
		}
		if n := len(spots) - mostSpots; n > 0 {
			f.Close += " and {more} more places"
			f.Q = append(f.Q, Quantity{Name: "more", Value: float64(n), Unit: Count})
		}
		f.Close += " (level crossings, bridge ends); or give a ground raster with cells up to {cell}, the width of the way and --line-error"
	}
	if len(s.hullLacks) > 0 {
		f.Say += "; not of every unit: {lacks} is missing"
		f.Q = append(f.Q, Quantity{Name: "lacks", Text: s.hullLacks[0], Unit: Literal})
	}
	return f
}

// humpSpots are the places known where roads have humps: level crossings, then
// the ends of bridges.
func (s *Situation) humpSpots() (out []float64) {
	s.eachOf(func(p structure.Placed) { out = append(out, (p.At.FromM+p.At.ToM)/2) }, structure.Crossing)
	s.eachOf(func(p structure.Placed) { out = append(out, p.At.FromM, p.At.ToM) }, structure.Bridge)
	return out
}
