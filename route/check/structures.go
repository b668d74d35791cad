package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/structure"
)

// bridge compares the train with what is known of each bridge, best knowledge
// first: load class, posted mass, axle and group. A bridge without either class
// or mass is a question, never a pass.
func bridge(s *Situation, k *Sink) {
	for _, p := range s.Structures {
		if p.Feature.Kind == structure.Bridge && p.At.Overlaps(s.Window) {
			oneBridge(s, k, p)
		}
	}
}

func oneBridge(s *Situation, k *Sink, p structure.Placed) {
	f := p.Feature
	gross, se := s.gross()
	axle, _ := s.heaviestAxle()
	pair, _ := s.heaviestPair()
	group, axles, spread := s.heaviestGroup()
	class := s.loadClass()
	q := []Quantity{
		{Name: "name", Text: named(f.Name), Unit: Literal},
		{Name: "span", Value: p.At.LengthM(), Unit: Metre},
		{Name: "gross", Value: gross, SE: se, Unit: Kg},
		{Name: "axle", Value: axle, Unit: Kg},
		{Name: "pair", Value: pair, Unit: Kg},
		{Name: "group", Value: group, Unit: Kg},
		{Name: "axles", Value: float64(axles), Unit: Count},
		{Name: "spread", Value: spread, Unit: Metre},
		{Name: "class", Value: class, Unit: Class},
	}
	decided := false
	type limit struct {
		l      route.Limit
		have   float64
		se     float64
		unit   Unit
		say    string
		decide bool // enough alone to pass
	}
	rated := f.ClassWheeled
	if f.ClassWheeledOne.State == route.Known {
		rated = f.ClassWheeledOne // one-way: the bridge is kept clear for us
	}
	for _, c := range []limit{
		{rated, class, class * se / gross, Class, "{name}: load class {limit}, ours {class}", true},
		{f.MaxMassKg, gross, se, Kg, "{name}: posted mass {limit}, ours {gross}", true},
		{f.MaxAxleKg, axle, axle * se / gross, Kg, "{name}: posted axle load {limit}, ours {axle}", false},
		{f.MaxBogieKg, pair, pair * se / gross, Kg, "{name}: posted axle pair load {limit}, ours {pair}", false},
	} {
		if c.l.State == route.Unreadable {
			k.Place(Finding{At: p.At, WorstM: p.At.FromM, Demand: c.have, Capacity: nan, P: nan, Unit: c.unit, Outcome: NotLooked,
				Say:   "{name}: a limit cannot be read: \"{text}\"",
				Close: "read the sign: passes at {gross} gross, {axle} on an axle, class {class}",
				Q:     append(q, Quantity{Name: "text", Text: c.l.Raw, Unit: Literal})})
			decided = true
			continue
		}
		if c.l.State != route.Known {
			continue
		}
		decided = decided || c.decide
		fd := Finding{At: p.At, WorstM: p.At.FromM, Demand: c.have, Capacity: c.l.Value, SE: c.se, Unit: c.unit,
			P: chance(c.have, c.l.Value, c.se), Say: c.say,
			Close: "weigh the loaded train: passes at up to {limit}",
			Do:    "do not cross loaded; go round, or have the bridge rated by an engineer for {gross}",
			Rests: s.massRests(),
			Q:     append(q[:len(q):len(q)], Quantity{Name: "limit", Value: c.l.Value, Unit: c.unit})}
		if fd.Outcome = judge(fd.P); fd.Outcome == Pass {
			k.Step("limit of bridge "+named(f.Name), c.l.Value, c.unit, "route tags")
			continue
		}
		k.Place(fd)
	}
	if !decided {
		k.Place(Finding{At: p.At, WorstM: p.At.FromM, Demand: gross, Capacity: nan, P: nan, Unit: Kg, Outcome: NotLooked,
			Say:   "{name}, {span} long, is not rated",
			Close: "ask its owner: passes if rated for {gross} gross, {axle} on an axle, {group} on {axles} axles over {spread} (class {class})",
			Q:     q})
	}
}

func named(name string) string {
	if name == "" {
		return "unnamed"
	}
	return name
}

// overhead compares the loaded height with what is known of each tunnel.
func overhead(s *Situation, k *Sink) {
	have, se := s.height()
	margin := s.HeightMarginM
	for _, p := range s.Structures {
		if p.Feature.Kind != structure.Tunnel || !p.At.Overlaps(s.Window) {
			continue
		}
		limit := p.Feature.MaxHeightM
		f := Finding{At: p.At, WorstM: p.At.FromM, Demand: have + margin, Capacity: limit.Value, SE: se, Unit: Metre,
			Rests: s.rests("overhead.margin_m"),
			Q: []Quantity{
				{Name: "name", Text: named(p.Feature.Name), Unit: Literal},
				{Name: "length", Value: p.At.LengthM(), Unit: Metre},
				{Name: "have", Value: have, SE: se, Unit: Metre},
				{Name: "need", Value: have + margin, Unit: Metre},
				{Name: "limit", Value: limit.Value, Unit: Metre},
				{Name: "text", Text: limit.Raw, Unit: Literal},
				{Name: "field", Text: s.Train.Lacks("overhead"), Unit: Literal},
			}}
		f.Unverified = s.unverified(f.Rests)
		switch {
		case math.IsNaN(have):
			f.Outcome, f.P = NotLooked, nan
			f.Say, f.Close = "{name}: our loaded height is not in the transporter's file", "give {field}: height of the load above the road"
		case limit.State == route.Known:
			f.P = chance(f.Demand, limit.Value, se)
			f.Outcome = judgeAt(f.P, safePassAt)
			f.Say = "{name}: clear height {limit}, ours {have} and a margin, {need} in all"
			f.Close, f.Do = "measure the clear height over the lane we use: passes at {need}", "go round, or lower the load"
		default:
			f.Outcome, f.P, f.Capacity = NotLooked, nan, nan
			f.Say = "{name}, {length} long, has no figure for its clear height"
			f.Close = "measure or ask: passes with {need} clear over the lane we use"
		}
		if f.Outcome != Pass {
			k.Place(f)
		}
	}
}

// safePassAt is the bound for what cannot be undone. Choice.
const safePassAt = 0.99

// judgeAt is judge with a stricter bound for a pass.
func judgeAt(p, passAt float64) Outcome {
	if o := judge(p); o != Pass || p >= passAt {
		return o
	}
	return Undecided
}

// ford reports every ford: depth and bed are known only on the spot.
func ford(s *Situation, k *Sink) {
	for _, p := range s.Structures {
		if p.Feature.Kind != structure.Ford || !p.At.Overlaps(s.Window) {
			continue
		}
		f := Finding{At: p.At, WorstM: p.At.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Metre, Outcome: NotLooked,
			Say:   "{name}: depth and bed are not known",
			Close: "probe it on foot: depth against the wading depth of every unit, firm bed, exit grade when wet",
			Q:     []Quantity{{Name: "name", Text: named(p.Feature.Name), Unit: Literal}}}
		if d := p.Feature.DepthM; d.State == route.Known {
			f.Say = "{name}: depth {depth} by its tag; wading depths are not in the transporter's file"
			f.Q = append(f.Q, Quantity{Name: "depth", Value: d.Value, Unit: Metre})
		}
		k.Place(f)
	}
}

// looked reports where nobody looked for structures.
func looked(s *Situation, k *Sink) {
	total := 0.0
	for _, b := range s.Looked.Bare {
		if b.Overlaps(s.Window) {
			total += clip(b, s.Window).LengthM()
		}
	}
	for _, b := range s.Looked.Bare {
		if !b.Overlaps(s.Window) {
			continue
		}
		k.Place(Finding{At: clip(b, s.Window), WorstM: b.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked,
			Say:   "not looked for on {length} ({share} of the way): a bare line hides its bridges and tunnels",
			Close: "give the way with its tags (highway, bridge, tunnel, ford), or drive it and note every structure",
			Q: []Quantity{
				{Name: "length", Value: clip(b, s.Window).LengthM(), Unit: Metre},
				{Name: "share", Value: total / s.Window.LengthM(), Unit: Share},
			}})
	}
}
