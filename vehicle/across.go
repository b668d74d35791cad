package vehicle

import (
	"fmt"
	"math"
)

// Sides of an axle.
const (
	Left = iota
	Right
)

// Lean is how a train leans to the right: the lateral over the vertical force,
// negative to the left. Grow is what rolling on springs adds to the heights of the
// centres of gravity, 1 for a rigid body; 0 is taken as 1.
type Lean struct{ Ratio, Grow float64 }

func (l Lean) grow() float64 {
	if l.Grow == 0 {
		return 1
	}
	return l.Grow
}

// StaticsLeaning is [Combination.Statics] at steady speed on a train that leans: on
// a crossfall, in a curve, or both. SideN then holds what each side of every axle
// carries; a negative one has lifted and is past what these statics can say. All
// axles of a unit share a roll alike, as when their suspensions are joined or
// equally stiff; a kingpin bears its part of it with four fields, and none with
// three. Lateral forces act at the centres of gravity. Derived.
func (c *Combination) StaticsLeaning(gradeRatio, rollCoef float64, lean Lean) Forces {
	level := c.Statics(gradeRatio, rollCoef, 0)
	return c.forces(gradeRatio, rollCoef, 0, lean, level.TractionN)
}

// sideShares are, by group, the share of its load on its right side.
type sideShares struct {
	right   [2]float64
	rollN   float64 // what rolls the unit to the left over its half width, newtons
	lacking [2]int  // by group: 0, or 1 plus the side without any wheel
}

// tipped is what a unit does across.
type tipped struct {
	sides  sideShares
	groupN float64 // of a semi-trailer's group
	onPin  float64 // moment on the unit ahead, to the left positive
}

// moment is what rolls a unit to the left about the middle of the road, newton
// metres: its weight off the middle, less the lateral force at its height, and
// what hangs on its hitch.
func (p pose) moment(u *Unit, hung float64) float64 {
	return u.MassKg*G*p.cos*(u.CGYM-p.lean*p.grow*u.CGHM) + hung
}

// over divides a moment by the half width of a unit's support. A moment of nothing
// needs none.
func (u *Unit) over(moment float64) float64 {
	if moment == 0 {
		return 0
	}
	return moment / u.SupportHalfWidthM
}

// acrossSemi balances a semi-trailer's group along and across. With three fields
// the kingpin bears no roll, only the lateral force at the fifth wheel; with four
// it bears its part. Where an axle has lost a side the two sides of the group
// stand at different places: their loads are solved together with the kingpin's.
func (p pose) acrossSemi(u *Unit, moment, sum, hf, hung float64) (t tipped) {
	m := p.moment(u, hung)
	arm := func(x float64) float64 { return x + p.roll*hf }
	roll := u.over(m)
	if !u.Lopsided {
		t.groupN = moment / arm(u.GroupXM[0])
	}
	if u.SupportFields == 4 {
		right := (1 - roll/sum) / 2
		t.sides.right[0] = right
		if u.Lopsided {
			t.groupN = moment / ((1-right)*arm(u.SideXM[0][Left]) + right*arm(u.SideXM[0][Right]))
		}
		t.onPin = m * (sum - t.groupN) / sum
		return t
	}
	// Three fields: sides L and R with (L + R) in balance along and (L - R) across,
	// the latter less what the pin's lateral force at the fifth wheel takes.
	pinAt := p.lean * hf // moment to the right for each newton on the pin
	if u.Lopsided {
		// L (arm(xl)) + R (arm(xr)) = moment; b (L - R) = m + pinAt (sum - L - R)
		b := u.SupportHalfWidthM
		al, ar := arm(u.SideXM[0][Left]), arm(u.SideXM[0][Right])
		c1, c2, rhs := b+pinAt, pinAt-b, m+pinAt*sum
		det := al*c2 - ar*c1
		l, r := (moment*c2-ar*rhs)/det, (al*rhs-c1*moment)/det
		t.groupN = l + r
		t.sides.right[0] = r / t.groupN
	} else {
		t.sides.right[0] = (1 - u.over(m+pinAt*(sum-t.groupN))/t.groupN) / 2
	}
	t.onPin = -pinAt * (sum - t.groupN)
	return t
}

// acrossOwn shares the roll of a unit on its own axles alike between its groups.
// A group that has lost all of one side carries on the other alone; see lean3.
func (p pose) acrossOwn(u *Unit, sum, hung float64) (s sideShares) {
	s.rollN = u.over(p.moment(u, hung))
	for g := range s.right {
		s.right[g] = (1 - s.rollN/sum) / 2
		for side := range u.SideXM[g] {
			if u.Lopsided && math.IsNaN(u.SideXM[g][side]) {
				s.lacking[g], s.right[g] = 1+side, float64(1-side)
			}
		}
	}
	return s
}

// centre is where a group's load acts along.
func (s *sideShares) centre(u *Unit, g int) float64 {
	switch {
	case !u.Lopsided:
		return u.GroupXM[g]
	case s.lacking[g] != 0:
		return u.SideXM[g][2-s.lacking[g]]
	}
	return (1-s.right[g])*u.SideXM[g][Left] + s.right[g]*u.SideXM[g][Right]
}

// lean3 gives the group that has both sides what the other cannot bear of the
// roll: the unit stands on three supports. Its axles then stand where their whole
// group does.
func (s *sideShares) lean3(u *Unit, sum, rear float64) {
	for g := range s.right {
		if s.lacking[g] == 0 || s.lacking[1-g] != 0 {
			continue
		}
		one, both := rear, sum-rear
		if g == 0 {
			one, both = both, one
		}
		if s.lacking[g] == 1+Left { // all of it on the right
			one = -one
		}
		s.right[1-g] = (1 - (s.rollN-one)/both) / 2
	}
}

// sidesOf are the loads of both sides of an axle whose unit has lost a side
// somewhere: every side of the group shares its own load among the wheels left.
func (c *Combination) sidesOf(k int, groupN, right float64) (out [2]float64) {
	a := &c.Axles[k]
	u := &c.Units[a.Unit]
	for side, n := range [2]float64{groupN * (1 - right), groupN * right} {
		if a.Missing[side] {
			continue
		}
		sum := 0.0
		for j := u.First; j <= u.Last; j++ {
			if o := &c.Axles[j]; o.Group == a.Group && !o.Missing[side] {
				sum += o.Share
			}
		}
		out[side] = n * a.Share / sum
	}
	return out
}

// lopsided refuses a unit whose axles have lost so much that it cannot stand, or
// that these statics cannot say how.
func (b *builder) lopsided(path string, v *Unit) {
	if !v.Lopsided {
		return
	}
	if !given(v.SupportHalfWidthM) {
		b.fail(path+".support.half_width_m", "is missing: with side_missing it says how the other side carries")
	}
	whole, part := 0, 0
	for g := range v.GroupXM {
		left, right := math.IsNaN(v.SideXM[g][Left]), math.IsNaN(v.SideXM[g][Right])
		switch {
		case v.Kind == SemiTrailer && (left || right), left && right:
			b.fail(path+".axles", "a group has no wheel left on one side: it tips over at rest; put it on a dolly or another trailer")
		case left || right:
			part++
		case v.SideXM[g][Left] == v.SideXM[g][Right]:
			whole++
		}
	}
	if part > 0 && whole == 0 {
		b.fail(path+".axles", "one group has lost a whole side and the other part of one: not reckoned; put it on a dolly or another trailer")
	}
}

// liftsAside refuses a unit one of whose sides carries nothing at rest though it
// has wheels there.
func (b *builder) liftsAside(i int, s *Forces) {
	u := &b.c.Units[i]
	for k := u.First; u.Lopsided && k <= u.Last; k++ {
		for side, name := range [2]string{"left", "right"} {
			if a := &b.c.Axles[k]; !a.Missing[side] && !(s.SideN[k][side] > 0) {
				b.fail(fmt.Sprintf("units[%d].axles[%d]", i, k-u.First), "its %s side would %s at rest: check side_missing and cg_y_m, or carry it another way", name, lifted(s.SideN[k][side]))
				return
			}
		}
	}
}
