package check

import (
	"math"
	"sort"
	"sync"

	"drawbar/route/structure"
	"drawbar/vehicle"
	"drawbar/vehicle/loadeffect"
)

// Ranks of bridges that nobody rated: how hard the question is, never an answer.
const (
	rankLight    = 1 + iota // under lightRatio on spans up to shortSpanM
	rankModerate            // under lightRatio on longer ones
	rankHeavy               // lightRatio to heavyRatio, or no beam
	rankSevere              // over heavyRatio
	rankPosted              // posted below us besides
)

// Bounds of the triage, ratio to a legal lorry and span, metres. Choice.
const (
	lightRatio = 1.5
	heavyRatio = 2.0
	shortSpanM = 6.0
	lorryName  = "legal lorry"
)

// noBeam are forms that a moment on a simple span says nothing of.
var noBeam = map[structure.Form]string{structure.FormArch: "an arch", structure.FormCulvert: "a culvert", structure.FormTimber: "of timber"}

func isNoBeam(f structure.Form) bool { return noBeam[f] != "" }

// triage is the question about a bridge that nothing settles. Both trains of its
// ratio are static loads of one lane.
func (s *Situation) triage(p structure.Placed, q []Quantity, posted bool) Finding {
	f := Finding{At: p.At, WorstM: p.At.FromM, Demand: s.Train.GrossKg, Capacity: nan, P: nan, Unit: Kg, Outcome: NotLooked}
	if form := noBeam[p.Feature.Form]; form != "" {
		f.Rank = rankHeavy
		f.Say = "{name}, {form}, {long} long, is not rated, and comparing moments says nothing of it"
		f.Close = "ask its owner: passes if rated for {grossneed} gross, {axleneed} on an axle, {bogieneed} on a pair (class {classneed})"
		f.Q = append(q[:len(q):len(q)], Quantity{Name: "form", Text: form, Unit: Literal})
	} else {
		ratio := s.effects().ratioUpTo(likelySpan(p))
		f.Rank = rankOf(ratio, likelySpan(p))
		f.Say = "{name}, {long} long, is not rated; up to {ratio} times a legal lorry"
		f.Close = "ask its owner: passes if class {classneed}, posted or cleared for {grossneed}, or rated for {momentneed} and {shearneed} on a span of {span}; " +
			"ours has {axleneed} on an axle, {group} on {axles} axles over {spread}"
		f.Q = append(q[:len(q):len(q)], Quantity{Name: "ratio", Value: ratio, Unit: Ratio})
		f.Rests = []string{lorryKey}
		f.Order = ratio
	}
	if posted {
		f.Rank = rankPosted
	}
	return f
}

func rankOf(ratio, spanM float64) int {
	switch {
	case ratio > heavyRatio:
		return rankSevere
	case ratio >= lightRatio:
		return rankHeavy
	case spanM > shortSpanM:
		return rankModerate
	}
	return rankLight
}

const lorryKey = "bridge.legal_lorry_kg"

// effects are what a train does to simple spans, and the largest ratio to a legal
// lorry on spans up to each of a row.
type effects struct {
	train loadeffect.Train
	ratio []float64
	known map[float64]loadeffect.Effect
	mu    sync.Mutex
}

// tried are the spans of the ratio, metres.
var tried = func() (out []float64) {
	for l := 1.0; l < 100; l *= 1.12 {
		out = append(out, l)
	}
	return append(out, 100)
}()

func newEffects(c *vehicle.Combination) *effects {
	e := &effects{train: loadeffect.Of(c), known: map[float64]loadeffect.Effect{}}
	most := 0.0
	for _, l := range tried {
		most = max(most, e.ratioAt(l))
		e.ratio = append(e.ratio, most)
	}
	return e
}

// at is the effect on a span, kept for the next bridge of the same.
func (e *effects) at(spanM float64) loadeffect.Effect {
	e.mu.Lock()
	defer e.mu.Unlock()
	v, ok := e.known[spanM]
	if !ok {
		v = loadeffect.Simple(e.train, spanM)
		if len(e.known) < 4096 {
			e.known[spanM] = v
		}
	}
	return v
}

func (e *effects) ratioAt(spanM float64) float64 {
	lorry, _ := loadeffect.ReferenceNamed(lorryName)
	ours, theirs := loadeffect.Simple(e.train, spanM), lorry.Simple(spanM)
	return math.Max(ours.MomentNm/theirs.MomentNm, ours.ShearN/theirs.ShearN)
}

// ratioUpTo is the largest ratio on spans up to one.
func (e *effects) ratioUpTo(spanM float64) float64 {
	i := sort.Search(len(tried), func(i int) bool { return tried[i] > spanM })
	if i == 0 {
		return e.ratio[0]
	}
	return max(e.ratio[i-1], e.ratioAt(min(spanM, tried[len(tried)-1])))
}

// relEffect is the standard error of a moment or shear as a share of it: that of
// the axle which is least known.
func (s *Setup) relEffect() (rel float64) {
	for i := range s.Train.Axles {
		rel = max(rel, s.relAxle(i))
	}
	return rel
}

// towed is the first unit of the train behind a helper, 0 without one. A bar
// before a trailer is part of a train made to run as one.
func (s *Setup) towed() int {
	for i, u := range s.Train.Units {
		if i > 0 && u.ByBar && u.Kind != vehicle.FullTrailer {
			return i
		}
	}
	return 0
}

// loadClass is the expedient class of a wheeled train, two vehicles by the rule for
// coupled ones. Not rounded; the report rounds up.
func (s *Setup) loadClass() (class, se float64) {
	se = loadeffect.Expedient(s.Train.GrossSEKg, false)
	first := s.towed()
	if first == 0 {
		return loadeffect.Expedient(s.Train.GrossKg, false), se
	}
	ahead := 0.0
	for _, u := range s.Train.Units[:first] {
		ahead += u.MassKg
	}
	return loadeffect.Coupled(loadeffect.Expedient(ahead, false), loadeffect.Expedient(s.Train.GrossKg-ahead, false)), se
}
