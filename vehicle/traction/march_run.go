package traction

import (
	"math"

	"drawbar/vehicle"
)

// run is a march under way.
type run struct {
	m     *Marcher
	trip  Trip
	at    float64 // chainage of the last station, then of the place within a step
	w, v  float64 // speed: squared and itself
	k     int     // bin
	idleS float64
	brake float64 // twice the deceleration

	ground  ground
	grounds []ground // met before
	roadN   float64  // grade and rolling at rest
	gripN   float64  // bound by grip on this grade
	labours bool     // full effort no more than holds the speed
}

func (r *run) begin(w float64, bins []bin) {
	r.setSpeed(w)
	r.ground.bins = bins
	r.find()
}

func (r *run) setSpeed(w float64) { r.w, r.v = w, math.Sqrt(w) }

// find brings the bin to the speed.
func (r *run) find() {
	bins := r.ground.bins
	r.k = min(r.k, len(bins)-1)
	for r.k > 0 && r.w < bins[r.k].low {
		r.k--
	}
	for r.k < len(bins)-1 && r.w > bins[r.k].high {
		r.k++
	}
}

// fromRest stalls at once where the train does not start.
func (r *run) fromRest(s *Station) {
	l := Start(withoutBarRatings(r.m.c), s.Mu, s.Roll, r.m.o.Start)
	effort := l.EffortGrade
	if share := r.m.o.EffortShare; share < 1 {
		f := s.Roll * r.m.o.Start.BreakAway
		effort = (effort+f)*share - f
	}
	if s.GradeRatio <= math.Min(l.GripGrade, effort) {
		return
	}
	why := Effort
	if l.GripGrade < effort {
		why = Grip
	}
	r.stall(why)
}

func (r *run) stall(why string) {
	r.setSpeed(0)
	r.trip.Stall, r.trip.StallAtM = why, r.at
}

// note writes down a station.
func (r *run) note(out []State, i int) {
	if r.trip.Reached = i + 1; r.trip.Stall != "" {
		r.trip.Reached = i // it stands there and does not pass
	}
	if r.labours && r.trip.Stall == "" && !(r.v >= r.trip.SlowestMS) {
		r.trip.SlowestMS, r.trip.SlowestAtM = r.v, r.at
	}
	if out != nil {
		out[i] = State{r.v, r.trip.TimeS, r.fuelL(), r.ground.bins[r.k].gear}
	}
}

func (r *run) fuelL() float64 {
	o := &r.m.o
	return r.trip.WorkJ*r.m.litrePerJ() + o.IdleLPerH*r.idleS/secondPerH
}

const joulePerKWh, gramPerKg, secondPerH = 3.6e6, 1000, 3600

// litrePerJ is the fuel burnt for work at the wheels.
func (m *Marcher) litrePerJ() float64 {
	o := &m.o
	return (1 + o.AuxShare) / m.eta / joulePerKWh * o.FuelGPerKWh / gramPerKg / o.FuelKgPerL
}

// idleW is the power at the wheels that burns as much as idling does, watts.
func (m *Marcher) idleW() float64 { return m.o.IdleLPerH / secondPerH / m.litrePerJ() }

func (r *run) done(fromM float64) Trip {
	r.trip.LengthM, r.trip.EndMS, r.trip.FuelL = r.at-fromM, r.v, r.fuelL()
	return r.trip
}

// step goes on to the next station: first under the cap of this one, then where
// the speed must fall towards what may be had at its end.
func (r *run) step(s *Station, lengthM, endW float64) error {
	r.stand(s)
	capW := math.Min(s.CapMS, r.m.topMS)
	capW *= capW
	free := lengthM
	if capW > endW {
		free = math.Max(0, lengthM-(capW-endW)/r.brake)
	}
	r.labours = false
	if free > 0 {
		if err := r.advance(free, capW, 0); err != nil || r.trip.Stall != "" {
			return err
		}
	}
	if rest := lengthM - free; rest > 0 {
		return r.advance(rest, endW+r.brake*rest, r.brake)
	}
	return nil
}

// stand sets what the road asks and its grip gives.
func (r *run) stand(s *Station) {
	if g := &r.ground; g.mu != s.Mu || g.roll != s.Roll {
		r.change(s)
	}
	c := cos(s.GradeRatio)
	r.roadN = r.m.c.GrossKg * vehicle.G * c * (s.GradeRatio + s.Roll)
	r.gripN = r.ground.gripN * c
}

// change takes up the ground of a station, from those met before if it is among
// them.
func (r *run) change(s *Station) {
	for i := range r.grounds {
		if r.grounds[i].mu == s.Mu && r.grounds[i].roll == s.Roll {
			r.ground = r.grounds[i]
			r.find()
			return
		}
	}
	r.ground = r.m.ground(s.Mu, s.Roll)
	r.grounds = append(r.grounds, r.ground)
	r.find()
}
