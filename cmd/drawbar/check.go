package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"drawbar/route"
	"drawbar/route/report"
	"drawbar/route/verdict"
	"drawbar/terrain"

	"github.com/spf13/cobra"
)

// checkOptions are the flags of check.
type checkOptions struct {
	ground   groundFlags
	train    trainFlags
	when     []string
	trip     bool
	totals   bool
	marchKmh float64
	restMin  float64
	both     bool
	format   string
	units    string
	segments string
	ask      []string
	enquiry  string
	explain  string
	require  []string
	workers  int
}

func newCheck(io stdio) *cobra.Command {
	var o checkOptions
	c := &cobra.Command{
		Use:   "check ROUTE... --dem RASTER --transporter FILE",
		Short: "Judge routes for a loaded transporter",
		Long: `Check drapes each route over the raster and judges it for the loaded
transporter, alone and with the helpers at hand. ROUTE is a GeoJSON file or text
sequence, a pattern in quotes, or - for standard input. The verdicts, in order
of severity: go, caution, unknown, second-tow, detour.`,
		Example: `  drawbar check samples/routes.geojson --dem samples/valley.tif \
    --transporter samples/transporter-112t.yaml --helper samples/helper-40t.yaml
  drawbar check 'plans/*.geojson' --dem N47E009.hgt --transporter t.yaml --both
  drawbar check way.geojson --dem d.tif --transporter t.yaml --format json
  drawbar check way.geojson --dem d.tif --transporter t.yaml --explain 4.2km
  drawbar check samples/routes.geojson --dem samples/valley.tif \
    --transporter samples/transporter-112t.yaml \
    --transporter samples/transporter-64t.yaml --when dry,wet`,
		Args: arguments("ROUTE", math.MaxInt),
		RunE: func(c *cobra.Command, args []string) error { return runCheck(c.Context(), o, args, io) },
	}
	o.ground.add(c)
	o.train.add(c)
	f := c.Flags()
	f.BoolVar(&o.both, "both", false, "judge both directions")
	f.StringSliceVar(&o.when, "when", nil, "`STATES` of the ground, one after the other: dry,wet,snow,ice; several print a table")
	f.BoolVar(&o.trip, "trip", false, "the way out empty, in the order of the file, and back loaded; prints a table")
	f.BoolVar(&o.totals, "totals", false, "estimate driving time and fuel")
	f.Float64Var(&o.marchKmh, "march-speed", 0, "fastest in `KM/H` for that estimate (default 25)")
	f.Float64Var(&o.restMin, "rest-every", 0, "`MINUTES` of driving between halts to look at lashings and brakes (default 60 with --totals)")
	f.StringVar(&o.format, "format", "text", "`FORMAT` of the report: text, json or csv")
	f.StringVar(&o.units, "units", "si", "`UNITS` of the text: si or us")
	f.StringVar(&o.segments, "segments", "", "write the segments as GeoJSON to this `FILE`")
	f.StringVar(&o.train.traffic, "traffic", "", "`SIDE` that others drive on, left or right (default right)")
	f.StringArrayVar(&o.ask, "ask", nil, "write the open questions to this `FILE`, by its ending: .csv or .geojson (fill it in, give it back with --known) or .html (a sheet to print); may be repeated")
	f.StringVar(&o.enquiry, "enquiry", "", "write an enquiry page for a road authority to this `FILE`.html")
	f.BoolVar(&o.train.sample, "sample-roads", false, "sample roads for the chance of every climb in question (slow); else only where the grade makes the doubt")
	f.StringVar(&o.explain, "explain", "", "show the steps behind one `PLACE`, as 4.2km or 350m from the start")
	f.StringArrayVar(&o.require, "require", nil, "exit 12 when this `CHECK` is not covered, by its name in the report; may be repeated")
	f.IntVar(&o.workers, "workers", runtime.GOMAXPROCS(0), "`ROUTES` judged at a time; changes no result")
	completeWords(c)
	return c
}

func runCheck(ctx context.Context, o checkOptions, args []string, std stdio) error {
	o.train.runKmh = o.marchKmh
	terms, err := o.march()
	if err != nil {
		return err
	}
	explainM, err := o.place()
	if err != nil {
		return err
	}
	if o.several() {
		if err := o.refuseInMatrix(); err != nil {
			return err
		}
	}
	if o.segments != "" { // before the work, and again when it is done
		if _, err := targetOf(o.segments, o.inputs(args)); err != nil {
			return err
		}
	}
	if err := o.askTargets(args); err != nil {
		return err
	}
	cases, err := o.cases()
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
	solo, yard := cases[0].solo, cases[0].yard
	j := newJudge(surface, solo, yard, o.ground.profile())
	all, today, err := o.ground.told(list)
	if err != nil {
		return err
	}
	j.Readings, j.Answers, j.Today = all.grades, all.answers, today
	if err = o.ground.lookIn(j, list, std); err != nil {
		return err
	}
	j.March = terms
	j.RestCapMS = o.marchKmh / 3.6
	if j.RestEveryS = 60 * o.restMin; o.restMin == 0 && o.totals {
		j.RestEveryS = 3600
	}
	if o.several() {
		return o.runCases(ctx, j, cases, list, std)
	}
	opt := verdict.Options{Explain: o.explain != "", ExplainM: explainM}
	r := &report.Run{Records: judgeAll(ctx, j, list, cases[0].reversed, opt, o.workers)}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	describe(r, &o, files, solo, yard, surface)
	r.Today, r.Idle = today, idleOf(r, all.answers, std)
	tellNotes(std, r, surface.Sources())
	tellUnplaced(std, j)
	o.train.tellIdle(std, solo.Weather)
	if err := o.write(std, r, files, opt); err != nil {
		return err
	}
	if opt.Explain { // the status is that of the whole route, not of one place
		r.Records = judgeAll(ctx, j, list, cases[0].reversed, verdict.Options{}, o.workers)
	}
	return finish(r, o.require, std)
}

// place is where to explain. The steps of one place are text and no report.
func (o *checkOptions) place() (float64, error) {
	switch {
	case o.explain == "":
		return 0, nil
	case o.format != "text":
		return 0, errors.New("--explain prints text: leave out --format, or run twice")
	case o.segments != "" || len(o.ask) > 0 || o.enquiry != "":
		return 0, errors.New("--explain looks at one place only: leave out --segments, --ask and --enquiry, or run twice")
	}
	return parseLength("--explain", o.explain)
}

// parseLength reads a chainage or a length with its unit, metres; a bare number
// is refused.
func parseLength(flag, s string) (float64, error) {
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
	return 0, fmt.Errorf("%s %q is no place: write 4.2km, 350m or 2.6mi", flag, s)
}

// judgeAll judges the routes, several at a time, and keeps their order.
func judgeAll(ctx context.Context, j *verdict.Judge, list []work, directions []bool, o verdict.Options, workers int) []report.Record {
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

// inputs are all files that the flags name.
func (o *checkOptions) inputs(routes []string) []string {
	list := slices.Concat(o.train.transporters, []string{o.ground.known, o.ground.over, o.ground.ways, o.train.surfaces}, o.train.helpers, o.ground.dem, routes)
	return slices.DeleteFunc(list, func(f string) bool { return f == "" })
}

func (o *checkOptions) write(std stdio, r *report.Run, files []string, opt verdict.Options) error {
	if o.segments != "" && judged(r) {
		t, err := targetOf(o.segments, o.inputs(files))
		if err != nil {
			return err
		}
		if err := t.write(func(w io.Writer) error { return report.Segments(w, r) }); err != nil {
			return err
		}
	}
	if err := o.writeAsked(r, files); err != nil {
		return err
	}
	if o.explain != "" {
		return explain(std, r, opt.ExplainM, report.Units(o.units))
	}
	switch o.format {
	case "json":
		return report.JSON(std.out, r)
	case "csv":
		return report.CSV(std.out, r)
	}
	return report.Text(std.out, r, report.Units(o.units))
}

// explain prints the steps at one chainage of every route that reaches it.
func explain(std stdio, r *report.Run, atM float64, u report.Units) error {
	reached := false
	for _, rec := range r.Records {
		if rec.Err != nil {
			continue
		}
		if length := rec.Result.Way.LengthM(); atM > length {
			note(std, rec.ID, []string{fmt.Sprintf("is %s long, nothing to explain at %s", u.Chainage(length), u.Chainage(atM))})
			continue
		}
		reached = true
		if _, err := fmt.Fprintf(std.out, "%s, %s\n", rec.ID, u.Chainage(rec.Result.Way.LengthM())); err != nil {
			return err
		}
		if err := report.Explain(std.out, rec.Result, u); err != nil {
			return err
		}
	}
	if !reached && judged(r) {
		return errors.New("--explain names a place beyond the end of every route")
	}
	return nil
}

// judged reports whether any route of the run was judged.
func judged(r *report.Run) bool {
	return slices.ContainsFunc(r.Records, func(rec report.Record) bool { return rec.Err == nil })
}

// tellNotes says what was changed or doubted in reading raster and routes. The
// text report has no room for it; JSON carries it too, and how heights were
// estimated besides.
func tellNotes(std stdio, r *report.Run, sources []terrain.Source) {
	for _, s := range sources {
		note(std, s.Name, s.Notes)
	}
	told := ""
	for _, rec := range r.Records {
		if rec.Err != nil || rec.ID == told {
			continue
		}
		note(std, rec.ID, slices.Concat(rec.Result.Way.Route.Notes, rec.Result.Profile.Notes))
		told = rec.ID // the other direction comes next
	}
}

// note tells something that is no error.
func note(std stdio, about string, notes []string) {
	for _, n := range notes {
		fmt.Fprintf(std.err, "drawbar: note: %s: %s\n", about, n)
	}
}

// finish says what could not be judged and gives the exit status.
func finish(r *report.Run, require []string, std stdio) error {
	worst, failed := r.Worst()
	for _, rec := range r.Records {
		if rec.Err != nil {
			text := rec.Err.Error()
			if !strings.HasPrefix(text, rec.File+": ") {
				text = rec.File + ": " + text
			}
			fmt.Fprintf(std.err, "drawbar: not judged: %s\n", text)
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
		return nil, fmt.Errorf("the input has %d routes, name one with --route: %s", len(list), listed(ids))
	}
	return list[0].route, nil
}
