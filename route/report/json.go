package report

import (
	"encoding/json"
	"io"
	"math"

	"drawbar/route"
	"drawbar/route/verdict"

	"github.com/paulmach/orb"
)

// Schema is the version of the JSON document; schema.json beside this file is
// its JSON Schema. Fields may be added within a version.
const Schema = "drawbar.check/1"

// num is a float printed to a stated number of decimals, null when not known.
type num struct {
	v      float64
	digits int
}

// MarshalJSON implements json.Marshaler.
func (n num) MarshalJSON() ([]byte, error) {
	if math.IsNaN(n.v) || math.IsInf(n.v, 0) {
		return []byte("null"), nil
	}
	return []byte(plain(n.v, n.digits)), nil
}

func metres(v float64) num  { return num{v, 2} }
func ratio(v float64) num   { return num{v, 5} }
func degrees(v float64) num { return num{v, 7} }

type jDocument struct {
	Schema      string        `json:"schema"`
	Tool        jTool         `json:"tool"`
	Inputs      []jInput      `json:"inputs"`
	Settings    []jSetting    `json:"settings"`
	Train       jTrain        `json:"train"`
	Sources     []jSource     `json:"sources"`
	Assumptions []jAssumption `json:"assumptions"`
	Routes      []any         `json:"routes"`
	Idle        []jIdle       `json:"answers_idle"`
}

type jTool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
	Go      string `json:"go"`
	GDAL    string `json:"gdal"`
	PROJ    string `json:"proj"`
}

type jInput struct {
	Role        string `json:"role"`
	Name        string `json:"name"`
	Bytes       int64  `json:"bytes"`
	SHA256      string `json:"sha256,omitempty"`
	Fingerprint string `json:"fingerprint,omitempty"`
}

type jSetting struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

type jTrain struct {
	Name      string   `json:"name"`
	Level     string   `json:"level"`
	GrossKg   num      `json:"gross_kg"`
	GrossSEKg num      `json:"gross_se_kg"`
	LengthM   num      `json:"length_m"`
	WidthM    num      `json:"width_m"`
	HeightM   num      `json:"height_m"`
	Axles     int      `json:"axles"`
	Helpers   []string `json:"helpers"`
	Weather   string   `json:"ground_state"`
}

type jSource struct {
	Name   string `json:"name"`
	Driver string `json:"driver"`
	CRS    string `json:"crs"`
	Datum  string `json:"vertical_datum"`
	Kind   string `json:"kind"`
	Unit   string `json:"unit_read"`
	CellM  num    `json:"cell_m"`
	SEM    num    `json:"se_m"`
	CorrM  num    `json:"correlation_length_m"`
}

type jAssumption struct {
	Key      string `json:"key"`
	Value    num    `json:"value"`
	Unit     string `json:"unit"`
	Source   string `json:"source"`
	Standing string `json:"standing"`
}

type jFault struct {
	ID    string `json:"id"`
	File  string `json:"file"`
	Error string `json:"error"`
}

type jRoute struct {
	ID           string     `json:"id"`
	Name         string     `json:"name"`
	File         string     `json:"file"`
	Direction    string     `json:"direction"`
	LengthM      num        `json:"length_m"`
	Start        jPlace     `json:"start"`
	End          jPlace     `json:"end"`
	Verdict      string     `json:"verdict"`
	DecidedShare num        `json:"decided_share"`
	Open         []int      `json:"open"`
	Standing     []int      `json:"standing"`
	Segments     []jSegment `json:"segments"`
	Findings     []jFinding `json:"findings"`
	Passed       []jFinding `json:"passed"`
	Assists      []jAssist  `json:"assists"`
	Tried        []jTried   `json:"tried"`
	Halts        []jHalt    `json:"halts"`
	Rests        []jRest    `json:"rests"`
	WaysKnown    bool       `json:"ways_known"`
	Joint        jJoint     `json:"climbs_all"`
	Looked       []jLooked  `json:"looked"`
	Totals       jTotals    `json:"totals"`
	Notes        []string   `json:"notes"`
	Answers      []jAnswer  `json:"answers"`
	Classed      *jClassed  `json:"classification"`
}

// jLooked is one source that was looked through for structures.
type jLooked struct {
	Source string `json:"source"`
	For    string `json:"for"`
	Share  num    `json:"share"`
}

type jHalt struct {
	BeforeM num    `json:"before_m"`
	Why     string `json:"why"`
	AtM     num    `json:"at_m"`
	Starts  num    `json:"starts_again"`
	GradeUp num    `json:"grade_under_train"`
	TurnAtM num    `json:"turn_at_m"`
	TurnM   num    `json:"turn_width_m"`
	PassAtM num    `json:"let_pass_at_m"`
}

type jJoint struct {
	Chance num           `json:"chance"`
	Places []jJointPlace `json:"carried_by"`
}

type jJointPlace struct {
	AtM    num `json:"at_m"`
	Chance num `json:"chance_there"`
	Rise   num `json:"chance_lost_there"`
}

type jPlace struct {
	Lon num `json:"lon"`
	Lat num `json:"lat"`
	ZM  num `json:"z_m"`
}

type jSegment struct {
	FromM    num    `json:"from_m"`
	ToM      num    `json:"to_m"`
	Verdict  string `json:"verdict"`
	Unknown  bool   `json:"unknown"`
	Findings []int  `json:"findings"`
	Assist   *int   `json:"assist"`
}

type jFinding struct {
	Check      string      `json:"check"`
	FromM      num         `json:"from_m"`
	ToM        num         `json:"to_m"`
	WorstM     num         `json:"worst_m"`
	Outcome    string      `json:"outcome"`
	Verdict    *string     `json:"verdict"` // null for a standing matter
	Standing   bool        `json:"standing"`
	Demand     num         `json:"demand"`
	Capacity   num         `json:"capacity"`
	SE         num         `json:"se"`
	Unit       string      `json:"unit"`
	Chance     num         `json:"chance"`
	Say        string      `json:"say"`
	ToKnow     string      `json:"to_know"`
	ToDo       string      `json:"to_do"`
	Needs      string      `json:"needs"`
	AnsweredBy string      `json:"answered_by"`
	DecidedBy  []jShare    `json:"decided_by"`
	RestsOn    []string    `json:"rests_on"`
	Unverified bool        `json:"unverified"`
	Quantities []jQuantity `json:"quantities"`
}

type jShare struct {
	Name  string `json:"name"`
	Share num    `json:"share"`
}

type jQuantity struct {
	Name  string `json:"name"`
	Value *num   `json:"value,omitempty"`
	SE    *num   `json:"se,omitempty"`
	Unit  string `json:"unit"`
	Text  string `json:"text,omitempty"`
}

type jTotals struct {
	ClimbM      num    `json:"climb_m"`
	DescentM    num    `json:"descent_m"`
	SteepestUp  num    `json:"steepest_up_under_train"`
	CoveredByZ  num    `json:"share_with_height"`
	MappedShare num    `json:"share_with_tags"`
	Trip        *jTrip `json:"trip,omitempty"`
}

// JSON writes one document, two spaces indented.
func JSON(w io.Writer, run *Run) error {
	d := jDocument{Schema: Schema,
		Tool:   jTool{"drawbar", run.Tool.Version, run.Tool.Go, run.Tool.GDAL, run.Tool.PROJ},
		Inputs: []jInput{}, Settings: []jSetting{}, Sources: []jSource{}, Assumptions: []jAssumption{}, Routes: []any{}, Idle: []jIdle{},
		Train: jTrain{run.Train.Name, run.Train.Level, num{run.Train.GrossKg, 0}, num{run.Train.GrossSEKg, 0},
			metres(run.Train.LengthM), metres(run.Train.WidthM), metres(run.Train.HeightM), run.Train.Axles, list(run.Train.Helpers), run.Train.Weather},
	}
	for _, i := range run.Inputs {
		d.Inputs = append(d.Inputs, jInput{i.Role, i.Name, i.Bytes, i.SHA256, i.Print})
	}
	for _, s := range run.Settings {
		d.Settings = append(d.Settings, jSetting(s))
	}
	for _, s := range run.Sources {
		d.Sources = append(d.Sources, jSource{s.Name, s.Driver, s.CRS, s.Datum, s.Kind, s.Unit, metres(s.CellM), num{s.SEM, 3}, num{s.CorrM, 1}})
	}
	for _, a := range run.Assumed() {
		d.Assumptions = append(d.Assumptions, jsonAssumption(a))
	}
	for _, i := range run.Idle {
		d.Idle = append(d.Idle, jIdle(i))
	}
	for _, r := range run.Records {
		if r.Err != nil {
			d.Routes = append(d.Routes, jFault{r.ID, r.File, r.Err.Error()})
			continue
		}
		d.Routes = append(d.Routes, jsonRoute(r.Result))
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(d)
}

func jsonAssumption(a route.Assumption) jAssumption {
	return jAssumption{a.Key, num{a.Value, 4}, a.Unit, a.Source, a.Standing}
}

func jsonRoute(r *verdict.Result) jRoute {
	open, standing := r.Open()
	n := len(r.Way.Line) - 1
	z := r.Profile.ZM
	out := jRoute{
		ID: r.Way.Route.ID, Name: r.Way.Route.Name, File: r.Way.Route.File, Direction: direction(r),
		LengthM: metres(r.Way.LengthM()),
		Start:   jsonPlace(r.Way.Line[0], z[0]), End: jsonPlace(r.Way.Line[n], z[len(z)-1]),
		Verdict: r.Verdict.String(), DecidedShare: num{r.DecidedShare, 4},
		Open: list(open), Standing: list(standing),
		Segments: []jSegment{}, Findings: []jFinding{}, Passed: []jFinding{}, Assists: []jAssist{}, Tried: []jTried{},
		Halts: []jHalt{}, Looked: []jLooked{},
		Rests: jsonRests(r), WaysKnown: r.WaysKnown,
		Answers: jsonAnswers(r), Classed: jsonClassed(r),
		Joint:  jJoint{num{r.Joint.P, 4}, []jJointPlace{}},
		Totals: jsonTotals(r), Notes: list(r.Notes),
	}
	for _, l := range r.Looked.Sources {
		out.Looked = append(out.Looked, jLooked{l.Name, l.For, num{l.LengthM / r.Way.LengthM(), 4}})
	}
	for _, h := range r.Halts {
		out.Halts = append(out.Halts, jHalt{metres(h.Before), h.Why.String(), metres(h.AtM), num{h.StartP, 4}, ratio(h.Grade), metres(h.Turn.AtM), metres(h.Turn.WidthM), metres(h.PassAtM)})
	}
	for _, p := range r.Joint.Places {
		out.Joint.Places = append(out.Joint.Places, jJointPlace{metres(p.AtM), num{p.P, 4}, num{p.Rise, 4}})
	}
	for i := range r.Segments {
		s := &r.Segments[i]
		js := jSegment{metres(s.At.FromM), metres(s.At.ToM), s.Verdict.String(), s.Unknown, list(s.Findings), nil}
		if s.Assist >= 0 {
			js.Assist = &s.Assist
		}
		out.Segments = append(out.Segments, js)
	}
	for i := range r.Findings {
		out.Findings = append(out.Findings, jsonFinding(&r.Findings[i], r.Word(i)))
	}
	for i := range r.Passed {
		out.Passed = append(out.Passed, jsonFinding(&r.Passed[i], verdict.Go))
	}
	for i := range r.Plan.Assists {
		out.Assists = append(out.Assists, jsonAssist(&r.Plan.Assists[i]))
	}
	for i := range r.Plan.Tried {
		out.Tried = append(out.Tried, jsonTried(&r.Plan.Tried[i]))
	}
	return out
}

func jsonPlace(p orb.Point, z float64) jPlace {
	return jPlace{degrees(math.Mod(p[0]+540, 360) - 180), degrees(p[1]), metres(z)}
}

func jsonTotals(r *verdict.Result) jTotals {
	t := r.Totals()
	return jTotals{metres(t.ClimbM), metres(t.DescentM), ratio(t.SteepestUp), num{t.WithHeight, 4}, num{t.WithTags, 4}, jsonTripOf(r)}
}

// list is a slice that is never null in JSON.
func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}
