package main

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/geofile"
	"drawbar/route/known"
	"drawbar/route/profile"
	"drawbar/route/report"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/terrain"
	"drawbar/terrain/raster"

	"github.com/spf13/cobra"
)

// groundFlags say what the ground is read from.
type groundFlags struct {
	dem      []string
	unit     string
	band     int
	le90M    float64
	product  string
	lineM    float64
	z        string
	known    string
	date     string
	over     string
	ways     string
	anyClass bool
	stepM    float64
	carryM   float64
	cache    string
	route    string
}

func (g *groundFlags) add(c *cobra.Command) {
	g.addOptional(c)
	must(c.MarkFlagRequired("dem"))
	c.Flags().Lookup("dem").Usage += " (required)"
}

// addOptional is add for a command that can do without a raster.
func (g *groundFlags) addOptional(c *cobra.Command) {
	f := c.Flags()
	f.StringArrayVar(&g.dem, "dem", nil, "elevation `RASTER` that GDAL reads, or a folder of them; may be repeated, the finest height wins")
	f.StringVar(&g.unit, "dem-unit", "", "`UNIT` of its heights: m, ft or us-ft (default: what the file says)")
	f.IntVar(&g.band, "dem-band", 0, "its `BAND` with the heights, counted from 1 (default: the first)")
	f.Float64Var(&g.le90M, "dem-le90", 0, "its vertical error, 90 % linear, in `METRES` (default: by product)")
	f.StringVar(&g.product, "dem-product", "", "its `PRODUCT`, a name that the command formats lists")
	f.Float64Var(&g.lineM, "line-error", 0, "standard error of the line across its road in `METRES` (default: 2, 4 or 8 by vertex spacing)")
	f.StringVar(&g.z, "z", "raster", "take heights from `WHERE`: raster, route (the file's own) or both (raster judges, the difference is told)")
	f.StringVar(&g.ways, "ways", "", "`FILE` of ways, an OpenStreetMap extract (PBF, XML) or GeoJSON lines: a bare line takes tags and structures of the ways it follows")
	f.StringVar(&g.over, "structures", "", "GeoJSON or CSV `FILE` of structures: points, lines and areas; bridges among its lines that cross the route are taken as over it")
	f.StringVar(&g.known, "known", "", "CSV or GeoJSON `FILE` of answers to open questions (as --ask writes it, filled in) and of measured grades, which alone climb and profile take: route,from_m,to_m,grade_pct,error_pct,by,when")
	f.StringVar(&g.date, "date", "", "`DAY` of the run as 2024-03-02, by which answers may have expired (default: today)")
	f.BoolVar(&g.anyClass, "no-class-prior", false, "do not let the road's class speak in the estimate of grade")
	f.Float64Var(&g.stepM, "step", 0, "distance between stations in `METRES` (default: half a cell, 2 to 10)")
	f.Float64Var(&g.carryM, "carry", 0, "longest void in `METRES` carried straight, -1 for none (default: three cells)")
	f.StringVar(&g.cache, "cache", "256MiB", "`SIZE` of memory for decoded blocks of the rasters, in KiB, MiB or GiB; changes no result")
	f.StringVar(&g.route, "route", "", "only the route of this `ID`")
	completeWords(c)
}

// must is for mistakes of the programmer.
func must(err error) {
	if err != nil {
		panic(err)
	}
}

// open opens the rasters.
func (g *groundFlags) open() (*raster.Set, error) {
	limit, err := parseSize(g.cache)
	if err != nil {
		return nil, err
	}
	return raster.OpenAll(g.dem, raster.Options{Unit: g.unit, Band: g.band, LE90M: g.le90M, Product: g.product, CacheBytes: limit})
}

// parseSize reads the size of the cache, 1 MiB to 64 GiB, in bytes.
func parseSize(text string) (int64, error) {
	for i, unit := range []string{"KiB", "MiB", "GiB"} {
		if n, ok := strings.CutSuffix(text, unit); ok {
			v, err := strconv.ParseInt(strings.TrimSpace(n), 10, 32)
			if size := v << (10 * (i + 1)); err == nil && size >= 1<<20 && size <= 64<<30 {
				return size, nil
			}
		}
	}
	return 0, fmt.Errorf("--cache %q is no size from 1MiB to 64GiB: write 256MiB", text)
}

// told reads the file of answers, nothing without one. A route that it names
// and that is not judged is an error: an answer for nothing is a slip.
func (g *groundFlags) told(list []work) (told, string, error) {
	today, err := g.today()
	if err != nil || g.known == "" {
		return told{}, "", err
	}
	all, err := readKnown(g.known, today)
	if err != nil {
		return told{}, "", err
	}
	name := filepath.Base(g.known)
	find := func(id string) int {
		return slices.IndexFunc(list, func(w work) bool { return w.route != nil && w.route.ID == id })
	}
	for _, id := range slices.Sorted(maps.Keys(all.grades)) {
		at := find(id)
		if at < 0 && g.route == "" {
			return told{}, "", fmt.Errorf("%s: %w: no route has the id %q", name, errKnown, id)
		}
		if at >= 0 {
			if err := within(all.grades[id], list[at].route); err != nil {
				return told{}, "", fmt.Errorf("%s: %w: route %q %w", name, errKnown, id, err)
			}
		}
	}
	for _, a := range all.answers {
		if a.Route != "" && g.route == "" && find(a.Route) < 0 {
			return told{}, "", fmt.Errorf("%s: %w: no route has the id %q", a.Row, known.ErrAnswer, a.Route)
		}
	}
	return all, today, nil
}

// readings are the measured grades of the file of answers.
func (g *groundFlags) readings(list []work) (map[string][]profile.Reading, error) {
	all, _, err := g.told(list)
	return all.grades, err
}

// within refuses a reading beyond the end of its route.
func within(list []profile.Reading, r *route.Route) error {
	a, err := route.Align(r)
	if err != nil {
		return nil // the judge says what is wrong with the route
	}
	for _, k := range list {
		if k.At.ToM > a.LengthM()+1 {
			return fmt.Errorf("is %.0f m long, and a grade is given up to %.0f m", a.LengthM(), k.At.ToM)
		}
	}
	return nil
}

func (g *groundFlags) profile() profile.Options {
	return profile.Options{StepM: g.stepM, VoidCarryM: g.carryM, LineSEM: g.lineM, NoClassPrior: g.anyClass, Z: profile.ZFrom(g.z)}
}

// addGround adds the flags that say what the train stands on.
func (t *trainFlags) addGround(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&t.weather, "weather", "", weatherUsage)
	f.StringVar(&t.surfaces, "surfaces", "", "YAML `FILE` of grip and rolling in place of rows of the table that formats --surfaces prints")
	f.StringVar(&t.measure, "measure", "", "`MEASURE` taken against snow and ice: chains or grit")
}

// work is one route of the input, or why it could not be read.
type work struct {
	route *route.Route
	file  string
	err   error
}

// readRoutes reads files, globs and "-" in order. A file that cannot be read is
// a record with its error; the others go on.
func readRoutes(args []string, in io.Reader, only string) ([]work, []string, error) {
	var files []string
	for _, a := range args {
		if _, err := os.Lstat(a); err == nil || !strings.ContainsAny(a, "*?[") { // a name may hold such letters
			files = append(files, a)
			continue
		}
		found, err := filepath.Glob(a)
		if err != nil {
			return nil, nil, fmt.Errorf("pattern %s: %w", a, err)
		}
		if len(found) == 0 {
			return nil, nil, fmt.Errorf("pattern %s matches no file", a)
		}
		files = append(files, found...)
	}
	var out []work
	for _, f := range files {
		out = append(out, readFile(f, in)...)
	}
	unique(out)
	if only != "" {
		picked, err := pickRoute(out, only)
		return picked, files, err
	}
	return out, files, nil
}

func readFile(file string, in io.Reader) (out []work) {
	name := filepath.Base(file)
	var recs []geofile.Record
	var err error
	if file == "-" {
		name = "standard input"
		recs, err = geofile.Read(in, name, geofile.Options{})
	} else {
		recs, err = geofile.ReadFile(file, geofile.Options{})
	}
	if err != nil {
		return []work{{file: name, err: err}}
	}
	for _, r := range recs {
		out = append(out, work{r.Route, name, r.Err})
	}
	return out
}

// unique makes ids differ across files.
func unique(list []work) {
	seen := map[string]bool{}
	for i := range list {
		r := list[i].route
		if r == nil {
			continue
		}
		id := r.ID
		for n := 2; seen[id]; n++ {
			id = fmt.Sprintf("%s (%d)", r.ID, n)
		}
		seen[id] = true
		if id != r.ID {
			c := *r
			c.ID = id
			list[i].route = &c
		}
	}
}

// pickRoute finds the one route of an id. When it is not there, the error says
// which are, or why they could not be read.
func pickRoute(list []work, id string) ([]work, error) {
	var ids []string
	var unread error
	for _, w := range list {
		switch {
		case w.route == nil:
			unread = cmp.Or(unread, w.err)
		case w.route.ID == id:
			return []work{w}, nil
		default:
			ids = append(ids, w.route.ID)
		}
	}
	err := fmt.Errorf("no route has the id %q, there are: %s", id, listed(ids))
	if unread != nil {
		return nil, fmt.Errorf("%w; not read: %w", err, unread)
	}
	return nil, err
}

// listed names the first ten.
func listed(ids []string) string {
	const most = 10
	switch {
	case len(ids) == 0:
		return "none"
	case len(ids) > most:
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
	}
	return strings.Join(ids, ", ")
}

// hashLimit is the size up to which an input is identified by its SHA-256.
const hashLimit = 64 << 20

// inputOf identifies a file for the report.
func inputOf(role, file string) report.Input {
	in := report.Input{Role: role, Name: filepath.Base(file)}
	f, err := os.Open(file)
	if err != nil {
		return in
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return in
	}
	in.Bytes = info.Size()
	h := sha256.New()
	if in.Bytes <= hashLimit {
		if _, err := io.Copy(h, f); err == nil {
			in.SHA256 = hex.EncodeToString(h.Sum(nil))
		}
		return in
	}
	const end = 1 << 20
	fmt.Fprintf(h, "%d\n", in.Bytes)
	if _, err := io.CopyN(h, f, end); err != nil {
		return in
	}
	if _, err := f.Seek(-end, io.SeekEnd); err != nil {
		return in
	}
	if _, err := io.Copy(h, f); err == nil {
		in.Print = "size+first+last-MiB:" + hex.EncodeToString(h.Sum(nil))
	}
	return in
}

// newJudge puts raster and train together.
func newJudge(r terrain.Surface, solo *check.Setup, yard *secondtow.Yard, o profile.Options) *verdict.Judge {
	return &verdict.Judge{Surface: r, Solo: solo, Yard: yard, Profile: o}
}
