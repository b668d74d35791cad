package main

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"

	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/vehicle/specfile"
)

// machineKind finds a file of a disabled machine among those of vehicles.
var machineKind = regexp.MustCompile(`(?m)^kind:\s*machine\b`)

// isMachine reports whether a file says that it describes a disabled machine.
func isMachine(file string) bool {
	f, err := os.Open(file)
	if err != nil {
		return false
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, specfile.MaxBytes+1))
	return err == nil && len(text) <= specfile.MaxBytes && machineKind.Match(text)
}

// runMachine checks a machine's file and prints what goes into the load of a
// transporter's file.
func runMachine(file string, u report.Units, std stdio) error {
	m, err := specfile.ReadMachineFile(file)
	if err != nil {
		return err
	}
	if err := m.Check(); err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	size := func(v *float64, unit check.Unit) string {
		if v == nil {
			return "not given"
		}
		return u.Format(check.Quantity{Value: *v, Unit: unit})
	}
	_, err = fmt.Fprintf(std.out, `%s: a disabled machine, not a transporter
  mass %s, %s long, %s wide, %s high
  centre of gravity %s behind its front end, %s above the ground
  ground clearance %s; %d tow points
To judge a way with it, give it as the load of a transporter's file: mass_kg,
cg_x_m where it will stand on the deck, cg_height_m and top_height_m with the
deck's height added, width_m and overhangs.
`, strings.ToValidUTF8(m.Name, "?"), size(m.MassKg, check.Kg), size(m.LengthM, check.Metre), size(m.WidthM, check.Metre), size(m.HeightM, check.Metre),
		size(m.CGXM, check.Metre), size(m.CGHeightM, check.Metre), size(m.ClearanceM, check.Metre), len(m.TowPoints))
	return err
}
