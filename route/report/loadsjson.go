package report

import (
	"encoding/json"
	"io"
	"math"
)

type jLoads struct {
	Name    string       `json:"name"`
	Caution string       `json:"caution"`
	Classes []jLoadClass `json:"classes"`
	Spans   []jLoadRow   `json:"spans"`
	Groups  []jGroup     `json:"axle_groups"`
	Over    int          `json:"axle_groups_over"`
	All     int          `json:"axle_groups_all"`
}

type jLoadClass struct {
	Name       string  `json:"name"`
	Value      float64 `json:"value"`
	Source     string  `json:"source"`
	Unverified bool    `json:"unverified"`
}

type jLoadRow struct {
	SpanM    float64    `json:"span_m"`
	MomentNm float64    `json:"moment_nm"`
	ShearN   float64    `json:"shear_n"`
	Against  []jAgainst `json:"against"`
}

type jAgainst struct {
	Name        string   `json:"name"`
	MomentNm    float64  `json:"moment_nm"`
	ShearN      float64  `json:"shear_n"`
	MomentRatio *float64 `json:"moment_ratio"`
	ShearRatio  *float64 `json:"shear_ratio"`
	Dynamics    bool     `json:"dynamics"`
	Unverified  bool     `json:"unverified"`
}

type jGroup struct {
	First     int     `json:"first_axle"`
	Last      int     `json:"last_axle"`
	LengthM   float64 `json:"length_m"`
	MassKg    float64 `json:"mass_kg"`
	AllowedKg float64 `json:"allowed_kg"`
}

// LoadsJSON writes the loads of a sheet, SI. A ratio is null where one of the two
// contains dynamics and the other does not.
func LoadsJSON(w io.Writer, name string, l *Loads) error {
	out := jLoads{Name: name, Caution: bridgeWords, Over: l.Over, All: l.All}
	for _, c := range l.Classes {
		out.Classes = append(out.Classes, jLoadClass(c))
	}
	for _, r := range l.Rows {
		row := jLoadRow{SpanM: r.SpanM, MomentNm: r.MomentNm, ShearN: r.ShearN}
		for _, q := range r.Ratios {
			row.Against = append(row.Against, jAgainst{q.Name, q.TheirMomentNm, q.TheirShN, finite(q.Moment), finite(q.Shear), q.Dynamics, q.Unverified})
		}
		out.Spans = append(out.Spans, row)
	}
	for _, g := range l.Groups {
		out.Groups = append(out.Groups, jGroup(g))
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
