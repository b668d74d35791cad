package check

import (
	"math"
	"sort"

	"drawbar/route"
	"drawbar/vehicle"
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
		Source: "fastest; going down as fast as engine and retarder hold; no bend, bridge, sign, traffic or halt slows the train further: the least time"})
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
	// Clock is when the foremost axle passes, in order; empty where there is no
	// estimate.
	Clock []Passing
}

// Passing is when a place is passed.
type Passing struct{ AtM, TimeS float64 }

// WhereAt is the chainage at a time since the start, false beyond the end.
func (t *Trip) WhereAt(timeS float64) (atM float64, ok bool) {
	i := sort.Search(len(t.Clock), func(i int) bool { return t.Clock[i].TimeS >= timeS })
	if i == 0 || i == len(t.Clock) {
		return 0, false
	}
	a, b := t.Clock[i-1], t.Clock[i]
	return a.AtM + (b.AtM-a.AtM)*(timeS-a.TimeS)/(b.TimeS-a.TimeS), true
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
	states := make([]traction.State, len(way))
	trip, err := marcher.Run(way, states)
	if err != nil {
		t.Why = err.Error()
		return t
	}
	for i, st := range states[:trip.Reached] {
		t.Clock = append(t.Clock, Passing{way[i].AtM, st.TimeS})
	}
	t.LengthM, t.TimeS, t.FuelL = trip.LengthM, trip.TimeS, trip.FuelL
	t.SlowestMS, t.SlowestAtM, t.Stall, t.StallAtM = trip.SlowestMS, trip.SlowestAtM, trip.Stall, trip.StallAtM
	return t
}

// marchStations are the profile's stations over a stretch, its ends among them.
// A step without height at one of its ends counts as level.
func (s *Situation) marchStations(m MarchTerms, over route.Stretch, t *Trip) (out []traction.Station) {
	c, grade, caps := s.Profile.ChainageM, s.TrainGrade.Value, downCaps{}
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
		out = append(out, traction.Station{AtM: from, CapMS: min(m.CapMS, caps.of(s.Train, g, su)), Roll: su.Roll.Design.V, Mu: math.Max(su.Mu.Design.V, leastMu),
			GradeRatio: max(-traction.MaxGrade, min(traction.MaxGrade, g))})
	}
	if len(out) > 0 {
		end := out[len(out)-1]
		end.AtM, end.CapMS = min(c[len(c)-1], over.ToM), 0
		out = append(out, end)
	}
	return out
}

// downCaps are speeds going down by surface and grade in half percents.
type downCaps map[downCap]float64

type downCap struct {
	surface string
	steps   int
}

// of is the fastest that engine and retarder hold on a grade, to the next half
// percent steeper; crawl where they do not. +Inf where it does not fall.
func (d downCaps) of(c *vehicle.Combination, grade float64, su traction.Surface) float64 {
	key := downCap{su.Name, int(math.Ceil(-grade * 200))}
	if key.steps < 2 {
		return math.Inf(1)
	}
	v, ok := d[key]
	if !ok {
		if v, _ = traction.FastestDown(c, float64(key.steps)/200, su.Roll.Low.V); v <= 0 {
			v = traction.CrawlDownMS(c)
		}
		d[key] = v
	}
	return v
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
