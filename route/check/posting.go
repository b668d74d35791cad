package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/structure"
)

// posted is one kind of posted limit and what the train has of it.
type posted struct {
	what   string
	unit   Unit
	field  string // what the transporter's file must give
	limit  func(route.Tags) route.Limit
	demand func(*Setup) (value, se float64)
	with   structure.Kind // judged with structures of this kind, "" for none
}

// postings are the limits a way carries that hold anywhere on it. On a
// structure that judges one of them itself it is left to the structure; the
// others hold there as on the road.
var postings = []posted{
	{"mass", Kg, "", func(t route.Tags) route.Limit { return t.MaxMassKg }, (*Setup).gross, structure.Bridge},
	{"plated mass", Kg, "", func(t route.Tags) route.Limit { return t.MaxRatedMassKg }, (*Setup).gross, ""},
	{"axle load", Kg, "", func(t route.Tags) route.Limit { return t.MaxAxleKg }, (*Setup).heaviestAxle, structure.Bridge},
	{"axle pair load", Kg, "", func(t route.Tags) route.Limit { return t.MaxBogieKg }, (*Setup).heaviestPair, structure.Bridge},
	{"load class", Class, "", func(t route.Tags) route.Limit { return t.ClassWheeled }, (*Setup).loadClass, structure.Bridge},
	{"height", Metre, "load.top_height_m", func(t route.Tags) route.Limit { return t.MaxHeightM }, (*Setup).height, structure.Tunnel},
	{"width", Metre, "width_m", func(t route.Tags) route.Limit { return t.MaxWidthM }, (*Setup).width, ""},
	{"length", Metre, "front_overhang_m", func(t route.Tags) route.Limit { return t.MaxLengthM }, (*Setup).length, ""},
}

// elsewhere reports whether a structure judges the limit of a leg.
func (p *posted) elsewhere(t route.Tags) bool {
	return (p.with == structure.Bridge && t.Bridge != "") || (p.with == structure.Tunnel && structure.Under(t) != "")
}

// posting compares the train with the limits that the route's own tags carry.
func posting(s *Situation, k *Sink) {
	for _, p := range postings {
		var at route.Stretch
		var limit route.Limit
		flush := func() {
			if limit.State != route.Absent {
				p.judge(s, k, at, limit)
			}
		}
		for _, l := range s.Way.LegsIn(s.reach()) {
			v := p.limit(l.Tags)
			if p.elsewhere(l.Tags) {
				v = route.Limit{}
			}
			if v == limit && l.At.FromM == at.ToM {
				at.ToM = l.At.ToM
				continue
			}
			flush()
			at, limit = l.At, v
		}
		flush()
	}
	unposted(s, k)
}

// judge compares one posted limit with the train.
func (p posted) judge(s *Situation, k *Sink, at route.Stretch, limit route.Limit) {
	if p.what == "height" && limit.State != route.None {
		k.Place(s.heightFinding(clip(at, s.reach()), limit, "on the road"))
		return
	}
	have, se := p.demand(s.Setup)
	f := Finding{At: clip(at, s.reach()), WorstM: max(at.FromM, s.reach().FromM), Demand: have, Capacity: limit.Value, SE: se, Unit: p.unit,
		Q: []Quantity{
			{Name: "what", Text: p.what, Unit: Literal},
			{Name: "have", Value: have, SE: se, Unit: p.unit},
			{Name: "need", Value: have + oneSided*se, Unit: p.atLeast()},
			{Name: "limit", Value: limit.Value, Unit: p.unit},
			{Name: "text", Text: limit.Raw, Unit: Literal},
			{Name: "field", Text: p.field, Unit: Literal},
		}}
	switch {
	case limit.State == route.None:
		return // no posted limit; ordinary legal limits are the permit's matter
	case limit.State == route.Unreadable:
		f.Outcome, f.P, f.Capacity = NotLooked, nan, nan
		f.Say = "a posted limit of {what} cannot be read: \"{text}\""
		f.Close = "read the sign: passes where it allows at least {need}"
	case math.IsNaN(have):
		f.Outcome, f.P = NotLooked, nan
		f.Say = "posted limit of {what} {limit}, and the transporter's file does not say ours"
		f.Close = "give {field} in the transporter's file: passes at up to {limit}"
	default:
		f.P = chance(have, limit.Value, se)
		f.Outcome = judge(f.P)
		f.Say = "posted limit of {what} {limit}, ours {have}"
		f.Close = "weigh or measure, or ask for a permit: passes where {need} is allowed"
		f.Do = "go round, or get a permit for this limit in writing"
		if p.unit != Metre {
			f.Rests = s.massRests()
		}
	}
	k.Place(f)
}

// atLeast is the unit that prints on the safe side.
func (p *posted) atLeast() Unit {
	switch p.unit {
	case Kg:
		return AtLeastKg
	case Class:
		return Class // rounded up when printed
	}
	return AtLeastM
}

// unposted says on which share of the way no limit of mass is tagged.
func unposted(s *Situation, k *Sink) {
	none := 0.0
	for _, l := range s.Way.LegsIn(s.Window) {
		if l.Tags.MaxMassKg.State == route.Absent {
			none += clip(l.At, s.Window).LengthM()
		}
	}
	share := none / s.Window.LengthM()
	if share > 0 {
		k.Place(standing(s, "no mass limit is tagged on {share} of the length", "ask the road's owner for posted and seasonal limits", share))
	}
}

// standing is a line that holds for the route as a whole.
func standing(s *Situation, say, closing string, share float64) Finding {
	return Finding{At: s.Window, WorstM: s.Window.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked, Standing: true,
		Say: say, Close: closing, Q: []Quantity{{Name: "share", Value: share, Unit: Share}}}
}
