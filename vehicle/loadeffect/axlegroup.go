package loadeffect

import (
	"math"
)

// Exact conversions.
const (
	poundKg = 0.45359237
	poundN  = poundKg * 9.80665
	footM   = 0.3048
)

// FormulaB is the bridge formula of the United States, unrounded, pounds, for a
// group of axles (at least 2) over a length of feet. Source: 23 U.S.C. 127(a)(2)
// (read).
func FormulaB(feet float64, axles int) float64 {
	n := float64(axles)
	return 500 * (feet*n/(n-1) + 12*n + 36)
}

// Limits beside the formula, pounds: 23 U.S.C. 127(a)(2) and questions and
// answers on 23 CFR 658.17 (read).
const (
	singleAxleLb = 20000.0
	tandemLb     = 34000.0
	grossLb      = 80000.0
	singleFeet   = 40.0 / 12
	tandemFeet   = 8.0
)

// TableB is the printed table: the formula rounded to the nearest 500 lb, ties
// down, of whole feet, half a foot up; held to a tandem's 34,000 lb up to 8 ft and to
// two single axles' 40,000 lb. The printed table ends at the gross cap, 80,000 lb
// ([GrossCapKg]); this one goes on, so that a ratio says how far over a group is. Between 8 and 9 ft stands the
// formula at 8 ft. Rounding: statute (read), ties by the cells read (derived);
// half a foot up: Missouri RSMo 304.180 and Wisconsin 348.15 (read).
func TableB(feet float64, axles int) float64 {
	const hair = 1e-9
	if axles < 2 || feet <= singleFeet+hair {
		return singleAxleLb
	}
	if feet <= tandemFeet+hair {
		return tandemLb
	}
	whole := math.Floor(feet + 0.5 + hair)
	if feet < 9-hair {
		whole = tandemFeet
	}
	w := 500 * math.Ceil(FormulaB(whole, axles)/500-0.5-hair)
	if axles == 2 {
		w = min(w, 2*singleAxleLb)
	}
	return w
}

// GrossCapKg is the most a vehicle may weigh beside the formula, 80,000 lb.
const GrossCapKg = grossLb * poundKg

// Group is a group of neighbouring axles against the table.
type Group struct {
	First, Last int // axles, from 0
	LengthM     float64
	MassKg      float64
	AllowedKg   float64
	// TwoTandems: allowed by the exception for two tandems 36 ft or more apart.
	TwoTandems bool
}

// Ratio is mass over what is allowed.
func (g Group) Ratio() float64 { return g.MassKg / g.AllowedKg }

// GroupsB compares every axle and every group of neighbouring axles of a train
// with the bridge formula table, N(N+1)/2 rows. A heavy transporter is over by its
// nature: over means a permit, and the ratio is how far. The gross cap is not in it.
func GroupsB(t Train) (out []Group) {
	for i := range t.AtM {
		w := 0.0
		for j := i; j < len(t.AtM); j++ {
			w += t.LoadN[j]
			g := Group{First: i, Last: j, LengthM: t.AtM[j] - t.AtM[i], MassKg: w / 9.80665}
			feet := g.LengthM / footM
			g.AllowedKg = TableB(feet, j-i+1) * poundKg
			if j-i == 3 && feet >= 36-1e-9 && t.tandem(i) && t.tandem(i+2) && g.AllowedKg < 2*tandemLb*poundKg {
				g.AllowedKg, g.TwoTandems = 2*tandemLb*poundKg, true
			}
			out = append(out, g)
		}
	}
	return out
}

// tandem reports whether axle i and the next are a tandem.
func (t Train) tandem(i int) bool {
	feet := (t.AtM[i+1] - t.AtM[i]) / footM
	return feet > singleFeet+1e-9 && feet <= tandemFeet+1e-9
}

// Arizona permit: 1.5 x 700 (L + 40) lb, more for wide axles with more tyres.
const (
	permitLb       = 1.5 * 700
	permitOffsetFt = 40
	permitMostFt   = 18
	permitSingleLb = 28000
)

// Permit is the axle group of an Arizona overweight permit, pounds, up to 18 ft:
// parts are shares of the group's axles with their surcharge (0, 0.15 or 0.25 for
// wider axles and more tyres), weighted by number of axles. NaN beyond 18 ft.
// Source: a state page quoting the rules (read at second hand); its twelve printed
// numbers are reproduced. A length of 0 is a single axle.
func Permit(feet float64, parts ...PermitPart) float64 {
	if !(feet >= 0 && feet <= permitMostFt) {
		return math.NaN()
	}
	base := permitLb * (feet + permitOffsetFt)
	if feet == 0 {
		base = permitSingleLb
	}
	if len(parts) == 0 {
		return base
	}
	axles, sum := 0, 0.0
	for _, p := range parts {
		axles += p.Axles
		sum += float64(p.Axles) * (1 + p.Surcharge)
	}
	return base * sum / float64(axles)
}

// PermitPart are axles of one surcharge.
type PermitPart struct {
	Axles     int
	Surcharge float64
}
