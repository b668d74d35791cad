package check

import (
	"math"

	"drawbar/route/bend"
	"drawbar/vehicle/sweep"
)

// bendRoad is the middle of the road through one bend, on a plane.
type bendRoad struct {
	line       []sweep.Point
	fromM, toM float64 // stations where the arc begins and ends
	crowded    bool    // a neighbour turns on it too
	// Straight to the neighbours' arcs; what lies beyond is theirs.
	gapBeforeM, gapAfterM float64
}

// road draws a bend at a radius between straights, with the bends before and
// after it at their likely radii where they end or begin within a train's
// length.
func (s *Situation) road(all []bend.Bend, i int, radiusM float64) (r bendRoad) {
	d := drawing{line: []sweep.Point{{}}}
	half := func(b *bend.Bend, r float64) float64 { return r * math.Abs(b.TurnRad) / 2 }
	this := &all[i]
	reach := s.Train.LengthM
	d.ahead(leadInM)
	r.gapBeforeM, r.gapAfterM = 2*leadInM, 2*reach
	if i > 0 && likely(&all[i-1]) {
		b := &all[i-1]
		gap := this.ApexM - b.ApexM - half(this, radiusM) - half(b, b.RadiusM)
		if gap < reach {
			r.crowded, r.gapBeforeM = true, max(gap, 0)
			d.arc(b.RadiusM, b.TurnRad)
			d.ahead(max(gap, 0))
		}
	}
	r.fromM = d.atM
	d.arc(radiusM, this.TurnRad)
	r.toM = d.atM
	if i+1 < len(all) && likely(&all[i+1]) {
		b := &all[i+1]
		if gap := b.ApexM - this.ApexM - half(this, radiusM) - half(b, b.RadiusM); gap < reach {
			r.crowded, r.gapAfterM = true, max(gap, 0)
			d.ahead(max(gap, 0))
			d.arc(b.RadiusM, b.TurnRad)
		}
	}
	d.ahead(reach)
	r.line = d.line
	return r
}

// likely reports a neighbour with a radius that the line tells: what it does not
// tell is not laid to the charge of the bend beside it.
func likely(b *bend.Bend) bool { return b.Decided && b.RadiusM >= 5 && !math.IsInf(b.RadiusM, 1) }

// drawing is a line of straights and arcs.
type drawing struct {
	line    []sweep.Point
	heading float64
	atM     float64
}

func (d *drawing) ahead(m float64) {
	if m < 0.05 {
		return
	}
	p := d.line[len(d.line)-1]
	s, c := math.Sincos(d.heading)
	d.line = append(d.line, sweep.Point{X: p.X + m*c, Y: p.Y + m*s})
	d.atM += m
}

// arc draws chords of at most 1 m and 5 degrees.
func (d *drawing) arc(radiusM, turnRad float64) {
	length := radiusM * math.Abs(turnRad)
	n := max(int(math.Ceil(math.Max(length, math.Abs(turnRad)*36/math.Pi))), 1)
	part := turnRad / float64(n)
	chord := 2 * radiusM * math.Sin(math.Abs(part)/2)
	d.heading += part / 2
	for k := range n {
		d.ahead(max(chord, 0.06))
		if k < n-1 {
			d.heading += part
		}
	}
	d.heading += part / 2
}
