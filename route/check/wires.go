package check

import (
	"math"

	"drawbar/route/known"
)

// Least clearance of a load under way from wires, metres. Source: OSHA 29 CFR
// 1926.1408 Table A, read: 10 ft up to 50 kV, 15 ft up to 200, 20 ft up to 350,
// 25 ft up to 500, 35 ft up to 750, 45 ft up to 1000. Loaded travel uses it.
const (
	footM      = 0.3048
	wireLowM   = 10 * footM
	wireHighM  = 15 * footM
	wireSuperM = 20 * footM
)

// wires is a matter of the whole way: no data tells of every line over it.
// Somebody drives it and notes the lowest.
func wires(s *Situation, k *Sink) {
	have, se := s.height()
	f := standing(s, "lines over the way are not known: with {have} the lowest wire must hang at {low} up to 50 kV, {high} up to 200 kV, {super} up to 350 kV",
		"drive the way, note every line, its voltage from its owner and its height with a measuring set that touches nothing; how near we may come says the owner", 1)
	f.Q = append(f.Q, Quantity{Name: "have", Value: have, SE: se, Unit: Metre}, Quantity{Name: "low", Value: have + safeSide*se + wireLowM, Unit: AtLeastM},
		Quantity{Name: "high", Value: have + safeSide*se + wireHighM, Unit: AtLeastM}, Quantity{Name: "super", Value: have + safeSide*se + wireSuperM, Unit: AtLeastM})
	if math.IsNaN(have) {
		f.Say = "lines over the way are not known, and our loaded height is not in the transporter's file"
		f.Close = "give {field}; and drive the way and note every line over it"
		f.Q = append(f.Q, Quantity{Name: "field", Text: s.Train.Lacks("overhead"), Unit: Literal})
		k.Place(f)
		return
	}
	lowest := known.Need{Key: "wire_m", Pass: have + safeSide*se + wireLowM, Fail: have, Sure: true}
	f.Needs = known.Needs{append(word("driven", "yes"), lowest), append(word("driven", "yes"), word("lines", "none")...), append(word("driven", "yes"), word("owner", "agreed")...)}
	k.Place(f)
}
