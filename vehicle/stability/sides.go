package stability

import "drawbar/vehicle"

// RightShares are, by axle, the shares of its load that its right side carries
// when the train leans to the right (negative: to the left), a half on the level
// with the load in the middle. All axles of a unit share alike, as they do when
// their suspensions are joined or equally stiff. Above 1 the left side has
// lifted: the train is past what these statics can say.
//
// Moments about the middle of the road close: over all axles, load times
// (2 share - 1) times half width is the moment of all weights at their heights,
// grown by what the bodies roll.
func RightShares(c *vehicle.Combination, lean float64, r Roll) ([]float64, error) {
	if err := lacking(c); err != nil {
		return nil, err
	}
	out := make([]float64, len(c.Axles))
	grow := 1 / r.Factor()
	hung := 0.0 // moment that the kingpin behind puts on the unit, kg m
	for i := len(c.Units) - 1; i >= 0; i-- {
		u := &c.Units[i]
		onWheels := 0.0
		for k := u.First; k <= u.Last; k++ {
			onWheels += c.Axles[k].Kg
		}
		moment := u.MassKg*(u.CGHM*grow*lean-u.CGYM) + hung
		hung = onPin(c, i, moment, onWheels, lean)
		share := 0.5 + (moment-hung)/(2*u.SupportHalfWidthM*onWheels)
		for k := u.First; k <= u.Last; k++ {
			out[k] = share
		}
	}
	return out, nil
}

// onPin is the part of a semi-trailer's moment that its kingpin puts on the unit
// ahead: its share of the load, or with three fields the side force at the fifth
// wheel alone.
func onPin(c *vehicle.Combination, i int, moment, onWheelsKg, lean float64) float64 {
	u := &c.Units[i]
	if u.Kind != vehicle.SemiTrailer || i == 0 {
		return 0
	}
	pin := carriedKg(c, i) - onWheelsKg
	if fields(u) == 3 {
		return pin * c.Units[i-1].HitchHM * lean
	}
	return moment * pin / (pin + onWheelsKg)
}

// carriedKg is what unit i and the kingpins on it weigh.
func carriedKg(c *vehicle.Combination, i int) float64 {
	kg := c.Units[i].MassKg
	for j := i + 1; j < len(c.Units) && c.Units[j].Kind == vehicle.SemiTrailer; j++ {
		kg += c.Units[j].MassKg
		for k := c.Units[j].First; k <= c.Units[j].Last; k++ {
			kg -= c.Axles[k].Kg
		}
	}
	return kg
}
