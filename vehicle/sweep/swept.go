package sweep

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Window is a stretch of stations, metres. The zero value means all that the
// whole train passed.
type Window struct{ FromM, ToM float64 }

// Swept is the strip that the bodies cover over a window.
type Swept struct {
	// WidthM is the largest width across one station, and WidthAtM that station.
	WidthM, WidthAtM float64
	// Left is the farthest reach to the left of the line, Right the farthest to
	// the right (negative to the right).
	Left, Right Reach
}

// Reach is an offset from the line, left positive, where it happens and by
// which link.
type Reach struct {
	OffsetM, StationM float64
	Link              int
}

// Errors of [SweptWidth].
var (
	ErrFolds  = errors.New("train folds before it has passed the stretch")
	ErrWindow = errors.New("stretch is not covered")
)

// SweptWidth is the strip swept over a window. When the train folds before all
// of it has passed the end of the window the error is ErrFolds and the width
// and both reaches are infinite, so that no comparison reads as a pass. A
// window that holds no station or reaches beyond what was followed is
// ErrWindow, likewise infinite.
func SweptWidth(t *Trace, w Window) (Swept, error) {
	if w == (Window{}) {
		w.ToM = t.CoveredM
		if t.Fold != nil {
			w.ToM = math.Inf(1)
		}
	}
	if t.Fold != nil && !(w.ToM <= t.CoveredM) {
		return boundless, fmt.Errorf("%w: %q at %.1f degrees with the steering axle at %.1f m; widen the bend or take a shorter train",
			ErrFolds, t.Links[t.Fold.Link].Name, t.Fold.AngleRad*180/math.Pi, t.Fold.StationM)
	}
	if !(w.FromM <= w.ToM) || !(w.ToM <= t.CoveredM) {
		return boundless, fmt.Errorf("%w: %.2f to %.2f m, followed from 0 to %.2f m; lengthen the line or the exit",
			ErrWindow, w.FromM, w.ToM, t.CoveredM)
	}
	s, passed := t.swept(w)
	if !passed {
		return boundless, fmt.Errorf("%w: no body passed a station from %.2f to %.2f m; widen the window", ErrWindow, w.FromM, w.ToM)
	}
	return s, nil
}

var boundless = Swept{
	WidthM: math.Inf(1),
	Left:   Reach{OffsetM: math.Inf(1)},
	Right:  Reach{OffsetM: math.Inf(-1)},
}

func (t *Trace) swept(w Window) (s Swept, passed bool) {
	s = Swept{WidthM: math.Inf(-1), Left: Reach{OffsetM: math.Inf(-1)}, Right: Reach{OffsetM: math.Inf(1)}}
	for j := sort.SearchFloat64s(t.BesideM, w.FromM); j < len(t.BesideM) && t.BesideM[j] <= w.ToM; j++ {
		at := t.BesideM[j]
		left, right := math.Inf(-1), math.Inf(1)
		for i := range t.Links {
			l, r, ok := t.EdgesM(j, i)
			if !ok {
				continue
			}
			passed = true
			left, right = math.Max(left, l), math.Min(right, r)
			if l > s.Left.OffsetM {
				s.Left = Reach{l, at, i}
			}
			if r < s.Right.OffsetM {
				s.Right = Reach{r, at, i}
			}
		}
		if left-right > s.WidthM {
			s.WidthM, s.WidthAtM = left-right, at
		}
	}
	return s, passed
}
