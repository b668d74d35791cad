package specfile_test

import (
	"math"
	"path/filepath"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
)

func sample(name string) string { return filepath.Join("..", "..", "samples", name) }

func load(t *testing.T, name string) *vehicle.Combination {
	t.Helper()
	c, err := specfile.Load(sample(name))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The sample files say what their comments promise.
func TestSamples(t *testing.T) {
	for _, s := range []struct {
		file, level     string
		grossT          float64
		length, width   float64
		height, turning float64
		lacks           map[string]string // check -> field, "" for nothing lacking
	}{
		{"transporter-112t.yaml", "measured", 112, 24.9, 3.6, 4.3, 12.5, map[string]string{
			"hang-up": "", "crossfall": "", "bend": "", "overhead": "", "descent": "", "hold": "", "ground": "", "ford": ""}},
		{"transporter-64t.yaml", "sheet", 64, 17.125, 3.1, 3.7, 11, map[string]string{
			"hang-up": "units[0].underside", "bend": "", "descent": "units[0].brakes.service_kn", "ford": "units[0].wading_depth_m"}},
		{"helper-40t.yaml", "sheet", 40, 8.5, 2.9, 3.4, 12.5, map[string]string{"hang-up": "units[0].underside"}},
		{"helper-24t.yaml", "plate", 24, 8.9, 2.6, 3.3, math.NaN(), map[string]string{
			"bend": "units[0].turn_outer_radius_m", "crossfall": "units[0].cg_height_m", "descent": "units[0].power.retarder_kw", "climb": "", "start": ""}},
	} {
		t.Run(s.file, func(t *testing.T) {
			c := load(t, s.file)
			if c.Level != s.level {
				t.Errorf("level %s, want %s", c.Level, s.level)
			}
			for _, q := range []struct {
				name      string
				got, want float64
			}{
				{"gross t", c.GrossKg / 1000, s.grossT}, {"length", c.LengthM, s.length}, {"width", c.WidthM, s.width},
				{"height", c.HeightM, s.height}, {"turning", c.TurnOuterRadiusM, s.turning},
			} {
				if !(math.Abs(q.got-q.want) < 1e-9) && !(math.IsNaN(q.got) && math.IsNaN(q.want)) {
					t.Errorf("%s %g, want %g", q.name, q.got, q.want)
				}
			}
			for check, field := range s.lacks {
				if got := c.Lacks(check); got != field {
					t.Errorf("%s lacks %q, want %q", check, got, field)
				}
			}
		})
	}
}

func TestSampleMachine(t *testing.T) {
	m, err := specfile.ReadMachineFile(sample("machine-62t.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if *m.MassKg != 62000 || *m.Track.LengthM != 4.6 || len(m.TowPoints) != 4 || *m.TowPoints[1].YM != -0.8 {
		t.Errorf("machine read as %+v", m)
	}
}
