package check_test

import (
	"math"
	"math/rand/v2"
	"os"
	"sort"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

// truth is one draw of everything that is uncertain of a train on one ground:
// what the physics is asked with, nothing of package check in it.
type truth struct {
	c        *vehicle.Combination
	effort   float64            // over what the file gives
	mu, roll map[string]float64 // by surface
}

// between is a range at a number of standard deviations: its ends are 5 and 95 %
// points, straight on beyond, not below 0.
func between(r traction.Range, z float64) float64 {
	end := r.High.V
	if z < 0 {
		end = r.Low.V
	}
	return max(r.Design.V+math.Abs(z)/1.645*(end-r.Design.V), 0)
}

// drawTruth draws mass (a standard error of the load), place of the load (0.10 m
// along, 0.15 m up), effort (5 %), grip and rolling by surface.
func drawTruth(r *rand.Rand, c *vehicle.Combination, surfaces []string, w traction.Weather) truth {
	h := *c
	h.Units = append([]vehicle.Unit(nil), c.Units...)
	worst := 0
	for i := range h.Units {
		if c.Units[i].LoadSEKg > c.Units[worst].LoadSEKg {
			worst = i
		}
	}
	more := r.NormFloat64() * c.Units[worst].LoadSEKg
	back, up := 0.10*r.NormFloat64(), 0.15*r.NormFloat64()
	for i := range h.Units {
		share := h.Units[i].LoadKg / h.Units[i].MassKg
		h.Units[i].CGXM += share * back
		h.Units[i].CGHM += share * up
	}
	h.Units[worst].MassKg += more
	h.GrossKg += more
	t := truth{c: &h, effort: 1 + 0.05*r.NormFloat64(), mu: map[string]float64{}, roll: map[string]float64{}}
	for _, name := range surfaces {
		su, _ := traction.DefaultTable().Named(name, w)
		t.mu[name], t.roll[name] = between(su.Mu, r.NormFloat64()), between(su.Roll, r.NormFloat64())
	}
	return t
}

// moves reports whether the drawn train moves up a grade: every driven wheel uses
// no more than its grip, the engine no more than its effort, every support bears.
func (t *truth) moves(name string, grade, rollFactor, accelG, effortN float64) bool {
	s := t.c.Statics(grade, t.roll[name]*rollFactor, accelG)
	_, least := t.c.Lightest(&s)
	return least >= 0 && s.GripUse <= t.mu[name] && s.NeedN <= effortN*t.effort
}

// The chance of a climb and of a start against 100,000 draws of the physics,
// within 0.01 everywhere, the tails included: the figure asked for. Trains are
// changed so that grip, effort or a lifting support bounds, or two of them at
// once. Seed fixed.
func TestChanceAgainstDraws(t *testing.T) {
	ballast := func(s *vehicle.Spec) { // the load far back: the kingpin lifts before grip gives out
		*s.Units[1].Load.CGXM, *s.Units[1].Load.CGHeightM = 10.2, 3.2
		*s.Units[1].Load.TopHeightM = 6
	}
	middling := func(s *vehicle.Spec) { // grip and effort near each other
		p := s.Units[0].Power
		*p.TorqueNm, *p.StartTorqueNm, *p.PowerKW = 1750, 1100, 320
	}
	wanted := []float64{0.98, 0.95, 0.9, 0.7, 0.5, 0.25, 0.1, 0.05, 0.02, 0.005}
	for name, c := range map[string]struct {
		change  func(*vehicle.Spec)
		surface string
		weather traction.Weather
	}{
		"grip, asphalt":           {func(*vehicle.Spec) {}, "asphalt", traction.Dry},
		"grip, wet earth":         {func(*vehicle.Spec) {}, "earth", traction.Wet},
		"effort, concrete":        {weakEngine, "concrete", traction.Dry},
		"grip and effort, gravel": {middling, "gravel", traction.Dry},
		"lift and grip, asphalt":  {ballast, "asphalt", traction.Dry},
		"ice":                     {func(*vehicle.Spec) {}, "ice", traction.Ice},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			if _, full := os.LookupEnv("DRAWBAR_ROADS"); !full && name != "grip and effort, gravel" {
				t.Skip("all of them run in make bench (DRAWBAR_ROADS=full)")
			}
			set := setup(t, check.Settings{Weather: string(c.weather)}, c.change)
			tags := route.Tags{Mapped: true, Surface: c.surface}
			su, _ := traction.DefaultTable().Named(c.surface, c.weather)
			terms := traction.DefaultStart()
			climb := traction.Climb(set.Train, su.Mu.Design.V, su.Roll.Design.V)
			start := traction.Start(set.Train, su.Mu.Design.V, su.Roll.Design.V, terms)
			draws := make([]truth, 100_000)
			r := rand.New(rand.NewPCG(7, 7))
			for i := range draws {
				draws[i] = drawTruth(r, set.Train, []string{c.surface}, c.weather)
			}
			for _, m := range []struct {
				motion                 string
				strength               func(*check.Situation, int) check.Strength
				factor, accelG, effort float64
			}{
				{"climb", (*check.Situation).Climb, 1, 0, climb.EffortN},
				{"start", (*check.Situation).Start, terms.BreakAway, terms.AccelMS2 * (1 + terms.RotatingWheels) / vehicle.G, start.EffortN},
			} {
				at := func(grade float64) float64 {
					s := onRamp(t, set, grade, straight(tags, 300)...)
					return m.strength(s, len(s.Profile.ChainageM)-1).P
				}
				var grades []float64
				for _, want := range wanted {
					low, high := -0.5, 1.0
					for range 24 { // the grade that package check gives this chance
						if mid := (low + high) / 2; at(mid) >= want {
							low = mid
						} else {
							high = mid
						}
					}
					grades = append(grades, low)
				}
				count := make([]int, len(wanted)+1) // draws by how many of the grades, from the gentle end, they get up
				for i := range draws {
					count[sort.Search(len(wanted), func(k int) bool {
						return !draws[i].moves(c.surface, grades[k], m.factor, m.accelG, m.effort)
					})]++
				}
				above := 0
				for k := len(wanted) - 1; k >= 0; k-- {
					above += count[k+1]
					if p := float64(above) / float64(len(draws)); math.Abs(p-wanted[k]) > 0.01 {
						t.Errorf("%s at %.4f: chance %.3f, %.4f by draws", m.motion, grades[k], wanted[k], p)
					}
				}
			}
		})
	}
}
