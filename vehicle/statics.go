package vehicle

import "math"

// Forces are the forces on a train in steady or accelerated motion on a
// straight grade, newtons, wheel loads normal to the road. A group that lifts
// shows a negative load: the train is past what these statics can say.
type Forces struct {
	GradeRatio float64 // rise over plan distance, positive uphill
	RollCoef   float64 // rolling resistance over normal load
	AccelG     float64 // acceleration over G, positive forward

	AxleN []float64 // normal load by axle
	// SideN is that of its left and right side, which sum to it. NaN where the file
	// does not give the unit's support.half_width_m and the load is off the middle.
	SideN  [][2]float64
	GroupN [][2]float64 // by unit: front and rear group; a semi-trailer's group stands first
	// HitchV and HitchH are, by unit, what rests on the unit ahead and what
	// that unit pulls with; 0 for the foremost.
	HitchV, HitchH []float64
	TractionN      []float64 // by unit, at the road, positive forward
	DrivenUnitN    []float64 // by unit, normal load on its driven axles, as in DrivenN

	NeedN float64 // traction that balances the train: sum of m (g sin + a) + f m g cos
	// DrivenN is the normal load on all driven axles; of a unit with open
	// differentials between them their number times the least.
	DrivenN float64
	// GripUse is NeedN over DrivenN: the adhesion coefficient that the train
	// uses when all driven wheels use it alike. +Inf without driven load.
	GripUse float64
	// ResidualN is what the traction exceeds NeedN by, 0 when in balance.
	ResidualN float64
}

// Rounds of the sharing of traction. Each round the error shrinks by about
// grip times bar height over wheelbase, at most 0.3 for anything on wheels.
const (
	maxRounds   = 60
	roundsUntil = 1e-12 // of the train's weight
)

// Statics returns the forces on the train on a grade (rise over plan distance,
// positive uphill) with rolling coefficient rollCoef while it accelerates at
// accelG times G. Tractive force acts at the road. Several powered units share
// it so that every driven wheel uses the same grip: traction proportional to
// driven normal load, which itself hangs on the bar forces; solved by rounds
// to 1e-12 of the weight. Bars act along the road at their height and carry
// no weight; a semi-trailer rests on the unit ahead. Source: statics of rigid
// bodies, derived; air resistance is left out.
func (c *Combination) Statics(gradeRatio, rollCoef, accelG float64) Forces {
	traction := make([]float64, len(c.Units))
	out := c.StaticsWith(gradeRatio, rollCoef, accelG, traction)
	weight := c.GrossKg * G
	for range maxRounds {
		change := 0.0
		for i, n := range out.DrivenUnitN {
			t := 0.0
			if out.DrivenN > 0 {
				t = out.NeedN * n / out.DrivenN
			}
			change = math.Max(change, math.Abs(t-traction[i]))
			traction[i] = t
		}
		out = c.StaticsWith(gradeRatio, rollCoef, accelG, traction)
		if !(change > roundsUntil*weight) {
			break
		}
	}
	return out
}

// StaticsWith is Statics with the traction of each unit given, newtons at the
// road, negative when braking. Units behind the foremost bar are balanced by
// the bars; what the foremost unit then has too much stands in ResidualN.
func (c *Combination) StaticsWith(gradeRatio, rollCoef, accelG float64, tractionN []float64) Forces {
	return c.forces(gradeRatio, rollCoef, accelG, Lean{}, tractionN)
}

func (c *Combination) forces(gradeRatio, rollCoef, accelG float64, lean Lean, tractionN []float64) Forces {
	n := len(c.Units)
	out := Forces{
		GradeRatio: gradeRatio, RollCoef: rollCoef, AccelG: accelG,
		SideN: make([][2]float64, len(c.Axles)),
		AxleN: make([]float64, len(c.Axles)), GroupN: make([][2]float64, n),
		HitchV: make([]float64, n), HitchH: make([]float64, n),
		TractionN: append([]float64(nil), tractionN...), DrivenUnitN: make([]float64, n),
	}
	cos := 1 / math.Sqrt(1+gradeRatio*gradeRatio)
	p := pose{cos: cos, slope: gradeRatio*cos + accelG, roll: rollCoef, lean: lean.Ratio, grow: lean.grow()}
	hung := 0.0 // moment across that the unit behind puts on this one's hitch, to the left positive
	for i := n - 1; i >= 0; i-- {
		b := p.behind(c, &out, i)
		b.across = hung
		var t tipped
		if c.Units[i].Kind == SemiTrailer {
			t = p.semi(c, &out, i, b)
		} else {
			t = p.own(c, &out, i, b)
		}
		hung = t.onPin
		c.spread(&out, i, t.sides)
	}
	out.ResidualN -= out.NeedN
	for _, t := range tractionN {
		out.ResidualN += t
	}
	out.GripUse = math.Inf(1)
	if out.DrivenN > 0 {
		out.GripUse = out.NeedN / out.DrivenN
	}
	return out
}

// pose is the train's attitude: cosine of the slope, sine plus acceleration
// over g, rolling coefficient.
type pose struct{ cos, slope, roll, lean, grow float64 }

// load is what the next unit puts on a hitch: weight down, pull backward.
type hitchLoad struct{ x, h, downN, backN, across float64 }

func (p pose) behind(c *Combination, out *Forces, i int) hitchLoad {
	if i+1 >= len(c.Units) {
		return hitchLoad{}
	}
	u, next := &c.Units[i], &c.Units[i+1]
	l := hitchLoad{x: u.HitchXM, h: u.HitchHM, downN: out.HitchV[i+1], backN: out.HitchH[i+1]}
	if next.ByBar {
		l.h = next.BarHeightM
	}
	return l
}

// semi balances a semi-trailer about its kingpin: one axle group at L, rolling
// and traction at the road, hf below the kingpin.
func (p pose) semi(c *Combination, out *Forces, i int, b hitchLoad) tipped {
	u := &c.Units[i]
	w, hf := u.MassKg*G, c.Units[i-1].HitchHM
	moment := w*p.cos*u.CGXM + w*p.slope*(u.CGHM-hf) + hf*out.TractionN[i] + b.x*b.downN + (b.h-hf)*b.backN
	sum := w*p.cos + b.downN
	t := p.acrossSemi(u, moment, sum, hf, b.across)
	out.GroupN[i][0] = t.groupN
	n := t.groupN
	out.HitchV[i] = sum - n
	out.HitchH[i] = w*p.slope + p.roll*n + b.backN - out.TractionN[i]
	out.NeedN += w*p.slope + p.roll*n
	return t
}

// own balances a unit on two groups of its own about the front one.
func (p pose) own(c *Combination, out *Forces, i int, b hitchLoad) tipped {
	u := &c.Units[i]
	w := u.MassKg * G
	sum := w*p.cos + b.downN
	need := w*p.slope + p.roll*sum
	t := tipped{sides: p.acrossOwn(u, sum, b.across)}
	x1, x2 := t.sides.centre(u, 0), t.sides.centre(u, 1)
	moment := (u.CGXM-x1)*w*p.cos + u.CGHM*w*p.slope + (b.x-x1)*b.downN + b.h*b.backN
	if i > 0 {
		out.HitchH[i] = need + b.backN - out.TractionN[i]
		moment -= u.BarHeightM * out.HitchH[i]
	}
	rear := moment / (x2 - x1)
	out.GroupN[i] = [2]float64{sum - rear, rear}
	out.NeedN += need
	t.sides.lean3(u, sum, rear)
	return t
}

// spread divides group loads among axles by their shares, and those among their
// sides.
func (c *Combination) spread(out *Forces, i int, sides sideShares) {
	u := &c.Units[i]
	var shares [2]float64
	driven, least := 0.0, math.Inf(1)
	for k := u.First; k <= u.Last; k++ {
		shares[c.Axles[k].Group] += c.Axles[k].Share
	}
	for k := u.First; k <= u.Last; k++ {
		a := &c.Axles[k]
		out.AxleN[k] = out.GroupN[i][a.Group] * a.Share / shares[a.Group]
		right := out.AxleN[k] * sides.right[a.Group]
		out.SideN[k] = [2]float64{out.AxleN[k] - right, right}
		if u.Lopsided {
			out.SideN[k] = c.sidesOf(k, out.GroupN[i][a.Group], sides.right[a.Group])
			out.AxleN[k] = out.SideN[k][Left] + out.SideN[k][Right]
		}
		if a.Driven {
			out.DrivenUnitN[i] += out.AxleN[k]
			driven, least = driven+1, math.Min(least, out.AxleN[k])
		}
	}
	if u.Power != nil && u.Power.OpenAxles && driven > 0 {
		out.DrivenUnitN[i] = driven * math.Max(least, 0) // each gets what the weakest takes
	}
	out.DrivenN += out.DrivenUnitN[i]
}
