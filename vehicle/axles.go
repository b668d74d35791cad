package vehicle

import (
	"fmt"
	"math"
)

// axles adds the unit's axles and finds the points that statics balances about.
func (b *builder) axles(i int, path string, u *UnitSpec, v *Unit) {
	v.First = len(b.c.Axles)
	v.Last = v.First + len(u.Axles) - 1
	least := 2
	if v.Kind == SemiTrailer {
		least = 1
	}
	if len(u.Axles) < least || len(u.Axles) > maxAxles {
		b.fail(path+".axles", "must list %d to %d axles, has %d", least, maxAxles, len(u.Axles))
		return
	}
	xs := b.axlePlaces(path, u, v)
	groups := b.axleGroups(path, u, v, xs)
	for k := range u.Axles {
		a := &u.Axles[k]
		at := fmt.Sprintf("%s.axles[%d]", path, k)
		b.c.Axles = append(b.c.Axles, Axle{
			AtM: v.AtM + xs[k], Unit: i, Group: groups[k],
			Share:         b.one(at+".share", a.Share),
			RatedKg:       b.optional(at+".rated_kg", a.RatedKg, spanAxle),
			TyreWidthM:    b.optional(at+".tyre_width_m", a.TyreWidthM, span{0.05, 2, "m"}),
			TyreDiameterM: b.optional(at+".tyre_diameter_m", a.TyreDiameterM, span{0.2, 4, "m"}),
			Tyres:         b.tyres(at+".tyres", a.Tyres),
			Missing:       b.missing(at, a),
			Driven:        isTrue(a.Driven), Braked: isTrue(a.Braked), Parked: isTrue(a.Parked),
		})
		if isTrue(a.Driven) && u.Power == nil {
			b.fail(at+".driven", "is true but %s has no power: give its power or leave driven out", path)
		}
	}
	groupCentres(b.c.Axles[v.First:], v)
	if v.Kind == SemiTrailer && v.GroupXM[0] < 0.5 {
		b.fail(path+".axles", "their centre must lie at least 0.5 m behind the kingpin")
	}
}

// one is the only default without a line in the list of assumptions: equal
// sharing is what a share means when nobody gives one.
func (b *builder) one(path string, p *float64) float64 {
	if p == nil {
		return 1
	}
	return b.optional(path, p, spanShare)
}

func (b *builder) tyres(path string, p *int) int {
	if p == nil {
		return 0
	}
	if *p < 1 || *p > 64 {
		b.fail(path, "must be between 1 and 64, is %d", *p)
	}
	return *p
}

func isTrue(p *bool) bool { return p != nil && *p }

func (b *builder) axlePlaces(path string, u *UnitSpec, v *Unit) []float64 {
	xs := make([]float64, len(u.Axles))
	for k := range u.Axles {
		at := fmt.Sprintf("%s.axles[%d].at_m", path, k)
		xs[k] = b.required(at, u.Axles[k].AtM, spanAt)
		if k > 0 && xs[k] <= xs[k-1] {
			b.fail(at, "must be behind the axle before it (%g m): list axles front to rear", xs[k-1])
		}
		if k == 0 && v.Kind != SemiTrailer && xs[0] != 0 && given(xs[0]) {
			b.fail(at, "must be 0: distances count from the foremost axle")
		}
	}
	return xs
}

// axleGroups returns for each axle 0 (front) or 1 (rear). Axles of a
// semi-trailer are one group. Without a word in the file the split lies in the
// widest gap, the middle one of equals.
func (b *builder) axleGroups(path string, u *UnitSpec, v *Unit, xs []float64) []int {
	groups := make([]int, len(xs))
	named := 0
	for k := range u.Axles {
		at := fmt.Sprintf("%s.axles[%d].group", path, k)
		switch g := u.Axles[k].Group; {
		case g == "":
			continue
		case g != "front" && g != "rear":
			b.fail(at, "must be front or rear, is %q", g)
		case v.Kind == SemiTrailer:
			b.fail(at, "axles of a semi-trailer are one group: leave it out")
		case g == "rear":
			groups[k] = 1
		}
		named++
		if k > 0 && groups[k] < groups[k-1] {
			b.fail(at, "a front axle stands behind a rear one")
		}
	}
	switch {
	case v.Kind == SemiTrailer:
		return groups
	case named == 0:
		return b.widestGap(path, xs)
	case named < len(xs):
		b.fail(path+".axles", "give group for all axles of the unit or for none")
	case groups[0] == 1 || groups[len(xs)-1] == 0:
		b.fail(path+".axles", "needs a front and a rear axle group")
	}
	return groups
}

func (b *builder) widestGap(path string, xs []float64) []int {
	split, widest := 1, 0.0
	for k := 1; k < len(xs); k++ {
		gap := xs[k] - xs[k-1]
		nearer := math.Abs(float64(2*k-len(xs))) < math.Abs(float64(2*split-len(xs)))
		if gap > widest+1e-6 || (gap > widest-1e-6 && nearer) {
			split, widest = k, gap
		}
	}
	if len(xs) > 2 {
		b.take(path+".axles.group", Assumption{
			Value: float64(split), Unit: "axles in the front group",
			Source: "front and rear group part at the widest gap between axles", Standing: "choice",
		})
	}
	groups := make([]int, len(xs))
	for k := split; k < len(xs); k++ {
		groups[k] = 1
	}
	return groups
}

// missing reads the side of an axle that carries nothing.
func (b *builder) missing(path string, a *AxleSpec) (out [2]bool) {
	switch a.SideMissing {
	case "":
		return out
	case "left":
		out[Left] = true
	case "right":
		out[Right] = true
	default:
		b.fail(path+".side_missing", "must be left or right, is %q", a.SideMissing)
	}
	if isTrue(a.Driven) {
		b.fail(path+".driven", "is true, and the axle has lost a side: its differential gives that side all the turns; say driven: false")
	}
	return out
}

// groupCentres sets the resultants of each group's equalised load and of each of
// its sides, on the unit's own axis.
func groupCentres(axles []Axle, v *Unit) {
	var sum, moment [2][2]float64
	for _, a := range axles {
		v.Lopsided = v.Lopsided || a.Missing[Left] || a.Missing[Right]
		for side := range sum[a.Group] {
			if !a.Missing[side] {
				sum[a.Group][side] += a.Share
				moment[a.Group][side] += a.Share * (a.AtM - v.AtM)
			}
		}
	}
	groups := 2
	if v.Kind == SemiTrailer {
		groups = 1
	}
	v.GroupXM = make([]float64, groups)
	for g := range groups {
		n, x := 0.0, 0.0
		for side := range v.SideXM[g] {
			if v.SideXM[g][side] = moment[g][side] / sum[g][side]; sum[g][side] > 0 {
				n, x = n+1, x+v.SideXM[g][side]
			}
		}
		v.GroupXM[g] = x / n
		if !v.Lopsided {
			v.GroupXM[g] = moment[g][Left] / sum[g][Left] // both alike, to the last bit
		}
	}
}
