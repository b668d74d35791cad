package sweep

import (
	"fmt"
	"math"

	"drawbar/vehicle"
)

// HullStepM is the longest distance between the places of an underside that are
// looked at, metres. Choice: between them the underside is straight anyhow.
const HullStepM = 1.0

// Rest is where a hull rests: on an axle group, whose suspension levels among its
// axles, or on the unit ahead. Its height above a datum is the weighted sum of the
// road's heights at OffsetM, metres behind the foremost axle of the train; the
// weights sum to 1.
type Rest struct {
	XM              float64 // on the unit's own axis, metres
	OffsetM, Weight []float64
}

// HullPlace is a place of a hull: XM on the unit's own axis, HeightM above the
// road on the level.
type HullPlace struct{ XM, BehindM, HeightM float64 }

// Hull is the underside of one unit on its two rests.
type Hull struct {
	Unit        int
	Front, Rear Rest
	Places      []HullPlace
}

// SpanM is the distance of its rests.
func (h *Hull) SpanM() float64 { return h.Rear.XM - h.Front.XM }

// Chord is the weight of the rear rest on the line between the rests at a place;
// the front one has 1 less it. Outside 0 to 1 at an overhang.
func (h *Hull) Chord(p HullPlace) float64 { return (p.XM - h.Front.XM) / h.SpanM() }

// ClearM is the least clearance of a hull over a road, metres, and the place of it;
// roadM is the height of the road at metres behind the foremost axle. Negative: it
// grounds. The units stay level across and their springs as stiff as on the level;
// that a hull is a little shorter on a grade is left out (1 % at 14 %).
func (h *Hull) ClearM(roadM func(behindM float64) float64) (clearM float64, at HullPlace) {
	front, rear := h.Front.height(roadM), h.Rear.height(roadM)
	clearM = math.Inf(1)
	for _, p := range h.Places {
		t := h.Chord(p)
		if c := p.HeightM + (1-t)*front + t*rear - roadM(p.BehindM); c < clearM {
			clearM, at = c, p
		}
	}
	return clearM, at
}

func (r *Rest) height(roadM func(float64) float64) (z float64) {
	for i, o := range r.OffsetM {
		z += r.Weight[i] * roadM(o)
	}
	return z
}

// Hulls are the undersides of a train, of the units whose file gives them. It
// fails with a *LackError for a train none of whose units has one; units without
// are named in lacking.
func Hulls(c *vehicle.Combination) (out []Hull, lacking []string, err error) {
	rests := make([][2]Rest, len(c.Units))
	for i := range c.Units {
		u := &c.Units[i]
		front, rear, ok := restsOf(c, i, rests)
		rests[i] = [2]Rest{front, rear}
		switch {
		case !ok:
			lacking = append(lacking, fmt.Sprintf("units[%d].axles", i))
		case len(u.Underside) == 0:
			lacking = append(lacking, fmt.Sprintf("units[%d].underside", i))
		default:
			out = append(out, Hull{Unit: i, Front: front, Rear: rear, Places: placesOf(u)})
		}
	}
	if len(out) == 0 {
		field := "units[0].underside"
		if len(lacking) > 0 {
			field = lacking[0]
		}
		return nil, lacking, &LackError{Combination: c.Name, Unit: c.Units[0].Name, Field: field, Hint: "give the lowest points of the underside, front to rear"}
	}
	return out, lacking, nil
}

// restsOf finds what a unit rests on: two axle groups, or one and the unit ahead.
func restsOf(c *vehicle.Combination, i int, before [][2]Rest) (front, rear Rest, ok bool) {
	u := &c.Units[i]
	var group [2]Rest
	var sum [2]float64
	for k := u.First; k <= u.Last; k++ {
		a := &c.Axles[k]
		g := a.Group
		group[g].OffsetM, group[g].Weight = append(group[g].OffsetM, a.AtM), append(group[g].Weight, a.Share)
		group[g].XM += a.Share * (a.AtM - u.AtM)
		sum[g] += a.Share
	}
	for g := range group {
		for k := range group[g].Weight {
			group[g].Weight[k] /= sum[g]
		}
		group[g].XM /= max(sum[g], math.SmallestNonzeroFloat64)
	}
	if u.Kind != vehicle.SemiTrailer {
		return group[0], group[1], sum[0] > 0 && sum[1] > 0 && group[1].XM > group[0].XM
	}
	rear = group[0]
	if sum[0] == 0 {
		rear = group[1]
	}
	if i == 0 || len(before[i-1][0].OffsetM) == 0 || !(rear.XM > 0) {
		return front, rear, false
	}
	ahead := &before[i-1]
	t := (c.Units[i-1].HitchXM - ahead[0].XM) / (ahead[1].XM - ahead[0].XM)
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return front, rear, false
	}
	for r, share := range []float64{1 - t, t} { // the kingpin lies on the line of the unit ahead
		for k, o := range ahead[r].OffsetM {
			front.OffsetM, front.Weight = append(front.OffsetM, o), append(front.Weight, share*ahead[r].Weight[k])
		}
	}
	return front, rear, true
}

// placesOf are the given points and those between, straight from one to the next.
func placesOf(u *vehicle.Unit) (out []HullPlace) {
	for k, q := range u.Underside {
		if k > 0 {
			p := u.Underside[k-1]
			n := math.Ceil((q.XM - p.XM) / HullStepM)
			for j := 1.0; j < n; j++ {
				x := p.XM + (q.XM-p.XM)*j/n
				out = append(out, HullPlace{x, u.AtM + x, p.HeightM + (q.HeightM-p.HeightM)*j/n})
			}
		}
		out = append(out, HullPlace{q.XM, u.AtM + q.XM, q.HeightM})
	}
	return out
}

// RailCrossing is the height, metres, of a road over a level crossing built to the
// usual rule, that far from the middle of the track: level with the rails to 2 ft
// beyond them, then falling evenly by dropM within 28 ft, level beyond. 3 in is the
// rule (AASHTO, as quoted by a state's roadway manual, read), 9 in the worse one of
// older railway text (read). Rails 4 ft 8.5 in apart with heads of 2.25 in.
func RailCrossing(fromMiddleM, dropM float64) float64 {
	const ft, in = 0.3048, 0.0254
	const flat = 2*ft + (4*ft+8.5*in)/2 + 2.25*in
	return -dropM * min(max(math.Abs(fromMiddleM)-flat, 0)/(28*ft), 1)
}

// OverRailCrossing is the least clearance of the hulls of a train anywhere over
// such a crossing, metres; negative: it grounds on it.
func OverRailCrossing(hulls []Hull, dropM float64) float64 {
	least := math.Inf(1)
	for i := range hulls {
		h := &hulls[i]
		ends := h.Places[len(h.Places)-1].BehindM
		for s := -12.0; s < ends+12; s += 0.1 {
			c, _ := h.ClearM(func(behind float64) float64 { return RailCrossing(s-behind, dropM) })
			least = min(least, c)
		}
	}
	return least
}

// LargestKink is the largest change of grade, rise over run, at one point of a
// road that the hulls of a train clear wherever it stands over it, crest or sag;
// +Inf without hulls. To first order in the grade.
func LargestKink(hulls []Hull) float64 {
	largest := math.Inf(1)
	for i := range hulls {
		h := &hulls[i]
		first, last := h.Places[0].BehindM, h.Places[len(h.Places)-1].BehindM
		for _, o := range append(append([]float64(nil), h.Front.OffsetM...), h.Rear.OffsetM...) {
			first, last = min(first, o), max(last, o)
		}
		for at := first; at <= last; at += 0.05 {
			kink := func(behind float64) float64 { return -max(behind-at, 0) } // a crest of slope 1
			front, rear := h.Front.height(kink), h.Rear.height(kink)
			for _, p := range h.Places {
				t := h.Chord(p)
				if need := math.Abs(kink(p.BehindM) - (1-t)*front - t*rear); need > 1e-9 {
					largest = min(largest, p.HeightM/need)
				}
			}
		}
	}
	return largest
}
