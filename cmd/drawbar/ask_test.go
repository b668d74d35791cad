package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"drawbar/route/known"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// askRun judges the way of questions and gives what the report says of it.
func askRun(t *testing.T, dir string, args ...string) (verdict string, open int, text string) {
	t.Helper()
	base := []string{"check", filepath.Join(dir, "way.geojson"), "--dem", repo + "/samples/valley.tif", "--transporter", filepath.Join(dir, "train.yaml"), "--date", "2024-06-01", "--format", "json"}
	var out, errs bytes.Buffer
	if code := run(append(base, args...), strings.NewReader(""), &out, &errs); code == exitError {
		t.Fatalf("%v: %s", args, errs.String())
	}
	var doc struct {
		Routes []struct {
			Verdict string `json:"verdict"`
			Open    []int  `json:"open"`
		} `json:"routes"`
	}
	if err := json.Unmarshal(out.Bytes(), &doc); err != nil || len(doc.Routes) != 1 {
		t.Fatalf("%v: %s", err, errs.String())
	}
	schemaHolds(t, out.Bytes())
	return doc.Routes[0].Verdict, len(doc.Routes[0].Open), out.String() + errs.String()
}

// schemaHolds holds a document to the schema in the repository.
func schemaHolds(t *testing.T, doc []byte) {
	t.Helper()
	schema, err := jsonschema.NewCompiler().Compile(repo + "/route/report/schema.json")
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(doc))
	if err == nil {
		err = schema.Validate(v)
	}
	if err != nil {
		t.Error(err)
	}
}

// questionWay writes a way over the sample valley that asks nearly everything a
// check can ask, and a train with axles over their rating. All invented.
func questionWay(t *testing.T, dir string) {
	t.Helper()
	var doc struct {
		Features []struct {
			Properties map[string]any `json:"properties"`
			Geometry   struct {
				Coordinates [][]float64 `json:"coordinates"`
			} `json:"geometry"`
		} `json:"features"`
	}
	data, err := os.ReadFile(repo + "/samples/routes.geojson")
	if err == nil {
		err = json.Unmarshal(data, &doc)
	}
	if err != nil {
		t.Fatal(err)
	}
	var line [][]float64
	for _, f := range doc.Features {
		if f.Properties["route"] == "lakeside" {
			line = append(line, f.Geometry.Coordinates[min(len(line), 1):]...)
		}
	}
	plain := map[string]string{"highway": "unclassified", "surface": "asphalt", "width": "7"}
	asks := []map[string]string{{"bridge": "yes", "layer": "1", "name": "=HYPERLINK(\"x\")"}, {"tunnel": "yes", "name": "渓谷隧道"}, {"ford": "yes"}, {"access": "private"}, {"width": "3.2"},
		{"maxweight": "by permit"}, {"maxheight": "see sign"}, {"smoothness": "very_bad"}, {"bridge": "yes", "maxweight": "?"}, {"maxaxleload": "some"}}
	var feats []string
	write := func(from, to int, extra map[string]string) {
		props := map[string]string{"route": "-way of questions"}
		for _, m := range []map[string]string{plain, extra} {
			for k, v := range m {
				props[k] = v
			}
		}
		p, _ := json.Marshal(props)
		p = append(p[:len(p)-1], fmt.Sprintf(`,"seq":%d}`, len(feats)+1)...)
		c, _ := json.Marshal(line[from : to+1])
		feats = append(feats, fmt.Sprintf(`{"type":"Feature","properties":%s,"geometry":{"type":"LineString","coordinates":%s}}`, p, c))
	}
	at := 0
	for i, m := range asks {
		from := 12 + 20*i
		write(at, from, nil)
		write(from, from+2, m)
		at = from + 2
	}
	write(at, len(line)-1, nil)
	text := `{"type":"FeatureCollection","features":[` + strings.Join(feats, ",\n") + "]}\n"
	train, err := os.ReadFile(heavySample)
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "train.yaml"), bytes.ReplaceAll(train, []byte("rated_kg: 12000"), []byte("rated_kg: 9000")), 0o666)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "way.geojson"), []byte(text), 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
}

const heavySample = repo + "/samples/transporter-112t.yaml"

// hows is how each kind of question is answered.
func hows(check string) string {
	switch check {
	case "bridge", "posting", "access":
		return "granted"
	case "rating":
		return "accepted"
	}
	return "measured"
}

// fill answers every row of a file of questions as the function says.
func fill(t *testing.T, from, to string, standing bool, answer func(row map[string]string) map[string]string) (filled int) {
	t.Helper()
	f, err := os.Open(from)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	head := rows[0]
	for _, row := range rows[1:] {
		cells := map[string]string{}
		for i, h := range head {
			cells[h] = known.Text(row[i])
		}
		if cells["needs"] == "" || (cells["verdict_now"] == "not covered" && !standing) {
			continue
		}
		filled++
		for k, v := range answer(cells) {
			row[slices.Index(head, k)] = v
		}
	}
	var b bytes.Buffer
	if err := csv.NewWriter(&b).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return filled
}

// passing is the figure that a row asks for, with a little to spare for the
// error of the answer; times makes it worse or better.
func passing(needs string, better float64) string {
	var out []string
	first, _, _ := strings.Cut(needs, " | ")
	for _, w := range strings.Fields(first) {
		for _, op := range []string{">=", "<="} {
			key, figure, ok := strings.Cut(w, op)
			if !ok {
				continue
			}
			v, _ := strconv.ParseFloat(figure, 64)
			if op == "<=" {
				v /= better // above 0: no question asks for less
			} else {
				v *= better
			}
			w = key + "=" + strconv.FormatFloat(v, 'f', 3, 64)
		}
		if better < 1 && strings.HasSuffix(w, "=yes") {
			w = strings.TrimSuffix(w, "yes") + "no"
		}
		out = append(out, w)
	}
	return strings.Join(out, " ")
}

// TestRoundTrip: questions out, the passing values in, every question closed;
// failing values, a worse verdict; an expired or a lighter precedent, the
// questions stay open. By CSV and by GeoJSON.
func TestRoundTrip(t *testing.T) {
	dir := t.TempDir()
	questionWay(t, dir)
	in := func(name string) string { return filepath.Join(dir, name) }
	verdict, open, _ := askRun(t, dir, "--ask", in("q.csv"), "--ask", in("q.geojson"), "--ask", in("q.html"), "--enquiry", in("e.html"))
	if verdict != "unknown" || open < 10 {
		t.Fatalf("the way asks too little: %s, %d open", verdict, open)
	}
	good := func(row map[string]string) map[string]string {
		return map[string]string{"answer": passing(row["needs"], 1.05), "error": "0.001", "how": hows(row["check"]), "by": "A. Tester", "when": "2024-05-01"}
	}
	asked := fill(t, in("q.csv"), in("good.csv"), true, good)
	verdict, left, text := askRun(t, dir, "--known", in("good.csv"), "--ask", in("left.csv"))
	if left != 0 || verdict != "caution" {
		t.Errorf("passing values: %s with %d of %d open\n%s", verdict, left, open, mustRead(t, in("left.csv")))
	}
	if !strings.Contains(text, "by A. Tester, 2024-05-01") || strings.Contains(text, "fits no question") {
		t.Errorf("answers: who answered does not stand in the report, or one of %d fits nothing", asked)
	}
	if n := fill(t, in("left.csv"), in("again.csv"), true, good); n != 0 {
		t.Errorf("%d questions of the whole way stay open\n%s", n, mustRead(t, in("left.csv")))
	}

	fill(t, in("q.csv"), in("bad.csv"), false, func(row map[string]string) map[string]string {
		return map[string]string{"answer": passing(row["needs"], 0.5), "error": "0.001", "how": hows(row["check"]), "by": "A. Tester", "when": "2024-05-01"}
	})
	if verdict, _, _ := askRun(t, dir, "--known", in("bad.csv")); verdict != "detour" {
		t.Errorf("failing values: %s", verdict)
	}

	for name, p := range map[string][]string{
		"lighter": {"90000", "14000", "3.8", "26", "4.5", "2024-05-01", ""},
		"expired": {"130000", "15000", "3.8", "26", "4.5", "2022-05-01", ""},
		"until":   {"130000", "15000", "3.8", "26", "4.5", "2024-01-01", "2024-05-31"},
		"narrow":  {"130000", "15000", "3.0", "26", "4.5", "2024-05-01", ""},
		"shorter": {"130000", "15000", "3.8", "15", "4.5", "2024-05-01", ""},
		"axle":    {"130000", "9000", "3.8", "26", "4.5", "2024-05-01", ""},
	} {
		fill(t, in("q.csv"), in(name+".csv"), false, func(map[string]string) map[string]string { return precedent(p) })
		if verdict, left, _ := askRun(t, dir, "--known", in(name+".csv")); verdict != "unknown" || left != open {
			t.Errorf("%s precedent: %s, %d of %d open", name, verdict, left, open)
		}
	}
	fill(t, in("q.csv"), in("passed.csv"), false, func(map[string]string) map[string]string {
		return precedent([]string{"130000", "15000", "3.8", "26", "4.8", "2024-05-01", ""})
	})
	if _, left, _ := askRun(t, dir, "--known", in("passed.csv")); left == 0 || left > open-5 {
		t.Errorf("a heavier precedent leaves %d of %d open", left, open)
	}
	geoJSONTrip(t, dir)
}

// precedent are the cells of a load that passed.
func precedent(p []string) map[string]string {
	return map[string]string{"how": "precedent", "passed_gross_kg": p[0], "passed_axle_kg": p[1], "passed_width_m": p[2], "passed_length_m": p[3], "passed_height_m": p[4], "by": "A. Tester", "when": p[5], "valid_until": p[6]}
}

// geoJSONTrip fills in the points and gives them back.
func geoJSONTrip(t *testing.T, dir string) {
	t.Helper()
	var doc map[string]any
	if err := json.Unmarshal([]byte(mustRead(t, filepath.Join(dir, "q.geojson"))), &doc); err != nil {
		t.Fatal(err)
	}
	for _, f := range doc["features"].([]any) {
		p := f.(map[string]any)["properties"].(map[string]any)
		if needs := p["needs"].(string); needs != "" {
			p["answer"], p["error"], p["how"], p["by"], p["when"] = passing(needs, 1.05), 0.001, hows(p["check"].(string)), "A. Tester", "2024-05-01"
		}
	}
	text, _ := json.Marshal(doc)
	file := filepath.Join(dir, "good.geojson")
	if err := os.WriteFile(file, text, 0o666); err != nil {
		t.Fatal(err)
	}
	if verdict, left, text := askRun(t, dir, "--known", file); left != 0 || verdict != "caution" || strings.Contains(text, "fits no question") {
		t.Errorf("GeoJSON: %s, %d open", verdict, left)
	}
}

func mustRead(t *testing.T, file string) string {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// No cell of a CSV begins as a formula, whatever the names of the way are.
func TestAskCellsAreSafe(t *testing.T) {
	dir := t.TempDir()
	questionWay(t, dir)
	q := filepath.Join(dir, "q.csv")
	askRun(t, dir, "--ask", q)
	var out, errs bytes.Buffer
	run([]string{"check", filepath.Join(dir, "way.geojson"), "--dem", repo + "/samples/valley.tif", "--transporter", filepath.Join(dir, "train.yaml"), "--format", "csv"}, strings.NewReader(""), &out, &errs)
	for name, text := range map[string]string{"ask": mustRead(t, q), "report": out.String()} {
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %v, %d rows", name, err, len(rows))
		}
		for i, row := range rows {
			for _, c := range row {
				if _, err := strconv.ParseFloat(c, 64); err != nil && c != "" && strings.ContainsAny(c[:1], "=+-@\t\r") {
					t.Errorf("%s, row %d: %q", name, i+1, c)
				}
			}
		}
		if !strings.Contains(text, "'-way of questions") {
			t.Errorf("%s: the name of the way is not there", name)
		}
	}
}

// TestRoundTripReal: on real roads, a bare line and two tagged ones, the passing
// values close every question, and none of the answers fits nothing.
func TestRoundTripReal(t *testing.T) {
	needData(t)
	for _, way := range []string{"li_vaduz_malbun_line", "li_vaduz_malbun", "li_ruggell_vaduz"} {
		dir := t.TempDir()
		in := func(name string) string { return filepath.Join(dir, name) }
		args := []string{"check", dataDir + "/roads/" + way + ".geojson", "--dem", dataDir + "/dem/liechtenstein_30m_epsg2056_float.tif", "--transporter", heavySample, "--date", "2024-06-01"}
		var out, errs bytes.Buffer
		if code := run(append(args, "--ask", in("q.csv")), strings.NewReader(""), &out, &errs); code == exitError || code == 0 {
			t.Fatalf("%s: status %d: %s", way, code, errs.String())
		}
		asked := fill(t, in("q.csv"), in("good.csv"), true, func(row map[string]string) map[string]string {
			return map[string]string{"answer": passing(row["needs"], 1.05), "error": "0.001", "how": hows(row["check"]), "by": "A. Tester", "when": "2024-05-01"}
		})
		errs.Reset()
		if code := run(append(args, "--known", in("good.csv"), "--ask", in("left.csv")), strings.NewReader(""), &out, &errs); code != 0 || strings.Contains(errs.String(), "fits no question") {
			t.Errorf("%s: status %d after %d answers: %s", way, code, asked, errs.String())
		}
		if left := fill(t, in("left.csv"), in("again.csv"), true, func(map[string]string) map[string]string { return nil }); left != 0 || asked < 10 {
			t.Errorf("%s: %d of %d questions left", way, left, asked)
		}
	}
}
