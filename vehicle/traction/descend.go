package traction

import (
	"math"

	"drawbar/vehicle"
)

// Retard is what engine and retarder hold back with at the road in a gear with
// the throttle shut, newtons: drag torque times ratio over radius, and of the
// retarder the least of its power over the speed and of its torques times what
// multiplies them. 0 above the gear's rated speed: the engine would run away.
// Losses of the driveline would help; none are counted. Textbook mechanics.
func Retard(d *vehicle.Driveline, g vehicle.Gear, speedMS float64) float64 {
	const corner = 1e-9 // a rated speed worked back is off by rounding
	if rpm(d, g, speedMS) > d.RatedRPM*(1+corner) {
		return 0
	}
	n := d.DragTorqueNm * g.Ratio / d.RadiusM
	if !(d.RetarderPowerW > 0) {
		return n
	}
	force := math.Min(d.RetarderCrankNm*g.Ratio, d.RetarderShaftNm*d.FinalRatio) / d.RadiusM
	return n + math.Min(force, d.RetarderPowerW/speedMS)
}

// BestRetard is the most that Retard gives in any gear at a speed, m/s above 0,
// and the gear. Without a gear list drag power and retarder power over the
// speeds from which they are taken, no more when slower.
func BestRetard(d *vehicle.Driveline, speedMS float64) (forceN float64, gear string) {
	if len(d.Gears) == 0 {
		n := d.DragPowerW / math.Max(speedMS, d.CrawlMS)
		if d.RetarderPowerW > 0 {
			n += d.RetarderPowerW / math.Max(speedMS, d.RetardMS)
		}
		return n, "lowest"
	}
	for _, g := range d.Gears {
		if n := Retard(d, g, speedMS); n > forceN {
			forceN, gear = n, g.Name
		}
	}
	return forceN, gear
}

// CrawlDownMS is the speed, m/s, of a descent in the lowest gear: rated engine
// speed of the slowest engine, of those without a gear list the crawl speed.
// +Inf without an engine.
func CrawlDownMS(c *vehicle.Combination) float64 {
	v := math.Inf(1)
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		d := c.Units[i].Power
		if len(d.Gears) == 0 {
			v = math.Min(v, d.CrawlMS)
			continue
		}
		v = math.Min(v, Speed(d, d.Gears[0], d.RatedRPM))
	}
	return v
}

// retards is what every engine holds back with at a common speed, and the gears.
func retards(c *vehicle.Combination, speedMS float64) (unitN []float64, gears string) {
	e := effort{unitN: make([]float64, len(c.Units))}
	for i := range c.Units {
		if drives(c, i) {
			n, gear := BestRetard(c.Units[i].Power, speedMS)
			e.add(i, n, gear)
		}
	}
	return e.unitN, e.gears
}

// Descend is the steepest grade down, a positive number, that engine and
// retarder hold at crawl in the lowest gear without the service brakes, on
// adhesion mu of the driven wheels and rolling coefficient f. The trailer pushes
// on the tractor; its push and the slope unload the rear driven wheels, so
// that with little grip a train jack-knifes before its retarder gives out.
// Through a bar no more is held than it is rated for. Derived from statics.
func Descend(c *vehicle.Combination, mu, f float64) Limit {
	v := CrawlDownMS(c)
	unitN, gears := retards(c, v)
	h := newHoldback(c, mu, f, -1, unitN, holding(c, func(a *vehicle.Axle) bool { return a.Driven }))
	return h.limit(v, gears)
}

// Brake is the steepest grade down, a positive number, that the service brakes
// hold: of every unit the grip of its braked axles, each using it alike, and no
// more than their force where the file gives it. Their heat is another matter.
// With no braked axle it is where rolling resistance holds the train.
func Brake(c *vehicle.Combination, mu, f float64) Limit {
	h := newHoldback(c, mu, f, -1, serviceN(c), holding(c, braked))
	return h.limit(math.NaN(), "")
}

func braked(a *vehicle.Axle) bool { return a.Braked }

// serviceN are the forces of the service brakes by unit; without bound where the
// file does not give them, 0 for a unit without.
func serviceN(c *vehicle.Combination) []float64 {
	out := make([]float64, len(c.Units))
	for i, axles := range holding(c, braked) {
		switch n := c.Units[i].Brakes.ServiceN; {
		case len(axles) == 0:
		case math.IsNaN(n):
			out[i] = math.Inf(1)
		default:
			out[i] = n
		}
	}
	return out
}

// StopOf is the way, metres, in which a train stops going down a grade
// (positive) from speedMS after reactS in which nothing happens: v t + v2 / 2a. Of
// every unit the braked axles use the grip mu, no more than the brakes' force
// where the file gives it; braking moves load forward. +Inf where it does not
// stop. Derived.
func StopOf(c *vehicle.Combination, speedMS, reactS, downRatio, mu, f float64) float64 {
	h := newHoldback(c, mu, f, -1, serviceN(c), holding(c, braked))
	force := make([]float64, len(c.Units))
	a := 0.0
	for range maxHoldRounds {
		s := c.StaticsWith(-downRatio, f, -a/vehicle.G, force)
		total := 0.0
		for i := range force {
			force[i] = -math.Min(h.capN[i], h.grip(&s, i))
			total -= force[i]
		}
		next := total/c.GrossKg + vehicle.G*(f*cos(downRatio)-sin(downRatio))
		done := math.Abs(next-a) <= 1e-9
		if a = next; done {
			break
		}
	}
	if a <= 0 {
		return math.Inf(1)
	}
	return speedMS*reactS + speedMS*speedMS/(2*a)
}

// PushN is the force along the road that a descent leaves to hold at a constant
// speed: m g sin - f m g cos, newtons; the grade is positive downhill. Air is
// left out. 0 where the train does not run off.
func PushN(massKg, downRatio, f float64) float64 {
	return math.Max(0, GradeResistance(massKg, downRatio)-RollingResistance(massKg, downRatio, f))
}

// HoldPowerW is the power that holds a constant speed going down: PushN times
// speed. Source: reference mechanics of a retarder, P >= (m g sin - f m g cos) v.
func HoldPowerW(massKg, downRatio, f, speedMS float64) float64 {
	return PushN(massKg, downRatio, f) * speedMS
}

// HeldMS is the speed, m/s, that a power holds going down without gears or grip
// in the way; +Inf where nothing pushes.
func HeldMS(powerW, massKg, downRatio, f float64) float64 {
	return powerW / PushN(massKg, downRatio, f)
}

// FastestDown is the fastest constant speed, m/s, at which engine and retarder
// hold the train on a grade down (positive), and the gears for it; 0 where
// they do not even in the lowest. What they give falls with speed, in one gear
// and from gear to gear, so the speed is bisected, to 1e-9 of the top speed.
// Grip is not looked at: it is needed alike at every speed ([Descend]). The
// train's top speed where nothing pushes.
func FastestDown(c *vehicle.Combination, downRatio, f float64) (speedMS float64, gears string) {
	need := PushN(c.GrossKg, downRatio, f)
	holds := func(v float64) bool {
		n, _ := retards(c, v)
		return sum(n) >= need
	}
	low, high := 0.0, topSpeed(c)
	if crawl := CrawlDownMS(c); holds(crawl) {
		low = math.Min(crawl, high)
	} else {
		return 0, ""
	}
	if holds(high) {
		low = high
	}
	for range 30 {
		if mid := (low + high) / 2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	_, gears = retards(c, low)
	return low, gears
}

// topSpeed is the rated speed in the highest gear, of the slowest engine; of
// those without gears 25 m/s, more than any of these trains is allowed.
func topSpeed(c *vehicle.Combination) float64 {
	v := 25.0
	for i := range c.Units {
		if d := c.Units[i].Power; drives(c, i) && len(d.Gears) > 0 {
			v = math.Min(v, Speed(d, d.Gears[len(d.Gears)-1], d.RatedRPM))
		}
	}
	return v
}

// StopM is the way in which a train stops going down a grade (positive), metres:
// v t + v2 / 2a with a = g (mu cos + f cos - sin), every wheel braked at grip
// mu, after a time in which nothing happens. +Inf where it does not stop.
// Derived.
func StopM(speedMS, reactS, downRatio, mu, f float64) float64 {
	a := vehicle.G * ((mu+f)*cos(downRatio) - sin(downRatio))
	if a <= 0 {
		return math.Inf(1)
	}
	return speedMS*reactS + speedMS*speedMS/(2*a)
}
