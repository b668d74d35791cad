package report

import (
	"bufio"
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"strconv"

	"drawbar/route/verdict"
)

// Matrix is every route judged for several trains, states of the ground, or
// empty and loaded.
type Matrix struct {
	Tool  Tool
	Cells []Cell
}

// Cell is one of them.
type Cell struct {
	Record
	Train    string
	Empty    bool // on the way out, without its load
	GrossKg  float64
	Weather  string
	Reversed bool
}

// Records are those of all cells.
func (m *Matrix) Records() (out []Record) {
	for _, c := range m.Cells {
		out = append(out, c.Record)
	}
	return out
}

// SchemaMatrix is the version of the JSON document of a matrix.
const SchemaMatrix = "drawbar.matrix/1"

// id is the route and its direction.
func (c *Cell) id() string {
	if c.Reversed {
		return c.ID + " (end to start)"
	}
	return c.ID
}

// decides is the check that gives the route its verdict, where, and the chance
// if there is one; empty for go.
func (c *Cell) decides() (name string, atM, chance float64) {
	r := c.Result
	for i := range r.Segments {
		if s := &r.Segments[i]; s.Verdict == r.Verdict && r.Verdict != verdict.Go && len(s.Findings) > 0 {
			f := &r.Findings[s.Findings[0]]
			return f.Check, s.At.FromM, f.P
		}
	}
	return "", math.NaN(), math.NaN()
}

// open counts the questions in the way, those of coupled trains too.
func openCount(r *verdict.Result) int {
	open, _ := r.Open()
	n := len(open)
	for k := range r.Plan.Assists {
		n += len(r.Plan.Assists[k].Asked())
	}
	return n
}

// MatrixText writes a table: for each route a line for each train and state of
// the ground, at most 80 columns.
func MatrixText(w io.Writer, m *Matrix, u Units) error {
	t := &text{w: bufio.NewWriter(w), u: u}
	t.line("%-27s %6s %-6s %-11s %10s %-10s %4s", "route, then train", "gross", "ground", "verdict", "first at", "decides", "open")
	for i := range m.Cells {
		if firstOf(m, i) {
			t.wrap("", "  ", short(m.Cells[i].id(), nameWidth))
			for k := range m.Cells {
				if c := &m.Cells[k]; c.id() == m.Cells[i].id() && c.File == m.Cells[i].File {
					t.cell(c)
				}
			}
		}
	}
	t.line("")
	t.wrap("", "", "One train and one state of the ground give the whole report. "+caution)
	return t.w.Flush()
}

// firstOf reports whether no cell before speaks of the same route.
func firstOf(m *Matrix, i int) bool {
	for k := range i {
		if m.Cells[k].id() == m.Cells[i].id() && m.Cells[k].File == m.Cells[i].File {
			return false
		}
	}
	return true
}

func (t *text) cell(c *Cell) {
	name, gross := clean(short(c.Train, 25)), plain(c.GrossKg/1000, 0)+" t"
	if c.Empty {
		name = clean(short(c.Train, 18)) + ", empty"
	}
	if t.u == US {
		gross = plain(c.GrossKg/shortKg, 0) + " st"
	}
	if c.Err != nil {
		t.line("  %-25s %6s %-6s %s", name, gross, c.Weather, "not judged")
		return
	}
	check, at, _ := c.decides()
	where := "-"
	if check != "" {
		where = t.u.Chainage(at)
	} else {
		check = "-"
	}
	t.line("  %-25s %6s %-6s %-11s %10s %-10s %4d", name, gross, c.Weather, c.Result.Verdict, where, check, openCount(c.Result))
}

type jMatrix struct {
	Schema string  `json:"schema"`
	Tool   jTool   `json:"tool"`
	Cells  []jCell `json:"cells"`
}

type jCell struct {
	ID           string `json:"id"`
	File         string `json:"file"`
	Direction    string `json:"direction"`
	Train        string `json:"train"`
	Empty        bool   `json:"empty"`
	GrossKg      num    `json:"gross_kg"`
	Weather      string `json:"ground_state"`
	Verdict      string `json:"verdict,omitempty"`
	FirstAtM     num    `json:"first_at_m"`
	Decides      string `json:"decides"`
	Chance       num    `json:"chance"`
	Open         int    `json:"open"`
	DecidedShare num    `json:"decided_share"`
	Error        string `json:"error,omitempty"`
}

func (c *Cell) json() jCell {
	out := jCell{ID: c.ID, File: c.File, Direction: "forward", Train: c.Train, Empty: c.Empty, GrossKg: num{c.GrossKg, 0}, Weather: c.Weather,
		FirstAtM: metres(math.NaN()), Chance: num{math.NaN(), 4}, DecidedShare: num{math.NaN(), 4}}
	if c.Reversed {
		out.Direction = "reverse"
	}
	if c.Err != nil {
		out.Error = c.Err.Error()
		return out
	}
	check, at, p := c.decides()
	out.Verdict, out.Decides, out.FirstAtM, out.Chance = c.Result.Verdict.String(), check, metres(at), num{p, 4}
	out.Open, out.DecidedShare = openCount(c.Result), num{c.Result.DecidedShare, 4}
	return out
}

// MatrixJSON writes one document: a list of cells, null where nothing decides.
func MatrixJSON(w io.Writer, m *Matrix) error {
	d := jMatrix{SchemaMatrix, jTool{"drawbar", m.Tool.Version, m.Tool.Go, m.Tool.GDAL, m.Tool.PROJ}, []jCell{}}
	for i := range m.Cells {
		d.Cells = append(d.Cells, m.Cells[i].json())
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(d)
}

// MatrixCSV writes one line a cell.
func MatrixCSV(w io.Writer, m *Matrix) error {
	c := csv.NewWriter(w)
	rows := [][]string{{"route", "direction", "train", "empty", "gross_kg", "ground_state", "verdict", "first_at_m", "decides", "chance", "open", "decided_share", "error"}}
	for i := range m.Cells {
		j := m.Cells[i].json()
		rows = append(rows, safe([]string{j.ID, j.Direction, j.Train, strconv.FormatBool(j.Empty), fixed(j.GrossKg.v, 0), j.Weather, j.Verdict,
			fixed(j.FirstAtM.v, 1), j.Decides, fixed(j.Chance.v, 3), strconv.Itoa(j.Open), fixed(j.DecidedShare.v, 3), j.Error}))
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return c.Error()
}
