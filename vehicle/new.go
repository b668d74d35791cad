package vehicle

import (
	"fmt"
	"math"
	"slices"
)

// Most units and axles a file may have: a slip, not a train, has more.
const (
	maxUnits = 20
	maxAxles = 60
)

// builder makes a Combination of a Spec. It goes on after a complaint so that
// one run shows all of them.
type builder struct {
	fields
	spec *Spec
	c    Combination
	varK float64 // variance of the gross mass, kg2
}

// New makes a Combination of what the file says: axle loads by statics,
// overall size, what is lacking for which check. Its assumptions are returned
// and stand in Combination.Assumed. The error joins one [FieldError] for every
// field that is missing, out of range or contradicts another.
//
// Without gears the pull is power times efficiency over a crawl speed, without
// heights of the centre of gravity high ones are taken: both listed, so that
// climb and start have an answer at level plate.
func New(s Spec) (*Combination, []Assumption, error) {
	b := &builder{spec: &s}
	b.c.Name, b.c.Kind = s.Name, s.Kind
	b.head()
	for i := range s.Units {
		b.unit(i)
	}
	if err := b.err(); err != nil {
		return nil, nil, err
	}
	b.outline()
	b.staticLoads()
	b.level()
	if err := b.err(); err != nil {
		return nil, nil, err
	}
	b.c.Lacking, b.c.Assumed = b.lacks, b.assumed
	return &b.c, slices.Clone(b.assumed), nil
}

func (b *builder) head() {
	s := b.spec
	if s.Name == "" {
		b.fail("name", "is missing: give the train a name")
	}
	if s.Kind != "transporter" && s.Kind != "helper" {
		b.fail("kind", "must be transporter or helper, is %q", s.Kind)
	}
	if len(s.Units) == 0 || len(s.Units) > maxUnits {
		b.fail("units", "must list 1 to %d units, front to rear, has %d", maxUnits, len(s.Units))
	}
	for _, u := range s.Units {
		for _, a := range u.Axles {
			if u.Power != nil && a.Driven != nil && *a.Driven {
				return
			}
		}
	}
	b.fail("units", "no unit has both power and a driven axle: mark axles with driven: true")
}

// unit adds unit i and its axles.
func (b *builder) unit(i int) {
	u := &b.spec.Units[i]
	path := fmt.Sprintf("units[%d]", i)
	v := Unit{
		Name: u.Name, Kind: UnitKind(u.Kind),
		BarHeightM: math.NaN(), BarLengthM: math.NaN(), BarAheadM: math.NaN(), BarRatedN: math.NaN(), BarPushN: math.NaN(),
		WadingM: b.optional(path+".wading_depth_m", u.WadingDepthM, spanLow),
	}
	if v.Name == "" {
		v.Name = u.Kind
	}
	b.size(path, u, &v)
	b.couple(i, path, u, &v)
	b.axles(i, path, u, &v)
	b.masses(path, u, &v)
	b.hitch(path, u, &v)
	v.FrontCoupling, v.RearCoupling = b.end(path+".front_coupling", u.Front), b.end(path+".rear_coupling", u.Rear)
	b.carriage(path, u, &v)
	b.lopsided(path, &v)
	if u.Winch != nil {
		v.Winch = b.winch(path+".winch", u.Winch)
	}
	b.brakes(path, u, &v)
	if u.Power != nil {
		v.Power = b.driveline(path+".power", u)
	}
	b.c.Units = append(b.c.Units, v)
}

// couple places the unit in the train: its origin behind the foremost axle.
func (b *builder) couple(i int, path string, u *UnitSpec, v *Unit) {
	switch v.Kind {
	case Tractor, Rigid, FullTrailer, SemiTrailer:
	default:
		b.fail(path+".kind", "must be tractor, rigid, semi-trailer or full-trailer, is %q", u.Kind)
		return
	}
	if i == 0 {
		if v.Kind == SemiTrailer || v.Kind == FullTrailer {
			b.fail(path+".kind", "the foremost unit must be tractor or rigid, is %s", u.Kind)
		}
		if u.Bar != nil {
			b.fail(path+".bar", "the foremost unit has no unit ahead: leave the bar out")
		}
		return
	}
	ahead := b.c.Units[i-1]
	if b.spec.Units[i-1].Hitch == nil {
		b.fail(fmt.Sprintf("units[%d].hitch", i-1), "is missing: say where it takes %s", path)
	}
	v.AtM = ahead.AtM + ahead.HitchXM
	if v.Kind == SemiTrailer {
		if u.Bar != nil {
			b.fail(path+".bar", "a semi-trailer rests on the unit ahead: leave the bar out")
		}
		return
	}
	if u.Bar == nil {
		b.fail(path+".bar", "is missing: a %s is pulled by a bar", u.Kind)
		return
	}
	b.bar(path, u, v)
	v.AtM += v.BarLengthM + v.BarAheadM
}

func (b *builder) bar(path string, u *UnitSpec, v *Unit) {
	v.ByBar = true
	v.BarLengthM = b.required(path+".bar.length_m", u.Bar.LengthM, spanSize)
	v.BarHeightM = b.assume(path+".bar.height_m", u.Bar.HeightM, spanLow, barHeight)
	v.BarRatedN = 1000 * b.optional(path+".bar.rated_kn", u.Bar.RatedKN, spanForce)
	ahead := u.Bar.AheadM
	if ahead == nil {
		ahead = u.FrontOverhangM
	}
	v.BarAheadM = b.assume(path+".bar.ahead_m", ahead, spanOverhang, noOverhang)
}

func (b *builder) hitch(path string, u *UnitSpec, v *Unit) {
	v.HitchXM, v.HitchHM = math.NaN(), math.NaN()
	if u.Hitch == nil {
		return
	}
	v.HitchXM = b.required(path+".hitch.at_m", u.Hitch.AtM, spanX)
	v.HitchHM = b.assume(path+".hitch.height_m", u.Hitch.HeightM, spanLow, hitchHeight)
}

// end reads a towing point; all of it may be missing.
func (b *builder) end(path string, e *EndSpec) Coupling {
	if e == nil {
		e = &EndSpec{}
	}
	return Coupling{PushN: 1000 * b.optional(path+".push_kn", e.PushKN, spanForce), HoldN: 1000 * b.optional(path+".hold_kn", e.HoldKN, spanForce),
		HeightM: b.optional(path+".height_m", e.HeightM, spanLow)}
}

// winch reads a winch; all but the breaking force and the anchor must be there.
func (b *builder) winch(path string, w *WinchSpec) *Winch {
	v := &Winch{
		PullN: 1000 * b.required(path+".pull_kn", w.PullKN, span{5, 2000, "kN"}), DrumM: b.required(path+".drum_m", w.DrumM, span{0.05, 3, "m"}),
		WidthM: b.required(path+".width_m", w.WidthM, span{0.05, 5, "m"}), RopeM: b.required(path+".rope_m", w.RopeM, span{5, 1000, "m"}),
		RopeD:  b.required(path+".rope_diameter_m", w.RopeDiameterM, span{0.005, 0.08, "m"}),
		BreakN: 1000 * b.optional(path+".break_kn", w.BreakKN, span{5, 5000, "kN"}), AnchorN: 1000 * b.optional(path+".anchor_kn", w.AnchorKN, span{5, 5000, "kN"}),
	}
	// Steel wire rope: 0.356 d2 R with R 1960 gives 0.7 kN a square millimetre of
	// diameter, fibre no more than 1.2.
	if mm2 := 1e6 * v.RopeD * v.RopeD; v.BreakN > 1.2e3*mm2 {
		b.fail(path+".break_kn", "is more than any rope of %.0f mm breaks at", 1000*v.RopeD)
	}
	if v.RopeD >= v.WidthM || v.RopeD >= v.DrumM {
		b.fail(path, "its rope (%g m) is thicker than the drum's width or diameter", v.RopeD)
	}
	return v
}

// carriage reads steering, support and underside.
func (b *builder) carriage(path string, u *UnitSpec, v *Unit) {
	v.SupportHalfWidthM = math.NaN()
	if s := u.Support; s != nil {
		v.SupportHalfWidthM = b.optional(path+".support.half_width_m", s.HalfWidthM, spanSize)
		if s.Fields != nil {
			if v.SupportFields = *s.Fields; *s.Fields < 3 || *s.Fields > 4 {
				b.fail(path+".support.fields", "must be 3 or 4, is %d", *s.Fields)
			}
		}
	}
	if s := u.Steering; s != nil {
		v.Steerable.Ratio = b.assume(path+".steering.ratio", s.Ratio, span{0, 3, ""}, fixedAxles)
		v.Steerable.MaxRad = b.assume(path+".steering.max_deg", s.MaxDeg, spanDeg, fixedAngle) * math.Pi / 180
	} else if v.Kind == SemiTrailer || v.Kind == FullTrailer {
		b.take(path+".steering.ratio", fixedAxles)
	}
	last := math.Inf(-1)
	for k, p := range u.Underside {
		at := fmt.Sprintf("%s.underside[%d]", path, k)
		q := UnderPoint{b.required(at+".x_m", p.XM, spanX), b.required(at+".height_m", p.HeightM, spanLow)}
		if q.XM < last {
			b.fail(at+".x_m", "must not lie ahead of the point before it: list the underside front to rear")
		}
		last = q.XM
		v.Underside = append(v.Underside, q)
	}
}
