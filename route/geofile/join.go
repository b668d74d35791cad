package geofile

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"drawbar/route"
)

// MaxJoinM is the widest gap between consecutive pieces that is closed, with
// a note, by moving the start of the later one; metres. A choice: drawing and
// rounding faults are below it, a missing piece of road is above.
const MaxJoinM = 1.0

// maxLatitude is how near to a pole a line may come, degrees; a choice. There,
// longitudes of neighbours say nothing about where the line runs.
const maxLatitude = 89.9

// build makes one route of its pieces.
func (r *reader) build(group []*piece) (*route.Route, *Error) {
	for _, p := range group {
		if p.err != nil {
			return nil, p.err
		}
	}
	if ferr := r.order(group); ferr != nil {
		return nil, ferr
	}
	j := joiner{r: r, group: group}
	for _, p := range group {
		if ferr := j.piece(p); ferr != nil {
			return nil, ferr
		}
	}
	if ferr := j.leaps(); ferr != nil {
		return nil, ferr
	}
	return j.route(), nil
}

// order sorts the pieces of a route by their seq.
func (r *reader) order(group []*piece) *Error {
	if len(group) < 2 {
		return nil
	}
	for _, p := range group {
		if p.seqText == "" {
			return &Error{File: r.file, Feature: p.feature, Err: ErrPieces,
				Reason: fmt.Sprintf(`a piece of route %q without the property "seq"`, shortText(p.route)),
				Hint:   "number the pieces in the order of travel"}
		}
	}
	slices.SortStableFunc(group, func(a, b *piece) int { return cmp.Compare(a.seq, b.seq) })
	for i, p := range group[1:] {
		if q := group[i]; p.seq == q.seq {
			return &Error{File: r.file, Feature: p.feature, Err: ErrPieces,
				Reason: fmt.Sprintf("seq %s of route %q is taken by feature %d already", p.seqText, shortText(p.route), q.feature),
				Hint:   "number the pieces in the order of travel"}
		}
	}
	return nil
}

// joiner strings pieces together.
type joiner struct {
	r     *reader
	group []*piece

	line    []vertex // longitudes continuous
	pieces  []route.Piece
	turns   float64 // whole turns added to the longitudes, by now
	notes   []string
	dropped int // repeated vertices
	heights int // of these, with another height
	crosses bool
}

// piece appends one feature.
func (j *joiner) piece(p *piece) *Error {
	first := max(len(j.line)-1, 0)
	for i, part := range p.parts {
		if ferr := j.part(p, i, part); ferr != nil {
			return ferr
		}
	}
	j.pieces = append(j.pieces, route.Piece{First: first, Last: len(j.line) - 1, Tags: p.tags})
	for _, n := range p.notes {
		if len(j.group) > 1 {
			n = fmt.Sprintf("feature %d: %s", p.feature, n)
		}
		j.note(n)
	}
	return nil
}

// part appends one line of a feature; i is its index.
func (j *joiner) part(p *piece, i int, part []vertex) *Error {
	before := max(len(j.line), 1)
	for k, v := range part {
		if ferr := j.place(&v, p); ferr != nil {
			return ferr
		}
		if len(j.line) == 0 {
			j.line = append(j.line, v)
			continue
		}
		last := &j.line[len(j.line)-1]
		if k == 0 {
			if d := groundM(*last, v); d > MaxJoinM {
				return j.gap(d, p, i)
			} else if v.lon != last.lon || v.lat != last.lat {
				j.note(fmt.Sprintf("closed a gap of %.2f m before %s", d, partName(p, i)))
			}
			last.fill(v)
			continue
		}
		if v.lon == last.lon && v.lat == last.lat {
			j.dropped++
			if v.z != last.z && !math.IsNaN(v.z) && !math.IsNaN(last.z) {
				j.heights++
			}
			last.fill(v)
			continue
		}
		j.line = append(j.line, v)
	}
	if len(j.line) <= before {
		return j.fault(ErrLength, p, vertex{part: part[0].part}, "a line of length zero", "all its positions are the same")
	}
	return nil
}

// place turns v's longitude so that it continues the line.
func (j *joiner) place(v *vertex, p *piece) *Error {
	if math.Abs(v.lat) >= maxLatitude {
		return j.fault(ErrLeap, p, *v, "the line runs over the pole", "no road does; is it a fault of the coordinates?")
	}
	if len(j.line) == 0 {
		return nil
	}
	last := j.line[len(j.line)-1].lon
	for d := v.lon + 360*j.turns - last; math.Abs(d) > 180; d = v.lon + 360*j.turns - last {
		j.turns -= math.Copysign(1, d)
		j.crosses = true
	}
	v.lon += 360 * j.turns
	return nil
}

// fill takes the height of a vertex at the same place where there is none.
func (v *vertex) fill(w vertex) {
	if math.IsNaN(v.z) {
		v.z = w.z
	}
}

// fault is an error at a vertex of a feature.
func (j *joiner) fault(kind error, p *piece, v vertex, reason, hint string) *Error {
	return &Error{File: j.r.file, Feature: p.feature, Part: int(v.part), Position: int(v.pos), Reason: reason, Hint: hint, Err: kind}
}

// gap is the fault that part i of p does not start where the line ends.
func (j *joiner) gap(d float64, p *piece, i int) *Error {
	q, k := p, i-1
	if i == 0 {
		at := slices.Index(j.group, p) - 1
		q = j.group[at]
		k = len(q.parts) - 1
	}
	ferr := j.fault(ErrGap, p, vertex{}, fmt.Sprintf("a gap of %s between %s and %s", metres(d), partName(q, k), partName(p, i)), "")
	ferr.Hint = "draw the missing piece, or make them routes of their own"
	if order := rejoin(j.group); order != "" {
		ferr.Hint = "they would join in this order: " + order
	}
	return ferr
}

// partName words part i of a piece.
func partName(p *piece, i int) string {
	if len(p.parts) > 1 {
		return fmt.Sprintf("part %d of feature %d", i+1, p.feature)
	}
	return fmt.Sprintf("feature %d", p.feature)
}

// note adds a note once.
func (j *joiner) note(n string) {
	if !slices.Contains(j.notes, n) {
		j.notes = append(j.notes, n)
	}
}

// route is what has been joined.
func (j *joiner) route() *route.Route {
	p := j.group[0]
	if j.dropped > 0 {
		n := fmt.Sprintf("dropped %s, each at the place of the one before", count(j.dropped, "repeated position"))
		if j.heights > 0 {
			n += fmt.Sprintf(" (%d with another height)", j.heights)
		}
		j.note(n)
	}
	if j.crosses {
		j.note("the line crosses the 180 degree meridian: its longitudes run on past it")
	}
	rt := &route.Route{Name: j.name(), File: j.r.file, Pieces: j.pieces}
	rt.Line, rt.Z = j.geometry()
	want := idText(p.route)
	for _, s := range []string{p.id, rt.Name, fmt.Sprintf("%s#%d", j.r.file, p.feature)} {
		if want == "" {
			want = idText(s)
		}
	}
	id, changed := j.r.uniqueID(want)
	rt.ID = id
	if changed {
		j.note(fmt.Sprintf("another route is called %q already: this one became %q", want, id))
	}
	rt.Notes = slices.Concat(j.r.notes, j.notes)
	for _, q := range j.group {
		for _, n := range q.fileNotes {
			if !slices.Contains(rt.Notes, n) {
				rt.Notes = append(rt.Notes, n)
			}
		}
	}
	return rt
}

// name is the name that all pieces share.
func (j *joiner) name() string {
	for _, p := range j.group[1:] {
		if p.name != j.group[0].name {
			return ""
		}
	}
	return strings.TrimSpace(j.group[0].name)
}

func (j *joiner) geometry() (orb.LineString, []float64) {
	line := make(orb.LineString, len(j.line))
	z := make([]float64, len(j.line))
	any := false
	for i, v := range j.line {
		line[i] = orb.Point{v.lon, v.lat}
		z[i] = v.z
		any = any || !math.IsNaN(v.z)
	}
	if !any {
		z = nil
	}
	return line, z
}
