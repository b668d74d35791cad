package check

import (
	"math"
	"slices"

	"drawbar/route"
	"drawbar/route/known"
	cone "drawbar/vehicle/ground"
)

// groundKey is the assumption that every figure of soft ground rests on.
const groundKey = "ground.vci"

// softOf are the surfaces whose strength a cone tells.
var softOf = []string{"earth", "grass", "sand", "mud"}

// softness says whether a leg lies on soil: surely, or as far as its tags tell
// maybe.
func (s *Setup) softness(t route.Tags) (sure, may bool) {
	set := s.drySurfaces(t)
	if t.Bridge != "" || t.Tunnel != "" {
		return false, false
	}
	sure = len(set) > 0
	for _, name := range set {
		soft := slices.Contains(softOf, name)
		may, sure = may || soft, sure && soft
	}
	return sure, may
}

// softGround says what soil the train needs where the way is not made. Forms and
// constants are from memory, so that no strength decides: too little asks, enough
// is still a caution. Without a strength it is one standing matter.
func softGround(s *Situation, k *Sink) {
	var open float64
	var first route.Stretch
	for _, l := range s.Way.LegsIn(s.Window) {
		if _, may := s.softness(l.Tags); !may {
			continue
		}
		at := clip(l.At, s.Window)
		if open == 0 {
			first = at
		}
		open += s.probed(k, at)
	}
	if open <= 0.5 {
		return
	}
	f := standing(s, "{length} unpaved, or nobody says ({share}), the first at {first}: no soil strength is known; by remembered forms one pass needs a rating cone index of {one} to {onehigh}, fifty {many} to {manyhigh}",
		"where the wheels will run push a cone (30 deg, 3.2 cm2) to 15 and 30 cm, five times every 100 m and wherever it looks wet; reading times remoulding index should be above {onehigh}. Without a cone: let the tractor alone roll 20 m and back; ruts deeper than a hand, or water in them, say no",
		open/s.Window.LengthM())
	need := cone.Of(s.Train)
	f.Q = append(f.Q, Quantity{Name: "length", Value: open, Unit: Metre}, Quantity{Name: "first", Value: first.FromM, Unit: Chain})
	if f.Rests, f.Unverified = []string{groundKey}, true; need.Lacks != "" {
		f.Say = "{length} unpaved, or nobody says ({share}), the first at {first}: no soil strength is known, and what the train needs is not either"
		f.Close = "give {field} in the transporter's file; let the tractor alone roll 20 m and back: ruts deeper than a hand, or water in them, say no"
		f.Q = append(f.Q, Quantity{Name: "field", Text: need.Lacks, Unit: Literal})
		k.Place(f)
		return
	}
	f.Q = append(f.Q, indexOf(need)...)
	f.Needs = known.Needs{{{Key: "rci", Pass: math.Ceil(need.One.High), Fail: nan}}, word("looked", "yes")}
	k.Place(f)
}

func indexOf(need cone.Train) []Quantity {
	return []Quantity{{Name: "one", Value: need.One.Low, Unit: Count}, {Name: "onehigh", Value: math.Ceil(need.One.High), Unit: Count},
		{Name: "many", Value: need.Fifty.Low, Unit: Count}, {Name: "manyhigh", Value: math.Ceil(need.Fifty.High), Unit: Count},
		{Name: "unit", Text: need.Unit, Unit: Literal}}
}

// probed places what answers say of the soil of a leg, and gives the length
// they leave open.
func (s *Situation) probed(k *Sink, at route.Stretch) (openM float64) {
	openM = at.LengthM()
	need := cone.Of(s.Train)
	for i := range s.Answers {
		p := &s.Answers[i]
		soil, ok := soilOf(p)
		if p.Check != "ground" || !ok || need.Lacks != "" || p.Expired(s.Today) || !p.On.Overlaps(at) {
			continue
		}
		part := clip(p.On, at)
		openM -= part.LengthM()
		f := Finding{At: part, WorstM: part.FromM, Demand: nan, Capacity: nan, P: nan, Unit: Count, Rests: []string{groundKey}, Unverified: true, By: p.Who(),
			Q: append(indexOf(need), Quantity{Name: "soil", Value: soil.Low, Unit: Count}, Quantity{Name: "soilhigh", Value: soil.High, Unit: Count}, Quantity{Name: "who", Text: p.Who(), Unit: Literal})}
		f.Say = "rating cone index {soil}"
		if soil.High > soil.Low {
			f.Say = "rating cone index {soil} to {soilhigh}"
		}
		f.Say += ", {who}; by remembered forms {unit} needs {one} to {onehigh} for one pass, {many} to {manyhigh} for fifty"
		u := Use{Answer: p.Answer, Check: "ground", At: part, Reach: known.Passes}
		switch {
		case soil.Low >= need.One.High:
			f.Outcome, f.Do = Caution, "one pass only, walking pace, out of old ruts, no stop; probe again after rain"
			if soil.Low >= need.Fifty.High {
				f.Do = "walking pace; probe again after rain"
			}
		default:
			u.Reach, u.Why = known.Open, "the soil may be too soft"
			f.Outcome = NotLooked
			f.Close = "lay mats or timber, wait for dry, or go round; a trial with the tractor alone: passes where the soil reads {onehigh}"
			f.Needs = known.Needs{{{Key: "rci", Pass: math.Ceil(need.One.High), Fail: nan}}}
		}
		k.Uses = append(k.Uses, u)
		k.Place(f)
	}
	return openM
}

// soilOf is the rating cone index that an answer gives: rci, or cone and ri
// (remoulding index), or cbr by a rough conversion.
func soilOf(p *known.Placed) (cone.Range, bool) {
	get := func(key string) (float64, bool) {
		for _, v := range p.Values {
			if (v.Key == key || v.Key == "" && key == "rci") && v.Number > 0 {
				return v.Number, true
			}
		}
		return nan, false
	}
	half := p.ErrorAbs
	if v, ok := get("rci"); ok {
		return cone.Range{Low: max(v-half, 0), High: v + half}, true
	}
	if reading, ok := get("cone"); ok {
		ri, given := get("ri")
		if !given {
			// Soil loses up to about half of it when worked. From memory.
			return cone.Range{Low: 0.5 * max(reading-half, 0), High: reading + half}, true
		}
		return cone.Range{Low: cone.RCI(max(reading-half, 0), ri), High: cone.RCI(reading+half, ri)}, true
	}
	if cbr, ok := get("cbr"); ok {
		low, high := cone.OfCBR(max(cbr-half, 0)), cone.OfCBR(cbr+half)
		return cone.Range{Low: low.Low, High: high.High}, true
	}
	return cone.Range{}, false
}
