package check

import (
	"math"

	"drawbar/route"
	"drawbar/route/structure"
)

// footM is the international foot.
const footM = 0.3048

// approach are the least distances that a load keeps from a live line, up to a
// voltage. Source: United States 29 CFR 1926.1408, table A (read). They are a
// caution: how near we may come says the owner of the line.
var approach = []struct{ upToV, keepM float64 }{
	{50e3, 10 * footM}, {200e3, 15 * footM}, {350e3, 20 * footM}, {500e3, 25 * footM}, {750e3, 35 * footM}, {1000e3, 45 * footM},
}

// keepFrom is that distance for a voltage, NaN above the table or not known.
func keepFrom(volts float64) float64 {
	for _, a := range approach {
		if volts > 0 && volts <= a.upToV {
			return a.keepM
		}
	}
	return nan
}

// wire asks about lines over the way that a source shows. Those that no source
// shows are a matter of the check wires.
func wire(s *Situation, k *Sink) {
	s.eachOf(func(p structure.Placed) {
		have, se := s.height()
		keep := keepFrom(p.Feature.VoltageV)
		limit := p.Feature.MaxHeightM
		f := about(p, Quantity{Name: "have", Value: have, SE: se, Unit: Metre}, Quantity{Name: "keep", Value: keep, Unit: Metre},
			Quantity{Name: "kilovolts", Value: p.Feature.VoltageV / 1000, Unit: Count},
			Quantity{Name: "need", Value: have + safeSide*se + keep, Unit: AtLeastM}, Quantity{Name: "limit", Value: limit.Value, Unit: Metre})
		f.Say = "a line over the way by {source}; its height and voltage are not known"
		f.Close = "ask its owner for its least height here and how near the load may come"
		switch {
		case math.IsNaN(have):
			f.Close = "ask its owner for its least height here and how near the load may come, and give load.top_height_m in the transporter's file"
		case limit.State == route.Known && !math.IsNaN(keep):
			f.Demand, f.Capacity, f.SE, f.Unit = have+keep, limit.Value, se, Metre
			f.P = chance(f.Demand, limit.Value, se)
			f.Say = "a line of {kilovolts} kV over the way by {source}: {limit} up, ours {have}, to keep away {keep}"
			f.Do = "keep the load {keep} away from it, with a watcher; or have the line made dead or lifted by its owner"
			if f.Outcome = judgeAt(f.P, safePassAt); f.Outcome == Pass {
				f.Outcome = Caution
			}
		case !math.IsNaN(keep):
			f.Say = "a line of {kilovolts} kV over the way by {source}; its height is not known"
			f.Close = "ask its owner for its least height here: passes with {need}, which leaves {keep} to the load; never measure it with a pole"
		}
		k.Place(f)
	}, structure.Wire)
}
