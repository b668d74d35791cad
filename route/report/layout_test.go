package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"drawbar/route/check"
	"drawbar/route/report"
)

// columns holds every line to 80 characters, and to characters that are seen
// and stay where they are.
func columns(t *testing.T, name string, text []byte) {
	t.Helper()
	if !utf8.Valid(text) {
		t.Errorf("%s: not UTF-8", name)
	}
	for i, line := range strings.Split(string(text), "\n") {
		if n := utf8.RuneCountInString(line); n > 80 {
			t.Errorf("%s:%d: %d columns: %s", name, i+1, n, line)
		}
		for _, r := range line {
			if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Errorf("%s:%d: %U in %q", name, i+1, r, line)
			}
		}
		if strings.HasSuffix(line, " ") {
			t.Errorf("%s:%d: ends with a space: %q", name, i+1, line)
		}
	}
}

// Whatever files hold, the text keeps to 80 columns and stays short.
func TestNastyNames(t *testing.T) {
	run := hostile(t)
	for name, u := range map[string]report.Units{"si": report.SI, "us": report.US} {
		var b bytes.Buffer
		if err := report.Text(&b, run, u); err != nil {
			t.Fatal(err)
		}
		columns(t, name, b.Bytes())
		if b.Len() > 200_000 {
			t.Errorf("%s: a text of %d bytes", name, b.Len())
		}
	}
	for _, rec := range run.Records {
		if rec.Result == nil {
			continue
		}
		var b bytes.Buffer
		if err := report.Explain(&b, rec.Result, report.SI); err != nil {
			t.Fatal(err)
		}
		columns(t, "explain", b.Bytes())
	}
	n := run.Records[len(run.Records)-1].ID
	for _, name := range []string{run.Train.Name, n, run.Train.Helpers[2]} {
		var b bytes.Buffer
		s := &report.Sheet{Train: report.Train{Name: name}, Kingpins: []report.Load{{Name: name, Kg: 1}}, Axles: []report.AxleRow{{Unit: name, Driven: true, Kg: 2e5, RatedKg: 1}},
			Gears: []report.GearRow{{Unit: name, Gear: name, Ratio: 999}}, Mastered: []check.Mastered{{Surface: "dry compacted"}},
			Held:   []check.Held{{Surface: "dry compacted", DownBy: "effort", Down: 1, DownPass: 1, BrakesPass: 1, ParkUp: 1, ParkDown: 1}},
			Slopes: []check.Slope{{GradeRatio: 0.2, PushN: 3e6, SpeedMS: 25, Gear: name, DownUse: 8, ParkUpUse: 8, ParkDownUse: 8, StartJ: 1e9}}, Ask: []report.AskRow{{Check: name, Field: name}}}
		if err := report.Transporter(&b, s, report.US); err != nil {
			t.Fatal(err)
		}
		columns(t, "sheet", b.Bytes())
	}
}

// No figure that is none gets into a file that programs read, and files stay
// whole whatever the names.
func TestFilesStayWhole(t *testing.T) {
	run := hostile(t)
	var j, c, g bytes.Buffer
	if err := report.JSON(&j, run); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"NaN", "Inf", "-0.00,", "-0.0000,"} {
		if bytes.Contains(j.Bytes(), []byte(bad)) {
			t.Errorf("JSON holds %q", bad)
		}
	}
	if err := report.CSV(&c, run); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&c).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := 1
	for _, rec := range run.Records {
		want++
		if rec.Result != nil {
			want += len(rec.Result.Segments) - 1
		}
	}
	if len(rows) != want {
		t.Errorf("%d rows, want %d", len(rows), want)
	}
	if err := report.Segments(&g, run); err != nil {
		t.Fatal(err)
	}
	var fc struct{ Features []any }
	if err := json.Unmarshal(g.Bytes(), &fc); err != nil || len(fc.Features) == 0 {
		t.Errorf("%d features, %v", len(fc.Features), err)
	}
}

// A real run keeps to the layout too.
func TestJudgedRunsKeepToTheColumns(t *testing.T) {
	var b bytes.Buffer
	if err := report.Text(&b, judged(t), report.US); err != nil {
		t.Fatal(err)
	}
	columns(t, "judged", b.Bytes())
	if left := strings.IndexAny(b.String(), "{}"); left >= 0 {
		t.Errorf("a name was not filled in: %q", b.String()[max(left-40, 0):left+20])
	}
}

func TestWorstAndUncovered(t *testing.T) {
	run := byHand(t)
	if w, failed := run.Worst(); w.String() != "detour" || !failed {
		t.Errorf("%v %v", w, failed)
	}
	run.Records = run.Records[:2]
	if w, failed := run.Worst(); w.String() != "caution" || failed {
		t.Errorf("%v %v", w, failed)
	}
	if !run.Uncovered([]string{"wires"}) || run.Uncovered([]string{"bend"}) || run.Uncovered(nil) {
		t.Error("wires are not covered, bends are")
	}
}

// Letters that fill two columns of a terminal count as two, marks on the letter
// before as none: a name in such letters keeps to the 80 columns.
func TestWideNames(t *testing.T) {
	run := byHand(t)
	run.Train.Name = strings.Repeat("重量物運搬車", 9)
	for i := range run.Records {
		if r := run.Records[i].Result; r != nil {
			for k := range r.Findings {
				r.Findings[k].Say += " " + strings.Repeat("渓谷隧道の橋", 12) + " e" + strings.Repeat("\u0301", 30)
			}
		}
	}
	var b bytes.Buffer
	if err := report.Text(&b, run, report.SI); err != nil {
		t.Fatal(err)
	}
	widest := 0
	for i, line := range strings.Split(b.String(), "\n") {
		n := 0
		for _, r := range line {
			switch {
			case unicode.In(r, unicode.Mn):
			case unicode.In(r, unicode.Han, unicode.Hiragana):
				n += 2
			default:
				n++
			}
		}
		if widest = max(widest, n); n > 80 {
			t.Errorf("line %d fills %d columns: %s", i+1, n, line)
		}
	}
	if widest < 79 {
		t.Errorf("no line is full: %d", widest)
	}
}
