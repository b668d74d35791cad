package vehicle

import (
	"errors"
	"fmt"
	"math"
)

// Bar couples a helper to the train behind it.
type Bar struct {
	LengthM float64 // from eye to eye, above 0
	HeightM float64 // above the road, above 0
	RatedN  float64 // pull it is rated for, NaN or 0 when not known
}

// ErrBar is returned by Couple for a bar that cannot be one.
var ErrBar = errors.New("bar needs a length of 0.3 to 60 m and a height of 0.05 to 3 m")

// Couple puts a helper in front of a train by a bar and returns them as one
// more Combination: the helper's units first, distances counted from its
// foremost axle. Axle loads on the level do not change, a level bar carries no
// weight. Mass errors add as independent. The turning radius is the larger of
// the two, NaN when either is. Fields and assumptions of the helper are named
// with "helper." ahead. Without a hitch on the helper the bar is taken to hook
// on at its rear end, without overhangs at the axle: listed.
func Couple(helper, train *Combination, b Bar) (*Combination, error) {
	if helper == nil || train == nil || len(helper.Units) == 0 || len(train.Units) == 0 {
		return nil, errors.New("couple needs a helper and a train: make both with New first")
	}
	if !within(b.LengthM, spanSize) || !within(b.HeightM, spanLow) {
		return nil, fmt.Errorf("%w, has %g and %g", ErrBar, b.LengthM, b.HeightM)
	}
	if b.RatedN < 0 || math.IsInf(b.RatedN, 0) {
		return nil, fmt.Errorf("bar rating must be above 0 N or left out, is %g", b.RatedN)
	}
	if b.RatedN == 0 {
		b.RatedN = math.NaN()
	}
	c := &Combination{
		Name:  helper.Name + " + " + train.Name,
		Kind:  train.Kind,
		Level: lowerLevel(helper.Level, train.Level),
		Units: append(append([]Unit(nil), helper.Units...), train.Units...),
		Axles: append(append([]Axle(nil), helper.Axles...), train.Axles...),

		GrossKg:          helper.GrossKg + train.GrossKg,
		GrossSEKg:        math.Hypot(helper.GrossSEKg, train.GrossSEKg),
		TurnOuterRadiusM: math.Max(helper.TurnOuterRadiusM, train.TurnOuterRadiusM),
		Lacking:          bothLacking(helper, train),
		Assumed:          bothAssumed(helper, train),
	}
	c.shift(helper, c.hook(helper, b))
	c.measure()
	return c, nil
}

func within(v float64, s span) bool { return v >= s.low && v <= s.high }

// hook sets the bar between helper and train and returns where the train's
// foremost axle stands behind the helper's.
func (c *Combination) hook(helper *Combination, b Bar) float64 {
	k := len(helper.Units)
	rear, lead := &c.Units[k-1], &c.Units[k]
	if !given(rear.HitchXM) {
		end := rear.RearOverhangM
		if !given(end) {
			end = c.assumed("helper.rear_overhang_m", noOverhang)
		}
		rear.HitchXM = c.Axles[rear.Last].AtM - rear.AtM + end
		c.assumed("helper.hitch.at_m", Assumption{Value: rear.HitchXM, Unit: "m", Source: "bar hooked on at the helper's rear end", Standing: "choice"})
	}
	if !given(rear.HitchHM) {
		rear.HitchHM = b.HeightM
	}
	ahead := lead.FrontOverhangM
	if !given(ahead) {
		ahead = c.assumed("front_overhang_m", noOverhang)
	}
	lead.ByBar, lead.BarLengthM, lead.BarHeightM, lead.BarRatedN, lead.BarAheadM = true, b.LengthM, b.HeightM, b.RatedN, ahead
	return rear.AtM + rear.HitchXM + b.LengthM + ahead
}

func (c *Combination) assumed(key string, a Assumption) float64 {
	a.Key = key
	c.Assumed = append(c.Assumed, a)
	return a.Value
}

// shift moves the train behind the helper.
func (c *Combination) shift(helper *Combination, by float64) {
	nu, na := len(helper.Units), len(helper.Axles)
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
