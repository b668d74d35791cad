package check

import (
	"drawbar/route"
	"drawbar/route/structure"
)

// bridge compares the train with what is known of each bridge: load class,
// posted mass, axle and pair of axles. A bridge without either class or mass is
// a question, never a pass.
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
	decided := false
	for _, c := range s.bridgeLimits(p.Feature) {
		switch c.l.State {
		case route.Unreadable:
			decided = true
			k.Place(Finding{At: p.At, WorstM: p.At.FromM, Demand: c.have, Capacity: nan, P: nan, Unit: c.unit, Outcome: NotLooked,
				Say:   "{name}: a limit cannot be read: \"{text}\"",
				Close: "read the sign: passes at {grossneed} gross, {axleneed} on an axle, class {classneed}",
				Q:     append(q[:len(q):len(q)], Quantity{Name: "text", Text: c.l.Raw, Unit: Literal})})
		case route.Known:
			decided = decided || c.enough
			k.Place(s.bridgeFinding(p, c, q))
		}
	}
	if !decided {
		k.Place(Finding{At: p.At, WorstM: p.At.FromM, Demand: s.Train.GrossKg, Capacity: nan, P: nan, Unit: Kg, Outcome: NotLooked,
			Say:   "{name}, {span} long, is not rated",
			Close: "ask its owner: passes if rated for {grossneed} gross, {axleneed} on an axle, {group} on {axles} axles over {spread} (class {classneed})",
			Q:     q})
	}
}

// bridgeNeeds are the quantities that sentences about a bridge name. Those
// called need carry the one-sided margin that makes them pass.
func (s *Situation) bridgeNeeds(p structure.Placed) []Quantity {
	gross, se := s.gross()
	axle, axleSE := s.heaviestAxle()
	pair, pairSE := s.heaviestPair()
	group, axles, spread := s.heaviestGroup()
	class, classSE := s.loadClass()
	return []Quantity{
		{Name: "name", Text: named(p.Feature.Name), Unit: Literal},
		{Name: "span", Value: p.At.LengthM(), Unit: Metre},
		{Name: "gross", Value: gross, SE: se, Unit: Kg},
		{Name: "grossneed", Value: gross + oneSided*se, Unit: AtLeastKg},
		{Name: "axle", Value: axle, SE: axleSE, Unit: Kg},
		{Name: "axleneed", Value: axle + oneSided*axleSE, Unit: AtLeastKg},
		{Name: "pair", Value: pair, SE: pairSE, Unit: Kg},
		{Name: "group", Value: group, Unit: AtLeastKg},
		{Name: "axles", Value: float64(axles), Unit: Count},
		{Name: "spread", Value: spread, Unit: Metre},
		{Name: "class", Value: class, Unit: Class},
		{Name: "classneed", Value: class + oneSided*classSE, Unit: Class},
	}
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
		{rated, class, classSE, Class, "{name}: load class {limit}, ours {class}", true, alone},
		{f.MaxMassKg, gross, se, Kg, "{name}: posted mass {limit}, ours {gross}", true, false},
		{f.MaxAxleKg, axle, axleSE, Kg, "{name}: posted axle load {limit}, ours {axle}", false, false},
		{f.MaxBogieKg, pair, pairSE, Kg, "{name}: posted load on a pair of axles {limit}, ours {pair}", false, false},
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
		f.Do = "do not cross loaded; go round, or have the bridge rated by an engineer for {grossneed}"
	case c.alone:
		f.Outcome = Caution
		f.Say = c.say + ", by its one-way class"
		f.Do = "cross alone, everybody else off the bridge, at walking pace along its middle"
	}
	return f
}

func named(name string) string {
	if name == "" {
		return "unnamed"
	}
	return name
}
