package check

import (
	"cmp"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/route/structure"
)

// suspicion words a shape of the height that is rather something else.
type suspicion struct{ say, closing string }

const giveTags = "look at the place; give the way with its bridge or tunnel tagged, or its grade as it is driven"

var suspicions = map[profile.Shape]suspicion{
	profile.Dip:     {"the height shows a dip of {off} within {length}: a bridge or culvert nobody tagged?", giveTags},
	profile.Hump:    {"the height shows a hump of {off} within {length}: a tunnel or cutting nobody tagged?", giveTags},
	profile.Jump:    {"the height shows a jump of {off} within {length}: a deck, a wall, a tree, or a fault of the raster?", giveTags},
	profile.Ramp:    {"the height rises or falls by {off} within {length}: a kerb, a bank, a ditch, or a fault of the raster?", giveTags},
	profile.Contest: {"two sources of heights differ by up to {off} over {length}, beyond both their errors: which is right?", "look which of them is the road's and leave the other out; or level it and give the grade"},
	profile.Rough:   {"heights scatter by {off}, several times the error stated for them, over {length}: are they the road's?", "give a better raster, or its true error with --dem-le90; or the grades as they are driven"},
	profile.Flat:    {"the height stands at {off} over {length}: filled in where the file has no data?", "look whether the place lies at that height and is that level; or give a raster that declares its missing cells"},
}

// suspect reports the places whose height rather shows an untagged structure,
// or a fault of the raster; tagged inclines that the heights contradict; and
// structures too long to be taken as straight.
func suspect(s *Situation, k *Sink) {
	for _, p := range s.suspects {
		if !p.At.Overlaps(s.Window) {
			continue
		}
		w := suspicions[p.Shape]
		k.Place(Finding{At: clip(p.At, s.Window), WorstM: (p.At.FromM + p.At.ToM) / 2, Demand: nan, Capacity: nan, P: nan, Unit: Grade, Outcome: NotLooked,
			Say: w.say, Close: w.closing,
			Q: []Quantity{{Name: "off", Value: p.OffM, Unit: Metre},
				{Name: "length", Value: p.At.LengthM(), Unit: Metre}}})
	}
	for _, r := range s.Profile.Contradicted {
		s.contradicted(k, r)
	}
	for i, p := range s.Structures {
		if first, whole := s.wholeOf(i); first {
			p.At = whole
			s.longCarried(k, p)
		}
	}
}

// contradicted asks about a tagged incline that was left out, where the train
// would not surely climb it.
func (s *Situation) contradicted(k *Sink, r profile.Reading) {
	if !r.At.Overlaps(s.Window) {
		return
	}
	c := &s.weakestIn(r.At).capacity[crawling]
	if judge(chance(r.GradeRatio, c.grade, math.Sqrt(square(r.SE)+c.variance(r.GradeRatio).sum()))) == Pass {
		return
	}
	k.Place(Finding{At: clip(r.At, s.Window), WorstM: (r.At.FromM + r.At.ToM) / 2, Demand: r.GradeRatio, Capacity: c.grade, P: nan, Unit: Grade, Outcome: NotLooked,
		Say:   "tagged with an incline of {tag} that the heights contradict; climbs {limit}",
		Close: "measure the grade there: passes at up to {needed}",
		Q: []Quantity{{Name: "tag", Value: r.GradeRatio, Unit: Grade}, {Name: "limit", Value: c.grade, Unit: Grade},
			{Name: "needed", Value: c.passGrade(), Unit: AtMost}}})
}

// weakestIn is the ground on a stretch that the train climbs least.
func (s *Situation) weakestIn(at route.Stretch) *option {
	var least *option
	for _, l := range s.Way.LegsIn(at) {
		if o := s.groundOf(l.Tags).span[crawling].worst; least == nil || o.capacity[crawling].passGrade() < least.capacity[crawling].passGrade() {
			least = o
		}
	}
	return least
}

// Structures longer than these are not taken as straight from end to end
// without a word of somebody who knows, metres. Choices: long tunnels have a
// crest inside to drain, long viaducts follow the road's profile.
const (
	longTunnelM = 1000.0
	longBridgeM = 500.0
)

// wholeOf is the structure from end to end of which one is a piece, and whether
// it is the first piece of it.
func (s *Situation) wholeOf(i int) (first bool, at route.Stretch) {
	first, at = true, s.Structures[i].At
	for grown := true; grown; {
		grown = false
		for _, p := range s.Structures {
			switch {
			case p.Feature.Kind != s.Structures[i].Feature.Kind:
			case p.At.ToM == at.FromM:
				return false, at
			case p.At.FromM == at.ToM:
				at.ToM, grown = p.At.ToM, true
			}
		}
	}
	return first, at
}

// longCarried asks for the grade inside a long structure unless a reading, or
// an incline tag that counted, tells it.
func (s *Situation) longCarried(k *Sink, p structure.Placed) {
	most := map[structure.Kind]float64{structure.Tunnel: longTunnelM, structure.Bridge: longBridgeM}[p.Feature.Kind]
	if most == 0 || p.At.LengthM() <= most || !p.At.Overlaps(s.Window) || s.told(p.At) >= p.At.LengthM()/2 {
		return
	}
	k.Place(Finding{At: clip(p.At, s.Window), WorstM: (p.At.FromM + p.At.ToM) / 2, Demand: nan, Capacity: nan, P: nan, Unit: Grade, Outcome: NotLooked,
		Say:   "{name}, {length} long, is carried straight from end to end: the grade inside is not known",
		Close: "ask its owner for its steepest grade: passes at up to {needed}; give that as a known grade",
		Q: []Quantity{{Name: "name", Text: named(p.Feature.Name), Unit: Literal}, {Name: "length", Value: p.At.LengthM(), Unit: Metre},
			{Name: "needed", Value: s.weakestIn(p.At).capacity[crawling].passGrade(), Unit: AtMost}}})
}

// told is the length of a stretch whose grade measured readings, or incline tags
// that the heights bear out, give.
func (s *Situation) told(at route.Stretch) (lengthM float64) {
	var known []route.Stretch
	for _, r := range s.Profile.Readings {
		known = append(known, r.At)
	}
	for _, l := range s.Way.LegsIn(at) {
		if l.Tags.InclineRatio.State == route.Known && !s.isContradicted(l.At) {
			known = append(known, l.At)
		}
	}
	slices.SortFunc(known, func(a, b route.Stretch) int { return cmp.Compare(a.FromM, b.FromM) })
	reached := at.FromM
	for _, k := range known {
		k = clip(k, at)
		if from := max(k.FromM, reached); k.ToM > from {
			lengthM += k.ToM - from
			reached = k.ToM
		}
	}
	return lengthM
}

func (s *Situation) isContradicted(at route.Stretch) bool {
	return slices.ContainsFunc(s.Profile.Contradicted, func(r profile.Reading) bool { return r.At.Overlaps(at) })
}
