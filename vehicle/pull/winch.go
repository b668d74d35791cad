// Package pull is winching: what a winch has on each layer of its drum, parts of
// line and blocks, and what a load asks of rope and anchor. Lengths in metres,
// forces in newtons.
package pull

import (
	"errors"
	"fmt"
	"math"

	"drawbar/vehicle"
)

// Winch reckons with a winch and its rope.
type Winch vehicle.Winch

// Choices and rules of the trade.
const (
	// TackleShare of the load's resistance is added for each sheave. Source:
	// recovery safety guide, procedure steps 3 to 5, read.
	TackleShare = 0.10
	// DesignFactor is the least breaking force over the pull of a line that pulls.
	// Source: one winch maker's text, read; recovery practice 3 to 4, memory.
	DesignFactor = 3.5
	// KeepTurns stay on the drum. Memory, unverified.
	KeepTurns = 5
	// MostParts of line are rigged. Choice.
	MostParts = 12
)

// ErrWinch is returned for a winch that cannot be one.
var ErrWinch = errors.New("winch")

// Check reports what is wrong with a winch.
func (w Winch) Check() error {
	switch {
	case !(w.PullN > 0 && w.DrumM > 0 && w.RopeM > 0 && w.RopeD > 0):
		return fmt.Errorf("%w: pull, drum, rope length and rope diameter must be above 0", ErrWinch)
	case !(w.WidthM > w.RopeD):
		return fmt.Errorf("%w: the drum is %.3f m wide, no wider than its rope (%.3f m)", ErrWinch, w.WidthM, w.RopeD)
	case w.DrumM < w.RopeD:
		return fmt.Errorf("%w: the rope (%.3f m) is thicker than the drum (%.3f m)", ErrWinch, w.RopeD, w.DrumM)
	case w.BreakN <= 0 || w.AnchorN <= 0:
		return fmt.Errorf("%w: breaking force and anchor must be above 0, or NaN when not known", ErrWinch)
	}
	return nil
}

// LayerPull is the pull on layer n of the drum, counted from 1:
// F1 (D+d)/(D+(2n-1)d), torque over the radius to the rope's middle. Derived.
func (w Winch) LayerPull(n int) float64 {
	return w.PullN * (w.DrumM + w.RopeD) / (w.DrumM + float64(2*n-1)*w.RopeD)
}

// LayerM is the rope that layer n takes: turns times pi times the diameter to
// the rope's middle.
func (w Winch) LayerM(n int) float64 {
	turns := math.Floor(w.WidthM / w.RopeD)
	return turns * math.Pi * (w.DrumM + float64(2*n-1)*w.RopeD)
}

// Layer is the layer that pulls when a length of rope is out; 0 when that is
// more than the rope less the turns that must stay.
func (w Winch) Layer(outM float64) int {
	if outM > w.RopeM-w.keptM() || outM < 0 {
		return 0
	}
	left, n := w.RopeM-outM, 1
	for left > w.LayerM(n) {
		left -= w.LayerM(n)
		n++
	}
	return n
}

func (w Winch) keptM() float64 { return KeepTurns * math.Pi * (w.DrumM + w.RopeD) }

// Rig is how a load is pulled.
type Rig struct {
	Parts   int     // of line between winch side and load
	Sheaves int     // Parts - 1
	TackleN float64 // resistance of the sheaves
	TotalN  float64 // load and tackle
	FallN   float64 // on the line that goes to the winch
	// ReachM is how far one set of the rope pulls: the rope out over the parts.
	ReachM float64
}

// RigFor is the rig with the fewest parts whose fall line the winch pulls on its
// outermost layer in use, so that it pulls from the first metre to the last.
// Tackle is added as TackleShare of the load for each sheave. ok is false when
// none up to MostParts does: with 10 % a sheave the fall line never gets below a
// tenth of the load. Source: recovery safety guide, read.
func (w Winch) RigFor(loadN float64) (r Rig, ok bool) {
	out := w.RopeM - w.keptM()
	if !(out > 0) || !(loadN > 0) {
		return Rig{}, false
	}
	worst := w.LayerPull(w.Layer(0)) // all rope on the drum: the end of the pull
	for n := 1; n <= MostParts; n++ {
		r = RigOf(loadN, n)
		r.ReachM = out / float64(n)
		if r.FallN <= worst {
			return r, true
		}
	}
	return Rig{}, false
}

// RigOf is the rig of a number of parts.
func RigOf(loadN float64, parts int) Rig {
	r := Rig{Parts: parts, Sheaves: parts - 1}
	r.TackleN = TackleShare * float64(r.Sheaves) * loadN
	r.TotalN = loadN + r.TackleN
	r.FallN = r.TotalN / float64(parts)
	return r
}

// PartsFor is the least number of parts with which a line of a given pull moves
// a load, 0 when none up to MostParts does.
func PartsFor(loadN, lineN float64) int {
	for n := 1; n <= MostParts; n++ {
		if RigOf(loadN, n).FallN <= lineN {
			return n
		}
	}
	return 0
}

// BlockLoad is the pull on a block that turns a line by 180 degrees less the
// angle between its parts: 2 cos(angle/2) times the line. Source: rigging
// handbook, read.
func BlockLoad(lineN, angleRad float64) float64 { return 2 * math.Cos(angleRad/2) * lineN }

// TwoPart is the share of a load on each of two parts that stand at an angle:
// 1/(2 cos(angle/2)). Derived.
func TwoPart(angleRad float64) float64 { return 1 / (2 * math.Cos(angleRad/2)) }
