package secondtow

import (
	"math"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle/traction"
)

// What help takes, all choices: no source gives them. They order what suffices, and
// say what is worth a hook-up.
const (
	HookS = 900.0 // hooking one helper on: bar, air, light, a trial pull
	CastS = 600.0 // casting it off
	WalkS = 1 / 1.2
	// CoupledMS is the fastest that coupled trains are driven: walking pace, with a
	// guide beside. AloneMS is that of the train alone between them.
	CoupledMS = 1.4
	AloneMS   = check.DefaultMarchMS
	PassS     = 300.0 // a helper gets by the halted train

	ChainS   = 2700.0    // chains on and off
	GritS    = 1.0       // gritting by hand and shovel, a metre of way
	DryS     = 12 * 3600 // until wet ground is dry; nobody can say
	MoveS    = 3 * 3600.0
	LightenS = 6 * 3600.0 // taking part of a load off and after it
	RigS     = 2700.0     // anchors set, rope and blocks laid, eyes looked at
	StowS    = 1200.0
	// RopeMS is the speed of the line at the drum under load.
	RopeMS = 0.1

	SteepS    = 600.0  // hooking on or casting off on a slope: chocks, every wheel
	CrookedS  = 300.0  // not straight over the coupled length
	NarrowS   = 300.0  // no room to walk beside
	UnparkedS = 1800.0 // the driver must hold it on the brake
)

// MergeM: stretches nearer than this are done with one hook-up; longer, driving
// alone makes up for hooking off and on. Derived from the times above.
var MergeM = (HookS + CastS) / (1/CoupledMS + WalkS - 1/AloneMS)

// clockAssumed lists them.
func clockAssumed() (out []route.Assumption) {
	for _, a := range []route.Assumption{
		{Key: "secondtow.hook_s", Value: HookS, Unit: "s", Source: "hooking one helper on, with a trial pull"},
		{Key: "secondtow.cast_s", Value: CastS, Unit: "s", Source: "casting one helper off"},
		{Key: "secondtow.walk_s_m", Value: WalkS, Unit: "s/m", Source: "the coupled stretch is walked first"},
		{Key: "secondtow.coupled_ms", Value: CoupledMS, Unit: "m/s", Source: "fastest coupled: walking pace"},
		{Key: "secondtow.alone_ms", Value: AloneMS, Unit: "m/s", Source: "between coupled stretches"},
		{Key: "secondtow.pass_s", Value: PassS, Unit: "s", Source: "a helper gets by the halted train"},
		{Key: "secondtow.chains_s", Value: ChainS, Unit: "s", Source: "chains on and off"},
		{Key: "secondtow.grit_s_m", Value: GritS, Unit: "s/m", Source: "gritting by hand"},
		{Key: "secondtow.dry_s", Value: DryS, Unit: "s", Source: "until wet ground is dry: a night; weather decides"},
		{Key: "secondtow.move_s", Value: MoveS, Unit: "s", Source: "moving the load along its deck and lashing it again"},
		{Key: "secondtow.lighten_s", Value: LightenS, Unit: "s", Source: "taking part of the load off and bringing it after"},
		{Key: "secondtow.rig_s", Value: RigS, Unit: "s", Source: "rigging a winch once: anchor, blocks, rope"},
		{Key: "secondtow.stow_s", Value: StowS, Unit: "s", Source: "stowing it"},
		{Key: "secondtow.rope_ms", Value: RopeMS, Unit: "m/s", Source: "line speed of a heavy winch under load"},
		{Key: "secondtow.steep_s", Value: SteepS, Unit: "s", Source: "more where one hooks on or casts off on a slope"},
		{Key: "secondtow.crooked_s", Value: CrookedS, Unit: "s", Source: "more where the way bends there"},
		{Key: "secondtow.narrow_s", Value: NarrowS, Unit: "s", Source: "more where the way is tagged too narrow to walk beside"},
		{Key: "secondtow.unparked_s", Value: UnparkedS, Unit: "s", Source: "more where the train does not surely stand parked"},
	} {
		a.Standing = "choice"
		out = append(out, a)
	}
	return append(out, route.Assumption{Key: "secondtow.push_radius_m", Value: PushRadiusM, Unit: "m", Source: "pushed from behind only where the way bends no tighter: on straight stretches, common practice", Standing: "memory"})
}

// paceMS is how fast coupled trains go over a stretch: by power on its hardest
// place, no slower than at crawl and no faster than CoupledMS.
func paceMS(c *check.Situation, at route.Stretch, aheadM float64, down bool) float64 {
	if down {
		return math.Min(CoupledMS, traction.CrawlDownMS(c.Train))
	}
	need, crawl := 0.0, CoupledMS
	for i, x := range c.Profile.ChainageM {
		if g := c.TrainGrade.Value[i]; x >= at.FromM+aheadM && x <= at.ToM+aheadM && !math.IsNaN(g) {
			if n := traction.PullNeeded(c.Train, g, c.RollAt(i)).SumN; n > need {
				need = n
				if v := c.Climb(i).Limit.SpeedMS; v > 0 {
					crawl = v
				}
			}
		}
	}
	if need <= 0 {
		return CoupledMS
	}
	power := 0.0
	for i := range c.Train.Units {
		if d := c.Train.Units[i].Power; d != nil {
			power += d.RatedPowerW * d.Efficiency
		}
	}
	return math.Min(CoupledMS, math.Max(power/need, crawl))
}
