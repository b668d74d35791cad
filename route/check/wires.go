package check

import (
	"math"

	"drawbar/route/known"
)

// wires is a matter of the whole way: no data tells of every line over it.
// Somebody drives it and notes the lowest.
func wires(s *Situation, k *Sink) {
	have, se := s.height()
	lowM, highM, superM := keepFrom(50e3), keepFrom(200e3), keepFrom(350e3)
	f := standing(s, "lines over the way are not known: with {have} the lowest wire must hang at {low} up to 50 kV, {high} up to 200 kV, {super} up to 350 kV",
		"drive the way, note every line, its voltage from its owner and its height with a measuring set that touches nothing; how near we may come says the owner", 1)
	f.Q = append(f.Q, Quantity{Name: "have", Value: have, SE: se, Unit: Metre}, Quantity{Name: "low", Value: have + safeSide*se + lowM, Unit: AtLeastM},
		Quantity{Name: "high", Value: have + safeSide*se + highM, Unit: AtLeastM}, Quantity{Name: "super", Value: have + safeSide*se + superM, Unit: AtLeastM})
	if s.Looked.Ways != "" {
		f.Say = "lines over the way that the file of ways does not show are not known: with {have} the lowest wire must hang at {low} up to 50 kV, {high} up to 200 kV, {super} up to 350 kV"
	}
	if math.IsNaN(have) {
		f.Say = "lines over the way are not known, and our loaded height is not in the transporter's file"
		f.Close = "give {field}; and drive the way and note every line over it"
		f.Q = append(f.Q, Quantity{Name: "field", Text: s.Train.Lacks("overhead"), Unit: Literal})
		k.Place(f)
		return
	}
	lowest := known.Need{Key: "wire_m", Pass: have + safeSide*se + lowM, Fail: have, Sure: true}
	f.Needs = known.Needs{append(word("driven", "yes"), lowest), append(word("driven", "yes"), word("lines", "none")...), append(word("driven", "yes"), word("owner", "agreed")...)}
	k.Place(f)
}
