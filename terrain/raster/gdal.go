//go:build cgo

package raster

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/airbusgeo/godal"
)

// gdalSettings hold for the whole process; GDAL reads them from the
// environment. They keep GDAL and PROJ off the network, off standard input and
// from writing beside the data.
var gdalSettings = [][2]string{
	{"GDAL_SKIP", "HTTP,WMS,WCS,WMTS,PLMOSAIC,DAAS,EEDA,EEDAI,NGW,OGCAPI,STACTA,STACIT,PostGISRaster,GeoRaster"},
	{"PROJ_NETWORK", "OFF"},
	{"CPL_VSIL_CURL_ALLOWED_EXTENSIONS", ".none"},
	{"CPL_ALLOW_VSISTDIN", "NO"},
	{"GDAL_VRT_ENABLE_PYTHON", "NO"},
	{"CPL_VSIL_GZIP_WRITE_PROPERTIES", "NO"},
	{"GDAL_DISABLE_READDIR_ON_OPEN", "YES"}, // probe for side files by name: folders of tiles are large
}

var register = sync.OnceFunc(func() {
	for _, kv := range gdalSettings {
		os.Setenv(kv[0], kv[1])
	}
	// godal has no error handler around a coordinate transformation: GDAL
	// would print each point PROJ refuses to standard error. A log the user
	// asked for is left alone.
	setUnlessSet("CPL_LOG", os.DevNull)
	// GDAL's own block cache would take 5 % of the machine's memory for blocks
	// this package keeps anyway. 64 MiB let it join what it reads; a larger
	// tile still stays until the next one is read.
	setUnlessSet("GDAL_CACHEMAX", "64")
	godal.RegisterAll()
})

func setUnlessSet(key, value string) {
	if _, set := os.LookupEnv(key); !set {
		os.Setenv(key, value)
	}
}

// heightFormats are the formats heights usually come in. GDAL reads more.
var heightFormats = []string{"AAIGrid", "BAG", "DTED", "EHdr", "ENVI", "ERS", "GPKG", "GRIB", "GSAG", "GSBG", "GS7BG", "GTiff",
	"HDF5", "HFA", "JP2OpenJPEG", "MRF", "NITF", "RST", "SAGA", "SDTS", "SRTMHGT", "USGSDEM", "VRT", "XYZ", "Zarr", "netCDF"}

// Formats lists the formats heights usually come in, by driver name, and
// whether this build reads them.
func Formats() []Format {
	register()
	var list []Format
	for _, name := range heightFormats {
		f := Format{Driver: name}
		if d, ok := godal.RasterDriver(godal.DriverName(name)); ok {
			f.Name, f.Read = d.LongName(), true
		}
		list = append(list, f)
	}
	return list
}

// Versions gives the version of GDAL. godal does not tell that of PROJ.
func Versions() Libraries {
	v := godal.Version()
	return Libraries{GDAL: fmt.Sprintf("%d.%d.%d", v.Major(), v.Minor(), v.Revision())}
}

// gdalLog sorts what GDAL says during a call: failures become its error,
// warnings are kept.
type gdalLog struct{ failures, warnings []string }

func (l *gdalLog) handle(ec godal.ErrorCategory, _ int, msg string) error {
	switch {
	case ec >= godal.CE_Failure:
		l.failures = append(l.failures, msg)
		return errors.New(msg)
	case ec == godal.CE_Warning:
		l.warnings = append(l.warnings, msg)
	}
	return nil
}

// folders are the leading folders of an absolute name within a message.
var folders = regexp.MustCompile("(^|[\\s\"'(=`])/(?:[^/\\s\"'`]+/)+")

// said gives messages once each, sorted, without the folders of the file or of
// others: they must read the same wherever those lie.
func said(messages []string, file string) []string {
	dir := filepath.Dir(file)
	seen := map[string]bool{}
	var list []string
	for _, m := range messages {
		if dir != "." {
			m = strings.ReplaceAll(m, dir+string(filepath.Separator), "")
		}
		m = strings.Join(strings.Fields(folders.ReplaceAllString(m, "$1")), " ")
		if m != "" && !seen[m] {
			seen[m] = true
			list = append(list, m)
		}
	}
	sort.Strings(list)
	return list
}

// spoiled are words by which a warning during reading tells that cells are
// damaged although GDAL goes on and fills them with something.
var spoiled = []string{"corrupt", "premature", "truncat", "not enough data", "unexpected end", "incomplete", "short"}

func (l *gdalLog) damage() []string {
	for _, w := range l.warnings {
		for _, s := range spoiled {
			if strings.Contains(strings.ToLower(w), s) {
				return append(l.failures, w)
			}
		}
	}
	return l.failures
}

// diskFiles looks at files for the vetting: with os, inside GDAL's own local
// file systems with GDAL.
func diskFiles() files {
	return files{
		exists: func(name string) bool {
			if !strings.HasPrefix(name, "/vsi") {
				_, err := os.Stat(name)
				return err == nil
			}
			f, err := godal.VSIOpen(name, quiet())
			if err != nil {
				return false
			}
			return f.Close() == nil
		},
		open: func(name string) (io.ReadCloser, error) {
			if !strings.HasPrefix(name, "/vsi") {
				return os.Open(name)
			}
			f, err := godal.VSIOpen(name, quiet())
			if err != nil {
				return nil, err
			}
			return f, nil
		},
	}
}

// quiet takes GDAL's messages and makes failures the call's error.
func quiet() interface {
	godal.VSIOpenOption
	godal.CloseOption
	godal.GetGeoTransformOption
	godal.WKTExportOption
	godal.CreateSpatialRefOption
	godal.TransformOption
	godal.VSIUnlinkOption
} {
	return godal.ErrLogger((&gdalLog{}).handle)
}

var vrtSerial atomic.Int64

// describe gives GDAL's own description of one band as the text of a VRT: the
// only way by which godal lets the unit of the cells be seen.
func describe(ds *godal.Dataset, band int) (string, error) {
	name := fmt.Sprintf("/vsimem/drawbar_describe_%d.vrt", vrtSerial.Add(1))
	var log gdalLog
	vrt, err := ds.Translate(name, []string{"-of", "VRT", "-b", fmt.Sprint(band), "-mask", "none"}, godal.ErrLogger(log.handle))
	if err != nil {
		return "", err
	}
	if err := vrt.Close(godal.ErrLogger(log.handle)); err != nil {
		return "", err
	}
	defer godal.VSIUnlink(name, quiet()) //nolint:errcheck // memory of a few kilobytes, nothing to tell
	f, err := godal.VSIOpen(name, godal.ErrLogger(log.handle))
	if err != nil {
		return "", err
	}
	defer f.Close()
	text, err := io.ReadAll(f)
	return string(text), err
}
