package vehicle

import (
	"fmt"
	"strings"
)

// Levels of knowledge, lowest first.
var levels = []string{"plate", "sheet", "measured"}

// want is a field that a level asks for or a check needs.
type want struct {
	level  int    // index into levels; past its end: no level asks for it
	checks string // checks that need it, blank between
	field  string
	have   bool
}

const noLevel = 3

// SecondTow is the name under which Lacking lists what a helper behind needs.
const SecondTow = "second-tow"

// level says how much the file tells and what is lacking for which check.
func (b *builder) level() {
	wants := b.wants()
	reached := 0
	for l := range levels {
		if w := firstMissing(wants, l); w != nil {
			break
		}
		reached = l
	}
	b.c.Level = levels[reached]
	for _, w := range wants {
		if !w.have {
			for _, check := range strings.Fields(w.checks) {
				b.lack(check, w.field)
			}
		}
	}
	b.claim(wants)
}

// claim holds the file to the level it states.
func (b *builder) claim(wants []want) {
	if b.spec.Level == "" {
		return
	}
	for l, name := range levels {
		if name == b.spec.Level {
			if w := firstMissing(wants, l); w != nil {
				b.fail(w.field, "is missing: level %s needs it", b.spec.Level)
			}
			return
		}
	}
	b.fail("level", "must be plate, sheet or measured, is %q", b.spec.Level)
}

func firstMissing(wants []want, upTo int) *want {
	for i := range wants {
		if w := &wants[i]; w.level <= upTo && !w.have {
			return w
		}
	}
	return nil
}

func (b *builder) wants() []want {
	var w []want
	for i := range b.spec.Units {
		u := &b.spec.Units[i]
		p := fmt.Sprintf("units[%d].", i)
		w = append(w, outlineWants(p, u)...)
		w = append(w, sheetWants(p, u, i, i+1 < len(b.spec.Units))...)
		w = append(w, measuredWants(p, u)...)
		w = append(w, axleWants(p, u)...)
	}
	return append(w, b.endWants()...)
}

// endWants are the ratings without which no helper pushes a train or holds it back
// from behind: of a transporter at its rear end, of a helper at its front.
func (b *builder) endWants() []want {
	p, e := fmt.Sprintf("units[%d].rear_coupling.", len(b.spec.Units)-1), b.spec.Units[len(b.spec.Units)-1].Rear
	if b.spec.Kind == "helper" {
		p, e = "units[0].front_coupling.", b.spec.Units[0].Front
	}
	return []want{{noLevel, SecondTow, p + "push_kn", e != nil && e.PushKN != nil}, {noLevel, SecondTow, p + "hold_kn", e != nil && e.HoldKN != nil}}
}

func outlineWants(p string, u *UnitSpec) []want {
	w := []want{
		{0, "bend width", p + "width_m", u.WidthM != nil},
		{0, "overhead", p + "height_m", u.HeightM != nil},
		{0, "bend posting", p + "front_overhang_m", u.FrontOverhangM != nil},
		{0, "bend posting", p + "rear_overhang_m", u.RearOverhangM != nil},
		{noLevel, "ford", p + "wading_depth_m", u.WadingDepthM != nil},
	}
	if l := u.Load; l != nil {
		w = append(w,
			want{0, "bend width", p + "load.width_m", l.WidthM != nil},
			want{0, "overhead", p + "load.top_height_m", l.TopHeightM != nil})
	}
	return w
}

func sheetWants(p string, u *UnitSpec, i int, pulls bool) []want {
	var w []want
	if i == 0 {
		w = append(w, want{1, "bend", p + "turn_outer_radius_m", u.TurnOuterRadiusM != nil})
	}
	if pulls {
		w = append(w, want{1, "", p + "hitch.height_m", u.Hitch != nil && u.Hitch.HeightM != nil})
	}
	if u.Bar != nil {
		w = append(w, want{1, "", p + "bar.rated_kn", u.Bar.RatedKN != nil})
	}
	if k := UnitKind(u.Kind); k == SemiTrailer || k == FullTrailer {
		w = append(w, want{1, "", p + "steering.ratio", u.Steering != nil && u.Steering.Ratio != nil})
	}
	if d := u.Power; d != nil {
		w = append(w,
			want{1, "", p + "power.gear_ratios", len(d.GearRatios) > 0},
			want{1, "", p + "power.start_torque_nm", d.StartTorqueNm != nil},
			want{1, "descent", p + "power.retarder_kw", d.RetarderKW != nil},
			want{noLevel, "start", p + "power.slip_limit_kj", d.SlipLimitKJ != nil || len(d.GearRatios) == 0})
	}
	return w
}

func measuredWants(p string, u *UnitSpec) []want {
	placed := u.CGXM != nil || u.FrontMassKg != nil || u.KingpinMassKg != nil
	w := []want{
		{2, "", p + "cg_x_m", placed},
		{2, "crossfall", p + "cg_height_m", u.CGHeightM != nil},
		{2, "hang-up", p + "underside", len(u.Underside) > 1},
		{noLevel, "crossfall", p + "support.half_width_m", u.Support != nil && u.Support.HalfWidthM != nil},
	}
	if u.Load != nil {
		w = append(w, want{2, "crossfall", p + "load.cg_height_m", u.Load.CGHeightM != nil})
	}
	return w
}

// axleWants asks for one axle in each unit, the first that lacks the field.
func axleWants(p string, u *UnitSpec) []want {
	first := func(key string, has func(a *AxleSpec) bool) (string, bool) {
		for k := range u.Axles {
			if !has(&u.Axles[k]) {
				return fmt.Sprintf("%saxles[%d].%s", p, k, key), false
			}
		}
		return p + "axles", true
	}
	add := func(w []want, level int, checks, key string, has func(a *AxleSpec) bool) []want {
		field, have := first(key, has)
		return append(w, want{level, checks, field, have})
	}
	w := add(nil, 2, "descent", "braked", func(a *AxleSpec) bool { return a.Braked != nil })
	w = add(w, 2, "hold", "parked", func(a *AxleSpec) bool { return a.Parked != nil })
	w = append(w, want{noLevel, "hold", p + "brakes.park_kn", u.Brakes != nil && u.Brakes.ParkKN != nil || !hasParked(u)})
	w = append(w, want{noLevel, "descent", p + "brakes.service_kn", u.Brakes != nil && u.Brakes.ServiceKN != nil || !hasBraked(u)})
	w = add(w, noLevel, "ground", "tyres", func(a *AxleSpec) bool { return a.Tyres != nil })
	w = add(w, noLevel, "ground", "tyre_width_m", func(a *AxleSpec) bool { return a.TyreWidthM != nil })
	w = add(w, noLevel, "rating", "rated_kg", func(a *AxleSpec) bool { return a.RatedKg != nil })
	return add(w, noLevel, "ground", "tyre_diameter_m", func(a *AxleSpec) bool { return a.TyreDiameterM != nil })
}
