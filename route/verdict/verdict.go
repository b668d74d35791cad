// Package verdict owns the chain for one route, start to end: measure, place
// structures, drape, check alone, look for a second tow, cut segments. It is
// the only place that says go.
package verdict

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/known"
	"drawbar/route/profile"
	"drawbar/route/secondtow"
	"drawbar/route/structure"
	"drawbar/route/ways"
	"drawbar/terrain"

	"github.com/paulmach/orb"
)

// Verdict is the word for a segment or a route.
type Verdict uint8

// Verdicts in order of severity.
const (
	Go        Verdict = iota
	Caution           // passes with a stated measure
	Unknown           // a question stands in the way
	SecondTow         // fails alone, a helper at hand puts it right
	Detour            // fails and nothing at hand puts it right
)

// String is the word as printed and as written to files.
func (v Verdict) String() string {
	return [...]string{"go", "caution", "unknown", "second-tow", "detour"}[v]
}

// Segment is a stretch with one verdict and the findings that cover it, the
// deciding one first.
type Segment struct {
	At       route.Stretch
	Verdict  Verdict
	Unknown  bool  // something here is unknown besides
	Findings []int // into Result.Findings
	Assist   int   // into Result.Plan.Assists, -1 for none
}

// Result is all that is known of one route in one direction.
type Result struct {
	Way      *route.Alignment
	Profile  *profile.Profile
	Verdict  Verdict
	Segments []Segment
	Findings []check.Finding
	Passed   []check.Finding // comparisons that passed: what was looked at
	Steps    []check.Step    // only when asked to explain
	Plan     secondtow.Plan
	// Halts are the last places to stop before what may turn the train back.
	Halts []Halt
	// WaysKnown: the ways of the area were looked through for places to turn round.
	WaysKnown bool
	// Rests are places to stop for a look at the load; only with a trip.
	Rests []Rest
	// Joint is the chance that the train climbs the whole way alone.
	Joint check.Joint
	// DecidedShare is the share of the length on which no question stands.
	DecidedShare float64
	Looked       structure.Looked
	TrainGrade   []float64          // grade under the train at the profile's stations
	Trip         *check.Trip        // time and fuel; nil when nobody asked
	Assumed      []route.Assumption // sorted by key
	Notes        []string
	// Classed is the way as route reconnaissance classes it; nil where only a place
	// was looked at.
	Classed *check.Classification
	// Answers are those that stand at a question of the train alone, and what
	// became of each.
	Answers []check.Use
	// Situation is what was judged, nil unless asked for.
	Situation *check.Situation
}

// Judge holds what stays the same in a run. It is safe for concurrent use.
type Judge struct {
	Surface terrain.Surface
	Solo    *check.Setup
	Yard    *secondtow.Yard // nil: nothing at hand
	Profile profile.Options
	// Around are the ways of the area, whose bridges may cross over a route; nil when
	// nobody looked for them.
	Around *structure.Around
	// Sides are the roads that may leave a route, to turn round in; nil takes those
	// of Around.
	Sides *structure.Around
	// Ways are the ways that a bare line is matched to; nil without a file.
	Ways *ways.Index
	// Structures are those of a file; nil without one.
	Structures *structure.File
	// Readings are measured grades by the id of a route, in the order of its
	// file.
	Readings map[string][]profile.Reading
	// Answers are what people answered to open questions; Today is the day of the
	// run, 2024-03-02, by which they may have expired.
	Answers []*known.Answer
	Today   string
	// March asks for time and fuel of every route; nil does not.
	March *check.MarchTerms
	// RestEveryS is the driving time between looks at the load, seconds; 0 for
	// none. It needs March.
	RestEveryS float64
	// RestCapMS is the fastest that is driven between them where March is nil, m/s; 0
	// takes the default.
	RestCapMS float64
}

// Options of one route.
type Options struct {
	Reverse bool // travel it from the end of the file's line to its start
	// Explain keeps the steps of the checks at ExplainM, chainage of the
	// direction travelled.
	Explain  bool
	ExplainM float64
	// Keep leaves the situation in the result, for questions about one place;
	// else its memory is given back.
	Keep bool
}

// ErrOutside is returned for a route no part of which lies on the surface.
var ErrOutside = errors.New("no part of the route lies on the raster")

// Route judges one route. It fails when the line cannot be measured, when the
// surface cannot be read, and with ErrOutside.
func (j *Judge) Route(ctx context.Context, r *route.Route, o Options) (*Result, error) {
	w, err := j.look(r, o.Reverse)
	if err != nil {
		return nil, err
	}
	way, answers, surfaces := j.knownOn(w.way)
	w.way = way
	d, placed, seen, err := j.drape(ctx, w)
	if err != nil {
		return nil, err
	}
	res := j.judge(check.NewSituation(j.Solo, way, d.Profile, placed, seen).Knowing(answers, j.Today), o)
	for _, p := range surfaces {
		res.Answers = append(res.Answers, check.Use{Answer: p.Answer, Check: "surface", At: p.On, Reach: known.Passes})
	}
	return res, nil
}

// judge makes the checks, looks for help and cuts the segments: the second half
// of the chain.
func (j *Judge) judge(s *check.Situation, o Options) *Result {
	way, p := s.Way, s.Profile
	k := check.Sink{}
	if o.Explain {
		k.Explain = true
		s.Window = around(p, o.ExplainM)
	}
	check.Run(s, &k)
	res := &Result{Way: way, Profile: p, Findings: k.Findings, Passed: k.Passed, Steps: k.Steps, Answers: k.Uses, Looked: s.Looked, TrainGrade: s.TrainGrade.Value}
	res.Assumed = append(res.Assumed, s.SurfaceAssumed()...)
	if !o.Explain {
		res.Joint = s.Joint()
		if slices.ContainsFunc(append(k.Findings[:len(k.Findings):len(k.Findings)], k.Passed...), func(f check.Finding) bool { return f.Check == "climb" && f.By != "" }) {
			res.Joint = check.Joint{P: math.NaN()} // somebody knows better than the heights
		}
		classed := s.Classify()
		res.Classed = &classed
	}
	if j.Yard != nil && !o.Explain {
		res.Plan = j.Yard.Plan(s, res.Findings)
		if len(res.Plan.Assists)+len(res.Plan.Tried) > 0 {
			res.Assumed = append(res.Assumed, j.Yard.Assumed()...)
		}
	}
	if !o.Explain {
		res.drive(j, s)
	}
	res.cut(s.Window)
	if !o.Explain {
		res.Halts = res.halts(s, cmp.Or(j.Sides, j.Around))
	}
	res.collect(j, p)
	res.Notes = append(res.Notes, s.Looked.Notes...)
	if o.Keep {
		res.Situation = s
	} else {
		p.Release()
	}
	return res
}

// around is the window of the station nearest to a place and of no other:
// stations stand at least a third of a step apart, save for the ends of
// structures.
func around(p *profile.Profile, at float64) route.Stretch {
	best := 0
	for i, c := range p.ChainageM {
		if math.Abs(c-at) < math.Abs(p.ChainageM[best]-at) {
			best = i
		}
	}
	c := p.ChainageM[best]
	return route.Stretch{FromM: max(c-p.StepM/6, 0), ToM: min(c+p.StepM/6, p.LengthM())}
}

// carriedOf are the stretches that do not lie on the ground.
func carriedOf(placed []structure.Placed) (out []route.Stretch) {
	for _, p := range placed {
		switch p.Feature.Kind {
		case structure.Bridge, structure.Tunnel, structure.Overhead:
			out = append(out, p.At) // under a deck a surface model shows the deck
		}
	}
	return out
}

// collect gathers what the result rests on.
func (res *Result) collect(j *Judge, p *profile.Profile) {
	res.Assumed = append(res.Assumed, j.Solo.Assumed...)
	res.Assumed = append(res.Assumed, p.Assumed...)
	if j.Ways != nil {
		res.Assumed = append(res.Assumed, j.Ways.Assumed()...)
	}
	if j.Structures != nil {
		res.Assumed = append(res.Assumed, j.Structures.Assumed()...)
	}
	for _, src := range p.Sources {
		for _, a := range src.Assumed {
			res.Assumed = append(res.Assumed, route.Assumption(a))
		}
		res.Notes = append(res.Notes, src.Notes...)
	}
	slices.SortStableFunc(res.Assumed, func(a, b route.Assumption) int { return strings.Compare(a.Key, b.Key) })
	res.Assumed = slices.Compact(res.Assumed)
	res.Notes = slices.Concat(res.Notes, res.Way.Route.Notes, p.Notes, p.Estimated)
}

// outside words ErrOutside, and looks whether the axes are swapped.
func (j *Judge) outside(ctx context.Context, way *route.Alignment, p *profile.Profile) error {
	first := way.Line[0]
	err := fmt.Errorf("route %s: %w: its start at %.4f, %.4f is %s for %s",
		way.Route.ID, ErrOutside, first[0], first[1], p.Why[0], p.Sources[0].Name)
	swapped := make([]orb.Point, 0, len(way.Line))
	for _, q := range way.Line {
		swapped = append(swapped, orb.Point{q[1], q[0]})
	}
	out := make([]terrain.Sample, len(swapped))
	if j.Surface.Elevations(ctx, swapped, out) != nil {
		return err
	}
	for _, s := range out {
		if s.Why == terrain.Valid {
			return fmt.Errorf("%w (with longitude and latitude swapped it would lie on it: swap them)", err)
		}
	}
	return fmt.Errorf("%w (give a raster that covers it with --dem)", err)
}

// Draped is a way with its profile and nothing judged.
type Draped struct {
	Way     *route.Alignment
	Profile *profile.Profile
	Notes   []string
}

// Drape is the first half of the chain: measure, place structures, drape.
func (j *Judge) Drape(ctx context.Context, r *route.Route, reverse bool) (*Draped, error) {
	w, err := j.look(r, reverse)
	if err != nil {
		return nil, err
	}
	d, _, _, err := j.drape(ctx, w)
	return d, err
}

func (j *Judge) drape(ctx context.Context, w *looked) (*Draped, []structure.Placed, structure.Looked, error) {
	way, placed, seen := w.way, w.placed, w.seen
	o := j.Profile
	o.Readings = j.Readings[way.Route.ID]
	if way.Reversed {
		o.Readings = profile.TurnReadings(o.Readings, way.LengthM())
	}
	p, err := profile.Build(ctx, way, carriedOf(placed), j.Surface, o)
	if err != nil {
		return nil, nil, seen, fmt.Errorf("route %s: %w", way.Route.ID, err)
	}
	if !slices.Contains(p.Why, terrain.Valid) {
		return nil, nil, seen, j.outside(ctx, way, p)
	}
	return &Draped{way, p, slices.Concat(p.Notes, p.Estimated)}, placed, seen, nil
}
