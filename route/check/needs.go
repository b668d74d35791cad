package check

import (
	"math"
	"strings"

	"drawbar/route/known"
)

// keyOf are the keys of an answer by what a posted limit is of.
var keyOf = map[string]string{
	"mass": "mass_kg", "plated mass": "mass_kg", "axle load": "axle_kg", "axle pair load": "pair_kg",
	"load class": "class", "height": "height_m", "width": "width_m", "length": "length_m",
}

// word is a need that somebody's word meets.
func word(key, want string) []known.Need { return []known.Need{{Key: key, Want: want, Fail: nan}} }

// atLeast is a need of the train, with its standard error on the safe side.
func atLeast(key string, have, se, safe float64) known.Need {
	return known.Need{Key: key, Pass: have + safe*se, Fail: have - oneSided*se, Sure: safe == safeSide}
}

// needsOf is what closes a finding when somebody answers it; nil where only the
// transporter's file can.
func (s *Situation) needsOf(f *Finding) known.Needs {
	if f.Needs != nil {
		return f.Needs
	}
	if field, ok := f.quantity("field"); ok && field.Text != "" && strings.Contains(f.Close, "{field}") && !strings.Contains(f.Close, "{wide}") {
		return nil
	}
	if f.Standing {
		return known.Needs{word("looked", "yes")}
	}
	switch f.Check {
	case "bridge":
		return s.bridgeNeedsOf()
	case "overhead":
		return heightNeeds(f)
	case "posting":
		return postingNeeds(f)
	case "ford":
		return s.fordNeeds()
	case "bend":
		return bendNeeds(f)
	case "access":
		if strings.HasPrefix(f.Close, "look") || strings.HasPrefix(f.Close, "walk") {
			return known.Needs{word("looked", "yes")}
		}
		return known.Needs{word("granted", "yes")}
	case "rating":
		return known.Needs{word("accepted", "yes")}
	}
	if n := gradeNeeds(f); n != nil {
		return n
	}
	return known.Needs{word("looked", "yes")}
}

func (f *Finding) quantity(name string) (Quantity, bool) {
	for _, q := range f.Q {
		if q.Name == name {
			return q, true
		}
	}
	return Quantity{}, false
}

// bridgeNeedsOf: a class, or a clearance of mass and axle load together.
func (s *Situation) bridgeNeedsOf() known.Needs {
	class, classSE := s.loadClass()
	gross, se := s.gross()
	axle, axleSE := s.heaviestAxle()
	return known.Needs{
		{atLeast("class", class, classSE, oneSided)},
		{atLeast("mass_kg", gross, se, oneSided), atLeast("axle_kg", axle, axleSE, oneSided)},
	}
}

func heightNeeds(f *Finding) known.Needs {
	if math.IsNaN(f.Demand) {
		return nil
	}
	return known.Needs{{atLeast("height_m", f.Demand, f.SE, safeSide)}}
}

func postingNeeds(f *Finding) known.Needs {
	what, ok := f.quantity("what")
	if !ok {
		if f.Unit == Metre { // a posted height
			return heightNeeds(f)
		}
		return known.Needs{word("looked", "yes")}
	}
	if math.IsNaN(f.Demand) || keyOf[what.Text] == "" {
		return nil
	}
	return known.Needs{{atLeast(keyOf[what.Text], f.Demand, f.SE, oneSided)}}
}

func (s *Situation) fordNeeds() known.Needs {
	wades, _, lacks := s.wading()
	if lacks != "" || math.IsNaN(wades) {
		return nil
	}
	return known.Needs{{{Key: "depth_m", Pass: wades, Fail: wades, AtMost: true}, {Key: "bed", Want: "firm", Fail: nan}}}
}

func bendNeeds(f *Finding) known.Needs {
	looked := known.Needs{word("looked", "yes")}
	if !strings.Contains(f.Close, "{wide}") { // it cuts over the inside or folds: no width means anything
		return looked
	}
	wide, ok := f.quantity("wide")
	if !ok || math.IsInf(wide.Value, 1) {
		return looked
	}
	// What the radius may ask for at the least fails; between is asked again.
	n := known.Need{Key: "width_m", Pass: wide.Value, Fail: min(f.Demand, 2*f.Demand-wide.Value)}
	return append(known.Needs{{n}}, looked...)
}

// gradeNeeds are those of a finding that names the grade, or crossfall, up to
// which it surely passes.
func gradeNeeds(f *Finding) known.Needs {
	key := "grade_pct"
	if f.Check == "crossfall" {
		key = "crossfall_pct"
	}
	for _, name := range []string{"needed", "limit", "sure", "grip"} {
		q, ok := f.quantity(name)
		if !ok || q.Unit != AtMost {
			continue
		}
		n := known.Need{Key: key, Pass: 100 * q.Value, Fail: nan, AtMost: true}
		if fail := 100 * (f.Capacity + oneSided*f.SE); fail > n.Pass {
			n.Fail = fail
		}
		var needs known.Needs
		if n.Pass > 0 { // else no road it could be passes
			needs = known.Needs{{n}}
		}
		if most, ok := f.quantity("most"); ok { // the surface decides
			firm, _ := f.quantity("firm")
			firmer := known.Need{Key: key, Pass: 100 * most.Value, Fail: nan, AtMost: true}
			needs = append(needs, []known.Need{{Key: "surface", Want: barely(firm.Text), Fail: nan}, firmer})
		}
		return needs
	}
	return nil
}

// barely is the name of a surface without its weather.
func barely(label string) string {
	words := strings.Fields(label)
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}

// Load is the size of the train, its masses on the safe side.
func (s *Setup) Load() known.Load {
	gross, se := s.gross()
	axle, axleSE := s.heaviestAxle()
	return known.Load{GrossKg: gross + oneSided*se, AxleKg: axle + oneSided*axleSE, WidthM: s.Train.WidthM, LengthM: s.Train.LengthM, HeightM: s.Train.HeightM}
}

// Sizes are figures of the train that those who rate a bridge ask for.
type Sizes struct{ AxleKg, PairKg, Class float64 }

// Sizes gives them: the heaviest axle, the heaviest pair of axles that share a
// posted limit, the load class by the expedient rule.
func (s *Setup) Sizes() Sizes {
	axle, _ := s.heaviestAxle()
	pair, _ := s.heaviestPair()
	class, _ := s.loadClass()
	return Sizes{axle, pair, class}
}
