package main

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/terrain/raster"

	"github.com/spf13/cobra"
)

// checkOptions are the flags of check.
type checkOptions struct {
	ground   groundFlags
	train    trainFlags
	both     bool
	format   string
	units    string
	segments string
	explain  string
	require  []string
	workers  int
}

func newCheck(io stdio) *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "check ROUTE... --dem RASTER --transporter FILE",
		Short: "Judge routes for a loaded transporter",
		Long: `Check drapes each route over the raster and judges it for the loaded transporter,
alone and with the helpers at hand. ROUTE is a GeoJSON file or text sequence, a
pattern in quotes, or - for standard input. The verdicts, in order of severity:
go, caution, unknown, second-tow, detour.`,
		Example: `  drawbar check samples/routes.geojson --dem samples/valley.tif \
      --transporter samples/transporter-112t.yaml --helper samples/helper-40t.yaml
  drawbar check 'plans/*.geojson' --dem N47E009.hgt --transporter t.yaml --both
  drawbar check way.geojson --dem d.tif --transporter t.yaml --format json
  drawbar check way.geojson --dem d.tif --transporter t.yaml --explain 4.2km`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error { return runCheck(c.Context(), o, args, io) },
	}
	o.ground.add(c)
	o.train.add(c)
	f := c.Flags()
	f.BoolVar(&o.both, "both", false, "judge both directions")
	f.StringVar(&o.format, "format", "text", "text, json or csv")
	f.StringVar(&o.units, "units", "si", "units of the text: si or us")
	f.StringVar(&o.segments, "segments", "", "write the segments as GeoJSON to this file")
	f.StringVar(&o.explain, "explain", "", "show the steps behind one place, as 4.2km or 350m from the start")
	f.StringArrayVar(&o.require, "require", nil, "exit 12 when this check is not covered, by its name in the report; may be repeated")
	f.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "routes judged at a time; changes no result")
	must(c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"text", "json", "csv"}, cobra.ShellCompDirectiveNoFileComp)))
	must(c.RegisterFlagCompletionFunc("units", cobra.FixedCompletions([]string{"si", "us"}, cobra.ShellCompDirectiveNoFileComp)))
	return c
}

func runCheck(ctx context.Context, o checkOptions, args []string, std stdio) error {
	if err := o.valid(); err != nil {
		return err
	}
	explainM, err := parsePlace(o.explain)
	if err != nil {
		return err
	}
	solo, yard, err := o.train.load()
	if err != nil {
		return err
	}
	surface, err := o.ground.open()
	if err != nil {
		return err
	}
	defer surface.Close()
	list, files, err := readRoutes(args, std.in, o.ground.route)
	if err != nil {
		return err
	}
	j := newJudge(surface, solo, yard, o.ground.profile())
	opt := verdict.Options{Explain: o.explain != "", ExplainM: explainM}
	r := &report.Run{Records: judgeAll(ctx, j, list, o.both, opt, o.workers)}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	describe(r, &o, files, solo, yard, surface)
	if err := o.write(std, r, files); err != nil {
		return err
	}
	return finish(r, o.require, std)
}

// valid refuses words that no flag knows.
func (o *checkOptions) valid() error {
	if !slices.Contains([]string{"text", "json", "csv"}, o.format) {
		return fmt.Errorf("--format must be text, json or csv, is %q", o.format)
	}
	if !slices.Contains([]string{"si", "us"}, o.units) {
		return fmt.Errorf("--units must be si or us, is %q", o.units)
	}
	for _, name := range o.require {
		if !slices.Contains(check.Names(), name) {
			return fmt.Errorf("--require %q: no such check; the checks are %s", name, strings.Join(check.Names(), ", "))
		}
	}
	return nil
}

// parsePlace reads a chainage with its unit; a bare number is refused.
func parsePlace(s string) (float64, error) {
	if s == "" {
		return 0, nil
	}
	for _, u := range []struct {
		suffix string
		m      float64
	}{{"km", 1000}, {"mi", 1609.344}, {"ft", 0.3048}, {"m", 1}} {
		if n, ok := strings.CutSuffix(s, u.suffix); ok {
			v, err := strconv.ParseFloat(strings.TrimSpace(n), 64)
			if err != nil || !(v >= 0) || v > 1e6 {
				break
			}
			return v * u.m, nil
		}
	}
	return 0, fmt.Errorf("--explain %q is no place: write 4.2km, 350m or 2.6mi", s)
}

// judgeAll judges the routes, several at a time, and keeps their order.
func judgeAll(ctx context.Context, j *verdict.Judge, list []work, both bool, o verdict.Options, workers int) []report.Record {
	directions := []bool{false}
	if both {
		directions = []bool{false, true}
	}
	out := make([]report.Record, 0, len(list)*len(directions))
	var jobs []func()
	for _, w := range list {
		if w.err != nil {
			out = append(out, report.Record{ID: w.file, File: w.file, Err: w.err})
			continue
		}
		for _, rev := range directions {
			i := len(out)
			out = append(out, report.Record{ID: w.route.ID, File: w.file})
			opt := o
			opt.Reverse = rev
			jobs = append(jobs, func() { out[i].Result, out[i].Err = j.Route(ctx, w.route, opt) })
		}
	}
	next := make(chan func())
	var wg sync.WaitGroup
	for range max(workers, 1) {
		wg.Go(func() {
			for job := range next {
				job()
			}
		})
	}
	for _, job := range jobs {
		next <- job
	}
	close(next)
	wg.Wait()
	return out
}

// describe fills in what the report says of the run.
func describe(r *report.Run, o *checkOptions, files []string, solo *check.Setup, yard *secondtow.Yard, surface *raster.Raster) {
	r.Tool = tool()
	c := solo.Train
	r.Train = report.Train{Name: c.Name, Level: c.Level, GrossKg: c.GrossKg, GrossSEKg: c.GrossSEKg,
		LengthM: c.LengthM, WidthM: c.WidthM, HeightM: c.HeightM, Axles: len(c.Axles)}
	for _, h := range yard.Helpers {
		r.Train.Helpers = append(r.Train.Helpers, h.Name)
	}
	for _, s := range surface.Sources() {
		r.Sources = append(r.Sources, report.Source{Name: s.Name, Driver: s.Driver, CRS: s.CRS, Datum: s.Datum,
			Kind: string(s.Kind), Unit: s.Unit, CellM: s.CellM, SEM: s.SEM, CorrM: s.CorrM})
	}
	for _, f := range files {
		r.Inputs = append(r.Inputs, inputOf("route", f))
	}
	r.Inputs = append(r.Inputs, inputOf("dem", o.ground.dem), inputOf("transporter", o.train.transporter))
	for _, h := range o.train.helpers {
		r.Inputs = append(r.Inputs, inputOf("helper", h))
	}
	r.Settings = []report.Setting{
		{Name: "weather", Value: solo.Weather},
		{Name: "both", Value: strconv.FormatBool(o.both)},
		{Name: "height_margin_m", Value: strconv.FormatFloat(solo.HeightMarginM, 'g', -1, 64)},
		{Name: "dem_unit", Value: o.ground.unit},
		{Name: "dem_le90_m", Value: strconv.FormatFloat(o.ground.le90M, 'g', -1, 64)},
		{Name: "dem_product", Value: o.ground.product},
		{Name: "step_m", Value: strconv.FormatFloat(o.ground.stepM, 'g', -1, 64)},
		{Name: "carry_m", Value: strconv.FormatFloat(o.ground.carryM, 'g', -1, 64)},
	}
}

func (o *checkOptions) write(std stdio, r *report.Run, files []string) error {
	if o.segments != "" {
		inputs := append([]string{o.ground.dem, o.train.transporter}, o.train.helpers...)
		inputs = append(inputs, files...)
		if err := writeFile(o.segments, inputs, func(w io.Writer) error { return report.Segments(w, r) }); err != nil {
			return err
		}
	}
	if o.explain != "" {
		return explain(std.out, r, report.Units(o.units))
	}
	switch o.format {
	case "json":
		return report.JSON(std.out, r)
	case "csv":
		return report.CSV(std.out, r)
	}
	return report.Text(std.out, r, report.Units(o.units))
}

func explain(w io.Writer, r *report.Run, u report.Units) error {
	for _, rec := range r.Records {
		if rec.Err != nil {
			continue
		}
		if _, err := fmt.Fprintf(w, "%s, %s\n", rec.ID, u.Chainage(rec.Result.Way.LengthM())); err != nil {
			return err
		}
		if err := report.Explain(w, rec.Result, u); err != nil {
			return err
		}
	}
	return nil
}

// finish says what could not be judged and gives the exit status.
func finish(r *report.Run, require []string, std stdio) error {
	worst, failed := r.Worst()
	for _, rec := range r.Records {
		if rec.Err != nil {
			fmt.Fprintf(std.err, "drawbar: %s: not judged: %v\n", rec.File, rec.Err)
		}
	}
	if failed {
		return status(exitError)
	}
	if worst < verdict.Unknown && r.Uncovered(require) {
		return status(exitUnknown)
	}
	return statusOf(worst)
}

// one finds the single route that profile needs.
func one(list []work) (*route.Route, error) {
	for _, w := range list {
		if w.err != nil {
			return nil, w.err
		}
	}
	if len(list) != 1 {
		ids := make([]string, 0, len(list))
		for _, w := range list {
			ids = append(ids, w.route.ID)
		}
		return nil, fmt.Errorf("the input has %d routes, name one with --route: %s", len(list), strings.Join(ids[:min(len(ids), 10)], ", "))
	}
	return list[0].route, nil
}
