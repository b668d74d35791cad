//go:build cgo

package raster

import (
	"context"
	"encoding/xml"
	"math"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"drawbar/terrain"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
)

// Raster is a raster open for reading: a terrain.Surface.
type Raster struct {
	sampler
	source      terrain.Source
	facts       *facts // of its first file
	pool        *pool
	projections *projections
}

// Open opens a raster and checks that its cells are heights in a place. The
// error is an *Error wrapping one of the sentinels of this package.
func Open(path string, o Options) (*Raster, error) {
	register()
	one, err := inspect(path, o)
	if err != nil {
		return nil, err
	}
	one.to.Close()
	keep := runtime.GOMAXPROCS(0)
	r := assemble(&group{members: []member{{opened: one}}, cols: one.shape.SizeX, rows: one.shape.SizeY},
		newCache(o.cacheBytes()), &pool{keep: keep})
	r.pool.put(&worker{ds: one.ds, tileFile: r.tiles.all[0].file.(*tileFile)})
	return r, nil
}

func asError(err error) *Error {
	if e, ok := err.(*Error); ok {
		return e
	}
	return &Error{Reason: err.Error(), Err: ErrNotRaster}
}

// opened is a file that holds heights in a place: what it says, and the handles
// it was asked with.
type opened struct {
	*facts
	path   string
	ds     *godal.Dataset
	source terrain.Source
}

// inspect opens one file. Its errors are *Error, complete.
func inspect(path string, o Options) (*opened, error) {
	one, err := ask(path, o)
	if err != nil {
		e := asError(err)
		e.File, e.Op = path, "open"
		return nil, e
	}
	return one, nil
}

func ask(path string, o Options) (*opened, error) {
	if err := vet(path, diskFiles()); err != nil {
		return nil, err
	}
	var log gdalLog
	ds, err := openDataset(path, &log)
	if err != nil {
		return nil, err
	}
	one := &opened{facts: &facts{driver: ds.Driver().ShortName()}, path: path, ds: ds}
	if err = one.read(ds, path, o, &log); err == nil {
		one.source, err = one.describe(path, o)
	}
	if err != nil {
		one.close()
		return nil, err
	}
	return one, nil
}

func (o *opened) close() {
	if o.to != nil {
		o.to.Close()
	}
	o.ds.Close(quiet()) //nolint:errcheck // opened for reading only
}

func openDataset(path string, log *gdalLog) (*godal.Dataset, error) {
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles(), godal.ErrLogger(log.handle))
	if err == nil {
		return ds, nil
	}
	hint := "see what this build reads with the formats command; unpack or translate the file"
	switch strings.ToLower(filepath.Ext(path)) {
	case ".zip":
		hint = "name the raster inside: /vsizip/" + filepath.Base(path) + "/NAME"
	case ".gz":
		hint = "unpack it, or name it as /vsigzip/" + filepath.Base(path)
	}
	reason := strings.Join(said(log.failures, path), "; ")
	if reason == "" || strings.Contains(reason, "not recognized as") {
		reason = ErrNotRaster.Error()
	}
	return nil, refuse(ErrNotRaster, hint, "%s", reason)
}

// facts are what a raster says about itself.
type facts struct {
	driver  string
	band    int
	shape   godal.BandStructure
	kind    cellKind
	nodata  float64
	hasVoid bool // nodata is set
	masked  bool // a mask or alpha band
	alpha   int  // number of the alpha band where GDAL's mask leaves it out, 0 for none
	sparse  bool // blocks left out of the file must be told from zeros
	signed  bool // bytes are signed
	gt      affine
	inv     inverse
	crs     crs
	unit    unit
	notes   []string
	assumed []terrain.Assumption
	lerc    float64 // largest error of a lossy coding, metres
	to      *godal.Transform
}

func (f *facts) read(ds *godal.Dataset, path string, o Options, log *gdalLog) error {
	for _, step := range []func() error{
		func() error { return f.pickBand(ds, o.Band) },
		func() error { return f.readCells(ds) },
		func() error { return f.readPlace(ds) },
		func() error { return f.readUnit(ds, o.Unit) },
	} {
		if err := step(); err != nil {
			return err
		}
	}
	f.notes = append(f.notes, said(log.warnings, path)...)
	return nil
}

func (f *facts) pickBand(ds *godal.Dataset, asked int) error {
	bands := ds.Bands()
	if len(bands) == 0 {
		hint := "name a part of it"
		if sub := ds.Metadata("SUBDATASET_1_NAME", godal.Domain("SUBDATASETS")); sub != "" {
			hint = "name one of its parts, such as " + strings.ReplaceAll(sub, filepath.Dir(ds.Description())+"/", "")
		}
		return refuse(ErrNoHeights, hint, "it has no band")
	}
	if asked < 0 || asked > len(bands) {
		return refuse(ErrNoHeights, "choose another with --dem-band", "it has no band %d, only %d", asked, len(bands))
	}
	if f.band = max(asked, 1); len(bands) == 1 || asked > 0 {
		return nil
	}
	if c := bands[0].ColorInterp(); c == godal.CIRed || c == godal.CIGreen || c == godal.CIBlue {
		return refuse(ErrNoHeights, "if one does hold heights, name it with --dem-band", "its %d bands are a colour picture", len(bands))
	}
	f.note("band 1 of %d is taken", len(bands))
	return nil
}

// described is what is read of GDAL's description of the band.
type described struct {
	Band struct {
		UnitType    string
		NoDataValue string
	} `xml:"VRTRasterBand"`
}

func (f *facts) readUnit(ds *godal.Dataset, asked string) error {
	text, err := describe(ds, f.band)
	if err != nil {
		return refuse(ErrNotRaster, "", "GDAL cannot describe it: %v", err)
	}
	var d described
	if err := xml.Unmarshal([]byte(text), &d); err != nil {
		return refuse(ErrNotRaster, "", "GDAL's description of it is broken: %v", err)
	}
	if f.kind == cellsWide && !f.hasVoid {
		f.readWideNoData(d.Band.NoDataValue)
	}
	u, assumed, err := heightUnit(asked, d.Band.UnitType, f.crs.axis)
	if err != nil {
		return err
	}
	f.unit = u
	if says, _, err := heightUnit("", d.Band.UnitType, f.crs.axis); asked != "" && err == nil && !strings.HasPrefix(says.name, "unknown") && says != u {
		return refuse(ErrUnit, "leave out --dem-unit, or repair the file: gdal_edit.py -units", "it says its heights are in %s, and --dem-unit says %s", says.name, u.name)
	}
	if assumed {
		f.assumed = append(f.assumed, terrain.Assumption{Key: "terrain.unit", Value: 1, Unit: "m",
			Source: "the raster names no unit of height; metres taken", Standing: "choice"})
	}
	return nil
}

// describe gives the source that the file is, with its error.
func (f *facts) describe(path string, o Options) (terrain.Source, error) {
	cellM, err := f.cellSize()
	if err != nil {
		return terrain.Source{}, err
	}
	model, err := terrain.Guess(terrain.Known{Product: o.Product, LE90M: o.LE90M, CE90M: o.CE90M, CorrM: o.CorrM, Driver: f.driver, CellM: cellM})
	if err != nil {
		return terrain.Source{}, refuse(ErrOption, "", "%v", err)
	}
	return f.source(path, cellM, model), nil
}

func (f *facts) source(path string, cellM float64, m terrain.ErrorModel) terrain.Source {
	s := terrain.Source{
		Name: filepath.Base(path), Datum: f.crs.datum, Kind: m.Kind, CellM: cellM, SEM: m.SEM, CorrM: m.CorrM, CE90M: m.CE90M,
		Driver: f.driver, CRS: f.crs.label, Unit: f.unit.name,
		Assumed: append(slices.Clone(f.assumed), m.Assumed...),
	}
	if f.lerc > 0 {
		// The coding rounds within +-lerc: a uniform error.
		s.SEM = math.Hypot(s.SEM, f.lerc/math.Sqrt(3))
	}
	if s.Datum == "" {
		s.Datum = "unknown"
		if f.driver == "SRTMHGT" || f.driver == "DTED" {
			s.Datum = "EGM96"
			f.note("vertical datum EGM96 by definition of the format")
		}
	}
	s.Fills, s.StepM = f.fills()
	s.Notes = said(f.notes, path)
	return s
}

// Elevations implements terrain.Surface. A block that cannot be read is an
// error, an *Error with the name of the file; the samples are then not to be
// used.
func (r *Raster) Elevations(ctx context.Context, pts []orb.Point, out []terrain.Sample) error {
	return r.elevations(ctx, pts, out)
}

// Sources implements terrain.Surface.
func (r *Raster) Sources() []terrain.Source { return []terrain.Source{r.source} }

// Close gives back the handles. Nothing may be asked for after it.
func (r *Raster) Close() error {
	r.projections.close()
	return r.pool.close()
}
