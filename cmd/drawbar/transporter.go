package main

import (
	"math"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
	"drawbar/vehicle/traction"

	"github.com/spf13/cobra"
)

func newTransporter(io stdio) *cobra.Command {
	var t trainFlags
	var units, against string
	var asJSON bool
	c := &cobra.Command{
		Use:   "transporter FILE",
		Short: "Check a transporter's file and print what the train can do",
		Long: `Transporter checks a YAML file of a transporter, helper or disabled machine. Of
a transporter or helper it prints the level of knowledge, axle loads, effort by
gear, the largest grade it climbs and starts on for every surface, the steepest
it holds going down and parked, its speed down by grade, the crossfall at which
it tips, its load class, moment and shear on spans, axle groups, and which
checks one more field would unlock; of a machine, what goes into the load.`,
		Example: `  drawbar transporter samples/transporter-112t.yaml
  drawbar transporter samples/helper-40t.yaml --weather wet`,
		Args: arguments("FILE", 1),
		RunE: func(_ *cobra.Command, args []string) error {
			return runTransporter(args[0], &t, report.Units(units), against, asJSON, io)
		},
	}
	t.addGround(c)
	c.Flags().StringVar(&units, "units", "si", "`UNITS` to print: si or us")
	c.Flags().BoolVar(&asJSON, "json", false, "write load class, moments, shears and axle groups as JSON, SI units")
	c.Flags().StringVar(&against, "against", "", "`FILE` of reference loads to compare with instead, format of vehicle/loadeffect/references.csv")
	completeWords(c)
	return c
}

func runTransporter(file string, t *trainFlags, u report.Units, against string, asJSON bool, std stdio) error {
	if isMachine(file) {
		return runMachine(file, u, std)
	}
	c, err := specfile.Load(file)
	if err != nil {
		return err
	}
	refs, err := referencesOf(against)
	if err != nil {
		return err
	}
	if asJSON {
		return report.LoadsJSON(std.out, c.Name, loads(c, refs))
	}
	settings, err := t.settings()
	if err != nil {
		return err
	}
	set, err := check.NewSetup(c, settings)
	if err != nil {
		return err
	}
	s := report.Sheet{Mastered: set.Mastered(), Held: set.Held(), Slopes: set.Slopes(), Kingpins: kingpins(c), Axles: axleRows(c), Gears: gearRows(c),
		Train: report.Train{Name: c.Name, Level: c.Level, GrossKg: c.GrossKg, GrossSEKg: c.GrossSEKg,
			LengthM: c.LengthM, WidthM: c.WidthM, HeightM: c.HeightM, Axles: len(c.Axles), Weather: set.Weather}}
	for _, a := range c.Assumed {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	for _, a := range settings.Surfaces.Assumed() {
		s.Assumed = append(s.Assumed, route.Assumption(a))
	}
	if tips, ok := set.Tipping(); ok {
		s.Tipping = &tips
	}
	s.Loads = loads(c, refs)
	s.Ask = asks(c)
	return report.Transporter(std.out, &s, u)
}

// asks joins the checks that wait for one field.
func asks(c *vehicle.Combination) (out []report.AskRow) {
	at := map[string]int{}
	for _, l := range c.Lacking {
		switch {
		case l.Check == vehicle.SecondTow:
			l.Check = "a helper that pushes from behind"
			if strings.HasSuffix(l.Field, ".hold_kn") {
				l.Check = "a helper that holds back from behind"
			}
		case !check.Made(l.Check):
			l.Check += " (not made by this version yet)"
		}
		if i, ok := at[l.Field]; ok {
			out[i].Check += ", " + l.Check
			continue
		}
		at[l.Field] = len(out)
		out = append(out, report.AskRow{Check: l.Check, Field: l.Field})
	}
	return out
}

// kingpins are the static loads on the kingpins.
func kingpins(c *vehicle.Combination) (out []report.Load) {
	f := c.Statics(0, 0, 0)
	for i, u := range c.Units {
		if u.Kind == vehicle.SemiTrailer {
			out = append(out, report.Load{Name: u.Name, Kg: f.HitchV[i] / vehicle.G})
		}
	}
	return out
}

func axleRows(c *vehicle.Combination) (out []report.AxleRow) {
	f := c.Statics(0, 0, 0)
	for k, a := range c.Axles {
		out = append(out, report.AxleRow{SideKg: [2]float64{f.SideN[k][vehicle.Left] / vehicle.G, f.SideN[k][vehicle.Right] / vehicle.G}, Unit: c.Units[a.Unit].Name, AtM: a.AtM, Kg: a.Kg, RatedKg: a.RatedKg, Driven: a.Driven})
	}
	return out
}

func gearRows(c *vehicle.Combination) (out []report.GearRow) {
	for _, u := range c.Units {
		d := u.Power
		if d == nil {
			continue
		}
		for _, g := range d.Gears {
			row := report.GearRow{Unit: u.Name, Gear: g.Name, Ratio: g.Ratio, ClutchStart: math.NaN(),
				LowKmh: 3.6 * traction.Speed(d, g, d.PeakTorqueRPM), HighKmh: 3.6 * traction.Speed(d, g, d.RatedRPM),
				PeakN: traction.Pull(d, g, d.PeakTorqueNm)}
			if !math.IsNaN(d.StartTorqueNm) {
				row.ClutchStart = traction.Pull(d, g, d.StartTorqueNm)
			}
			out = append(out, row)
		}
	}
	return out
}
