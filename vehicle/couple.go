package vehicle

import (
	"errors"
	"fmt"
	"math"
)

// Bar couples a helper to the train behind it, or before it.
type Bar struct {
	LengthM float64 // from eye to eye, above 0
	HeightM float64 // above the road, above 0
	RatedN  float64 // pull it is rated for, NaN or 0 when not known
	Rope    bool    // a rope or chain: it pulls and never pushes
}

// ErrBar is returned by Couple for a bar that cannot be one.
var ErrBar = errors.New("bar needs a length of 0.3 to 60 m and a height of 0.05 to 3 m")

// ErrUnrated is returned by CoupleBehind where no file rates the couplings.
var ErrUnrated = errors.New("couplings are not rated for a helper behind")

// Joint is what two couplings that meet are rated for, the weaker of the two;
// NaN where one of them is not rated, and then the field that would say it.
type Joint struct {
	PushN, HoldN         float64
	PushField, HoldField string
}

// JointOf is the joint between the rear end of one combination and the front end
// of the one behind it.
func JointOf(front, rear *Combination) Joint {
	k := len(front.Units) - 1
	a, b := front.Units[k].RearCoupling, rear.Units[0].FrontCoupling
	ends := fmt.Sprintf("units[%d].rear_coupling.", k)
	j := Joint{PushN: math.Min(a.PushN, b.PushN), HoldN: math.Min(a.HoldN, b.HoldN)} // NaN when either is
	field := func(end, start float64, key string) string {
		switch {
		case !given(end):
			return fmt.Sprintf("%s%s of %s", ends, key, front.Name)
		case !given(start):
			return fmt.Sprintf("units[0].front_coupling.%s of %s", key, rear.Name)
		}
		return ""
	}
	j.PushField, j.HoldField = field(a.PushN, b.PushN, "push_kn"), field(a.HoldN, b.HoldN, "hold_kn")
	return j
}

// Couple puts a helper in front of a train by a bar and returns them as one
// more Combination: the helper's units first, distances counted from its
// foremost axle. Axle loads on the level do not change, a level bar carries no
// weight. Mass errors add as independent. The turning radius is the larger of
// the two, NaN when either is. Fields and assumptions of the helper are named
// with "helper." ahead. Without a hitch on the helper the bar is taken to hook
// on at its rear end, without overhangs at the axle: listed. Through a stiff bar
// as much may be pushed as both couplings are rated for, nothing where one is not.
func Couple(helper, train *Combination, b Bar) (*Combination, error) {
	if helper == nil || train == nil || len(helper.Units) == 0 || len(train.Units) == 0 {
		return nil, errors.New("couple needs a helper and a train: make both with New first")
	}
	return join(helper, train, helper, b)
}

// CoupleBehind puts a helper behind a train, to push it or to hold it back, as
// Couple does ahead; distances are counted from the train's foremost axle. The bar
// carries no more than the couplings are rated for in the two files, and a rope
// pushes nothing. The error wraps ErrUnrated where they are rated for neither.
func CoupleBehind(train, helper *Combination, b Bar) (*Combination, error) {
	if helper == nil || train == nil || len(helper.Units) == 0 || len(train.Units) == 0 {
		return nil, errors.New("couple needs a train and a helper: make both with New first")
	}
	j := JointOf(train, helper)
	if !given(j.PushN) && !given(j.HoldN) {
		return nil, fmt.Errorf("%w: give %s or %s", ErrUnrated, j.PushField, j.HoldField)
	}
	if !given(j.HoldN) {
		j.HoldN = leastHoldN
	}
	if !(b.RatedN > 0) || j.HoldN < b.RatedN {
		b.RatedN = j.HoldN
	}
	return join(train, helper, helper, b)
}

// leastHoldN stands for a coupling that is not rated to be pulled at: as good as
// nothing, and still a rating.
const leastHoldN = 1.0

// join puts two combinations one behind the other; one of them is the helper.
func join(front, rear, helper *Combination, b Bar) (*Combination, error) {
	if !within(b.LengthM, spanSize) || !within(b.HeightM, spanLow) {
		return nil, fmt.Errorf("%w, has %g and %g", ErrBar, b.LengthM, b.HeightM)
	}
	if b.RatedN < 0 || math.IsInf(b.RatedN, 0) {
		return nil, fmt.Errorf("bar rating must be above 0 N or left out, is %g", b.RatedN)
	}
	if b.RatedN == 0 {
		b.RatedN = math.NaN()
	}
	train := rear
	if helper == rear {
		train = front
	}
	c := &Combination{
		Name:  front.Name + " + " + rear.Name,
		Kind:  train.Kind,
		Level: lowerLevel(front.Level, rear.Level),
		Units: append(append([]Unit(nil), front.Units...), rear.Units...),
		Axles: append(append([]Axle(nil), front.Axles...), rear.Axles...),

		GrossKg:          front.GrossKg + rear.GrossKg,
		GrossSEKg:        math.Hypot(front.GrossSEKg, rear.GrossSEKg),
		TurnOuterRadiusM: math.Max(front.TurnOuterRadiusM, rear.TurnOuterRadiusM),
		Lacking:          bothLacking(helper, train),
		Assumed:          bothAssumed(helper, train),
	}
	c.shift(front, c.hook(front, rear, helper, b))
	c.measure()
	c.HeightSEM = rear.HeightSEM
	if front.HeightM > rear.HeightM {
		c.HeightSEM = front.HeightSEM
	}
	return c, nil
}

func within(v float64, s span) bool { return v >= s.low && v <= s.high }

// hook sets the bar between front and rear and returns where the rear one's
// foremost axle stands behind the front one's.
func (c *Combination) hook(front, rear, helper *Combination, b Bar) float64 {
	k := len(front.Units)
	last, lead := &c.Units[k-1], &c.Units[k]
	of := map[bool]string{true: helperPrefix, false: ""}
	if !given(last.HitchXM) {
		end := last.RearOverhangM
		if !given(end) {
			end = c.assumed(of[front == helper]+"rear_overhang_m", noOverhang)
		}
		last.HitchXM = c.Axles[last.Last].AtM - last.AtM + end
		c.assumed(of[front == helper]+"hitch.at_m", Assumption{Value: last.HitchXM, Unit: "m", Source: "bar hooked on at the rear end", Standing: "choice"})
	}
	if !given(last.HitchHM) {
		last.HitchHM = b.HeightM
	}
	ahead := lead.FrontOverhangM
	if !given(ahead) {
		ahead = c.assumed(of[rear == helper]+"front_overhang_m", noOverhang)
	}
	lead.ByBar, lead.BarLengthM, lead.BarHeightM, lead.BarRatedN, lead.BarAheadM = true, b.LengthM, b.HeightM, b.RatedN, ahead
	lead.BarPushN = 0
	if push := JointOf(front, rear).PushN; push > 0 && !b.Rope {
		lead.BarPushN = push
	}
	return last.AtM + last.HitchXM + b.LengthM + ahead
}

func (c *Combination) assumed(key string, a Assumption) float64 {
	a.Key = key
	c.Assumed = append(c.Assumed, a)
	return a.Value
}

// shift moves the rear one behind the front one.
func (c *Combination) shift(front *Combination, by float64) {
	nu, na := len(front.Units), len(front.Axles)
	for i := nu; i < len(c.Units); i++ {
		c.Units[i].AtM += by
		c.Units[i].First += na
		c.Units[i].Last += na
	}
	for k := na; k < len(c.Axles); k++ {
		c.Axles[k].AtM += by
		c.Axles[k].Unit += nu
	}
}

func lowerLevel(a, b string) string {
	for _, l := range levels {
		if a == l || b == l {
			return l
		}
	}
	return a
}

const helperPrefix = "helper."

func bothLacking(helper, train *Combination) []Lack {
	var out []Lack
	for _, l := range helper.Lacking {
		l.Field = helperPrefix + l.Field
		out = append(out, l)
	}
	return append(out, train.Lacking...)
}

func bothAssumed(helper, train *Combination) []Assumption {
	var out []Assumption
	for _, a := range helper.Assumed {
		a.Key = helperPrefix + a.Key
		out = append(out, a)
	}
	return append(out, train.Assumed...)
}
