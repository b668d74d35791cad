package sweep

import "math"

// Swing is how far the ends of a body go outside, metres, 0 or more, on the
// worse side: RearM and FrontM beyond the path of the body's own side between
// pivot and axle group, OffLineM of either end beyond half its width from the
// line on the outer side of what the axle group does.
type Swing struct {
	Link          int
	RearM, FrontM float64
	OutM          float64 // reach of the body beyond half its width, the larger side
}

// Swings follows the line three times: the whole bodies, without their rear
// overhangs and without their front ones. What a station has more with the
// overhang is its swing. Bodies without a width have none. The error is that of
// [Follow]; a train that folds is ErrFolds.
func Swings(line []Point, train Train, o Options) ([]Swing, error) {
	whole, err := Follow(line, train, o)
	if err != nil {
		return nil, err
	}
	if whole.Fold != nil {
		return nil, ErrFolds
	}
	cut := func(change func(*Link)) (Trace, error) {
		links := append([]Link(nil), train.Links...)
		for i := range links {
			change(&links[i])
		}
		return Follow(line, Train{Links: links, LockRad: train.LockRad}, o)
	}
	noRear, err := cut(func(l *Link) { l.RearOverhangM = math.Min(l.RearOverhangM, 0) })
	if err != nil {
		return nil, err
	}
	noFront, err := cut(func(l *Link) { l.FrontOverhangM = math.Min(l.FrontOverhangM, 0) })
	if err != nil {
		return nil, err
	}
	var out []Swing
	for i := range train.Links {
		if train.Links[i].WidthM == 0 {
			continue
		}
		s := Swing{Link: i, RearM: beyondOf(&whole, &noRear, i), FrontM: beyondOf(&whole, &noFront, i)}
		for j := range whole.BesideM {
			if l, r, ok := whole.EdgesM(j, i); ok {
				s.OutM = math.Max(s.OutM, math.Max(l, -r)-train.Links[i].WidthM/2)
			}
		}
		out = append(out, s)
	}
	return out, nil
}

// beyondOf is the largest reach of a link in one trace beyond that in another,
// where both passed.
func beyondOf(a, b *Trace, link int) (most float64) {
	for j := range min(len(a.BesideM), len(b.BesideM)) {
		l, r, ok := a.EdgesM(j, link)
		lb, rb, okB := b.EdgesM(j, link)
		if ok && okB {
			most = math.Max(most, math.Max(l-lb, rb-r))
		}
	}
	return most
}
