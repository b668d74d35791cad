package known_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route/known"

	"pgregory.net/rapid"
)

var nan = math.NaN()

func parse(t *testing.T, text string) *known.Answer {
	t.Helper()
	rows, err := known.ReadCSV(strings.NewReader(text), "a.csv")
	if err != nil {
		t.Fatal(err)
	}
	a, err := rows[0].Parse("2024-06-01")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

const head = "route,check,from_m,to_m,answer,error,how,by,when\n"

// What an answer does to needs, with its own error on the edge.
func TestCompare(t *testing.T) {
	height := known.Needs{{{Key: "height_m", Pass: 4.50, Fail: 4.40, Sure: true}}}
	bridge := known.Needs{{{Key: "class", Pass: 106, Fail: 104}}, {{Key: "mass_kg", Pass: 113_700, Fail: 110_000}, {Key: "axle_kg", Pass: 10_600, Fail: 10_400}}}
	surface := known.Needs{{{Key: "surface", Want: "compacted", Fail: nan}, {Key: "grade_pct", Pass: 13.8, Fail: nan, AtMost: true}}}
	ford := known.Needs{{{Key: "depth_m", Pass: 0.7, Fail: 0.7, AtMost: true}, {Key: "bed", Want: "firm", Fail: nan}}}
	for _, c := range []struct {
		needs known.Needs
		row   string
		want  known.Reach
	}{
		{height, "r,overhead,1,2,4.60,0.02,measured,A,2024-03-02", known.Passes},
		{height, "r,overhead,1,2,4.52,0.02,measured,A,2024-03-02", known.Open}, // 99 % of 0.02 is 0.024
		{height, "r,overhead,1,2,4.38,0.02,measured,A,2024-03-02", known.Fails},
		{bridge, "r,bridge,1,2,class=106,,granted,A,2024-03-02", known.Passes},
		{bridge, "r,bridge,1,2,class=100,,granted,A,2024-03-02", known.Fails},
		{bridge, "r,bridge,1,2,mass_kg=120000,,granted,A,2024-03-02", known.Open}, // the axle is not said
		{bridge, "r,bridge,1,2,mass_kg=120000 axle_kg=12000,,granted,A,2024-03-02", known.Passes},
		{bridge, "r,bridge,1,2,mass_kg=120000 axle_kg=9000,,granted,A,2024-03-02", known.Fails},
		{bridge, "r,bridge,1,2,class=80 mass_kg=120000 axle_kg=12000,,granted,A,2024-03-02", known.Passes},
		{bridge, "r,bridge,1,2,106,,granted,A,2024-03-02", known.Open}, // of what is it 106?
		{ford, "r,ford,1,2,0.5 firm,0.05,measured,A,2024-03-02", known.Passes},
		{ford, "r,ford,1,2,0.5 mud,0.05,measured,A,2024-03-02", known.Fails},
		{ford, "r,ford,1,2,0.9 firm,0.05,measured,A,2024-03-02", known.Fails},
		{surface, "r,climb,1,2,surface=compacted grade_pct=12,0.5,measured,A,2024-03-02", known.Passes},
		{surface, "r,climb,1,2,surface=gravel grade_pct=12,0.5,measured,A,2024-03-02", known.Open}, // it is judged anew with it
		{known.Needs{{{Key: "looked", Want: "yes", Fail: nan}}}, "r,width,1,2,yes,,looked,A,2024-03-02", known.Passes},
		{known.Needs{{{Key: "looked", Want: "yes", Fail: nan}}}, "r,width,1,2,no,,looked,A,2024-03-02", known.Fails},
		{known.Needs{{{Key: "looked", Want: "yes", Fail: nan}}}, "r,width,1,2,perhaps,,looked,A,2024-03-02", known.Open},
	} {
		if got, why := c.needs.Compare(parse(t, head+c.row+"\n")); got != c.want {
			t.Errorf("%s against %s: %d (%s), want %d", c.row, c.needs, got, why, c.want)
		}
	}
}

// A lighter, narrower or shorter load closes nothing; nor does one that is so
// long that each metre of it was lighter.
func TestPrecedentCovers(t *testing.T) {
	ours := known.Load{GrossKg: 112_000, AxleKg: 10_500, WidthM: 3.6, LengthM: 25, HeightM: 4.3}
	same := ours
	for _, c := range []struct {
		name   string
		change func(*known.Load)
		height bool
		want   bool
	}{
		{"as ours", func(*known.Load) {}, true, true},
		{"lighter", func(l *known.Load) { l.GrossKg = 100_000 }, false, false},
		{"lighter axles", func(l *known.Load) { l.AxleKg = 9000 }, false, false},
		{"narrower", func(l *known.Load) { l.WidthM = 3.0 }, false, false},
		{"shorter", func(l *known.Load) { l.LengthM = 20 }, false, false},
		{"much longer", func(l *known.Load) { l.LengthM = 60 }, false, false},
		{"lower under a bridge", func(l *known.Load) { l.HeightM = 4 }, true, false},
		{"lower on a bridge", func(l *known.Load) { l.HeightM = nan }, false, true},
		{"axle not said", func(l *known.Load) { l.AxleKg = nan }, false, false},
	} {
		l := same
		c.change(&l)
		if got, why := l.Covers(ours, c.height); got != c.want {
			t.Errorf("%s: %v (%s)", c.name, got, why)
		}
	}
}

// A day decides whether an answer still holds; a precedent ages by itself.
func TestExpired(t *testing.T) {
	for _, c := range []struct {
		how               known.How
		when, until, date string
		want              bool
	}{
		{known.Granted, "2024-01-01", "", "2030-01-01", false},
		{known.Granted, "2024-01-01", "2024-06-30", "2024-06-30", false},
		{known.Granted, "2024-01-01", "2024-06-30", "2024-07-01", true},
		{known.Precedent, "2023-07-01", "", "2024-07-01", false},
		{known.Precedent, "2023-07-01", "", "2024-07-02", true},
	} {
		a := known.Answer{How: c.how, When: c.when, Until: c.until}
		if got := a.Expired(c.date); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// Bad rows are errors that name the row and what to write instead.
func TestBadRows(t *testing.T) {
	for row, want := range map[string]string{
		"r,overhead,1,2,4.6,,measured,A,2024-03-02":           "error must be given",
		"r,overhead,1,2,4.6,0.02,guessed,A,2024-03-02":        "how must be",
		"r,overhead,1,2,4.6,0.02,measured,,2024-03-02":        "by and when",
		"r,overhead,1,2,4.6,0.02,measured,A,2024-02-30":       "when must be a day",
		"r,overhead,1,2,4.6,0.02,measured,A,2025-03-02":       "yet to come",
		"r,overhead,1,2,\"4,6\",0.02,measured,A,2024-03-02":   "decimal point",
		"r,overhead,1,2,4.6m,0.02,measured,A,2024-03-02":      "plain number",
		"r,overhead,9,2,4.6,0.02,measured,A,2024-03-02":       "no stretch",
		"r,,1,2,4.6,0.02,measured,A,2024-03-02":               "check is empty",
		",overhead,1,2,4.6,0.02,measured,A,2024-03-02":        "where is it",
		"r,overhead,1,2,,0.02,measured,A,2024-03-02":          "answer is empty",
		"r,overhead,1,2,a=1 a=2,0.02,measured,A,2024-03-02":   "twice",
		"r,overhead,1,2,1e3,0.02,measured,A,2024-03-02":       "plain number",
		"r,overhead,1,2,,,precedent,A,2024-03-02":             "passed_gross_kg",
		"r,overhead,NaN,2,4.6,0.02,measured,A,2024-03-02":     "from_m must be a plain number",
		"r,overhead,1,2,height_m=,0.02,measured,A,2024-03-02": "key=figure",
	} {
		rows, err := known.ReadCSV(strings.NewReader(head+row+"\n"), "a.csv")
		if err == nil {
			_, err = rows[0].Parse("2024-06-01")
		}
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "a.csv:2") {
			t.Errorf("%s: %v, want %q", row, err, want)
		}
	}
	if _, err := known.ReadCSV(strings.NewReader("route,chekc\n"), "a.csv"); err == nil || !strings.Contains(err.Error(), "chekc") {
		t.Errorf("an unknown column: %v", err)
	}
}

// A text comes back as it was, and no cell begins as a formula does.
func TestCell(t *testing.T) {
	for text, want := range map[string]string{"=1+1": "'=1+1", "@SUM(A1)": "'@SUM(A1)", "+49": "+49", "-3.2": "-3.2", "-x": "'-x", "plain": "plain", "'=x": "''=x", "'": "'", "": "", "＝1": "'＝1"} {
		if got := known.Cell(text); got != want {
			t.Errorf("Cell(%q) is %q, want %q", text, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`'{0,3}[=+\-@\t]?[0-9a-z.]{0,4}`)).Draw(t, "text")
		cell := known.Cell(text)
		if known.Text(cell) != text {
			t.Fatalf("%q came back as %q", text, known.Text(cell))
		}
		if strings.ContainsAny(cell[:min(len(cell), 1)], "=@\t\r\n") {
			t.Fatalf("%q begins as a formula", cell)
		}
	})
}

// FuzzReadCSV: no file makes the reader panic, and a row that parses says who.
func FuzzReadCSV(f *testing.F) {
	f.Add(head + "r,overhead,1,2,4.6,0.02,measured,A,2024-03-02\n")
	f.Add("lon,lat,check,how,by,when,passed_gross_kg\n1,2,bridge,precedent,A,2024-03-02,90000\n")
	f.Add("\ufeffroute\n'=x\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := known.ReadCSV(strings.NewReader(text), "f.csv")
		if err != nil {
			return
		}
		for _, r := range rows {
			if a, err := r.Parse("2024-06-01"); err == nil && (a.By == "" || len(a.When) != 10) {
				t.Fatalf("%+v", a)
			}
		}
	})
}
