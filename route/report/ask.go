package report

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route/check"
	"drawbar/route/geofile"
	"drawbar/route/known"
	"drawbar/route/verdict"

	"github.com/paulmach/orb"
)

// askCaution stands on everything that asks.
const askCaution = "Drawbar compares loads, heights and grades; it does not rate a bridge and permits nothing. " +
	"A qualified engineer, the owner and the road authority decide."

// question is one row of a file of questions, as people and programs read it.
type question struct {
	n        int
	rec      *Record
	f        *check.Finding
	q        verdict.Question
	train    string // what drives there
	from, to float64
	at       orb.Point
}

// questions are those of all routes, in the order of the run, hardest first in
// each.
func questions(run *Run) (out []question) {
	for i := range run.Records {
		rec := &run.Records[i]
		if rec.Result == nil {
			continue
		}
		for _, q := range rec.Result.Questions() {
			f := q.Of(rec.Result)
			x := question{n: len(out) + 1, rec: rec, f: f, q: q, train: run.Train.Name, from: f.At.FromM, to: f.At.ToM}
			if q.Helper != "" {
				x.train = q.Helper + " with " + run.Train.Name
			}
			x.at = rec.Result.Way.At(min(max(f.WorstM, f.At.FromM), f.At.ToM))
			if rec.Result.Way.Reversed { // chainage of the file's line
				length := rec.Result.Way.LengthM()
				x.from, x.to = length-f.At.ToM, length-f.At.FromM
			}
			out = append(out, x)
		}
	}
	return out
}

// direction is the one a question is asked for: that of a grade, or none.
func (x *question) direction() string {
	if slices.Contains([]string{"bridge", "overhead", "ford", "bend", "width", "structures", "posting"}, x.f.Check) {
		return ""
	}
	return direction(x.rec.Result)
}

// quantity is a figure that the finding carries, NaN when it does not.
func (x *question) quantity(names ...string) float64 {
	for _, q := range x.f.Q {
		if slices.Contains(names, q.Name) && q.Unit != check.Literal {
			return q.Value
		}
	}
	return nan
}

// passes is the value that passes, in words.
func (x *question) passes(u Units) string { return strings.Join(x.alternatives(u), ", or ") }

// alternatives are the values of which any passes.
func (x *question) alternatives(u Units) (alts []string) {
	for _, alt := range x.f.Needs {
		var all []string
		for _, n := range alt {
			all = append(all, u.need(n))
		}
		alts = append(alts, strings.Join(all, " and "))
	}
	return alts
}

// needWords are the keys of needs in words.
var needWords = map[string]string{
	"class": "load class", "mass_kg": "gross mass", "axle_kg": "axle load", "pair_kg": "load on a pair of axles", "height_m": "clear height",
	"width_m": "width", "length_m": "length", "depth_m": "depth", "grade_pct": "grade under the train", "crossfall_pct": "crossfall",
	"rci": "rating cone index", "wire_m": "lowest wire up to 50 kV", "bed": "bed", "surface": "surface",
}

var wordWords = map[string]string{"looked": "looked at, and it passes", "granted": "granted in writing", "accepted": "accepted by name", "driven": "the whole way driven"}

// need is one need in words, its figure on the safe side.
func (u Units) need(n known.Need) string {
	if n.Want != "" {
		if w, ok := wordWords[n.Key]; ok {
			return w
		}
		return n.Key + " " + n.Want
	}
	side := " at least "
	if n.AtMost {
		side = " at most "
	}
	v, _ := strconv.ParseFloat(n.Figure(), 64)
	var text string
	switch {
	case strings.HasSuffix(n.Key, "_kg") && u == SI:
		text = strconv.FormatFloat(v/1000, 'f', 1, 64) + " t"
	case strings.HasSuffix(n.Key, "_kg"):
		text = upTo(v/shortKg, 1) + " short tons"
	case strings.HasSuffix(n.Key, "_m") && u == SI:
		text = n.Figure() + " m"
	case strings.HasSuffix(n.Key, "_m") && n.AtMost:
		text = downTo(v/footM, 1) + " ft"
	case strings.HasSuffix(n.Key, "_m"):
		text = upTo(v/footM, 1) + " ft"
	case strings.HasSuffix(n.Key, "_pct"):
		text = n.Figure() + " %"
	default:
		text = n.Figure()
	}
	name, ok := needWords[n.Key]
	if !ok {
		name = n.Key
	}
	return name + side + text
}

// askColumns are the columns of a file of questions, in order.
func askColumns() []string {
	return slices.Concat([]string{"rank"}, known.PlaceColumns, known.AskColumns[1:], known.AnswerColumns)
}

// row is a question by column; columns of the answer are empty.
func (x *question) row(run *Run) map[string]string {
	c := map[string]string{
		"rank": strconv.Itoa(x.n), "route": x.rec.Result.Way.Route.ID, "direction": x.direction(), "check": x.f.Check,
		"from_m": fixed(x.from, 1), "to_m": fixed(x.to, 1), "lon": fixed(math.Mod(x.at[0]+540, 360)-180, 7), "lat": fixed(x.at[1], 7),
		"verdict_now": x.q.Verdict.String(), "question": SI.Sentence(x.f), "ask": SI.Fill(x.f.Close, x.f.Q),
		"passes_at": x.passes(SI), "needs": x.f.Needs.String(), "train": x.train,
		"gross_kg": fixed(x.sized("gross", run.Train.GrossKg), 0), "axle_kg": fixed(x.sized("axle", run.Train.AxleKg), 0), "pair_kg": fixed(x.sized("pair", run.Train.PairKg), 0),
		"class": fixed(math.Ceil(x.sized("class", run.Train.Class)-1e-9), 0), "span_m": fixed(x.quantity("span"), 1),
		"moment_knm": fixed(x.quantity("moment")/1000, 0), "shear_kn": fixed(x.quantity("shear")/1000, 0),
		"train_height_m": fixed(run.Train.HeightM, 2), "train_width_m": fixed(run.Train.WidthM, 2), "train_length_m": fixed(run.Train.LengthM, 1),
	}
	if x.q.Standing {
		c["verdict_now"] = "not covered"
	}
	return c
}

// sized is a figure of the finding, or, for the train alone, the train's own.
func (x *question) sized(name string, alone float64) float64 {
	if v := x.quantity(name); !math.IsNaN(v) {
		return v
	}
	if x.q.Assist >= 0 {
		return nan
	}
	return alone
}

// AskCSV writes the open questions as CSV, with empty columns for the answers:
// filled in, it is a file of answers.
func AskCSV(w io.Writer, run *Run) error {
	c := csv.NewWriter(w)
	head := askColumns()
	if err := c.Write(head); err != nil {
		return err
	}
	for _, x := range questions(run) {
		cells := x.row(run)
		row := make([]string, len(head))
		for i, h := range head {
			row[i] = known.Cell(cells[h])
		}
		if err := c.Write(row); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// AskGeoJSON writes the same as points.
func AskGeoJSON(w io.Writer, run *Run) error {
	var fs []geofile.Feature
	for _, x := range questions(run) {
		cells := x.row(run)
		f := geofile.Feature{Point: &x.at}
		for _, h := range askColumns() {
			if h == "lon" || h == "lat" {
				continue
			}
			var v any = cells[h]
			if n, err := strconv.ParseFloat(cells[h], 64); err == nil && h != "route" && h != "train" && h != "question" && h != "ask" {
				v = n
			}
			f.Properties = append(f.Properties, geofile.Property{Key: h, Value: v})
		}
		fs = append(fs, f)
	}
	return geofile.WriteFeatures(w, fs)
}

var nan = math.NaN()
