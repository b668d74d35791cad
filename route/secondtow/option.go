package secondtow

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle/traction"
)

// Option is something that would get the train over a stretch.
type Option struct {
	Say   string // template
	Q     []check.Quantity
	TimeS float64 // NaN where nobody can say
}

// option is an assist as one of the things that would do.
func (a *Assist) option() Option {
	q := []check.Quantity{{Name: "helper", Text: a.Helper, Unit: check.Literal}}
	if a.Winched {
		return Option{"{helper} winching from the crest", q, a.TimeS}
	}
	return Option{"{helper}", q, a.TimeS}
}

// finish adds to an assist of the plan what only the plan needs.
func (p *planner) finish(a *Assist) {
	if !a.Winched {
		a.Bars = p.barLoads(a.hitch, a.Over)
		a.Findings = append(a.Findings, p.barFindings(a)...)
		a.Findings = append(a.Findings, p.pushing(a)...)
	}
	at := a.Over
	n := need{at: at, pull: !a.Holding, hold: a.Holding}
	a.Others = append(a.Others, p.measures(n)...)
	sortOptions(a.Others)
}

func sortOptions(os []Option) {
	slices.SortStableFunc(os, func(a, b Option) int {
		switch an, bn := math.IsNaN(a.TimeS), math.IsNaN(b.TimeS); {
		case an && bn:
			return 0
		case an:
			return 1
		case bn:
			return -1
		}
		return cmp.Compare(a.TimeS, b.TimeS)
	})
}

// would is what would put a stretch right that nothing at hand does: measures,
// and the smallest helper.
func (p *planner) would(n need) []Option {
	out := p.measures(n)
	if o := p.smallest(n); o != nil {
		out = append(out, *o)
	}
	sortOptions(out)
	return out
}

// measures are what would do without a helper: chains, grit, dry ground, the load
// moved or lightened. Each is judged by the check itself at every station.
func (p *planner) measures(n need) (out []Option) {
	try := func(key, say string, timeS float64, set func() (*check.Setup, error), q ...check.Quantity) {
		if p.does(n, key, set) {
			out = append(out, Option{say, q, timeS})
		}
	}
	if p.snowOn(n) {
		for _, m := range traction.Measures() {
			timeS := ChainS
			if m != traction.Chains {
				timeS = GritS * n.at.LengthM()
			}
			try(string(m), string(m)+" against snow and ice", timeS, func() (*check.Setup, error) { return p.s.WithMeasure(m) })
		}
	}
	if p.s.Weather != "dry" {
		try("dry", "waiting until the ground is dry", DryS, func() (*check.Setup, error) { return p.s.With(p.s.Train, "dry") })
	}
	if u := heaviest(p.s.Train); u >= 0 {
		for _, by := range moves {
			try("moved "+by.word, "the load {by} further "+by.word+", as far as axle ratings allow", MoveS, func() (*check.Setup, error) {
				c, err := p.s.Train.Reload(u, p.s.Train.Units[u].LoadKg, by.m)
				if err != nil {
					return nil, err
				}
				return p.s.With(c, p.s.Weather)
			}, check.Quantity{Name: "by", Value: moveM, Unit: check.Metre})
		}
		if kg, ok := p.lighter(n, u); ok {
			out = append(out, Option{"a load lighter by {mass}", []check.Quantity{{Name: "mass", Value: kg, Unit: check.Kg}}, LightenS})
		}
	}
	sortOptions(out)
	return out
}

// does reports whether the train under another setup surely masters a need alone.
// Setups are made once; false too where one cannot be.
func (p *planner) does(n need, key string, set func() (*check.Setup, error)) bool {
	for _, down := range []bool{false, true} {
		if down && !n.hold || !down && !n.pull {
			continue
		}
		k := fmt.Sprint(key, down)
		narrow, ok := p.sets[k]
		if !ok {
			if made, err := set(); err == nil {
				narrow = made.Narrowed(down)
			}
			p.sets[k] = narrow
		}
		if narrow == nil || !masters(p.s.Probe(narrow, n.at), n.at, down) {
			return false
		}
	}
	return true
}

// masters reports whether no station of a stretch stops the train.
func masters(c *check.Situation, at route.Stretch, down bool) bool {
	for i, x := range c.Profile.ChainageM {
		if x < at.FromM || x > at.ToM {
			continue
		}
		if !down && c.ClimbOutcome(i) != check.Pass || down && c.DescentOutcome(i) > check.Caution {
			return false
		}
	}
	return true
}

func (p *planner) snowOn(n need) bool {
	for i, x := range p.s.Profile.ChainageM {
		if x >= n.at.FromM && x <= n.at.ToM {
			if g := p.s.GroundAt(i).Label(); strings.Contains(g, "snow") || strings.Contains(g, "ice") {
				return true
			}
		}
	}
	return false
}

// lighter is the least mass, to the tonne, to take off unit u for the train to
// master a need; false where all of it is not enough.
func (p *planner) lighter(n need, u int) (kg float64, ok bool) {
	load := p.s.Train.Units[u].LoadKg
	try := func(tonnes float64) bool {
		off := math.Min(tonnes*roundKg, load)
		return p.does(n, fmt.Sprintf("lighter by %.0f kg", off), func() (*check.Setup, error) {
			t, err := p.s.Train.Reload(u, load-off, 0)
			if err != nil {
				return nil, err
			}
			return p.s.With(t, p.s.Weather)
		})
	}
	low, high := 0.0, math.Ceil(load/roundKg)
	if !try(high) {
		return 0, false
	}
	for high-low > 1 {
		if mid := math.Floor((low + high) / 2); try(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return math.Min(high*roundKg, load), true
}

// smallest is the lightest helper that would surely pull the train over a need,
// all its wheels driven on that ground, and its pull; nil going down.
func (p *planner) smallest(n need) *Option {
	if !n.pull {
		return nil
	}
	bar, mass := 0.0, 0.0
	for i, x := range p.s.Profile.ChainageM {
		g := p.s.TrainGrade.Value[i] + 1.645*p.s.TrainGrade.SE[i] // 95 %, one-sided
		if x < n.at.FromM || x > n.at.ToM || math.IsNaN(g) {
			continue
		}
		su := p.s.GroundAt(i)
		a := traction.Shortfall(p.s.Train, math.Min(g, traction.MaxGrade), su.Mu.Low.V, su.Roll.High.V)
		bar, mass = math.Max(bar, a.BarN), math.Max(mass, a.MinHelperKg)
	}
	switch {
	case bar == 0:
		return nil
	case math.IsInf(mass, 1) || mass > mostHelperKg:
		return &Option{"no helper's own weight: {bar} more is wanted at the bar; a winch on firm ground", []check.Quantity{{Name: "bar", Value: bar, Unit: check.Newton}}, math.NaN()}
	}
	return &Option{"a helper of {mass} or more, all its wheels driven, that pulls {bar} at the bar", []check.Quantity{{Name: "mass", Value: mass, Unit: check.AtLeastKg},
		{Name: "bar", Value: bar, Unit: check.Newton}}, math.NaN()}
}

// mostHelperKg is the heaviest helper worth naming. Choice.
const mostHelperKg = 150e3
