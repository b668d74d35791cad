package terrain

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// Conditions under which surfaces cannot be used together, for errors.Is.
var (
	ErrDatum   = errors.New("vertical datums differ")
	ErrUnit    = errors.New("unit of the heights not clear")
	ErrSources = errors.New("number of rasters that cannot be")
)

// mostSources is how many sources Sample.Source can tell apart.
const mostSources = math.MaxUint8 + 1

// Stack is several surfaces as one: at each point the finest that has a height
// there gives it. No heights are blended, so there may be a step where one
// raster ends and another begins; Sample.Source changes there.
type Stack struct {
	layers  []layer
	sources []Source
}

type layer struct {
	surface Surface
	first   int // index of its first source among the stack's
}

// NewStack orders surfaces finest first by the CellM of their first source;
// those whose cells differ by less than about a hundredth keep their order,
// those without a cell size come last.
//
// Heights are taken as they are: nothing is transformed between vertical
// datums, because the library behind the rasters cannot tell a sound
// transformation from a rough one. Surfaces whose known datums differ are
// refused with [ErrDatum]. A surface that does not state its datum is let in,
// with a note in its Source. One that does not state its unit beside one in
// feet is refused with [ErrUnit]. No surface, or more than 256 sources, is
// [ErrSources].
func NewStack(surfaces []Surface) (*Stack, error) {
	if len(surfaces) == 0 {
		return nil, fmt.Errorf("no surface to take heights from: %w (name a raster)", ErrSources)
	}
	ordered := slices.Clone(surfaces)
	slices.SortStableFunc(ordered, func(a, b Surface) int { return cmp.Compare(fineness(a), fineness(b)) })
	s := &Stack{}
	for _, one := range ordered {
		s.layers = append(s.layers, layer{one, len(s.sources)})
		for _, src := range one.Sources() {
			src.Notes = slices.Clone(src.Notes)
			s.sources = append(s.sources, src)
		}
	}
	if n := len(s.sources); n == 0 || n > mostSources {
		return nil, fmt.Errorf("%d sources, 1 to %d can be told apart: %w (join them: gdalbuildvrt)", n, mostSources, ErrSources)
	}
	if err := oneUnit(s.sources); err != nil {
		return nil, err
	}
	if err := oneDatum(s.sources); err != nil {
		return nil, err
	}
	return s, nil
}

// fineness grows with the cell in steps of a hundredth: cells of one product
// differ by less, from place to place.
func fineness(s Surface) float64 {
	if src := s.Sources(); len(src) > 0 && src[0].CellM > 0 {
		return math.Round(100 * math.Log(src[0].CellM))
	}
	return math.Inf(1)
}

// oneUnit refuses a guess of metres beside a file in feet.
func oneUnit(sources []Source) error {
	var guessed, feet *Source
	for i := range sources {
		switch s := &sources[i]; {
		case strings.HasPrefix(s.Unit, "unknown"):
			guessed = s
		case strings.Contains(s.Unit, "ft"):
			feet = s
		}
	}
	if guessed == nil || feet == nil {
		return nil
	}
	return fmt.Errorf("%s is in %s and %s does not say its unit, so that metres are a guess: %w (say the unit of each, or translate one)",
		feet.Name, feet.Unit, guessed.Name, ErrUnit)
}

// oneDatum refuses known datums that differ and notes those not known.
func oneDatum(sources []Source) error {
	var known *Source
	for i := range sources {
		s := &sources[i]
		switch {
		case datumKey(s.Datum) == "":
		case known == nil:
			known = s
		case datumKey(s.Datum) != datumKey(known.Datum):
			return fmt.Errorf("%s has heights above %q and %s above %q: %w, and no transformation is made between them (transform one, or use one alone)",
				known.Name, known.Datum, s.Name, s.Datum, ErrDatum)
		}
	}
	if len(sources) == 1 {
		return nil
	}
	for i := range sources {
		s := &sources[i]
		switch {
		case datumKey(s.Datum) != "":
		case known == nil:
			s.Notes = append(s.Notes, "no raster here states its vertical datum; they are taken to share one")
		default:
			s.Notes = append(s.Notes, fmt.Sprintf("vertical datum not stated; taken as %q, that of %s", known.Datum, known.Name))
		}
	}
	return nil
}

// datumKey makes spellings of one datum equal ("EGM96", "EGM96 geoid"); it is
// empty for one that is not known.
func datumKey(name string) string {
	key := strings.Map(func(r rune) rune {
		if r == ' ' || r == '_' || r == '-' {
			return -1
		}
		return r
	}, strings.ToLower(name))
	key = strings.TrimSuffix(key, "geoid")
	if key == "unknown" {
		return ""
	}
	return key
}

// Sources implements [Surface].
func (s *Stack) Sources() []Source { return s.sources }

// stackChunk is how many points go to a surface in one call: scratch memory
// stays small whatever the caller asks for.
const stackChunk = 4096

// Elevations implements [Surface]. A point without a height anywhere gets the
// most telling reason any surface gave: Implausible, Void, Edge, OffRaster in
// this order, and the finest surface that gave it as its Source.
func (s *Stack) Elevations(ctx context.Context, pts []orb.Point, out []Sample) error {
	if len(pts) != len(out) {
		return fmt.Errorf("terrain: %d points but room for %d samples", len(pts), len(out))
	}
	var left leftover
	for from := 0; from < len(pts); from += stackChunk {
		to := min(from+stackChunk, len(pts))
		if err := s.chunk(ctx, pts[from:to], out[from:to], &left); err != nil {
			return err
		}
	}
	return nil
}

// leftover is scratch for the points no surface has answered yet.
type leftover struct {
	at  []int
	pts []orb.Point
	out []Sample
}

func (s *Stack) chunk(ctx context.Context, pts []orb.Point, out []Sample, left *leftover) error {
	if err := s.layers[0].surface.Elevations(ctx, pts, out); err != nil {
		return err
	}
	for _, l := range s.layers[1:] {
		left.gather(pts, out)
		if len(left.at) == 0 {
			return nil
		}
		if err := l.surface.Elevations(ctx, left.pts, left.out); err != nil {
			return err
		}
		for k, i := range left.at {
			if got := left.out[k]; telling(got.Why) > telling(out[i].Why) {
				got.Source += uint8(l.first)
				out[i] = got
			}
		}
	}
	return nil
}

func (l *leftover) gather(pts []orb.Point, out []Sample) {
	l.at, l.pts = l.at[:0], l.pts[:0]
	for i := range out {
		if out[i].Why != Valid {
			l.at, l.pts = append(l.at, i), append(l.pts, pts[i])
		}
	}
	l.out = slices.Grow(l.out[:0], len(l.at))[:len(l.at)]
}

// telling ranks reasons by how much they say; a height says most.
func telling(w Why) int {
	switch w {
	case Valid:
		return 4
	case Implausible:
		return 3
	case Void:
		return 2
	case Edge:
		return 1
	}
	return 0
}
