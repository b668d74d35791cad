package check

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Joint is the chance that the train climbs the whole way at a crawl, not of one
// place: what is uncertain of grip, mass, effort and load is the same all along,
// what is uncertain of the grades is not.
type Joint struct {
	// P is that chance on the worst ground each piece may be; NaN where some of
	// the way has no grade.
	P float64
	// Places carry it: the pieces of way without which it would rise most, worst
	// first, two at most.
	Places []JointPlace
}

// JointPlace is a piece of way that costs the joint chance something.
type JointPlace struct {
	AtM  float64 // station of the least margin
	P    float64 // chance of that place alone
	Rise float64 // of the joint chance if it were not there
}

// Choices of the joint estimate.
const (
	jointPieceM = 500.0  // one climb errs as one up to this length
	jointDraws  = 8192   // of what is shared, at most
	jointLeast  = 2048   // at least: a standard error under 0.01
	jointWork   = 65536  // draws times climbs, about
	jointSure   = 0.9995 // a piece surer than this is left out
	jointSeed   = 20240611
)

// piece is the worst station of a stretch.
type jointPiece struct {
	atM, demand, gradeSD float64
	capacity             *capacity
	surface              int // index among the surfaces met
	p                    float64
}

// Joint estimates it by draws of what is shared, with a fixed seed; the grades
// are integrated in closed form.
func (s *Situation) Joint() Joint {
	pieces, complete := s.jointPieces()
	if !complete {
		return Joint{P: nan}
	}
	if len(pieces) == 0 {
		return Joint{P: 1}
	}
	all, without := jointChances(pieces)
	out := Joint{P: all}
	for i, q := range without {
		out.Places = append(out.Places, JointPlace{AtM: pieces[i].atM, P: pieces[i].p, Rise: q - all})
	}
	slices.SortStableFunc(out.Places, func(a, b JointPlace) int {
		switch {
		case a.Rise > b.Rise:
			return -1
		case a.Rise < b.Rise:
			return 1
		}
		return 0
	})
	out.Places = out.Places[:min(len(out.Places), 2)]
	return out
}

// jointPieces finds the least sure station of each climb: a run of stations that
// are not sure by themselves, cut at jointPieceM. complete is false where a grade
// is missing.
func (s *Situation) jointPieces() (out []jointPiece, complete bool) {
	surfaces := map[string]int{}
	from, to := s.inWindow()
	for i := from; i < to; i++ {
		begin := s.Profile.ChainageM[i]
		worst, least := -1, jointSure
		for ; i < to && s.Profile.ChainageM[i] < begin+jointPieceM; i++ {
			if math.IsNaN(s.TrainGrade.Value[i]) {
				return nil, false
			}
			p := s.gradeAt(i, crawling).p
			if p >= jointSure {
				break
			}
			if p < least {
				worst, least = i, p
			}
		}
		if worst < 0 {
			continue
		}
		if i < to && s.Profile.ChainageM[i] >= begin+jointPieceM {
			i-- // the next run begins here
		}
		q := s.jointPiece(worst)
		q.p = least
		name := s.grounds[worst].span[crawling].worst.surface.Name
		if _, ok := surfaces[name]; !ok {
			surfaces[name] = len(surfaces)
		}
		q.surface = surfaces[name]
		out = append(out, q)
	}
	return out, true
}

func (s *Situation) jointPiece(i int) jointPiece {
	c := s.capacityAt(i, s.grounds[i].span[crawling].worst, crawling)
	return jointPiece{atM: s.Profile.ChainageM[i], demand: s.TrainGrade.Value[i] - c.shift, capacity: c,
		gradeSD: math.Hypot(s.TrainGrade.SE[i], math.Sqrt(c.scrub))}
}

// jointChances are the chance of all pieces together, and of all but each one.
// Draws come in opposite pairs: the chance rises with each of them, so that the
// errors of a pair mostly cancel.
func jointChances(pieces []jointPiece) (all float64, without []float64) {
	r := rand.New(rand.NewPCG(jointSeed, jointSeed))
	surfaces := 0
	for _, q := range pieces {
		surfaces = max(surfaces, q.surface+1)
	}
	d := jointDraw{ground: make([]drawn, surfaces), each: make([]float64, len(pieces)), before: make([]float64, len(pieces)+1)}
	without = make([]float64, len(pieces))
	draws := min(max(jointWork/len(pieces), jointLeast), jointDraws) &^ 1
	for range draws / 2 {
		d.next(r)
		for range 2 {
			all += d.add(pieces, without)
			d.flip()
		}
	}
	for k := range without {
		without[k] /= float64(draws)
	}
	return all / float64(draws), without
}

// jointDraw is one draw of what is shared, grip and rolling by surface, and the
// space to work in.
type jointDraw struct {
	ground       []drawn
	each, before []float64
}

func (d *jointDraw) next(r *rand.Rand) {
	mass, effort, place := r.NormFloat64(), r.NormFloat64(), r.NormFloat64()
	for k := range d.ground {
		d.ground[k] = drawn{grip: r.NormFloat64(), roll: r.NormFloat64(), mass: mass, effort: effort, place: place}
	}
}

func (d *jointDraw) flip() {
	for k := range d.ground {
		g := &d.ground[k]
		*g = drawn{grip: -g.grip, roll: -g.roll, mass: -g.mass, effort: -g.effort, place: -g.place}
	}
}

// add gives the chance of all pieces under the draw and adds that of all but
// each to without.
func (d *jointDraw) add(pieces []jointPiece, without []float64) float64 {
	d.before[0] = 1
	for k := range pieces {
		q := &pieces[k]
		d.each[k] = chance(q.demand, q.capacity.limits.at(&d.ground[q.surface]), q.gradeSD)
		d.before[k+1] = d.before[k] * d.each[k]
	}
	behind := 1.0
	for k := len(pieces) - 1; k >= 0; k-- {
		without[k] += d.before[k] * behind
		behind *= d.each[k]
	}
	return d.before[len(pieces)]
}
