package main

import (
	"fmt"
	"path/filepath"

	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"
	"drawbar/vehicle/traction"

	"github.com/spf13/cobra"
)

// trainFlags say what drives.
type trainFlags struct {
	sample       bool
	transporters []string
	helpers      []string
	bar          struct {
		lengthM, heightM, ratedKN float64
		kind                      string
	}
	weather  string
	surfaces string
	measure  string
	traffic  string
	margin   float64
	starts   int
	momentum bool
	runKmh   float64 // fastest of a run, 0 the usual march speed
}

func (t *trainFlags) add(c *cobra.Command) {
	f := c.Flags()
	f.StringArrayVar(&t.transporters, "transporter", nil, "YAML `FILE` of the loaded transporter (required)")
	f.StringArrayVar(&t.helpers, "helper", nil, "YAML `FILE` of a helper at hand, quickest first; may be repeated")
	f.Float64Var(&t.bar.lengthM, "bar-length", 0, "length of the towing bar in `METRES` (default 3)")
	f.Float64Var(&t.bar.heightM, "bar-height", 0, "its height in `METRES` (default: the helper's hitch)")
	f.Float64Var(&t.bar.ratedKN, "bar-rating", 0, "its rating in `KN` (default: not known, not checked)")
	f.StringVar(&t.bar.kind, "bar-kind", "bar", "`KIND` of the towing bar: bar, rope or chain; only a bar can be pushed")
	t.addGround(c)
	f.Float64Var(&t.margin, "height-margin", 0, "kept free above the load in `METRES` (default 0.1)")
	f.BoolVar(&t.momentum, "momentum", false, "count a run at a climb that the train does not master steadily")
	f.IntVar(&t.starts, "starts", 0, "starts on a hill one right after the other, for the heat of the clutch, `COUNT` (default 3)")
	must(c.MarkFlagRequired("transporter"))
}

func (t *trainFlags) settings() (check.Settings, error) {
	table, err := t.table()
	runMS := 0.0
	if t.momentum {
		if runMS = t.runKmh / 3.6; runMS == 0 {
			runMS = check.DefaultMarchMS
		}
	}
	return check.Settings{MomentumMS: runMS, Weather: t.weather, HeightMarginM: t.margin, Surfaces: table, SampleRoads: t.sample, Starts: t.starts, Traffic: t.traffic}, err
}

// table is the table of grip and rolling that the flags ask for.
func (t *trainFlags) table() (*traction.Table, error) {
	table := traction.DefaultTable()
	if t.surfaces != "" {
		s, err := specfile.ReadSurfacesFile(t.surfaces)
		if err != nil {
			return nil, err
		}
		if table, err = table.With(s); err != nil {
			return nil, fmt.Errorf("%s: %w", filepath.Base(t.surfaces), err)
		}
	}
	return table.WithMeasure(traction.Measure(t.measure))
}

// loadAs reads a vehicle and refuses one of the other kind: two files swapped
// would be judged as another train.
func loadAs(kind, file string) (*vehicle.Combination, error) {
	c, err := specfile.Load(file)
	if err == nil && c.Kind != kind {
		return nil, fmt.Errorf("%s says kind: %s, and stands after --%s: swap the files, or change its kind", filepath.Base(file), c.Kind, kind)
	}
	return c, err
}

// load reads the only train and couples the helpers.
func (t *trainFlags) load() (*check.Setup, *secondtow.Yard, error) {
	if len(t.transporters) != 1 {
		return nil, nil, fmt.Errorf("one --transporter only, not %d", len(t.transporters))
	}
	train, err := loadAs("transporter", t.transporters[0])
	if err != nil {
		return nil, nil, err
	}
	return t.couple(train)
}

// couple makes the train's setup and couples the helpers to it.
func (t *trainFlags) couple(train *vehicle.Combination) (*check.Setup, *secondtow.Yard, error) {
	set, err := t.settings()
	if err != nil {
		return nil, nil, err
	}
	solo, err := check.NewSetup(train, set)
	if err != nil {
		return nil, nil, err
	}
	yard := &secondtow.Yard{}
	bar := vehicle.Bar{LengthM: t.bar.lengthM, HeightM: t.bar.heightM, RatedN: t.bar.ratedKN * 1000, Rope: t.bar.kind != "bar"}
	for _, file := range t.helpers {
		h, err := loadAs("helper", file)
		if err != nil {
			return nil, nil, err
		}
		helper, err := secondtow.NewHelper(h, train, bar, set)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", filepath.Base(file), err)
		}
		yard.Helpers = append(yard.Helpers, helper)
	}
	return solo, yard, nil
}
