package check

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// Values of brake heat that no file gives, all from memory: reference note on
// vehicle mechanics, sections 3.1 and 3.2.
const (
	airC       = 32.0 // 90 F
	startC     = 66.0 // 150 F
	drumKg     = 45.0
	drumHeat   = 460.0 // J/(kg K)
	drumCoolWK = 28.0
)

var heatKeys = []string{"descent.air_c", "descent.brake_start_c", "descent.drum_kg", "descent.drum_cool_w_k", "descent.drum_fade_c"}

// brakeHeat is what the service brakes take on a stretch at crawl.
type brakeHeat struct {
	known          bool    // the file has the data of every braked unit
	powerW         float64 // most at once
	coolC, hotC    float64 // at the end: known, one value; else the range of drums with and without cooling
	limitC, reachM float64 // the hottest unit's limit, and where on the stretch it gets there; NaN when it does not
	unit           string  // hottest
}

// body is a unit's brakes as one lump, with its share of the heat.
type body struct {
	traction.Lump
	share, limitC float64
	name          string
}

// bodies are the braked units; known when the file has the data of all. Heat is
// shared in the ratio of the static loads on braked axles.
func (s *Setup) bodies() (out []body, known bool) {
	load := make([]float64, len(s.Train.Units))
	axles := make([]int, len(s.Train.Units))
	sum := 0.0
	for _, a := range s.Train.Axles {
		if a.Braked {
			load[a.Unit] += a.Kg
			axles[a.Unit]++
			sum += a.Kg
		}
	}
	known = true
	for i := range s.Train.Units {
		if axles[i] == 0 {
			continue
		}
		u := &s.Train.Units[i]
		b := body{share: load[i] / sum, limitC: u.Brakes.LimitC, name: u.Name,
			Lump: traction.Lump{MassKg: u.Brakes.MassKg, HeatJKgK: u.Brakes.HeatJKgK, CoolWK: u.Brakes.CoolWK, AirC: airC}}
		if !u.Brakes.HeatKnown() {
			known = false
			drums := 2 * float64(axles[i])
			b.Lump = traction.Lump{MassKg: drums * drumKg, HeatJKgK: drumHeat, CoolWK: drums * drumCoolWK, AirC: airC}
		}
		out = append(out, b)
	}
	return out, known
}

// heatOver follows the brakes down a stretch at crawl: what engine and retarder
// do not hold on the worst ground goes into them, or all of it.
func (s *Situation) heatOver(at route.Stretch, all bool) brakeHeat {
	bodies, known := s.bodies()
	h := brakeHeat{known: known, coolC: startC, hotC: startC, limitC: nan, reachM: nan}
	v := traction.CrawlDownMS(s.Train)
	c := s.Profile.ChainageM
	warm, kept := make([]float64, len(bodies)), make([]float64, len(bodies))
	for i := range bodies {
		warm[i], kept[i] = startC, startC
	}
	for i := sort.SearchFloat64s(c, at.FromM); i < len(c) && c[i] <= at.ToM; i++ {
		power, ds := s.brakePower(i, v, all), s.spacing(i)
		h.powerW = max(h.powerW, power)
		for k, b := range bodies {
			warm[k] = b.After(warm[k], b.share*power, ds/v)
			b.CoolWK = 0
			kept[k] = b.After(kept[k], b.share*power, ds/v)
			if known && warm[k] > b.limitC && math.IsNaN(h.reachM) {
				h.reachM = max(c[i]-at.FromM, ds)
			}
		}
	}
	h.hottest(bodies, warm, kept)
	return h
}

// hottest picks the unit that comes nearest to its limit, without limits the
// hottest one.
func (h *brakeHeat) hottest(bodies []body, warm, kept []float64) {
	worst := math.Inf(-1)
	for k, b := range bodies {
		rank := warm[k]
		if h.known {
			rank = warm[k] / b.limitC
		}
		if rank > worst {
			worst = rank
			h.coolC, h.hotC, h.limitC, h.unit = warm[k], kept[k], b.limitC, b.name
		}
	}
	if h.known {
		h.hotC = h.coolC
	}
}

// brakePower is what the service brakes take at a station, W: the push on the
// worst ground less what engine and retarder surely hold there, or all of it.
func (s *Situation) brakePower(i int, speedMS float64, all bool) float64 {
	d := -s.TrainGrade.Value[i]
	if !(d > 0) {
		return 0
	}
	c := &s.grounds[i].span[retarding].worst.capacity[retarding]
	push := func(down float64) float64 { return traction.PushN(s.Train.GrossKg, down, c.roll) }
	held := push(c.passGrade())
	if all {
		held = 0
	}
	return max(push(d)-held, 0) * speedMS
}
