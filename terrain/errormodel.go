package terrain

import (
	"fmt"
	"math"
	"strings"
)

// le90PerSE is the half-width holding 90 % of a normal distribution over its
// standard deviation: the 95 % quantile. Derived.
const le90PerSE = 1.6448536269514722

// FromLE90 turns an LE90 in metres (90 % of heights are nearer to the truth
// than this) into the standard error of one height, taking the error as
// normal: SE = LE90/1.645. Zero or less, or NaN, gives NaN.
func FromLE90(le90M float64) float64 {
	if !(le90M > 0) {
		return math.NaN()
	}
	return le90M / le90PerSE
}

// FromRelativeLE90 turns a relative (point to point) LE90 in metres into the
// standard error of one of the two heights: SE = LE90/1.645/sqrt(2), because
// the difference of two independent heights has sqrt(2) times the error of
// one. Zero or less, or NaN, gives NaN.
func FromRelativeLE90(le90M float64) float64 { return FromLE90(le90M) / math.Sqrt2 }

// ErrorModel is what is taken about the error of a raster's heights: a
// zero-mean normal error of standard error SEM metres, correlated over a
// distance d as exp(-d/CorrM).
type ErrorModel struct {
	SEM, CorrM float64
	CE90M      float64 // horizontal error, 90 % circular, metres
	Kind       Kind    // what the product's heights are heights of
	// Assumed lists what nobody said: an SEM, CorrM or CE90M taken by default.
	Assumed []Assumption
}

// Known is what is known about a raster when its error is asked for.
type Known struct {
	Product string  // key of a Product, or "" when the user names none
	LE90M   float64 // absolute LE90 in metres from the user, 0 when not given
	CE90M   float64 // horizontal CE90 in metres from the user, 0 when not given
	CorrM   float64 // correlation length in metres from the user, 0 when not given
	Driver  string  // GDAL's name of the format
	CellM   float64 // ground size of a cell, metres
}

// Guess gives the error model of a raster: from the user's LE90 or product
// where given, else from a format that belongs to one product (SRTMHGT, DTED),
// else by cell size. Everything not given is listed in Assumed. The error is
// for a product nobody knows or a figure that cannot be.
func Guess(k Known) (ErrorModel, error) {
	if !(k.LE90M >= 0 && k.CE90M >= 0 && k.CorrM >= 0) || math.IsInf(k.LE90M+k.CE90M+k.CorrM, 0) {
		return ErrorModel{}, fmt.Errorf("LE90 of %v m, CE90 of %v m, correlation length of %v m: give positive numbers of metres", k.LE90M, k.CE90M, k.CorrM)
	}
	p, row, err := pick(k)
	if err != nil {
		return ErrorModel{}, err
	}
	m := ErrorModel{SEM: p.SEM, CorrM: k.CorrM, Kind: p.Kind, Assumed: row}
	if k.LE90M > 0 {
		m.SEM, m.Assumed = FromLE90(k.LE90M), nil
	}
	if m.CorrM == 0 {
		a := defaultCorrelation(k.CellM)
		m.CorrM, m.Assumed = a.Value, append(m.Assumed, a)
	}
	if m.CE90M = k.CE90M; m.CE90M == 0 {
		a := p.horizontal(k.CellM)
		m.CE90M, m.Assumed = a.Value, append(m.Assumed, a)
	}
	return m, nil
}

// pick chooses the row of the table; its assumption is what a default taken
// from it would be listed as.
func pick(k Known) (Product, []Assumption, error) {
	key, why := k.Product, ""
	switch {
	case key != "":
	case k.Driver == "SRTMHGT":
		key, why = "srtm", "the format SRTMHGT is that of SRTM; "
	case k.Driver == "DTED":
		key, why = dtedByCell(k.CellM), "the format is DTED; "
	default:
		p := byCell(k.CellM)
		return p, []Assumption{p.assumed("", "choice")}, nil
	}
	for _, p := range Products() {
		if p.Key == strings.ToLower(key) {
			return p, []Assumption{p.assumed(why, p.Standing)}, nil
		}
	}
	return Product{}, nil, fmt.Errorf("unknown elevation product %q; known are %s", key, strings.Join(productKeys(), ", "))
}

func (p Product) assumed(why, standing string) Assumption {
	return Assumption{Key: "terrain.se", Value: p.SEM, Unit: "m", Source: why + p.Source, Standing: standing}
}

// dtedByCell takes level 2 for cells up to 1.5 arc seconds (46 m), level 1
// above: levels are 1, 3 and 30 arc seconds (source: MIL-PRF-89020B, read),
// and level 0 is level 1 thinned out.
func dtedByCell(cellM float64) string {
	if cellM > 0 && cellM <= 46 {
		return "dted2"
	}
	return "dted1"
}

// defaultCorrM is the shortest correlation length taken when nobody gives one.
// See defaultCorrelation.
const defaultCorrM = 100.0

// defaultCorrelation is the correlation length taken when neither file nor
// user gives one: 100 m, or one cell if that is more.
//
// It is taken long on purpose. An estimate that learns the size of the error
// from the heights finds too small a size when the length is taken too short.
// Measured on seeded roads (TestCorrelationTakenLong in route/profile): the
// 95 % band of grade over 100 m holds 97, 97, 95, 90, 91 and 86 % with 100 m
// where the truth is 20, 60, 100, 150, 200 and 300 m; with 50 m it holds 98, 94,
// 89, 81, 83 and 88 %. Between the centres of its cells a raster has no
// independent errors, hence one cell. No published length for roads is known:
// 30-200 m for the short part, kilometres for the long part are named (memory).
func defaultCorrelation(cellM float64) Assumption {
	return Assumption{
		Key:      "terrain.correlation",
		Value:    math.Max(defaultCorrM, cellM),
		Unit:     "m",
		Source:   "correlation length not known: 100 m or one cell, taken long",
		Standing: "choice",
	}
}
