package report_test

import (
	"bytes"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/profile"
	"drawbar/route/report"
	"drawbar/route/verdict"
)

var update = flag.Bool("update", false, "write the golden files again")

// golden compares with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs (go test -update writes it again): got\n%s", name, got)
	}
}

// writers are all that writes a run.
var writers = map[string]func(io.Writer, *report.Run) error{
	"run.txt":              func(w io.Writer, r *report.Run) error { return report.Text(w, r, report.SI) },
	"run-us.txt":           func(w io.Writer, r *report.Run) error { return report.Text(w, r, report.US) },
	"run.json":             report.JSON,
	"run.csv":              report.CSV,
	"run-segments.geojson": report.Segments,
}

func TestGolden(t *testing.T) {
	for name, write := range writers {
		var b, again bytes.Buffer
		run := byHand(t)
		if err := write(&b, run); err != nil {
			t.Fatal(err)
		}
		if err := write(&again, run); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
			t.Errorf("%s: other bytes the second time, %v", name, err)
		}
		golden(t, name, b.Bytes())
	}
}

func TestGoldenSheet(t *testing.T) {
	s := &report.Sheet{
		Train:    report.Train{Name: "heavy train", Level: "measured", GrossKg: 112000, GrossSEKg: 1020, LengthM: 24.9, WidthM: 3.6, HeightM: 4.3, Axles: 2},
		Kingpins: []report.Load{{Name: "low-bed", Kg: 18120}},
		Axles:    []report.AxleRow{{Unit: "tractor", AtM: 0, Kg: 11240, RatedKg: 11500, Driven: true}, {Unit: "a low-bed of many lines", AtM: 12.5, Kg: 13400, RatedKg: 12000}, {Unit: "dolly", AtM: 20, Kg: 9000, RatedKg: nan}},
		Gears:    []report.GearRow{{Unit: "tractor", Gear: "low 1", Ratio: 122.15, LowKmh: 2.17, HighKmh: 3.55, PeakN: 480958, ClutchStart: 304607}, {Unit: "tractor", Gear: "high 12", Ratio: 5.62, LowKmh: 47.25, HighKmh: 77.32, PeakN: 22113, ClutchStart: nan}},
		Mastered: []check.Mastered{{Surface: "dry asphalt", Climb: 0.1886, ClimbPass: 0.1674, Start: 0.1724, StartPass: 0.1496, ClimbLimit: "grip", StartedBy: "effort"},
			{Surface: "dry compacted", Climb: -0.5, ClimbPass: -3, Start: -1, StartPass: -9, ClimbLimit: "effort", StartedBy: "effort", Unverified: true}},
		Tipping: &check.Tipping{Part: "low-bed", Rigid: 0.4583, Limit: 0.4365, Sure: 0.2978, Unverified: true},
		Held: []check.Held{{Surface: "dry asphalt", Down: 0.2173, DownPass: 0.1961, DownBy: "grip", BrakesPass: 0.351, ParkUp: 0.2063, ParkDown: 0.2059},
			{Surface: "ice", Down: 0.0405, DownPass: -0.01, DownBy: "effort", BrakesPass: nan, ParkUp: nan, ParkDown: nan, DownUnverified: true}},
		Slopes: []check.Slope{{GradeRatio: 0.04, PushN: 35130, SpeedMS: 9.05, Gear: "low 10", DownUse: 0.0791, ParkUpUse: 0.0451, ParkDownUse: 0.0482, StartJ: 36100},
			{GradeRatio: 0.2, PushN: 206800, DownUse: math.Inf(1), ParkUpUse: nan, ParkDownUse: nan, StartJ: nan}},
		Ask:     []report.AskRow{{Check: "crossfall", Field: "units[0].support.half_width_m"}},
		Assumed: []route.Assumption{{Key: "units[0].mass_error_kg", Value: 250, Unit: "kg", Source: "weighed on pads: 1 % of the mass", Standing: "choice"}},
	}
	for name, u := range map[string]report.Units{"sheet.txt": report.SI, "sheet-us.txt": report.US} {
		var b bytes.Buffer
		if err := report.Transporter(&b, s, u); err != nil {
			t.Fatal(err)
		}
		golden(t, name, b.Bytes())
		columns(t, name, b.Bytes())
	}
}

func TestGoldenExplain(t *testing.T) {
	r := byHand(t).Records[3].Result
	r.Steps = []check.Step{
		{Check: "climb", Name: "chainage of the foremost axle", Value: 1000, Unit: check.Chain, How: "steady crawl"},
		{Check: "climb", Name: "ground", Value: nan, Unit: check.Literal, How: "dry earth (surface=dirt)"},
		{Check: "climb", Name: "gross combination mass", Value: 112000, Unit: check.Kg, How: "units and loads"},
		{Check: "climb", Name: "adhesion coefficient", Value: 0.5, Unit: "1", How: "surface"},
		{Check: "climb", Name: "grade under the train", Value: 0.18105, Unit: check.Grade, How: "grades under the axles weighted by their static loads, so that gross weight times it is the force"},
		{Check: "climb", Name: "height of the road", Value: nan, Unit: check.Metre, How: "raster"},
	}
	var b bytes.Buffer
	if err := report.Explain(&b, r, report.SI); err != nil {
		t.Fatal(err)
	}
	golden(t, "explain.txt", b.Bytes())
	columns(t, "explain.txt", b.Bytes())
}

func TestGoldenProfile(t *testing.T) {
	a := lineOf(t, "ramp", 40, route.Tags{})
	p := profile.Constant(0.1, a.LengthM())
	p.Mark[1] = profile.Carried
	for name, raw := range map[string]bool{"profile.csv": false, "profile-raw.csv": true} {
		var b bytes.Buffer
		if err := report.Profile(&b, &verdict.Draped{Way: a, Profile: p}, report.ProfileOptions{BaseM: 20, Raw: raw}); err != nil {
			t.Fatal(err)
		}
		golden(t, name, b.Bytes())
	}
}
