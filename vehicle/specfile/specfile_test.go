package specfile_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
)

// Each row is a file and the first line of the complaint, to the column.
func TestReadRefuses(t *testing.T) {
	for _, r := range []struct{ name, yaml, want string }{
		{"unknown key", "kind: helper\nunits:\n  - kind: rigid\n    mas_kg: 24000\n", `f.yaml:4:5: units[0]: unknown key "mas_kg"; did you mean mass_kg?`},
		{"unit left out", "units:\n  - mass: 24000\n", `f.yaml:2:5: units[0]: unknown key "mass"; did you mean mass_kg?`},
		{"swapped letters", "knid: helper\n", `f.yaml:1:1: unknown key "knid"; did you mean kind?`},
		{"far off", "horsepower: 500\n", `f.yaml:1:1: unknown key "horsepower"; known here: kind, name, note, level, units`},
		{"in a flow map", "units: [{axles: [{at: 0}]}]\n", `f.yaml:1:19: units[0].axles[0]: unknown key "at"; did you mean at_m?`},
		{"twice", "name: a\nname: b\n", `f.yaml:2:1: mapping key "name" already defined at [1:1]; keep one of the two`},
		{"text for number", "units:\n  - mass_kg: heavy\n", `f.yaml:2:14: units[0].mass_kg: must be a number, is text "heavy"`},
		{"comma", "units:\n  - mass_kg: 24,5\n", `f.yaml:2:14: units[0].mass_kg: must be a number, is text "24,5"; write decimals with a point`},
		{"unit with number", "units:\n  - mass_kg: 24 t\n", `must be a number, is text "24 t"`},
		{"octal", "units:\n  - mass_kg: 025\n", "f.yaml:2:14: units[0].mass_kg: must be a number, is 025"},
		{"infinite", "units:\n  - mass_kg: .inf\n", "f.yaml:2:14: units[0].mass_kg: must be a number, is .inf"},
		{"not a number", "units:\n  - mass_kg: .nan\n", "must be a number, is .nan"},
		{"yes", "units:\n  - axles:\n      - {at_m: 0, driven: yes}\n", `f.yaml:3:27: units[0].axles[0].driven: must be true or false, is text "yes"; yes, no, on and off are text in YAML`},
		{"half a tyre", "units:\n  - axles:\n      - tyres: 2.5\n", "f.yaml:3:16: units[0].axles[0].tyres: must be a whole number, is 2.5"},
		{"list for map", "units:\n  - hitch: [1, 2]\n", "units[0].hitch: must be keys with values, is a list"},
		{"map for list", "units:\n  kind: rigid\n", "f.yaml:2:3: units: must be a list, is keys with values"},
		{"no value", "units:\n  - mass_kg:\n    kind: rigid\n", "units[0].mass_kg: has no value; give a value or take the key out"},
		{"anchor", "name: &a x\n", "f.yaml:1:7: name: anchors, aliases and tags are not read; write the value out"},
		{"alias", "kind: &a helper\nname: *a\n", "anchors, aliases and tags are not read"},
		{"merge", "units:\n  - &a {kind: rigid}\n  - <<: *a\n", "anchors, aliases and tags are not read"},
		{"tag", "name: !!str 1\n", "anchors, aliases and tags are not read"},
		{"tab", "units:\n\t- kind: rigid\n", "f.yaml:2:1: a tab in the indentation; indent with blanks"},
		{"two documents", "name: a\n---\nname: b\n", "f.yaml:3:1: a second document"},
		{"empty", "# nothing\n", "f.yaml: the file is empty"},
		{"a list", "- a\n", "f.yaml:1:1: must be keys with values, is a list"},
		{"bytes", "name: \xff\n", "f.yaml: not UTF-8 text"},
		{"zero byte", "name: \x00\n", "holds a zero byte"},
		{"open bracket", "units: [\n", "f.yaml:1:"},
		{"long", "name: " + strings.Repeat("x", specfile.MaxBytes), "longer than 65536 bytes"},
		{"deep flow", "units: " + strings.Repeat("[", 5000), "f.yaml:1:1: nested deeper than 12"},
		{"deep flow closed", "units: " + strings.Repeat("[", 500) + strings.Repeat("]", 500), "nested deeper than 12"},
		{"deep dashes", strings.Repeat("- ", 5000), "nested deeper than 12"},
		{"deep flow by line", strings.Repeat("[\n", 5000), "nested deeper than 12"},
		{"deep indent", strings.Repeat(" ", 200) + "- a", "nested deeper than 12"},
		{"many tags", "name: " + strings.Repeat("!a ", 3000), "nested deeper than 12"},
	} {
		t.Run(r.name, func(t *testing.T) {
			_, err := specfile.Read(strings.NewReader(r.yaml), "f.yaml")
			var e *specfile.Error
			if !errors.As(err, &e) {
				t.Fatalf("error %v, want a *specfile.Error", err)
			}
			if first, _, _ := strings.Cut(err.Error(), "\n"); !strings.Contains(first, r.want) {
				t.Errorf("got  %s\nwant %s", first, r.want)
			}
		})
	}
}

// All problems come at once, in the order of their lines, and marshal.
func TestAllProblems(t *testing.T) {
	_, err := specfile.Read(strings.NewReader("nam: a\nunits:\n  - mass_kg: x\n    kin: rigid\n"), "f.yaml")
	var e *specfile.Error
	if !errors.As(err, &e) || len(e.Problems) != 3 || e.Problems[1].Line != 3 || e.Problems[2].Line != 4 {
		t.Fatalf("problems %v", err)
	}
	out, err := json.Marshal(e)
	if err != nil || !bytes.Contains(out, []byte(`{"file":"f.yaml","line":1,"column":1,"path":"","problem":"unknown key \"nam\"","hint":"did you mean name?"}`)) {
		t.Errorf("JSON %s, %v", out, err)
	}
}

// A file that is wrong all over is answered briefly, and soon: the first 50
// problems and a count.
func TestManyProblems(t *testing.T) {
	_, err := specfile.Read(strings.NewReader("units: ["+strings.Repeat("1, ", 20000)+"]"), "f.yaml")
	var e *specfile.Error
	if !errors.As(err, &e) || len(e.Problems) != 50 || e.More != 19950 || !strings.HasSuffix(err.Error(), "\nand 19950 more") {
		t.Errorf("error with %d problems and %d more", len(e.Problems), e.More)
	}
}

// What vehicle.New complains of stands at the line of its field, or of what
// the missing field would stand in.
func TestLoadLocates(t *testing.T) {
	data, err := os.ReadFile(sample("transporter-112t.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(data), "mass_kg: 63000", "mass_kg: 0", 1)
	text = strings.Replace(text, "      power_kw: 510\n", "", 1)
	path := filepath.Join(t.TempDir(), "t.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	_, err = specfile.Load(path)
	var e *specfile.Error
	if !errors.As(err, &e) || len(e.Problems) != 2 {
		t.Fatalf("error %v", err)
	}
	for i, key := range []string{"    power:", "      mass_kg: 0"} {
		if line := strings.Split(text, "\n")[e.Problems[i].Line-1]; line != key {
			t.Errorf("problem %q stands at %q, want %q", e.Problems[i], line, key)
		}
	}
	if got := e.Problems[1]; got.Path != "units[1].load.mass_kg" || got.Problem != "must be above 0" || got.Column != 7 {
		t.Errorf("problem %+v", got)
	}
}

func TestNoFile(t *testing.T) {
	_, err := specfile.ReadFile(filepath.Join(t.TempDir(), "none.yaml"))
	if !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("error %v", err)
	}
}

func TestReaderFails(t *testing.T) {
	_, err := specfile.Read(io.MultiReader(strings.NewReader("kind: "), failing{}), "f.yaml")
	if !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("error %v", err)
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// A machine's file is held to its own keys.
func TestMachineStrict(t *testing.T) {
	for _, r := range [][2]string{
		{"kind: machine\nname: m\nmass_kg: 5\nlength_m: 7\nwidth_m: 3\nheight_m: 3\n", "f.yaml:3:1: mass_kg: must be between"},
		{"kind: machine\nmas_kg: 5\n", `f.yaml:2:1: unknown key "mas_kg"; did you mean mass_kg?`},
		{"kind: helper\nunits: []\n", `unknown key "units"`},
	} {
		if _, err := specfile.ReadMachine(strings.NewReader(r[0]), "f.yaml"); err == nil || !strings.Contains(err.Error(), r[1]) {
			t.Errorf("error %v, want %s", err, r[1])
		}
	}
}

// FuzzRead: no input panics or is taken with a complaint pending; what is taken
// is judged by New without panic, and a Combination it makes is sound.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"transporter-112t.yaml", "transporter-64t.yaml", "helper-24t.yaml", "machine-62t.yaml", "surfaces.yaml"} {
		data, err := os.ReadFile(sample(name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	for _, s := range []string{"", "a: b", "units: [{axles: [{at_m: 1e400}]}]", "? a\n: b", "name: |\n  x\n", "- - -", "{", "a: *b", "%YAML 1.2\n---\n", "name: \"\\x\"", "kind: 'a\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if m, err := specfile.ReadMachine(bytes.NewReader(data), "f.yaml"); err == nil && m.Check() != nil {
			t.Error("machine taken against its own check")
		}
		if s, err := specfile.ReadSurfaces(bytes.NewReader(data), "f.yaml"); err == nil && s.Check() != nil {
			t.Error("surfaces taken against their own check")
		}
		s, err := specfile.Read(bytes.NewReader(data), "f.yaml")
		if err != nil {
			var e *specfile.Error
			if !errors.As(err, &e) || len(e.Problems) == 0 {
				t.Fatalf("error without problems: %v", err)
			}
			return
		}
		c, _, err := vehicle.New(s)
		if err != nil {
			return
		}
		sum := 0.0
		for _, a := range c.Axles {
			sum += a.Kg
		}
		if d := sum - c.GrossKg; !(d < 1e-6*c.GrossKg && d > -1e-6*c.GrossKg) {
			t.Errorf("axles carry %g kg of %g", sum, c.GrossKg)
		}
	})
}
