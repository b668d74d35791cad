package traction

import (
	"math"
	"slices"

	"drawbar/vehicle"
)

// bin is a stretch of speeds on which the pull at the wheels and what resists by
// speed are both straight lines over w, the square of the speed.
type bin struct {
	low, high float64 // w, m2/s2
	f0, f1    float64 // pull: f0 - f1 w, newtons; f1 is not negative
	r0, r1    float64 // air, and rolling that grows with speed: r0 + r1 w, newtons
	massKg    float64 // of the train and of what rotates with it
	gear      int
}

// chordError is how far, as a share of the pull, a straight line may lie off it
// between its ends; binRatio is the widest bin, high over low. Both choices: the
// speed held on a grade is off by less than the first.
const (
	chordError = 1e-4
	binRatio   = 1.15
)

// plateTopMS bounds the speed of a train without a gear list, m/s. Choice: no
// heavy train goes faster.
const plateTopMS = 40

// engineTop is the rated speed in the highest gear, m/s.
func engineTop(d *vehicle.Driveline) float64 {
	if len(d.Gears) == 0 {
		return plateTopMS
	}
	top := 0.0
	for _, g := range d.Gears {
		top = math.Max(top, Speed(d, g, d.RatedRPM))
	}
	return top
}

// curve lays straight lines along the effort of all engines from rest to the top
// speed. It breaks where a gear comes to its peak torque or to its end, and then
// halves what is not straight enough. holdN, by unit, bounds each engine on the
// level; nil for no bound.
func (m *Marcher) curve(holdN []float64) []bin {
	var bins []bin
	breaks := m.breaks()
	for i := 1; i < len(breaks); i++ {
		bins = m.lay(bins, holdN, breaks[i-1], breaks[i], 24)
	}
	return bins
}

// breaks are the speeds where the effort may leap or bend, rest and the top
// speed among them.
func (m *Marcher) breaks() []float64 {
	v := []float64{0, m.topMS}
	for _, i := range m.power {
		d := m.c.Units[i].Power
		if len(d.Gears) == 0 {
			v = append(v, d.CrawlMS)
		}
		for _, g := range d.Gears {
			v = append(v, Speed(d, g, d.PeakTorqueRPM), Speed(d, g, d.RatedRPM))
		}
	}
	slices.Sort(v)
	v = slices.DeleteFunc(v, func(x float64) bool { return x > m.topMS })
	return slices.CompactFunc(v, func(a, b float64) bool { return math.Abs(b-a) <= 1e-6*b })
}

// lay appends the bins between two speeds. Halving ends at the latest after a
// number of rounds: at a bend between two gears the rest is too narrow to
// matter.
func (m *Marcher) lay(bins []bin, holdN []float64, from, to float64, rounds int) []bin {
	const inside = 1e-7 // a leap at an end belongs to the bin beyond
	low, high := from*from, to*to
	mid := math.Sqrt((low + high) / 2)
	left, gearLeft, _ := m.pull(holdN, from+inside*to)
	right, gearRight, _ := m.pull(holdN, to*(1-inside))
	at, gear, rotating := m.pull(holdN, mid)
	slow := m.c.GrossKg * vehicle.G * m.o.RollPerMS
	off := math.Abs(at-(left+right)/2) + slow*math.Abs(mid-(from+to)/2)
	bent := off > chordError*at || gearLeft != gearRight && high > low*1.001
	if rounds > 0 && (bent || low > 0 && high > binRatio*low) {
		bins = m.lay(bins, holdN, from, mid, rounds-1)
		return m.lay(bins, holdN, mid, to, rounds-1)
	}
	b := bin{low: low, high: high, gear: m.gear(gear, bins), massKg: m.bareKg + rotating}
	b.f1 = math.Max(0, (left-right)/(high-low))
	b.f0 = left + b.f1*low
	b.r1 = slow * (to - from) / (high - low)
	b.r0 = slow*from - b.r1*low
	b.r1 += AirResistance(m.o.DragAreaM2, 1)
	return append(bins, b)
}

// pull is what all engines give at a speed, the gears that give it, and the mass
// that their rotation adds.
func (m *Marcher) pull(holdN []float64, speedMS float64) (n float64, gears string, rotatingKg float64) {
	for _, i := range m.power {
		d := m.c.Units[i].Power
		one, name := Envelope(d, speedMS)
		one *= m.o.EffortShare
		if holdN != nil {
			one = math.Min(one, holdN[i])
		}
		n += one
		if gears != "" {
			gears += ", "
		}
		gears += name
		for _, g := range d.Gears {
			if g.Name == name {
				rotatingKg += RotatingKg(d, g)
			}
		}
	}
	return n, gears, rotatingKg
}

// gear is the index of a name in Gears, which the first curve fills. A curve laid
// by ground may meet, in a narrow bin, a pair of gears that the first one did
// not: that bin goes by the gears of the one before.
func (m *Marcher) gear(name string, before []bin) int {
	if i := slices.Index(m.Gears, name); i >= 0 {
		return i
	}
	if m.bins != nil {
		if len(before) == 0 {
			return 0
		}
		return before[len(before)-1].gear
	}
	m.Gears = append(m.Gears, name)
	return len(m.Gears) - 1
}
