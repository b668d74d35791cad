package vehicle

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// LiftError is returned for a train one of whose supports would carry nothing.
type LiftError struct{ Support string }

func (e *LiftError) Error() string {
	return fmt.Sprintf("its %s would carry nothing on the level", e.Support)
}

// Reload returns the train with the load of one unit changed: its mass, kg, and
// how far it is moved back along its unit, metres, negative forward. The mass
// error keeps its share. Without any load left the unit has the outline of its
// body, and nothing is asked or assumed of the load. A unit without a load, a mass below 0 and a move that
// takes the last load off a support are errors, the last a *LiftError.
func (c *Combination) Reload(unit int, loadKg, backM float64) (*Combination, error) {
	u := &c.Units[unit]
	if !(u.LoadKg > 0) || !(loadKg >= 0) || math.IsInf(loadKg+backM, 0) || math.IsNaN(backM) {
		return nil, fmt.Errorf("unit %d carries %g kg of load, which cannot be made %g kg moved by %g m", unit, u.LoadKg, loadKg, backM)
	}
	share := loadKg / u.LoadKg
	bare := u.MassKg - u.LoadKg
	out, err := c.with(unit, func(n *Unit) {
		n.LoadKg, n.LoadSEKg, n.LoadXM = loadKg, u.LoadSEKg*share, u.LoadXM+backM
		n.MassKg = bare + loadKg
		n.CGXM = (u.MassKg*u.CGXM - u.LoadKg*u.LoadXM + loadKg*n.LoadXM) / n.MassKg
		n.CGYM = (u.MassKg*u.CGYM - u.LoadKg*u.LoadYM*(1-share)) / n.MassKg
		n.CGHM = (u.MassKg*u.CGHM - u.LoadKg*u.LoadHM*(1-share)) / n.MassKg
	})
	if err == nil && loadKg == 0 {
		out.bare(unit)
	}
	return out, err
}

// bare gives a unit the outline of its body.
func (c *Combination) bare(unit int) {
	u := &c.Units[unit]
	u.FrontOverhangM, u.RearOverhangM, u.WidthM, u.TopM, u.TopSEM = u.Body.FrontOverhangM, u.Body.RearOverhangM, u.Body.WidthM, u.Body.TopM, 0
	c.measure()
	of := fmt.Sprintf("units[%d].load.", unit)
	c.Lacking = slices.DeleteFunc(slices.Clone(c.Lacking), func(l Lack) bool { return strings.HasPrefix(l.Field, of) })
	c.Assumed = slices.DeleteFunc(slices.Clone(c.Assumed), func(a Assumption) bool { return strings.HasPrefix(a.Key, of) })
}

// Ballast returns the train with mass set on a unit, kg, its centre at xM on
// the unit's own axis and heightM above the road.
func (c *Combination) Ballast(unit int, massKg, xM, heightM float64) (*Combination, error) {
	if !(massKg >= 0) || math.IsInf(massKg, 0) {
		return nil, fmt.Errorf("ballast of %g kg cannot be", massKg)
	}
	u := &c.Units[unit]
	return c.with(unit, func(n *Unit) {
		n.MassKg = u.MassKg + massKg
		n.CGXM = (u.MassKg*u.CGXM + massKg*xM) / n.MassKg
		n.CGYM = u.MassKg * u.CGYM / n.MassKg
		n.CGHM = (u.MassKg*u.CGHM + massKg*heightM) / n.MassKg
	})
}

// with copies the train, changes one unit and weighs it anew.
func (c *Combination) with(unit int, change func(*Unit)) (*Combination, error) {
	n := *c
	n.Units = append([]Unit(nil), c.Units...)
	n.Axles = append([]Axle(nil), c.Axles...)
	change(&n.Units[unit])
	n.GrossKg += n.Units[unit].MassKg - c.Units[unit].MassKg
	n.GrossSEKg = math.Sqrt(max(square(c.GrossSEKg)-square(c.Units[unit].LoadSEKg)+square(n.Units[unit].LoadSEKg), 0))
	s := n.Statics(0, 0, 0)
	if at, load := n.Lightest(&s); !(load > 0) {
		return nil, &LiftError{n.SupportName(at)}
	}
	for k := range n.Axles {
		n.Axles[k].Kg = s.AxleN[k] / G
	}
	return &n, nil
}

func square(x float64) float64 { return x * x }
