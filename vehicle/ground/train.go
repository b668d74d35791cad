package ground

import (
	"fmt"
	"math"

	"drawbar/vehicle"
)

// Train is what a train needs of fine-grained soil: that of its worst unit.
type Train struct {
	Unit       string // the worst
	One, Fifty Range  // rating cone index for one pass of the train and for fifty
	Lacks      string // the field that is missing; then nothing else is known
}

// After is the need for a number of passes between one and fifty, in between by
// the logarithm. Choice; outside it the nearer end.
func (t Train) After(passes float64) Range {
	share := math.Min(math.Max(math.Log(passes)/math.Log(50), 0), 1)
	return Range{t.One.Low + share*(t.Fifty.Low-t.One.Low), t.One.High + share*(t.Fifty.High-t.One.High)}
}

// Of reckons a train unit by unit: each on the load its own axles carry.
func Of(c *vehicle.Combination) (t Train) {
	t.One.High = -1
	for i := range c.Units {
		w, lacks := wheelsOf(c, i)
		if lacks != "" {
			return Train{Lacks: lacks}
		}
		if one, fifty := w.Needs(); one.High > t.One.High {
			t = Train{Unit: c.Units[i].Name, One: one, Fifty: fifty}
		}
	}
	return t
}

func wheelsOf(c *vehicle.Combination, i int) (w Wheels, lacks string) {
	u := &c.Units[i]
	w = Wheels{TyreWidthM: math.Inf(1), TyreDiamM: math.Inf(1), ClearanceM: math.NaN(), Powered: u.Power != nil, Automatic: true, Deflections: Deflections}
	for k := u.First; k <= u.Last; k++ {
		a := &c.Axles[k]
		w.Kg += a.Kg
		w.AxleKg = math.Max(w.AxleKg, a.Kg)
		w.Axles++
		w.Tyres += a.Tyres
		switch {
		case a.Tyres == 0:
			return w, field(i, k-u.First, "tyres")
		case math.IsNaN(a.TyreWidthM):
			return w, field(i, k-u.First, "tyre_width_m")
		case math.IsNaN(a.TyreDiameterM):
			return w, field(i, k-u.First, "tyre_diameter_m")
		}
		w.TyreWidthM, w.TyreDiamM = math.Min(w.TyreWidthM, a.TyreWidthM), math.Min(w.TyreDiamM, a.TyreDiameterM)
	}
	for _, p := range u.Underside {
		if math.IsNaN(w.ClearanceM) || p.HeightM < w.ClearanceM {
			w.ClearanceM = p.HeightM
		}
	}
	if u.Power != nil {
		w.KWPerTonne = u.Power.RatedPowerW / 1000 / (c.GrossKg / 1000)
	}
	return w, ""
}

func field(unit, axle int, name string) string {
	return fmt.Sprintf("units[%d].axles[%d].%s", unit, axle, name)
}
