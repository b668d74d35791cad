package report

import (
	"bufio"
	"fmt"
	"io"
	"slices"

	"drawbar/vehicle/traction"
)

// Surfaces writes the table of grip and rolling resistance, at most 80 columns:
// low, design and high of both, then where they are from.
func Surfaces(w io.Writer, rows []traction.Surface) error {
	t := &text{w: bufio.NewWriter(w)}
	t.line("%-24s %-20s %s", "surface", "grip low-design-high", "rolling low-design-high")
	for _, s := range rows {
		name := s.Label()
		if string(s.Weather) != s.Name {
			name += ", " + string(s.Weather)
		}
		t.line("%-24s %5.3f %5.3f %5.3f    %6.3f %6.3f %6.3f", short(name, 24),
			s.Mu.Low.V, s.Mu.Design.V, s.Mu.High.V, s.Roll.Low.V, s.Roll.Design.V, s.Roll.High.V)
		var said []string
		for _, v := range []traction.Value{s.Mu.Low, s.Mu.Design, s.Mu.High, s.Roll.Low, s.Roll.Design, s.Roll.High} {
			if from := fmt.Sprintf("%s (%s)", v.Source, v.Standing); !slices.Contains(said, from) {
				said = append(said, from)
			}
		}
		for _, from := range said {
			t.wrap("    ", "      ", from)
		}
	}
	t.wrap("", "", "Grip is force over the load on the wheel, peak, rubber tyres; rolling is resistance over that load. memory: from memory, unverified. Give rows of your own with check --surfaces FILE.")
	return t.w.Flush()
}
