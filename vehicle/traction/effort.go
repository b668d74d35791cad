package traction

import (
	"math"

	"drawbar/vehicle"
)

// Pull is the force at the wheels, newtons, of an engine torque in a gear:
// T i eta / r. Textbook mechanics.
func Pull(d *vehicle.Driveline, g vehicle.Gear, torqueNm float64) float64 {
	return torqueNm * g.Ratio * d.Efficiency / d.RadiusM
}

// Speed is the road speed, m/s, of an engine speed in a gear, without slip:
// 2 pi n/60 r / i.
func Speed(d *vehicle.Driveline, g vehicle.Gear, rpm float64) float64 {
	return 2 * math.Pi * rpm / 60 * d.RadiusM / g.Ratio
}

// rpm is the inverse of Speed.
func rpm(d *vehicle.Driveline, g vehicle.Gear, speedMS float64) float64 {
	return speedMS * g.Ratio / d.RadiusM * 60 / (2 * math.Pi)
}

// RotatingKg is the mass that the engine's inertia adds to the train's when a
// gear accelerates it: J i2 / r2, kg. The fit 1.04 + 0.0025 i2 of cars is wrong
// in crawler gears and is not used.
func RotatingKg(d *vehicle.Driveline, g vehicle.Gear) float64 {
	return d.EngineInertia * g.Ratio * g.Ratio / (d.RadiusM * d.RadiusM)
}

// Torque is the full-load engine torque at an engine speed, N m: the clutch
// torque below the speed of peak torque, then a straight line to the torque of
// rated power at rated speed, 0 above it. The line is a choice: real curves lie
// above it.
func Torque(d *vehicle.Driveline, rpm float64) float64 {
	// A speed worked back from one of the two corners is off by rounding.
	const corner = 1e-9
	switch {
	case rpm < d.PeakTorqueRPM*(1-corner):
		return d.StartTorqueNm
	case rpm > d.RatedRPM*(1+corner):
		return 0
	}
	rated := d.RatedPowerW / (2 * math.Pi * d.RatedRPM / 60)
	t := (rpm - d.PeakTorqueRPM) / (d.RatedRPM - d.PeakTorqueRPM)
	return d.PeakTorqueNm + math.Max(0, math.Min(1, t))*(math.Min(rated, d.PeakTorqueNm)-d.PeakTorqueNm)
}

// Envelope is the largest pull at the wheels at a road speed, newtons, and the
// gear that gives it: over all gears the smaller of torque and P eta/v. Without
// a gear list P eta/v, at and below the crawl speed that of the crawl speed. 0
// above the top speed.
func Envelope(d *vehicle.Driveline, speedMS float64) (float64, string) {
	if len(d.Gears) == 0 {
		return d.RatedPowerW * d.Efficiency / math.Max(speedMS, d.CrawlMS), "power"
	}
	best, name := 0.0, ""
	for _, g := range d.Gears {
		if n := Pull(d, g, Torque(d, rpm(d, g, speedMS))); n > best {
			best, name = n, g.Name
		}
	}
	if limit := PowerPull(d, speedMS); limit < best {
		best = limit
	}
	return best, name
}

// PowerPull is P eta / v, newtons; +Inf at rest.
func PowerPull(d *vehicle.Driveline, speedMS float64) float64 {
	if speedMS <= 0 {
		return math.Inf(1)
	}
	return d.RatedPowerW * d.Efficiency / speedMS
}

// PowerSpeed is the speed, m/s, that rated power holds on a grade, gears and
// air left out: P eta / (m g sin + f m g cos). +Inf where nothing resists.
func PowerSpeed(d *vehicle.Driveline, massKg, gradeRatio, f float64) float64 {
	r := GradeResistance(massKg, gradeRatio) + RollingResistance(massKg, gradeRatio, f)
	if r <= 0 {
		return math.Inf(1)
	}
	return d.RatedPowerW * d.Efficiency / r
}

// effort is what the engines of a train give together.
type effort struct {
	unitN      []float64 // by unit, at the wheels; 0 without an engine
	sumN       float64
	speedMS    float64 // common speed; 0 from rest
	rotatingKg float64
	gears      string
	steps      []Step
}

// drives says whether a unit turns wheels by itself.
func drives(c *vehicle.Combination, i int) bool {
	u := &c.Units[i]
	if u.Power == nil {
		return false
	}
	for _, a := range c.Axles[u.First : u.Last+1] {
		if a.Driven {
			return true
		}
	}
	return false
}

// crawl finds the common speed at which the engines together pull most. An
// envelope only falls between the speeds where a gear comes to its peak
// torque, so those speeds are all that need trying.
func crawl(c *vehicle.Combination) effort {
	best := effort{unitN: make([]float64, len(c.Units))}
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		d := c.Units[i].Power
		if len(d.Gears) == 0 {
			best = better(c, best, d.CrawlMS)
		}
		for _, g := range d.Gears {
			best = better(c, best, Speed(d, g, d.PeakTorqueRPM))
		}
	}
	return best
}

func better(c *vehicle.Combination, best effort, speedMS float64) effort {
	e := effort{unitN: make([]float64, len(c.Units)), speedMS: speedMS}
	e.steps = append(e.steps, Step{"crawl speed", speedMS, "m/s", "common speed at which the engines together pull most"})
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		n, gear := Envelope(c.Units[i].Power, speedMS)
		e.add(i, n, gear)
		e.steps = append(e.steps, Step{"effort of " + c.Units[i].Name, n, "N", howEffort(c.Units[i].Power, gear)})
	}
	if e.sumN > best.sumN {
		return e
	}
	return best
}

func (e *effort) add(i int, n float64, gear string) {
	e.unitN[i] = n
	e.sumN += n
	if e.gears != "" {
		e.gears += ", "
	}
	e.gears += gear
}

func howEffort(d *vehicle.Driveline, gear string) string {
	if len(d.Gears) == 0 {
		return "power times efficiency over speed: no gear list"
	}
	return "torque times ratio times efficiency over radius, gear " + gear
}

// fromRest picks for each engine the gear that leaves most pull after its own
// rotating mass is accelerated. Clutches slip, so no common speed is needed.
func fromRest(c *vehicle.Combination, accelMS2 float64) effort {
	e := effort{unitN: make([]float64, len(c.Units))}
	for i := range c.Units {
		if !drives(c, i) {
			continue
		}
		d := c.Units[i].Power
		n, rotating, gear := d.StartShare*PowerPull(d, d.CrawlMS), 0.0, "power"
		if len(d.Gears) > 0 {
			n, rotating, gear = bestStart(d, accelMS2)
		}
		e.add(i, n, gear)
		e.rotatingKg += rotating
		e.steps = append(e.steps,
			Step{"effort from rest of " + c.Units[i].Name, n, "N", howStart(d, gear)},
			Step{"rotating mass of " + c.Units[i].Name, rotating, "kg", "engine inertia times ratio squared over radius squared"})
	}
	return e
}

func howStart(d *vehicle.Driveline, gear string) string {
	if len(d.Gears) == 0 {
		return "share of the pull at crawl speed: no gear list"
	}
	if d.Converter {
		return "torque at converter stall times the stall ratio, gear " + gear
	}
	return "torque at clutch engagement, gear " + gear
}

func bestStart(d *vehicle.Driveline, accelMS2 float64) (pullN, rotatingKg float64, gear string) {
	best := math.Inf(-1)
	for _, g := range d.Gears {
		n, m := Pull(d, g, d.StartTorqueNm*d.StallRatio), RotatingKg(d, g)
		if left := n - m*accelMS2; left > best {
			best, pullN, rotatingKg, gear = left, n, m, g.Name
		}
	}
	return pullN, rotatingKg, gear
}
