package vehicle

import (
	"fmt"
	"math"
)

// topError is the 95 % half-width of a loaded height taken with a staff.
var topError = Assumption{Value: 0.05, Unit: "m", Source: "top of the load taken with a staff, ride height and tyres besides", Standing: "choice"}

// size reads a unit's outline, load included.
func (b *builder) size(path string, u *UnitSpec, v *Unit) {
	v.FrontOverhangM = b.optional(path+".front_overhang_m", u.FrontOverhangM, spanOverhang)
	v.RearOverhangM = b.optional(path+".rear_overhang_m", u.RearOverhangM, spanOverhang)
	v.WidthM = b.optional(path+".width_m", u.WidthM, spanSize)
	v.TopM = b.optional(path+".height_m", u.HeightM, spanTop)
	v.Body = Body{v.FrontOverhangM, v.RearOverhangM, v.WidthM, v.TopM}
	l := u.Load
	if l == nil {
		return
	}
	at := path + ".load"
	// math.Max keeps NaN: a body whose load has no width has none.
	v.WidthM = math.Max(v.WidthM, b.optional(at+".width_m", l.WidthM, spanSize))
	v.TopM = math.Max(v.TopM, b.optional(at+".top_height_m", l.TopHeightM, spanTop))
	v.FrontOverhangM += b.assume(at+".front_overhang_m", l.FrontOverhangM, spanOverhang, loadOverhang)
	v.RearOverhangM += b.assume(at+".rear_overhang_m", l.RearOverhangM, spanOverhang, loadOverhang)
}

// outline sums the units into the train's size. An unknown part makes the
// whole unknown: NaN.
func (b *builder) outline() {
	c := &b.c
	c.GrossSEKg = math.Sqrt(b.varK)
	c.TurnOuterRadiusM = b.optional("units[0].turn_outer_radius_m", b.spec.Units[0].TurnOuterRadiusM, spanTurn)
	for i := range b.spec.Units {
		l := b.spec.Units[i].Load
		if l == nil || l.TopHeightM == nil {
			continue
		}
		c.Units[i].TopSEM = b.assume(fmt.Sprintf("units[%d].load.top_error_m", i), l.TopErrorM, spanSmall, topError) / halfWidths
	}
	c.measure()
}

// measure sets overhangs, length, width and height from the units.
func (c *Combination) measure() {
	c.FrontM, c.RearM, c.WidthM, c.HeightM, c.HeightSEM = math.Inf(-1), math.Inf(-1), 0, 0, 0
	last := c.Axles[len(c.Axles)-1].AtM
	for _, u := range c.Units {
		c.FrontM = math.Max(c.FrontM, u.FrontOverhangM-u.AtM)
		c.RearM = math.Max(c.RearM, c.Axles[u.Last].AtM+u.RearOverhangM-last)
		c.WidthM = math.Max(c.WidthM, u.WidthM)
		c.HeightM = math.Max(c.HeightM, u.TopM)
	}
	for _, u := range c.Units {
		if u.TopM == c.HeightM {
			c.HeightSEM = math.Max(c.HeightSEM, u.TopSEM)
		}
	}
	c.LengthM = c.FrontM + last + c.RearM
}

// staticLoads sets the axle loads on the level and refuses a train that would
// tip about one of its axle groups.
func (b *builder) staticLoads() {
	c := &b.c
	s := c.Statics(0, 0, 0)
	for k := range c.Axles {
		c.Axles[k].Kg = s.AxleN[k] / G
	}
	for i, u := range c.Units {
		if half := u.SupportHalfWidthM; given(half) && math.Abs(u.CGYM) >= half {
			b.fail(fmt.Sprintf("units[%d]", i), "its centre of gravity stands %.2f m off the middle, outside the support (%.2f m): it tips over at rest; check cg_y_m", math.Abs(u.CGYM), half)
		} else if given(u.WidthM) && math.Abs(u.CGYM) >= u.WidthM/2 {
			b.fail(fmt.Sprintf("units[%d]", i), "its centre of gravity stands %.2f m off the middle, outside its own width (%.2f m): check cg_y_m", math.Abs(u.CGYM), u.WidthM)
		}
		if v := s.HitchV[i]; u.Kind == SemiTrailer && !(v > 0) {
			b.fail(fmt.Sprintf("units[%d]", i), "its kingpin would %s: check masses and cg_x_m", lifted(v))
		}
		b.liftsAside(i, &s)
		for g := range u.GroupXM {
			if n := s.GroupN[i][g]; !(n > 0) {
				b.fail(fmt.Sprintf("units[%d]", i), "its %s would %s: check masses, cg_x_m and hitch.at_m", groupName(u, g), lifted(n))
			}
		}
	}
}

// lifted words a load that is none.
func lifted(n float64) string {
	if kg := math.Round(-n / G); kg > 0 {
		return fmt.Sprintf("lift by %.0f kg", kg)
	}
	return "carry nothing"
}

func groupName(u Unit, g int) string {
	switch {
	case u.Kind == SemiTrailer:
		return "axle group"
	case g == 0:
		return "front axle group"
	}
	return "rear axle group"
}
