package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/vehicle/traction"

	"github.com/spf13/cobra"
)

// climbOptions are the flags of climb.
type climbOptions struct {
	ground   groundFlags
	train    trainFlags
	grade    string
	errorPct string
	length   string
	altitude float64
	surface  string
	file     string
	from, to string
	reverse  bool
	units    string
}

func newClimb(io stdio) *cobra.Command {
	var o climbOptions
	c := &cobra.Command{
		Use:   "climb [ROUTE] --transporter FILE",
		Short: "Judge one climb for a crew that stands before it",
		Long: `Climb judges one hill by the checks of the command check: a hill that the crew
has measured, with --grade, --length and --surface and no raster; or a piece of
ROUTE, with --dem, --from and --to. One screen: the pull needed and the pull
there is, whether it starts again, the reading of the grade that would decide,
and what could change the answer.`,
		Example: `  drawbar climb --transporter samples/transporter-112t.yaml --grade 11% \
    --length 400m --surface gravel,wet --helper samples/helper-40t.yaml
  drawbar climb samples/routes.geojson --route quarry-climb \
    --dem samples/valley.tif --transporter samples/transporter-112t.yaml \
    --from 1.8km --to 2.4km`,
		Args: atMostOne("ROUTE"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.file = args[0]
			}
			if err := o.consistent(); err != nil {
				return err
			}
			if o.file == "" {
				if err := noneOf(c, "a climb on the spot has no route and no raster", wayFlags); err != nil {
					return err
				}
			}
			return runClimb(c.Context(), o, io)
		},
	}
	o.ground.addOptional(c)
	o.train.add(c)
	f := c.Flags()
	f.StringVar(&o.grade, "grade", "", "`GRADE` of the hill: 11%, 1:9 or 6deg; negative going down")
	f.StringVar(&o.errorPct, "grade-error", "0.5%", "how far that reading may be off, nineteen times in twenty, as `GRADE`")
	f.StringVar(&o.length, "length", "", "`LENGTH` of the hill: 400m or 0.4km")
	f.StringVar(&o.surface, "surface", "", "`SURFACE` of the hill, a value of OpenStreetMap, with its weather: gravel,wet")
	f.Float64Var(&o.altitude, "altitude", 0, "`METRES` above the sea, for engines that lose pull in thin air")
	f.StringVar(&o.from, "from", "", "where the climb begins on ROUTE: `PLACE` as 4.2km")
	f.StringVar(&o.to, "to", "", "where it ends: `PLACE`")
	f.BoolVar(&o.reverse, "reverse", false, "travel ROUTE from its end to its start")
	f.StringVar(&o.units, "units", "si", "`UNITS` of the text: si or us")
	completeWords(c)
	return c
}

func runClimb(ctx context.Context, o climbOptions, std stdio) error {
	if name, weather, found := strings.Cut(o.surface, ","); found {
		if o.train.weather != "" && o.train.weather != weather {
			return fmt.Errorf("--surface says %s and --weather %s: give one", weather, o.train.weather)
		}
		if o.surface, o.train.weather = name, weather; weather == "" {
			return errors.New("--surface ends in a comma: give the weather after it, or leave the comma out")
		}
	}
	solo, yard, err := o.train.load()
	if err != nil {
		return err
	}
	s := &report.ClimbSheet{Train: trainOf(solo, yard), Grounds: solo.Mastered()}
	var res *verdict.Result
	at := route.Stretch{}
	if o.file == "" {
		res, at, err = o.hill(solo, yard, s)
	} else {
		res, at, err = o.piece(ctx, solo, yard, s, std)
	}
	if err != nil {
		return err
	}
	if err := sheet(s, res, at, yard); err != nil {
		return err
	}
	if err := report.Climb(std.out, s, report.Units(o.units)); err != nil {
		return err
	}
	return statusOf(s.Verdict)
}

// wayFlags say something of a route or its raster.
var wayFlags = []string{"dem-unit", "dem-band", "dem-le90", "dem-product", "line-error", "z", "known", "structures", "ways",
	"no-class-prior", "step", "carry", "cache", "route", "reverse"}

// noneOf refuses flags that would be ignored: whoever gives one means it.
func noneOf(c *cobra.Command, why string, names []string) error {
	for _, name := range names {
		if c.Flags().Changed(name) {
			return fmt.Errorf("--%s is of no use here: %s", name, why)
		}
	}
	return nil
}

// consistent refuses half of one question and half of another.
func (o *climbOptions) consistent() error {
	spot := o.grade != "" || o.length != "" || o.surface != ""
	way := o.file != "" || o.from != "" || o.to != "" || len(o.ground.dem) > 0
	switch {
	case spot && way:
		return errors.New("give either --grade, --length and --surface, or ROUTE, --dem, --from and --to")
	case spot && (o.grade == "" || o.length == "" || o.surface == ""):
		return errors.New("a climb on the spot needs --grade, --length and --surface")
	case way && (o.file == "" || o.from == "" || o.to == "" || len(o.ground.dem) == 0):
		return errors.New("a climb on a route needs ROUTE, --dem, --from and --to")
	case !spot && !way:
		return errors.New("say which climb: --grade, --length and --surface, or ROUTE, --dem, --from and --to (see drawbar climb --help)")
	}
	return nil
}

// hill judges the climb that the flags describe.
func (o *climbOptions) hill(solo *check.Setup, yard *secondtow.Yard, s *report.ClimbSheet) (*verdict.Result, route.Stretch, error) {
	none := route.Stretch{}
	grade, err := parseGrade("--grade", o.grade)
	if err != nil {
		return nil, none, err
	}
	off, err := parseGrade("--grade-error", o.errorPct)
	if err != nil {
		return nil, none, err
	}
	if off < 0 {
		return nil, none, fmt.Errorf("--grade-error must not be negative, is %s", o.errorPct)
	}
	if off > mostGradeError {
		return nil, none, fmt.Errorf("--grade-error %s is no reading of a grade: measure to within 10 %% of rise, or leave it out for 0.5%%", o.errorPct)
	}
	length, err := parseLength("--length", o.length)
	if err != nil {
		return nil, none, err
	}
	if !(length >= 1 && length <= 50e3) {
		return nil, none, fmt.Errorf("--length must be 1 m to 50 km, is %s", o.length)
	}
	if t := solo.Surfaces(); !t.Known(o.surface, traction.Weather(solo.Weather)) {
		return nil, none, fmt.Errorf("--surface %q is not known; known are %s", o.surface, strings.Join(t.Values(), ", "))
	}
	j := &verdict.Judge{Solo: solo, Yard: yard}
	res, err := j.Hill(verdict.Hill{GradeRatio: grade, GradeSE: off / 1.96, LengthM: length, HeightM: o.altitude,
		Tags: route.Tags{Highway: "service", Surface: o.surface}})
	if err != nil {
		return nil, none, err
	}
	s.ToM, s.Hill, s.HillSE = length, grade, off/1.96
	return res, route.Stretch{FromM: 0, ToM: res.Way.LengthM()}, nil
}

// piece judges a piece of a route: the whole route is judged, and looked at
// there.
func (o *climbOptions) piece(ctx context.Context, solo *check.Setup, yard *secondtow.Yard, s *report.ClimbSheet, std stdio) (*verdict.Result, route.Stretch, error) {
	none := route.Stretch{}
	from, err := parseLength("--from", o.from)
	if err != nil {
		return nil, none, err
	}
	to, err := parseLength("--to", o.to)
	if err != nil {
		return nil, none, err
	}
	surface, err := o.ground.open()
	if err != nil {
		return nil, none, err
	}
	defer surface.Close()
	list, _, err := readRoutes([]string{o.file}, std.in, o.ground.route)
	if err != nil {
		return nil, none, err
	}
	r, err := one(list)
	if err != nil {
		return nil, none, err
	}
	j := newJudge(surface, solo, yard, o.ground.profile())
	if j.Readings, err = o.ground.readings(list); err != nil {
		return nil, none, err
	}
	if err = o.ground.lookIn(j, list, std); err != nil {
		return nil, none, err
	}
	res, err := j.Route(ctx, r, verdict.Options{Reverse: o.reverse, Keep: true})
	if err != nil {
		return nil, none, err
	}
	if !(from < to && to <= res.Way.LengthM()+1) {
		return nil, none, fmt.Errorf("--from %s to --to %s is no piece of route %s, which is %.2f km long", o.from, o.to, r.ID, res.Way.LengthM()/1000)
	}
	s.Way, s.FromM, s.ToM = r.ID, from, to
	if o.reverse {
		s.Way += " (end to start)"
	}
	return res, route.Stretch{FromM: from, ToM: to}, nil
}

// sheet fills in what was found on the stretch.
func sheet(s *report.ClimbSheet, res *verdict.Result, at route.Stretch, yard *secondtow.Yard) error {
	i := res.Weakest(at)
	if down := res.SteepestDown(at); down >= 0 && res.TrainGrade[i] <= levelGrade && res.TrainGrade[down] < -levelGrade {
		i = down // nothing to climb: it is the way down that is asked about
	}
	if i < 0 {
		return errors.New("no grade is known anywhere on that piece: give a raster that covers it, or measure it and give --grade")
	}
	s.Climb, s.Start = res.Situation.Climb(i), res.Situation.Start(i)
	s.Assumed, s.NotCovered = res.Assumed, report.NotCovered(res)
	if h, ok := res.Situation.StartHeat(i); ok {
		s.Heat = &h
	}
	s.Down = downOf(res.Situation, &s.Climb)
	var about []int
	for k := range res.Findings {
		if f := &res.Findings[k]; !f.Standing && f.At.Overlaps(at) {
			about = append(about, k)
			s.Verdict = max(s.Verdict, res.Word(k))
		}
	}
	slices.SortStableFunc(about, func(a, b int) int { return int(res.Word(b)) - int(res.Word(a)) })
	for _, k := range about {
		s.Findings = append(s.Findings, res.Findings[k])
	}
	if s.Climb.Grade < 0 || (s.Climb.Outcome == check.Pass && s.Start.Outcome == check.Pass) {
		return nil // nothing needs changing
	}
	var err error
	s.Measures, err = yard.Measures(res.Situation, i)
	return err
}

// mostGradeError is beyond anything that a level, a staff or an eye misses by, rise
// over run. Choice.
const mostGradeError = 0.10

// levelGrade is a grade taken for level where a hill is looked for. Choice.
const levelGrade = 0.005

// downOf is what holds the train going down the grade of a strength; nil where
// it is level.
func downOf(s *check.Situation, c *check.Strength) *report.ClimbDown {
	grade := math.Abs(c.Grade)
	if grade < levelGrade {
		return nil
	}
	for _, h := range s.Held() {
		if h.Surface == c.Surface {
			d := &report.ClimbDown{Held: h, GradeRatio: grade}
			d.SpeedMS, d.Gear = traction.FastestDown(s.Train, grade+1.645*c.GradeSE, c.RollLow) // at its steep end, as check
			return d
		}
	}
	return nil
}

// parseGrade reads 11%, 1:9 or 6deg, rise over run.
func parseGrade(flag, text string) (float64, error) {
	t := strings.ReplaceAll(strings.TrimSpace(text), " ", "")
	sign := 1.0
	if rest, ok := strings.CutPrefix(t, "-"); ok {
		sign, t = -1, rest
	}
	if n, ok := strings.CutSuffix(t, "%"); ok {
		if v, err := strconv.ParseFloat(n, 64); err == nil && v >= 0 && v <= 60 {
			return sign * v / 100, nil
		}
	}
	if n, ok := strings.CutPrefix(t, "1:"); ok {
		if v, err := strconv.ParseFloat(n, 64); err == nil && v >= 1.5 && v <= 1e4 {
			return sign / v, nil
		}
	}
	for _, unit := range []string{"deg", "°"} {
		if n, ok := strings.CutSuffix(t, unit); ok {
			if v, err := strconv.ParseFloat(n, 64); err == nil && v >= 0 && v <= 31 {
				return sign * math.Tan(v*math.Pi/180), nil
			}
		}
	}
	return 0, fmt.Errorf("%s %q is no grade up to 60 %%: write 11%%, 1:9 or 6deg", flag, text)
}
