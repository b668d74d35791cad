package check

import (
	"math"
	"strings"

	"drawbar/route"
	"drawbar/route/profile"
	"drawbar/route/structure"
)

// Thresholds of obstructions in a route reconnaissance. Source: US Army courses
// (geometry note 3.5, bridges note 3.7; read): clear height under 4.3 m, grade of
// 7 % and more, radius of 25 m and less, any ford or ferry, width below the
// standard of the traffic flow. The width of a single flow of wheels, 5.5 m, is
// from memory; the tracked one, 6 m, is read.
const (
	lowObstructionM   = 4.3
	gradeObstruction  = 0.07
	radiusObstruction = 25.0
	widthObstruction  = 5.5
	// gradeOverM is the base a grade is read over for this; the courses pace out
	// 150 m and more. Choice.
	gradeOverM = 100.0
	// oneGradeM: steep stretches nearer to each other are one. Choice.
	oneGradeM = 30.0
)

// Obstruction is one place that obstructs by the standard.
type Obstruction struct {
	What  string // clear height, grade, radius, ford, width
	At    route.Stretch
	Value float64 // NaN when not known
	Unit  Unit
	P     float64 // chance that it is one, 1 where nothing is measured
}

// Classification is a way in the terms of route reconnaissance: what is written
// in one line. NaN where it is not known, and Why says so. It describes the way,
// not what the train makes of it.
type Classification struct {
	WidthM  float64 // least tagged carriageway
	Type    byte    // X all weather, Y limited, Z fair weather, 0 not known
	Class   float64 // of the weakest bridge
	HeightM float64 // least clear height; +Inf where none is over the way
	Snow    bool
	Flood   bool
	Why     []string // what is not known, and why
	Places  []Obstruction
}

// Classify reads the way.
func (s *Situation) Classify() Classification {
	c := Classification{WidthM: nan, Class: nan, HeightM: nan}
	c.width(s)
	c.weathered(s)
	c.bridges(s)
	c.heights(s)
	c.grades(s)
	c.radii(s)
	for _, p := range s.Structures {
		if p.Feature.Kind == structure.Ford && p.At.Overlaps(s.Window) {
			c.Places = append(c.Places, Obstruction{"ford", p.At, p.Feature.DepthM.Value, Metre, 1})
			if p.Feature.DepthM.State != route.Known {
				c.Places[len(c.Places)-1].Value = nan
			}
		}
	}
	c.Snow = s.Weather == "snow" || s.Weather == "ice"
	if c.Why = append(c.Why, "(T), (W): nobody says whether snow or floods block it"); c.Snow {
		c.Why[len(c.Why)-1] = "(W): nobody says whether floods block it"
	}
	return c
}

// width: the least tagged one, unknown as long as any part has none.
func (c *Classification) width(s *Situation) {
	least, untagged := math.Inf(1), 0.0
	for _, l := range s.Way.LegsIn(s.Window) {
		at := clip(l.At, s.Window)
		w := l.Tags.WidthM
		if w.State != route.Known {
			untagged += at.LengthM()
			continue
		}
		least = min(least, w.Value)
		if w.Value < widthObstruction {
			c.obstruct(Obstruction{"width", at, w.Value, Metre, 1})
		}
	}
	switch {
	case math.IsInf(least, 1):
		c.Why = append(c.Why, "width: none is tagged")
	case untagged > 0:
		c.Why = append(c.Why, "width: of the part with a width; the rest has none")
		c.WidthM = least
	default:
		c.WidthM = least
	}
}

// obstruct adds a place, or grows the last one of its kind where they touch.
func (c *Classification) obstruct(o Obstruction) {
	if n := len(c.Places); n > 0 && c.Places[n-1].What == o.What && c.Places[n-1].At.ToM >= o.At.FromM-0.5 {
		p := &c.Places[n-1]
		p.At.ToM, p.Value, p.P = max(p.At.ToM, o.At.ToM), min(p.Value, o.Value), max(p.P, o.P)
		return
	}
	c.Places = append(c.Places, o)
}

// typeOf a surface: paved carries traffic in all weather, gravel and the like in
// most, soil when it is fair. The assignment of surfaces is a choice.
var typeOf = map[string]byte{"asphalt": 'X', "concrete": 'X', "paving": 'X', "wood": 'X', "metal": 'X', "compacted": 'Y', "gravel": 'Y'}

// weathered: the worst surface that the way surely has; unknown where what may
// lie there decides.
func (c *Classification) weathered(s *Situation) {
	best, worst := byte('X'), byte('X')
	for _, l := range s.Way.LegsIn(s.Window) {
		b, w := byte('Z'), byte('X')
		for _, name := range s.drySurfaces(l.Tags) {
			t, ok := typeOf[name]
			if !ok {
				t = 'Z'
			}
			b, w = min(b, t), max(w, t)
		}
		best, worst = max(best, b), max(worst, w)
	}
	if best == worst {
		c.Type = best
		return
	}
	c.Why = append(c.Why, "type: untagged surfaces leave it between "+string(best)+" and "+string(worst))
}

// bridges: the lowest class; one without a class leaves it unknown.
func (c *Classification) bridges(s *Situation) {
	least, unrated, any := math.Inf(1), 0, false
	for _, p := range s.Structures {
		if p.Feature.Kind != structure.Bridge || !p.At.Overlaps(s.Window) {
			continue
		}
		any = true
		rated := p.Feature.ClassWheeled
		if rated.State != route.Known {
			rated = p.Feature.ClassWheeledOne
		}
		if rated.State != route.Known {
			unrated++
			continue
		}
		least = min(least, rated.Value)
	}
	switch {
	case !any && len(s.Looked.Bare) > 0:
		c.Why = append(c.Why, "load class: nobody looked for bridges on all of it")
	case !any:
		c.Why = append(c.Why, "load class: no bridge; the worst section of the road sets it, and its class is not known")
	case unrated > 0:
		c.Why = append(c.Why, "load class: a bridge has none")
	default:
		c.Class = least
	}
}

// heights: the least clear height; without bound only where the whole way was
// looked through.
func (c *Classification) heights(s *Situation) {
	least, unknown := math.Inf(1), false
	see := func(l route.Limit, at route.Stretch) {
		if l.State != route.Known {
			unknown = true
			return
		}
		least = min(least, l.Value)
		if l.Value < lowObstructionM {
			c.Places = append(c.Places, Obstruction{"clear height", at, l.Value, Metre, 1})
		}
	}
	for _, p := range s.Structures {
		if (p.Feature.Kind == structure.Tunnel || p.Feature.Kind == structure.Overhead) && p.At.Overlaps(s.Window) {
			see(p.Feature.MaxHeightM, p.At)
		}
	}
	for _, l := range s.Way.LegsIn(s.Window) {
		if l.Tags.MaxHeightM.State == route.Known && structure.Under(l.Tags) == "" {
			see(l.Tags.MaxHeightM, clip(l.At, s.Window))
		}
	}
	switch {
	case unknown:
		c.Why = append(c.Why, "clear height: something over the way has no figure")
	case s.Looked.OverM < 0.99*s.Way.LengthM():
		c.Why = append(c.Why, "clear height: not looked for everywhere")
		if !math.IsInf(least, 1) {
			c.Why[len(c.Why)-1] += "; the least known is in the list of obstructions or above 4.3 m"
		}
	default:
		c.HeightM = least
	}
}

// grades: stretches that rather are 7 % or steeper than not, up or down.
func (c *Classification) grades(s *Situation) {
	var g profile.Series
	s.Profile.Grade(gradeOverM, &g)
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		v := math.Abs(g.Value[i])
		if math.IsNaN(v) {
			continue
		}
		p := chance(gradeObstruction, v, g.SE[i])
		if p < 0.5 {
			continue
		}
		half := s.spacing(i) / 2
		o := Obstruction{"grade", clip(route.Stretch{FromM: s.Profile.ChainageM[i] - half, ToM: s.Profile.ChainageM[i] + half}, s.Window), v, Grade, p}
		if n := len(c.Places); n > 0 && c.Places[n-1].What == "grade" && c.Places[n-1].At.ToM >= o.At.FromM-oneGradeM {
			last := &c.Places[n-1]
			last.At.ToM, last.Value, last.P = o.At.ToM, max(last.Value, v), max(last.P, p)
			continue
		}
		c.Places = append(c.Places, o)
	}
}

// radii: bends whose line turns as sharply as a circle of 25 m over 15 m of way.
// By the line as drawn: how near it lies to the road is not in it.
func (c *Classification) radii(s *Situation) {
	for _, at := range tight(s.Way, 0) {
		if !at.Overlaps(s.Window) {
			continue
		}
		if r := radiusIn(s.Way, at); r <= radiusObstruction {
			c.Places = append(c.Places, Obstruction{"radius", clip(at, s.Window), r, Metre, nan})
		}
	}
}

// radiusIn is the least radius over overM within a stretch, metres.
func radiusIn(a *route.Alignment, at route.Stretch) float64 {
	j, sum, most := 0, 0.0, 0.0
	for i, t := range a.TurnRad {
		sum += t
		for a.ChainageM[i]-a.ChainageM[j] > overM {
			sum -= a.TurnRad[j]
			j++
		}
		if a.ChainageM[i] >= at.FromM && a.ChainageM[i] <= at.ToM {
			most = max(most, math.Abs(sum))
		}
	}
	return overM / most
}

// Obstructed reports whether the line carries (OB).
func (c *Classification) Obstructed() bool { return len(c.Places) > 0 }

// Line writes it as the standard does: width, type, load class, clear height,
// obstructions. Widths and heights are rounded down, "?" stands for what is not
// known.
func (c *Classification) Line() string {
	unknown := func(v float64, s string) string {
		if math.IsNaN(v) {
			return "?"
		}
		return s
	}
	height := unknown(c.HeightM, tenth(c.HeightM)+"m")
	if math.IsInf(c.HeightM, 1) {
		height = "∞"
	}
	typ := "?"
	if c.Type != 0 {
		typ = string(c.Type)
	}
	line := strings.Join([]string{unknown(c.WidthM, tenth(c.WidthM)+"m"), typ, unknown(c.Class, tenthless(c.Class)), height}, "/")
	marks := ""
	for _, m := range []struct {
		is   bool
		mark string
	}{{c.Obstructed(), "(OB)"}, {c.Snow, "(T)"}, {c.Flood, "(W)"}} {
		if m.is {
			marks += m.mark
		}
	}
	return strings.TrimSpace(line + " " + marks)
}
