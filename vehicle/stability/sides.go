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
// grown by what the bodies roll. See [vehicle.Combination.StaticsLeaning].
func RightShares(c *vehicle.Combination, lean float64, r Roll) ([]float64, error) {
	if err := lacking(c); err != nil {
		return nil, err
	}
	f := c.StaticsLeaning(0, 0, vehicle.Lean{Ratio: lean, Grow: 1 / r.Factor()})
	out := make([]float64, len(c.Axles))
	for k := range out {
		out[k] = f.SideN[k][vehicle.Right] / f.AxleN[k]
	}
	return out, nil
}
