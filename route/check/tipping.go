package check

import (
	"errors"
	"math"
	"slices"

	"drawbar/route"
	"drawbar/vehicle"
	"drawbar/vehicle/stability"
)

// Values of the crossfall check.
const (
	// bendSpeedMS is 15 km/h, at which a loaded train is taken to round bends.
	// Choice.
	bendSpeedMS = 15 / 3.6
	// walkingMS is 5 km/h: slower is no measure one can ask for. Choice.
	walkingMS = 5 / 3.6
	// reserveDeg is what practice keeps between a slope and the angle at which a
	// train tips: 7 to 8 degrees, from memory, weak.
	reserveDeg = 7.0
	// sideSlopeDeg is the side slope that practice asks of a loaded low-bed at
	// most, levelled by its hydraulics; from memory, weak.
	sideSlopeDeg = 5.0
	// builtFall is steeper than roads are built across, rise over run: where a road
	// is mapped the raster then shows the hillside. Choice.
	builtFall = 0.12
	// narrowM is the carriageway taken where no width is tagged. Choice.
	narrowM = 3.0
	// loadAcrossSE is how far off the middle a load may stand against its file, one
	// standard error, metres. Choice.
	loadAcrossSE = 0.05
)

var acrossKeys = []string{"load.across_se_m", "load.up_se_m", "crossfall.bend_speed_ms"}

var practiceKeys = []string{"crossfall.reserve_deg", "crossfall.side_slope_deg"}

// tipPart is what tips as one, with the axles under which it leans.
type tipPart struct {
	name       string
	axleM      []float64 // behind the foremost axle
	share      []float64 // of the load on them
	middleM    float64   // where they stand on average
	limit      float64   // lean at which it tips, roll included
	rigid      float64   // the same without roll: nothing of it is from memory
	varLimit   float64   // from where the load stands and what it weighs
	varRigid   float64
	reserve    float64 // lean that leaves what practice keeps in hand
	straightly float64 // crossfall that is sure on a straight, measured without error
}

// coupled reports a part of several units: it never tips before the weakest of
// them, and is not looked at.
func coupled(p stability.Part) bool { return p.First != p.Last }

// sureLean is the lean that is sure when the crossfall is known with a variance.
func (p *tipPart) sureLean(variance float64) float64 {
	return min(p.limit-safeSide*math.Sqrt(p.varLimit+variance), p.reserve)
}

// prepareTipping computes the parts; a file that lacks a field has none, and why
// says which.
func (s *Setup) prepareTipping() {
	parts, err := stability.Parts(s.Train)
	if err != nil {
		s.noTips = err
		return
	}
	parts = slices.DeleteFunc(parts, coupled)
	roll := stability.DefaultRoll()
	for _, a := range append(roll.Assumed(), stability.Assumed(s.Train)...) {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	s.tipChoices()
	for _, p := range parts {
		s.tips = append(s.tips, tipOf(s.Train, p, roll))
	}
	others := append([]*vehicle.Combination{across(s.Train)}, s.moved...)
	if s.heavier != nil {
		others = append(others, s.heavier)
	}
	for _, c := range others {
		moved, err := stability.Parts(c)
		moved = slices.DeleteFunc(moved, coupled)
		for i := range moved {
			s.tips[i].varLimit += square(moved[i].Limit(roll) - parts[i].Limit(roll))
			s.tips[i].varRigid += square(moved[i].Rigid() - parts[i].Rigid())
		}
		s.noTips = errors.Join(s.noTips, err)
	}
	for i := range s.tips {
		s.tips[i].straightly = s.tips[i].sureLean(0)
	}
}

func (s *Setup) tipChoices() {
	if s.BendSpeedMS == 0 {
		s.BendSpeedMS = bendSpeedMS
		s.assume(acrossKeys[2], bendSpeedMS, "m/s", "speed in bends that tipping is judged at, a crawl", "choice")
	}
	s.assume(acrossKeys[0], loadAcrossSE, "m", "standard error of where a load stands across its deck", "choice")
	s.assume(practiceKeys[0], reserveDeg, "degrees", "practice keeps this between a slope and the angle of tipping", "memory")
	s.assume(practiceKeys[1], sideSlopeDeg, "degrees", "side slope that practice asks of a loaded low-bed at most", "memory")
	s.assume("crossfall.built", builtFall, "1", "steeper than roads are built across: on a mapped road it is the hillside's", "choice")
	s.assume("crossfall.narrow_m", narrowM, "m", "carriageway where no width is tagged", "choice")
}

func tipOf(c *vehicle.Combination, p stability.Part, roll stability.Roll) tipPart {
	l := tipPart{name: p.Name, limit: p.Limit(roll), rigid: p.Rigid()}
	l.reserve = math.Tan(math.Atan(l.limit) - reserveDeg*math.Pi/180)
	sum := 0.0
	for k := c.Units[p.First].First; k <= c.Units[p.Last].Last; k++ {
		l.axleM, l.share = append(l.axleM, c.Axles[k].AtM), append(l.share, c.Axles[k].Kg)
		sum += c.Axles[k].Kg
	}
	for k := range l.share {
		l.share[k] /= sum
		l.middleM += l.share[k] * l.axleM[k]
	}
	return l
}

// across is the train with its loads one standard error further off the middle.
func across(c *vehicle.Combination) *vehicle.Combination {
	m := *c
	m.Units = append([]vehicle.Unit(nil), c.Units...)
	for i := range m.Units {
		u := &m.Units[i]
		u.CGYM += math.Copysign(loadAcrossSE*u.LoadKg/u.MassKg, u.CGYM)
	}
	return &m
}

// Tipping is how far a train may lean before its weakest part tips: leans as
// crossfalls, rise over run.
type Tipping struct {
	Part       string
	Rigid      float64 // without roll on springs and tyres
	Limit      float64 // with it
	Sure       float64 // with 99 % confidence, and with the reserve that practice keeps
	Unverified bool    // rests on a value from memory
}

// Tipping gives it; false when the file lacks a field for it (Train.Lacks says
// which).
func (s *Setup) Tipping() (t Tipping, ok bool) {
	if s.noTips != nil {
		return t, false
	}
	for i, p := range s.tips {
		if i == 0 || p.straightly < t.Sure {
			t = Tipping{Part: p.name, Rigid: p.rigid, Limit: p.limit, Sure: p.straightly}
		}
	}
	t.Unverified = s.unverified(append(s.rests(stability.RollKeys...), s.rests(practiceKeys...)...))
	return t, true
}
