package terrain

import (
	"context"
	"math"

	"github.com/paulmach/orb"
)

// Rivals is a Surface of several sources that can say what the next of them has
// at a point: heights that differ by more than both errors mean that one of the
// two is wrong.
type Rivals interface {
	Surface
	// Rivals fills out like Elevations, with the height of the second source that
	// has one at each point; Why is OffRaster where there is none.
	Rivals(ctx context.Context, pts []orb.Point, out []Sample) error
}

// Rivals implements [Rivals].
func (s *Stack) Rivals(ctx context.Context, pts []orb.Point, out []Sample) error {
	answered := make([]bool, len(pts))
	filled := make([]bool, len(pts))
	got := make([]Sample, len(pts))
	for i := range out {
		out[i] = Sample{ZM: math.NaN(), Why: OffRaster}
	}
	for _, l := range s.layers {
		if err := l.surface.Elevations(ctx, pts, got); err != nil {
			return err
		}
		for i, g := range got {
			switch {
			case g.Why != Valid || filled[i]:
			case !answered[i]:
				answered[i] = true
			default:
				g.Source += uint8(l.first)
				out[i], filled[i] = g, true
			}
		}
	}
	return nil
}
