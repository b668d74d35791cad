package valley

import (
	"fmt"
	"math"
	"slices"
)

// Road is a designed road: where it lies and how high. Chainages run from its
// start, metres on the map grid.
type Road struct {
	Name    string
	LengthM float64

	line      []element
	profile   grades
	tags      []tag
	stretches []stretch
	// nodes are the chainages where ways are split: ends and junctions.
	nodes []float64
	// startAt and endAt place the ends on other roads; nil where free.
	startAt, endAt *place
}

// place is a point on a road.
type place struct {
	road      *Road
	chainageM float64
}

// At is the point at a chainage from 0 to LengthM; outside it is the point at
// the nearer end.
func (r *Road) At(chainageM float64) (x, y float64) {
	s := min(max(chainageM, 0), r.LengthM)
	for _, e := range r.line {
		if s <= e.toM() {
			return e.at(s - e.fromM)
		}
	}
	e := r.line[len(r.line)-1]
	return e.at(e.lengthM)
}

// HeightM is the designed height of the road at a chainage.
func (r *Road) HeightM(chainageM float64) float64 { return r.profile.height(chainageM) }

// GradeRatio is the designed grade at a chainage, rise over run, upward along
// the road positive.
func (r *Road) GradeRatio(chainageM float64) float64 { return r.profile.ratioAt(chainageM) }

// RadiusM is the designed radius at a chainage: 0 on a straight, positive in
// a left bend, negative in a right one.
func (r *Road) RadiusM(chainageM float64) float64 {
	for _, e := range r.line {
		if chainageM < e.toM() {
			return e.radiusM
		}
	}
	return 0
}

// foot is the chainage and distance of the road's point nearest to (x, y);
// the distance is infinite where none lies within the reach.
func (r *Road) foot(x, y, reachM float64) (chainageM, distanceM float64) {
	distanceM = math.Inf(1)
	for _, e := range r.line {
		if e.far(x, y, reachM) {
			continue
		}
		if s, d := e.foot(x, y); d < distanceM && d <= reachM {
			chainageM, distanceM = s, d
		}
	}
	return chainageM, distanceM
}

// tagsAt is the road's tags just after a chainage, stretches laid over, sorted
// by key.
func (r *Road) tagsAt(s float64) []tag {
	tags := append([]tag{{"name", r.Name}}, r.tags...)
	for _, st := range r.stretches {
		if s < st.fromM || s >= st.toM {
			continue
		}
		for _, t := range st.tags {
			if i := slices.IndexFunc(tags, func(u tag) bool { return u.key == t.key }); i >= 0 {
				tags[i] = t
			} else {
				tags = append(tags, t)
			}
		}
	}
	slices.SortFunc(tags, func(a, b tag) int {
		if a.key < b.key {
			return -1
		}
		return 1
	})
	return tags
}

// build lays out every designed road. An error is a fault of the design.
func build(designs []design) ([]*Road, error) {
	var roads []*Road
	named := func(name string) *Road {
		i := slices.IndexFunc(roads, func(r *Road) bool { return r.Name == name })
		if i < 0 {
			return nil
		}
		return roads[i]
	}
	for _, d := range designs {
		r := &Road{Name: d.name, tags: d.tags, stretches: slices.Clone(d.stretches)}
		r.line = layout(d.corners, d.leaves != "", d.joins != "")
		r.LengthM = r.line[len(r.line)-1].toM()
		for i := range r.stretches {
			r.stretches[i].toM = min(r.stretches[i].toM, r.LengthM)
		}
		if err := r.connect(d, named); err != nil {
			return nil, fmt.Errorf("road %q: %w; correct its corners", d.name, err)
		}
		r.profile = r.grade(d)
		roads = append(roads, r)
	}
	for _, r := range roads {
		r.nodes = append(r.nodes, 0, r.LengthM)
		for _, p := range []*place{r.startAt, r.endAt} {
			if p != nil {
				p.road.nodes = append(p.road.nodes, p.chainageM)
			}
		}
	}
	for _, r := range roads {
		slices.Sort(r.nodes)
		r.nodes = slices.Compact(r.nodes)
	}
	return roads, nil
}

// connect finds the places on other roads where this one starts and ends.
func (r *Road) connect(d design, named func(string) *Road) (err error) {
	if d.leaves != "" {
		if r.startAt, err = on(named(d.leaves), d.leaves, r, 0); err != nil {
			return err
		}
	}
	if end := d.joins + d.meets; end != "" {
		r.endAt, err = on(named(end), end, r, r.LengthM)
	}
	return err
}

// touchM is how near a junction must lie to the other road's line; the
// difference goes when both use the other road's point.
const touchM = 0.001

// on is the place of r's point at s on the other road.
func on(other *Road, name string, r *Road, s float64) (*place, error) {
	if other == nil {
		return nil, fmt.Errorf("no road %q before it", name)
	}
	x, y := r.At(s)
	chainage, apart := other.foot(x, y, touchM)
	if apart > touchM {
		return nil, fmt.Errorf("point at %.3f m is more than %.3f m from %q", s, touchM, name)
	}
	return &place{other, chainage}, nil
}

// grade completes the designed profile with its ends.
func (r *Road) grade(d design) grades {
	const roundM = 60 // curve at the end of a hold
	head, tail := grades{{0, d.startM, 0}}, grades{{r.LengthM, d.endM, 0}}
	if p := r.startAt; p != nil {
		z := p.road.HeightM(p.chainageM)
		g := p.road.GradeRatio(p.chainageM)
		head = grades{{0, z, 0}, {d.leaveHoldM, z + mul(d.leaveHoldM, g), min(roundM, d.leaveHoldM)}}
	}
	if p := r.endAt; p != nil {
		z := p.road.HeightM(p.chainageM)
		tail = grades{{r.LengthM, z, 0}}
		if d.joinHoldM > 0 {
			g := p.road.GradeRatio(p.chainageM)
			tail = slices.Insert(tail, 0, gradePoint{r.LengthM - d.joinHoldM, z - mul(d.joinHoldM, g), roundM})
		}
	}
	return slices.Concat(head, d.grades, tail)
}
