package vehicle

import "math"

// halfWidths turns a 95 % half-width into a standard error of a normal law.
const halfWidths = 1.96

// How far a mass may be off, 95 % half-width as a share of it, by how it is
// known. Choices: axle pads under a slow train read within 1 %; a plate says
// nothing of fuel, crew, tools, mud; an estimate is one.
var massKnown = map[string]Assumption{
	"weighed":   {Value: 0.01, Source: "weighed on pads: 1 % of the mass", Standing: "choice"},
	"plate":     {Value: 0.04, Source: "plate or handbook, fuel, crew, tools and mud besides: 4 % of the mass", Standing: "choice"},
	"estimated": {Value: 0.15, Source: "estimated: 15 % of the mass", Standing: "choice"},
}

// Defaults of places and heights. Centres of gravity are taken high and, for a
// tractor, forward: both leave less weight on driven rear axles on a climb.
var (
	tractorCGHeight = Assumption{Value: 1.4, Unit: "m", Source: "unladen tractor or truck, high", Standing: "choice"}
	trailerCGHeight = Assumption{Value: 1.1, Unit: "m", Source: "unladen trailer, high", Standing: "choice"}
	loadCGHeight    = Assumption{Value: 2.6, Unit: "m", Source: "tracked machine on a low deck, high", Standing: "choice"}
	middle          = Assumption{Value: 0, Unit: "m", Source: "in the middle", Standing: "choice"}
	hitchHeight     = Assumption{Value: 1.3, Unit: "m", Source: "common fifth wheel or coupling height, low", Standing: "choice"}
	barHeight       = Assumption{Value: 0.9, Unit: "m", Source: "common tow bar height", Standing: "choice"}
	noOverhang      = Assumption{Value: 0, Unit: "m", Source: "none: axles of coupled units stand closest, the harsher case on a bridge", Standing: "choice"}
	loadOverhang    = Assumption{Value: 0, Unit: "m", Source: "the load ends with the body it stands on", Standing: "choice"}
	fixedAxles      = Assumption{Value: 0, Source: "trailer axles do not steer", Standing: "choice"}
	fixedAngle      = Assumption{Value: 0, Unit: "degrees", Source: "trailer axles do not steer", Standing: "choice"}
)

const (
	tractorFrontShare = 0.6 // of an unladen tractor on its front group; choice, high
	semiCGShare       = 0.7 // unladen CG of a semi-trailer, of kingpin to group centre; choice
	loadCGShare       = 0.6 // CG height of a load, of its top height; choice, high
)

// masses sums the unit and its load into one body.
func (b *builder) masses(path string, u *UnitSpec, v *Unit) {
	tare := b.required(path+".mass_kg", u.MassKg, spanUnit)
	b.massError(path, u.MassKnown, u.MassErrorKg, tare)
	x := b.tareX(path, u, v, tare)
	y := b.assume(path+".cg_y_m", u.CGYM, spanAcross, middle)
	height := trailerCGHeight
	if v.Kind == Tractor || v.Kind == Rigid {
		height = tractorCGHeight
	}
	h := b.assume(path+".cg_height_m", u.CGHeightM, spanHeight, height)
	v.MassKg, v.CGXM, v.CGYM, v.CGHM = tare, x, y, h
	if u.Load != nil {
		b.load(path+".load", u.Load, v)
	}
	b.c.GrossKg += v.MassKg
}

// load puts the load's mass on the unit: masses add, centres weigh.
func (b *builder) load(path string, l *LoadSpec, v *Unit) {
	m := b.required(path+".mass_kg", l.MassKg, spanMass)
	v.LoadSEKg = b.massError(path, l.MassKnown, l.MassErrorKg, m)
	if l.CGXM == nil {
		b.fail(path+".cg_x_m", "is missing: say where the load's centre of gravity stands, metres behind the kingpin or the foremost axle of its unit")
	}
	x := b.optional(path+".cg_x_m", l.CGXM, spanX)
	y := b.assume(path+".cg_y_m", l.CGYM, spanAcross, middle)
	height := loadCGHeight
	if top := l.TopHeightM; top != nil {
		height.Value, height.Source = loadCGShare**top, "0.6 of the top height, high"
	}
	h := b.assume(path+".cg_height_m", l.CGHeightM, spanHeight, height)
	if l.CGHeightM != nil && l.TopHeightM != nil && *l.CGHeightM >= *l.TopHeightM {
		b.fail(path+".cg_height_m", "must be below top_height_m (%g m)", *l.TopHeightM)
	}
	sum := v.MassKg + m
	v.CGXM = (v.MassKg*v.CGXM + m*x) / sum
	v.CGYM = (v.MassKg*v.CGYM + m*y) / sum
	v.CGHM = (v.MassKg*v.CGHM + m*h) / sum
	v.MassKg, v.LoadKg, v.LoadXM, v.LoadYM, v.LoadHM = sum, m, x, y, h
}

// massError returns the standard error of a mass and adds it to the train's.
// Errors of the single masses are taken as independent.
func (b *builder) massError(path, known string, half *float64, massKg float64) float64 {
	if known == "" {
		known = "plate"
	}
	d, ok := massKnown[known]
	if !ok {
		b.fail(path+".mass_known", "must be weighed, plate or estimated, is %q", known)
		return math.NaN()
	}
	d.Value, d.Unit = d.Value*massKg, "kg"
	e := b.assume(path+".mass_error_kg", half, spanError, d)
	if e > massKg/2 {
		b.fail(path+".mass_error_kg", "is more than half of mass_kg (%g kg): weigh it, or estimate it from its parts", massKg)
	}
	se := e / halfWidths
	b.varK += se * se
	return se
}

// tareX is the unladen centre of gravity along.
func (b *builder) tareX(path string, u *UnitSpec, v *Unit, tare float64) float64 {
	n := 0
	for _, p := range []*float64{u.CGXM, u.FrontMassKg, u.KingpinMassKg} {
		if p != nil {
			n++
		}
	}
	switch {
	case n > 1:
		b.fail(path, "give one of cg_x_m, front_mass_kg, kingpin_mass_kg, not %d", n)
	case u.CGXM != nil:
		return b.optional(path+".cg_x_m", u.CGXM, spanX)
	case v.GroupXM == nil:
		return math.NaN()
	case v.Kind == SemiTrailer:
		return b.semiX(path, u, v, tare)
	default:
		return b.twoGroupX(path, u, v, tare)
	}
	return math.NaN()
}

func (b *builder) semiX(path string, u *UnitSpec, v *Unit, tare float64) float64 {
	if u.FrontMassKg != nil {
		b.fail(path+".front_mass_kg", "a semi-trailer has a kingpin ahead, not a front axle: give kingpin_mass_kg")
		return math.NaN()
	}
	length := v.GroupXM[0]
	if u.KingpinMassKg == nil {
		return b.take(path+".cg_x_m", Assumption{Value: semiCGShare * length, Unit: "m",
			Source: "unladen centre of gravity at 0.7 of kingpin to axle group", Standing: "choice"})
	}
	return length * (1 - b.partOf(path+".kingpin_mass_kg", u.KingpinMassKg, tare)/tare)
}

func (b *builder) twoGroupX(path string, u *UnitSpec, v *Unit, tare float64) float64 {
	if u.KingpinMassKg != nil {
		b.fail(path+".kingpin_mass_kg", "only a semi-trailer has a kingpin: give front_mass_kg")
		return math.NaN()
	}
	front, base := v.GroupXM[0], v.GroupXM[1]-v.GroupXM[0]
	if u.FrontMassKg == nil {
		share := tractorFrontShare
		source := "unladen with 0.6 of its mass on the front axle group"
		if v.Kind == FullTrailer {
			share, source = 0.5, "unladen with half of its mass on the front axle group"
		}
		return b.take(path+".cg_x_m", Assumption{Value: front + base*(1-share), Unit: "m", Source: source, Standing: "choice"})
	}
	return front + base*(1-b.partOf(path+".front_mass_kg", u.FrontMassKg, tare)/tare)
}

func (b *builder) partOf(path string, p *float64, whole float64) float64 {
	part := b.optional(path, p, span{1, 1e6, "kg"})
	if part >= whole {
		b.fail(path, "must be below the unit's mass_kg (%g kg)", whole)
	}
	return part
}
