package check

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/route/bend"
	"drawbar/vehicle/sweep"
)

// Choices of the bend check, metres.
const (
	// plainRadiusM: wider bends need no steering that a lorry has not got.
	plainRadiusM = 25.0
	// laneM is the width of an ordinary lane, laneMarginM what is kept free of it
	// on either side.
	laneM       = 3.5
	laneMarginM = 0.1
	usableLaneM = laneM - 2*laneMarginM
	// mostRows is how many bends of a route that nobody has a width for are
	// rows; the rest colour their places and are a count.
	mostRows = 10
	// shuntM: so much short, a three-point movement may do.
	shuntM = 2.0
)

// bendCheck holds what the train asks for in every bend against the width of the
// way. Only a known width can make a bend fail; without one the bend is ranked.
func bendCheck(s *Situation, k *Sink) {
	if s.noSweep != nil {
		f := standing(s, "swept width in bends is not computed: {why}", "give the missing field in the transporter's file", 1)
		f.Q = append(f.Q, Quantity{Name: "why", Text: lackOf(s.noSweep), Unit: Literal})
		k.Place(f)
		return
	}
	var asked, wide []*place
	places := s.bendPlaces()
	for i := range places {
		p := &places[i]
		if !p.at.Overlaps(s.reach()) {
			continue
		}
		switch {
		case p.widthM.State == route.Known && p.Kind != bend.Corner:
			k.Place(s.knownBend(p))
		case p.beyondClass() || (p.widthM.State == route.Unreadable && p.mid.needM > laneM):
			asked = append(asked, p)
		case p.mid.needM > usableLaneM:
			wide = append(wide, p)
		}
	}
	s.placeAsked(k, asked)
	s.placeWide(k, wide)
}

// lackOf words why a path or a hull cannot be computed.
func lackOf(err error) string {
	var lack *sweep.LackError
	if errors.As(err, &lack) {
		return lack.Field + " is missing"
	}
	return err.Error()
}

// beyondClass reports a bend that asks for more than its class of road has
// even at the widest radius that it may have; a corner at a junction for more
// than both ways together leave.
func (p *place) beyondClass() bool { return p.least.leastM() > p.room() }

// placeAsked hands over the bends that are wider than their road can be
// expected to be: the worst as rows, all in order of chainage.
func (s *Situation) placeAsked(k *Sink, asked []*place) {
	worst := slices.Clone(asked)
	slices.SortStableFunc(worst, func(a, b *place) int { return -compare(a.excess(), b.excess()) })
	rest := map[*place]bool{}
	for i, p := range worst {
		rest[p] = i >= mostRows
	}
	for _, p := range asked {
		f := s.askedBend(p)
		f.Minor = rest[p]
		k.Place(f)
	}
	if n := len(asked) - mostRows; n > 0 {
		f := standing(s, "{count} more bends ask for more than their class of road is wide; the {rows} worst are listed", "measure the width at them, the worst first", 1)
		f.Q = append(f.Q, Quantity{Name: "count", Value: float64(n), Unit: Count}, Quantity{Name: "rows", Value: mostRows, Unit: Count})
		k.Place(f)
	}
}

// excess is what a bend asks for beyond what is there.
func (p *place) excess() float64 { return p.least.leastM() - p.room() }

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// placeWide says once which bends take more than a lane, the worst by name,
// and how long the way is on which others must be kept out.
func (s *Situation) placeWide(k *Sink, wide []*place) {
	if len(wide) == 0 {
		return
	}
	length, inner := 0.0, 0
	for _, p := range wide {
		length += clip(p.at, s.reach()).LengthM()
		if p.inSide == s.across() {
			inner++
		}
	}
	worst := slices.Clone(wide)
	slices.SortStableFunc(worst, func(a, b *place) int { return -compare(a.mid.asked(), b.mid.asked()) })
	say := "{count} bends take more than an ordinary lane ({lane}), on {length} of the way; the widest:"
	if len(wide) == 1 {
		say = "one bend takes more than an ordinary lane ({lane}):"
	}
	f := standing(s, "", "drive the way and measure the width at the widest of them", 1)
	f.Do = "close the road to other traffic there; in {traffic}-hand traffic {inner} of them cut into the other lane from the inside"
	f.Q = append(f.Q, Quantity{Name: "count", Value: float64(len(wide)), Unit: Count}, Quantity{Name: "lane", Value: usableLaneM, Unit: Metre},
		Quantity{Name: "length", Value: length, Unit: Metre}, Quantity{Name: "inner", Value: float64(inner), Unit: Count},
		Quantity{Name: "traffic", Text: s.Traffic, Unit: Literal})
	for i, p := range worst[:min(len(worst), mostRows)] {
		at, need := fmt.Sprintf("at%d", i+1), fmt.Sprintf("need%d", i+1)
		if i > 0 {
			say += ","
		}
		say += " {" + need + "} at {" + at + "}"
		f.Q = append(f.Q, Quantity{Name: at, Value: p.ApexM, Unit: Chain}, Quantity{Name: need, Value: p.mid.asked(), Unit: Metre})
	}
	f.Say = say
	k.Place(f)
}

// across is the side to which a bend turns that cuts into the other lane.
func (s *Situation) across() string {
	if s.Traffic == "left" {
		return "right"
	}
	return "left"
}

// finding begins the finding of one bend: what it asks for and on which side.
func (s *Situation) bendFinding(p *place, on *path) Finding {
	need := on.asked()
	if math.IsInf(on.needM, 1) {
		need = mostSweptM
	}
	in, out := p.sides(on)
	f := Finding{At: p.at, WorstM: min(max(on.atM, p.at.FromM), p.at.ToM), Unit: Metre, Demand: on.asked(), Capacity: nan, P: nan,
		Close: "look at the bend on foot: passes where a train of this length is known to have got round",
		Q: []Quantity{
			{Name: "need", Value: need, Unit: Metre},
			{Name: "wide", Value: p.most.asked(), Unit: AtLeastM},
			{Name: "width", Value: p.room(), Unit: Metre},
			{Name: "side", Text: p.inSide, Unit: Literal},
			{Name: "turn", Value: math.Abs(p.TurnRad) * 180 / math.Pi, Unit: Degree},
			{Name: "in", Value: in, Unit: Metre},
			{Name: "swing", Value: out, Unit: Metre},
			{Name: "lack", Value: max(need-p.room(), 0), Unit: Metre},
		}}
	switch {
	case on.folds || on.over() || math.IsInf(on.needM, 1):
		f.Do = "go round; or widen the bend, or steer the trailer by hand if it can be; guide on foot"
	case f.Demand <= p.room():
		f.Do = "swing out by {swing} before the bend; guide on foot"
	case need-p.room() < shuntM:
		f.Do = "swing out by {swing} and widen the inside by {lack}, or shunt in a three-point movement; guide on foot"
	default:
		f.Do = "go round; or widen the inside by {lack}, or steer the trailer by hand if it can be; guide on foot"
	}
	return f
}

// sides is how far the train cuts in beyond its own half width with the
// steering axle on the line, and how far to swing out against it.
func (p *place) sides(on *path) (cutM, swingM float64) {
	in, out := on.leftM, on.rightM
	if p.inSide == "right" {
		in, out = out, in
	}
	swingM = max((in-out)/2, 0)
	if on.best != nil {
		swingM = max(on.best.EntryM, 0)
	}
	return max(in-out, 0), swingM
}

// knownBend compares with the width of the way: it passes where the most that
// the radius may ask for fits, and fails where the least does not. What cuts
// over the inside has no width that could pass.
func (s *Situation) knownBend(p *place) Finding {
	width := p.widthM.Value
	f := s.bendFinding(p, &p.mid)
	f.Capacity = width
	f.Say = "{side} bend of {turn}: cuts in {in} at the inside and needs {need}, the way is {width} wide"
	spread := (p.most.needM - p.least.needM) / (2 * oneSided)
	switch {
	case p.most.needM <= width && !p.most.over():
		f.Outcome, f.SE = Pass, spread
	case p.least.leastM() > width:
		f.Outcome, f.SE = Fail, 0
		if !math.IsInf(spread, 1) && p.least.needM < mostSweptM {
			f.SE = spread
		}
	default:
		f.Outcome = Undecided
		f.Close = "measure width and radius at the bend: passes with {wide}"
		if p.most.over() || math.IsInf(p.most.needM, 1) {
			f.Close = "measure the radius of the bend (chord and middle ordinate): at the tightest that the line allows no width will do"
		}
		f.SE = nan
		if !math.IsInf(spread, 1) {
			f.SE = spread
		}
	}
	f.P = p.chance(width, f.Outcome)
	switch {
	case f.Outcome != Fail && (math.IsInf(p.mid.needM, 1) || p.mid.folds || p.mid.over()):
		f.Outcome, f.P = NotLooked, nan
		f.Say = "{side} bend of {turn}: by the line as drawn the train cuts over the inside or folds up; the way is {width} wide"
	case f.Outcome == Fail && p.mid.folds:
		f.Say = "{side} bend of {turn}: the train folds up before it is through"
	case p.mid.over():
		f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; the way is {width} wide"
	case f.Outcome == Pass && p.most.locked:
		f.Outcome, f.P = NotLooked, nan
		f.Say = "{side} bend of {turn}: may be tighter than the tractor steers"
		f.Close = "look at the bend: passes where the tractor gets round without shunting"
		f.Do = "shunt in a three-point movement where it does not; guide on foot"
	case f.Outcome == Pass && p.most.lockless && p.lowM < plainRadiusM:
		f.Outcome, f.P = NotLooked, nan
		f.Say = "{side} bend of {turn}: how far the tractor steers is not in its file"
		f.Close = "give {field} in the transporter's file"
		f.Q = append(f.Q, Quantity{Name: "field", Text: lockField, Unit: Literal})
	}
	return f
}

// chance is the chance that a width holds: between the three demands, whose
// chances to be enough are 5 %, 50 % and 95 %, kept on the side of the outcome.
func (p *place) chance(width float64, o Outcome) float64 {
	c := 0.5
	switch {
	case width >= p.mid.needM && p.most.needM > p.mid.needM && !math.IsInf(p.most.needM, 1):
		c = 0.5 + 0.45*(width-p.mid.needM)/(p.most.needM-p.mid.needM)
	case width < p.mid.needM && p.least.needM < p.mid.needM && !math.IsInf(p.mid.needM, 1):
		c = 0.05 + 0.45*(width-p.least.needM)/(p.mid.needM-p.least.needM)
	}
	switch o {
	case Pass:
		return min(max(c, PassAt), 1)
	case Fail:
		return max(min(c, FailAt), 0)
	}
	return min(max(c, FailAt+1e-3), PassAt-1e-3)
}

// askedBend words a bend that asks for more width than its class of road has,
// where none is known.
func (s *Situation) askedBend(p *place) Finding {
	on := &p.least
	f := s.bendFinding(p, on)
	f.Outcome = NotLooked
	switch {
	case on.folds:
		f.Say = "{side} bend of {turn}: by the line as drawn the train folds up; no width is tagged"
	case on.over() || math.IsInf(on.needM, 1):
		f.Say = "{side} bend of {turn}: the train cuts over the inside, more than {need} wide; no width is tagged"
	case p.Kind == bend.Corner:
		f.Say = "{side} turn of {turn} at a junction: needs {need}, more than the two ways leave"
		f.Close = "look at the corner and measure its kerb radius: passes with {wide} of room"
	default:
		f.Say = "{side} bend of {turn}: cuts in {in} at the inside and needs {need}, more than this class of road is wide; no width is tagged"
		f.Close = "measure the width at the bend: passes with {wide}"
		switch {
		case on.locked:
			f.Say += "; it is drawn tighter than the tractor steers"
			f.Close = "measure the width at the bend, and see how tight it is: passes with {wide} where the tractor gets round without shunting"
		case on.lockless:
			f.Close = "measure the width at the bend, and give {field} in the transporter's file: passes with {wide} if it steers that far"
			f.Q = append(f.Q, Quantity{Name: "field", Text: lockField, Unit: Literal})
		}
	}
	return f
}

// lockField is the field that says how far the foremost unit steers.
const lockField = "units[0].turn_outer_radius_m"

// widthIn is the least tagged width on a stretch, absent when any part of it
// has none; class is the widest carriageway to expect there.
func (s *Situation) widthIn(at route.Stretch) (width route.Limit, class float64) {
	for i, l := range s.Way.LegsIn(at) {
		w, ok := widestOf[l.Tags.Highway]
		if !ok {
			w = widestElse
		}
		if i == 0 {
			width, class = l.Tags.WidthM, w
			continue
		}
		class = min(class, w)
		switch {
		case l.Tags.WidthM.State == route.Unreadable || width.State == route.Unreadable:
			width = route.Limit{State: route.Unreadable}
		case l.Tags.WidthM.State != route.Known || width.State != route.Known:
			width = route.Limit{}
		case l.Tags.WidthM.Value < width.Value:
			width = l.Tags.WidthM
		}
	}
	return width, class
}
