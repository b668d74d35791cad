package check

import (
	"math"

	"drawbar/route"
	"drawbar/vehicle/traction"
)

// MarchTerms say how a way is driven where time and fuel are asked for.
type MarchTerms struct {
	CapMS float64 // fastest, m/s
	Given bool    // by the user; else a default
}

// DefaultMarchMS is the fastest that a loaded train goes unless somebody says
// otherwise, m/s: 25 km/h. Choice.
const DefaultMarchMS = 25 / 3.6

// Assumed lists what time and fuel rest on.
func (m MarchTerms) Assumed() (out []route.Assumption) {
	standing := "choice"
	if m.Given {
		standing = "given"
	}
	out = append(out, route.Assumption{Key: "march.cap_ms", Value: m.CapMS, Unit: "m/s", Standing: standing,
		Source: "fastest; no bend, bridge, sign, traffic or halt slows the train further: the least time"})
	out = append(out, route.Assumption{Key: "march.ground", Value: 1, Unit: "1", Standing: "choice",
		Source: "design grip and rolling of the worst ground it may be"})
	for _, a := range traction.DefaultMarch().Assumed() {
		out = append(out, route.Assumption(a))
	}
	return out
}

// Trip is time and fuel over a part of a way, from rest to rest, as an estimate.
type Trip struct {
	LengthM, TimeS, FuelL float64
	// SlowestMS is the least speed that a climb leaves, and where; NaN for none.
	SlowestMS, SlowestAtM float64
	// Stall is "" for a train that arrives; else what it lacks, grip or effort, at
	// StallAtM, and the rest of the way is not counted.
	Stall    string
	StallAtM float64
	LevelM   float64 // of it without height, taken as level
	Helped   bool    // a helper drives part of it
	WinchedM float64 // of the way winched up, in neither length nor time
	// Why is set where there is no estimate, and says the reason.
	Why string
}

// March drives a part of the way, chainage of the foremost axle, from rest to
// rest. The grade of a step is the mean of those at its ends.
func (s *Situation) March(m MarchTerms, over route.Stretch) Trip {
	t := Trip{SlowestMS: nan, SlowestAtM: nan, StallAtM: nan}
	way := s.marchStations(m, over, &t)
	if len(way) < 2 {
		return t
	}
	marcher, err := s.marcher()
	if err != nil {
		t.Why = err.Error()
		return t
	}
	trip, err := marcher.Run(way, nil)
	if err != nil {
		t.Why = err.Error()
		return t
	}
	t.LengthM, t.TimeS, t.FuelL = trip.LengthM, trip.TimeS, trip.FuelL
	t.SlowestMS, t.SlowestAtM, t.Stall, t.StallAtM = trip.SlowestMS, trip.SlowestAtM, trip.Stall, trip.StallAtM
	return t
}

// marchStations are the profile's stations over a stretch, its ends among them.
// A step without height at one of its ends counts as level.
func (s *Situation) marchStations(m MarchTerms, over route.Stretch, t *Trip) (out []traction.Station) {
	c, grade := s.Profile.ChainageM, s.TrainGrade.Value
	for i := 0; i+1 < len(c); i++ {
		from, to := max(c[i], over.FromM), min(c[i+1], over.ToM)
		if !(to > from) {
			continue
		}
		g := (grade[i] + grade[i+1]) / 2
		if math.IsNaN(g) {
			g, t.LevelM = 0, t.LevelM+to-from
		}
		su := s.grounds[i].span[crawling].worst.surface
		out = append(out, traction.Station{AtM: from, CapMS: m.CapMS, Roll: su.Roll.Design.V, Mu: math.Max(su.Mu.Design.V, leastMu),
			GradeRatio: max(-traction.MaxGrade, min(traction.MaxGrade, g))})
	}
	if len(out) > 0 {
		end := out[len(out)-1]
		end.AtM, end.CapMS = min(c[len(c)-1], over.ToM), 0
		out = append(out, end)
	}
	return out
}

// leastMu stands for no grip at all, which a row of the user may say: the train
// stands still on it as it does on none.
const leastMu = 1e-6

// marcher is the train's, made once. Where the air thins it is made for the
// highest place of the way.
func (s *Situation) marcher() (*traction.Marcher, error) {
	if !s.breathes {
		return s.march()
	}
	o := traction.DefaultMarch()
	for _, z := range s.Profile.ZM {
		if !math.IsNaN(z) {
			o.EffortShare = min(o.EffortShare, traction.AltitudeFactor(z))
		}
	}
	return traction.NewMarcher(s.Train, o)
}
