package sweep

import (
	"errors"
	"fmt"
	"math"
)

// ErrLine is wrapped by every error about a line that cannot be followed.
var ErrLine = errors.New("line cannot be followed")

// maxStations bounds memory against a line in the wrong unit (choice: 2000 km
// at the default step).
const maxStations = 8 << 20

// lay puts stations on the line: its vertices, equal parts of at most step
// metres between them, and the exit tangent. Repeated vertices count once.
func (t *Trace) lay(line []Point, stepM, exitM float64) error {
	t.StationM, t.Line = t.StationM[:0], t.Line[:0]
	if err := checkLine(line, stepM, exitM); err != nil {
		return err
	}
	t.StationM, t.Line = append(t.StationM, 0), append(t.Line, line[0])
	var dir Point
	for _, p := range line[1:] {
		from := t.Line[len(t.Line)-1]
		if p == from {
			continue
		}
		d := math.Hypot(p.X-from.X, p.Y-from.Y)
		dir = Point{(p.X - from.X) / d, (p.Y - from.Y) / d}
		t.chord(from, p, d, stepM)
	}
	if dir == (Point{}) {
		return fmt.Errorf("%w: all its points are the same; give two different ones", ErrLine)
	}
	end := t.Line[len(t.Line)-1]
	t.LineM = t.StationM[len(t.StationM)-1]
	t.chord(end, offset(end, dir, exitM, 0), exitM, stepM)
	return nil
}

func checkLine(line []Point, stepM, exitM float64) error {
	if len(line) < 2 {
		return fmt.Errorf("%w: it has %d points; give at least two", ErrLine, len(line))
	}
	total := exitM
	for i, p := range line {
		if !finite(p.X) || !finite(p.Y) {
			return fmt.Errorf("%w: point %d is (%g, %g); give numbers", ErrLine, i+1, p.X, p.Y)
		}
		if i > 0 {
			total += math.Hypot(p.X-line[i-1].X, p.Y-line[i-1].Y)
		}
	}
	if n := total/stepM + float64(len(line)); !(n < maxStations) {
		return fmt.Errorf("%w: %.0f m at steps of %g m needs %.0f stations, more than %d; cut it or take a longer step",
			ErrLine, total, stepM, n, maxStations)
	}
	return nil
}

func (t *Trace) chord(a, b Point, lengthM, stepM float64) {
	from := t.StationM[len(t.StationM)-1]
	n := int(math.Ceil(lengthM / stepM))
	for k := 1; k < n; k++ {
		f := float64(k) / float64(n)
		t.Line = append(t.Line, Point{a.X + f*(b.X-a.X), a.Y + f*(b.Y-a.Y)})
		t.StationM = append(t.StationM, from+f*lengthM)
	}
	t.Line = append(t.Line, b)
	t.StationM = append(t.StationM, from+lengthM)
}

// layBeside puts stations on the line that reaches are measured from: the
// followed line itself where none is given.
func (t *Trace) layBeside(line []Point, stepM, exitM float64) error {
	if line == nil {
		t.Beside, t.BesideM = t.Line, t.StationM
		return nil
	}
	path, at, lineM := t.Line, t.StationM, t.LineM
	t.Line, t.StationM = t.besideBuf[:0], t.besideMBuf[:0]
	err := t.lay(line, stepM, exitM)
	t.Beside, t.BesideM = t.Line, t.StationM
	t.besideBuf, t.besideMBuf = t.Line, t.StationM
	t.Line, t.StationM, t.LineM = path, at, lineM
	return err
}

// foot is a point of a body seen from the line: the chord that it stands
// beside, its station and its offset.
type foot struct {
	chord    int
	along    float64
	lateralM float64
}

// project finds the foot of p on the line, searching from the chord where it
// stood before. The first and the last chord go on straight without end. Where
// p is farther from the line than the line's own radius, on the inner side, the
// foot jumps over the stations between.
func (t *Trace) project(p Point, chord int) foot {
	last := len(t.Beside) - 2
	// Most steps stay on their chord or go to the next.
	for range 2 {
		a, b := t.Beside[chord], t.Beside[chord+1]
		d, v := sub(b, a), sub(p, a)
		length := t.BesideM[chord+1] - t.BesideM[chord]
		along := dot(v, d)
		if along < 0 {
			break
		}
		if along <= length*length {
			return foot{chord, t.BesideM[chord] + along/length, cross(d, v) / length}
		}
		if chord == last {
			break
		}
		if n := t.Beside[min(chord+2, last+1)]; dot(sub(p, b), sub(n, b)) < 0 {
			break
		}
		chord++
	}
	ahead, back := t.beyond(p, chord)
	for ahead && chord < last {
		chord++
		if ahead, back = t.beyond(p, chord); back {
			return t.vertexFoot(p, chord)
		}
	}
	for back && chord > 0 {
		chord--
		if ahead, back = t.beyond(p, chord); ahead {
			return t.vertexFoot(p, chord+1)
		}
	}
	a, b := t.Beside[chord], t.Beside[chord+1]
	d, v := sub(b, a), sub(p, a)
	length := t.BesideM[chord+1] - t.BesideM[chord]
	return foot{chord, t.BesideM[chord] + dot(v, d)/length, cross(d, v) / length}
}

// beyond says whether p stands ahead of the end or behind the start of a chord.
func (t *Trace) beyond(p Point, chord int) (ahead, back bool) {
	a, b := t.Beside[chord], t.Beside[chord+1]
	d := sub(b, a)
	return dot(sub(p, b), d) > 0, dot(sub(p, a), d) < 0
}

// vertexFoot is for a point in the wedge on the outer side of a vertex.
func (t *Trace) vertexFoot(p Point, vertex int) foot {
	v := sub(p, t.Beside[vertex])
	side := cross(sub(t.Beside[vertex+1], t.Beside[vertex-1]), v)
	return foot{vertex, t.BesideM[vertex], math.Copysign(math.Hypot(v.X, v.Y), side)}
}

// sweepTo widens the edges of a link over the stations that one of its points
// passed on its way from a to b.
func (t *Trace) sweepTo(link int, a, b foot) {
	if a.along > b.along {
		a, b = b, a
	}
	run := b.along - a.along
	for k := a.chord; k < len(t.BesideM) && t.BesideM[k] <= b.along; k++ {
		into := t.BesideM[k] - a.along
		if into < 0 {
			continue
		}
		y := a.lateralM
		if run > 0 {
			y += (b.lateralM - a.lateralM) * into / run
		}
		e := &t.edges[k*len(t.Links)+link]
		e.left, e.right = math.Max(e.left, y), math.Min(e.right, y)
	}
}
