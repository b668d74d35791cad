package vehicle_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/vehicle"

	"pgregory.net/rapid"
)

// lopsided is train A on supports 1.00 and 0.90 m off the middle, lines changed.
func lopsided(fields int, change func(u *vehicle.UnitSpec)) vehicle.Spec {
	s := trainA.spec()
	s.Units[0].Support = &vehicle.SupportSpec{HalfWidthM: p(1.0)}
	s.Units[1].Support = &vehicle.SupportSpec{HalfWidthM: p(0.9)}
	if fields != 0 {
		s.Units[1].Support.Fields = &fields
	}
	change(&s.Units[1])
	return s
}

// Wheel sides close to 1e-9 of the weight: their sum, the moment along about the
// foremost axle, and the moment across about the middle of the road, in any lean,
// with lines that have lost a side or none, with the load off the middle.
func TestSidesClose(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		fields := rapid.SampledFrom([]int{0, 3, 4}).Draw(r, "fields")
		y, tareY := rapid.Float64Range(-0.1, 0.1).Draw(r, "load off"), rapid.Float64Range(-0.05, 0.05).Draw(r, "trailer off")
		lost := rapid.SliceOfNDistinct(rapid.IntRange(0, 6), 0, 3, rapid.ID[int]).Draw(r, "lines")
		side := rapid.SampledFrom([]string{"left", "right"}).Draw(r, "side")
		c, _, err := vehicle.New(lopsided(fields, func(u *vehicle.UnitSpec) {
			u.CGYM, u.Load.CGYM = p(tareY), p(y)
			for _, k := range lost {
				u.Axles[k].SideMissing = side
			}
		}))
		if err != nil {
			r.Skip(err)
		}
		grade, lean := rapid.Float64Range(-0.2, 0.2).Draw(r, "grade"), rapid.Float64Range(-0.1, 0.1).Draw(r, "lean")
		f := c.StaticsLeaning(grade, rapid.Float64Range(0, 0.1).Draw(r, "roll"), vehicle.Lean{Ratio: lean})
		w, cos := c.GrossKg*vehicle.G, 1/math.Sqrt(1+grade*grade)
		sum, roll := 0.0, 0.0
		for k := range c.Axles {
			if d := f.SideN[k][0] + f.SideN[k][1] - f.AxleN[k]; math.Abs(d) > 1e-9*w {
				r.Fatalf("sides of axle %d miss it by %g N", k, d)
			}
			sum += f.SideN[k][0] + f.SideN[k][1]
			roll += (f.SideN[k][0] - f.SideN[k][1]) * c.Units[c.Axles[k].Unit].SupportHalfWidthM
			if m := c.Axles[k].Missing; (m[0] && f.SideN[k][0] != 0) || (m[1] && f.SideN[k][1] != 0) {
				r.Fatalf("a lost side of axle %d carries %v", k, f.SideN[k])
			}
		}
		if math.Abs(sum-w*cos) > 1e-9*w {
			r.Errorf("sides carry %g N of %g", sum, w*cos)
		}
		want := 0.0
		for _, u := range c.Units {
			want += u.MassKg * vehicle.G * cos * (u.CGYM - lean*u.CGHM)
		}
		if math.Abs(roll-want) > 1e-9*w {
			r.Errorf("sides roll %g N m, weights %g", roll, want)
		}
		if m := trainMoment(c, f); math.Abs(m) > 1e-9*w*c.LengthM {
			r.Errorf("moment left along %g N m", m)
		}
	})
}

// Train A level with the load in the middle and the last line without its left
// side, three fields, by hand: sides bear alike, the left one half a line spacing
// further forward, so the group stands a quarter of one further forward.
func TestLostSideByHand(t *testing.T) {
	s := lopsided(3, func(u *vehicle.UnitSpec) { u.Axles[6].SideMissing = "left" })
	c := make1(t, s)
	f := c.Statics(0, 0, 0)
	const xl, xr = 10.55 - 1.45/2, 10.55 // six lines, seven lines
	n := 87000 * vehicle.G * ((24*7.40 + 63*8.35) / 87) / ((xl + xr) / 2)
	near(t, "group", f.GroupN[1][0], n, 1e-6)
	for k := 4; k < 11; k++ {
		left, right := n/2/6, n/2/7
		if k == 10 {
			left = 0
		}
		near(t, "left", f.SideN[k][vehicle.Left], left, 1e-6)
		near(t, "right", f.SideN[k][vehicle.Right], right, 1e-6)
	}
}

// A tractor whose rear group has lost its left side stands on three supports: by
// hand the front group bears on its left what the rear bears on its right.
func TestThreeWheels(t *testing.T) {
	s := helper(25000)
	u := &s.Units[0]
	u.Support = &vehicle.SupportSpec{HalfWidthM: p(1.0)}
	for k := range u.Axles[2:] {
		u.Axles[2+k].SideMissing, u.Axles[2+k].Driven = "left", nil
	}
	c := make1(t, s)
	f := c.Statics(0, 0, 0)
	front, rear := 0.55*25000*vehicle.G, 0.45*25000*vehicle.G
	near(t, "rear right", f.SideN[2][vehicle.Right]+f.SideN[3][vehicle.Right], rear, 1e-6)
	near(t, "front left", f.SideN[0][vehicle.Left]+f.SideN[1][vehicle.Left], (front+rear)/2, 1e-6)
	near(t, "front right", f.SideN[0][vehicle.Right]+f.SideN[1][vehicle.Right], (front-rear)/2, 1e-6)
}

// What cannot stand, or is not reckoned, is refused with the field.
func TestLopsidedRefused(t *testing.T) {
	for want, s := range map[string]vehicle.Spec{
		"units[1].support.half_width_m: is missing": func() vehicle.Spec {
			s := lopsided(0, func(u *vehicle.UnitSpec) { u.Axles[0].SideMissing = "left" })
			s.Units[1].Support = nil
			return s
		}(),
		"no wheel left on one side": lopsided(0, func(u *vehicle.UnitSpec) {
			for k := range u.Axles {
				u.Axles[k].SideMissing = "right"
			}
		}),
		"must be left or right": lopsided(0, func(u *vehicle.UnitSpec) { u.Axles[0].SideMissing = "both" }),
		"say driven: false": func() vehicle.Spec {
			s := lopsided(0, func(*vehicle.UnitSpec) {})
			s.Units[0].Axles[0].SideMissing = "left"
			return s
		}(),
	} {
		if _, _, err := vehicle.New(s); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}
