package check

import (
	"drawbar/route"
	"drawbar/route/structure"
	"drawbar/vehicle/loadeffect"
)

// bridge compares the train with what is known of each bridge, best knowledge
// first: an engineer's rating, the owner's clearance for this train, the load
// class, posted mass, axle and pair of axles. A bridge without any that settles it
// is a question, never a pass, and a ratio of effects alone settles nothing.
func bridge(s *Situation, k *Sink) {
	for _, p := range s.Structures {
		if p.Feature.Kind == structure.Bridge && p.At.Overlaps(s.reach()) {
			oneBridge(s, k, p)
		}
	}
}

// bridgeLimit is one figure of a bridge and what the train has of it.
type bridgeLimit struct {
	l        route.Limit
	have, se float64
	unit     Unit
	say      string
	enough   bool // alone enough to pass
	alone    bool // holds only with the train alone on the bridge
}

func oneBridge(s *Situation, k *Sink, p structure.Placed) {
	q := s.bridgeNeeds(p)
	decided, exceeded := s.rated(k, p, q), false
	limits := s.bridgeLimits(p.Feature)
	if p.Feature.ClearedMassKg.State == route.Known {
		limits = limits[:1] // granted for this train: stands before postings and class
	}
	for _, c := range limits {
		switch c.l.State {
		case route.Unreadable:
			decided = true
			k.Place(Finding{At: p.At, WorstM: p.At.FromM, Demand: c.have, Capacity: nan, P: nan, Unit: c.unit, Outcome: NotLooked,
				Say:   "{name}: a limit cannot be read: \"{text}\"",
				Close: "read the sign: passes at {grossneed} gross, {axleneed} on an axle, class {classneed}",
				Q:     append(q[:len(q):len(q)], Quantity{Name: "text", Text: c.l.Raw, Unit: Literal})})
		case route.Known:
			f := s.bridgeFinding(p, c, q)
			decided, exceeded = decided || c.enough, exceeded || f.Outcome == Fail
			k.Place(f)
		}
	}
	if !decided {
		k.Place(s.triage(p, q, exceeded))
	}
}

// rated compares with an engineer's figures for the largest span; it settles the
// bridge when moment, shear and span are all known.
func (s *Situation) rated(k *Sink, p structure.Placed, q []Quantity) bool {
	f := p.Feature
	if f.SpanM.State != route.Known || isNoBeam(f.Form) {
		return false
	}
	both := f.RatedMomentNm.State == route.Known && f.RatedShearN.State == route.Known
	e := s.effects().at(f.SpanM.Value)
	for _, c := range []bridgeLimit{
		{f.RatedMomentNm, e.MomentNm, e.MomentNm * s.relEffect(), Moment, "{name}: rated moment {limit} on {span}, ours {moment}", both, false},
		{f.RatedShearN, e.ShearN, e.ShearN * s.relEffect(), Newton, "{name}: rated shear {limit} on {span}, ours {shear}", both, false},
	} {
		if c.l.State == route.Known {
			k.Place(s.bridgeFinding(p, c, q))
		}
	}
	return both
}

// bridgeNeeds are the quantities that sentences and enquiries about a bridge
// name. Those called need carry the one-sided margin that makes them pass. span is
// the likely one: as the source has it, else length by number of spans, else the
// whole length.
func (s *Situation) bridgeNeeds(p structure.Placed) []Quantity {
	gross, se := s.gross()
	axle, axleSE := s.heaviestAxle()
	pair, pairSE := s.heaviestPair()
	group, axles, spread := s.heaviestGroup()
	class, classSE := s.loadClass()
	span := likelySpan(p)
	e, rel := s.effects().at(span), s.relEffect()
	return []Quantity{
		{Name: "name", Text: named(p.Feature.Name), Unit: Literal},
		{Name: "long", Value: bridgeLength(p), Unit: Metre},
		{Name: "span", Value: span, Unit: Metre},
		{Name: "mass", Value: gross, SE: se, Unit: Kg},
		{Name: "grossneed", Value: gross + oneSided*se, Unit: AtLeastKg},
		{Name: "axle", Value: axle, SE: axleSE, Unit: Kg},
		{Name: "axleneed", Value: axle + oneSided*axleSE, Unit: AtLeastKg},
		{Name: "bogie", Value: pair, SE: pairSE, Unit: Kg},
		{Name: "bogieneed", Value: pair + oneSided*pairSE, Unit: AtLeastKg},
		{Name: "group", Value: group, Unit: AtLeastKg},
		{Name: "axles", Value: float64(axles), Unit: Count},
		{Name: "spread", Value: spread, Unit: Metre},
		{Name: "class", Value: class, Unit: Class},
		{Name: "classneed", Value: class + oneSided*classSE, Unit: Class},
		{Name: "moment", Value: e.MomentNm, SE: e.MomentNm * rel, Unit: Moment},
		{Name: "momentneed", Value: e.MomentNm * (1 + oneSided*rel), Unit: Moment},
		{Name: "shear", Value: e.ShearN, SE: e.ShearN * rel, Unit: Newton},
		{Name: "shearneed", Value: e.ShearN * (1 + oneSided*rel), Unit: Newton},
	}
}

func bridgeLength(p structure.Placed) float64 {
	if l := p.Feature.LengthM; l.State == route.Known {
		return l.Value
	}
	return p.At.LengthM()
}

func likelySpan(p structure.Placed) float64 {
	switch f := p.Feature; {
	case f.SpanM.State == route.Known && f.SpanM.Value > 0:
		return f.SpanM.Value
	case f.Spans > 1:
		return bridgeLength(p) / float64(f.Spans)
	}
	return bridgeLength(p)
}

func (s *Situation) bridgeLimits(f *structure.Feature) []bridgeLimit {
	gross, se := s.gross()
	axle, axleSE := s.heaviestAxle()
	pair, pairSE := s.heaviestPair()
	class, classSE := s.loadClass()
	rated, alone := f.ClassWheeled, false
	if f.ClassWheeledOne.State == route.Known && chance(class, rated.Value, classSE) < PassAt {
		rated, alone = f.ClassWheeledOne, true
	}
	return []bridgeLimit{
		{f.ClearedMassKg, gross, se, Kg, "{name}: cleared by its owner for {limit}, ours {mass}", true, false},
		{rated, class, classSE, Class, "{name}: load class {limit}, ours {class}", true, alone},
		{f.MaxMassKg, gross, se, Kg, "{name}: posted mass {limit}, ours {mass}", true, false},
		{f.MaxAxleKg, axle, axleSE, Kg, "{name}: posted axle load {limit}, ours {axle}", false, false},
		{f.MaxBogieKg, pair, pairSE, Kg, "{name}: posted load on a pair of axles {limit}, ours {bogie}", false, false},
	}
}

func (s *Situation) bridgeFinding(p structure.Placed, c bridgeLimit, q []Quantity) Finding {
	f := Finding{At: p.At, WorstM: p.At.FromM, Demand: c.have, Capacity: c.l.Value, SE: c.se, Unit: c.unit,
		P: chance(c.have, c.l.Value, c.se), Say: c.say, Rests: s.massRests(),
		Q: append(q[:len(q):len(q)], Quantity{Name: "limit", Value: c.l.Value, Unit: c.unit})}
	switch f.Outcome = judge(f.P); {
	case f.Outcome == Undecided:
		f.Close = "weigh the loaded train, or ask the owner: passes if rated for {grossneed} gross (class {classneed})"
	case f.Outcome == Fail:
		ways, more := s.otherWays(c)
		f.Do = "do not cross loaded; go round, or have the bridge rated by an engineer for {grossneed}" + ways
		f.Q = append(f.Q, more...)
	case c.alone:
		f.Outcome = Caution
		f.Say = c.say + ", by its one-way class"
		f.Do = "cross alone, everybody else off the bridge, at walking pace along its middle, without braking or stopping"
	}
	return f
}

// otherWays are what lightens the train on a bridge, where each part then passes
// the limit of class or mass: the helper over first, the machine on its own. A
// tractor and its loaded semi-trailer are never parted.
func (s *Setup) otherWays(c bridgeLimit) (say string, q []Quantity) {
	gross, _ := s.gross()
	if c.unit != Class && (c.unit != Kg || c.have < gross) {
		return "", nil // of an axle, a pair or an effect
	}
	word := ""
	if c.unit == Class {
		word = "class "
	}
	of := func(kg float64, tracked bool) float64 {
		if c.unit == Class {
			return loadeffect.Expedient(kg, tracked)
		}
		return kg
	}
	fits := func(v float64) bool { return v*(1+oneSided*s.relMass()) <= c.l.Value }
	if first := s.towed(); first > 0 {
		own := 0.0
		for _, u := range s.Train.Units[first:] {
			own += u.MassKg
		}
		if helper, train := of(gross-own, false), of(own, false); fits(helper) && fits(train) {
			say += "; or cast the helper off and let it cross first: the train alone is " + word + "{alone}"
			q = append(q, Quantity{Name: "alone", Value: train, Unit: c.unit})
		}
	}
	load := 0.0
	for _, u := range s.Train.Units {
		load = max(load, u.LoadKg)
	}
	if machine, empty := of(load, true), of(gross-load, false); load > 0 && fits(machine) && fits(empty) {
		say += "; or off-load the machine to cross on its own: it is " + word + "{machine} if tracked, the rest of the train " + word + "{empty}"
		q = append(q, Quantity{Name: "machine", Value: machine, Unit: c.unit}, Quantity{Name: "empty", Value: empty, Unit: c.unit})
	}
	return say, q
}

func named(name string) string {
	if name == "" {
		return "unnamed"
	}
	return name
}
