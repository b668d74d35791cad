package raster

import (
	"bufio"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
)

func TestUnitSpellings(t *testing.T) {
	for s, want := range map[string]float64{
		"m": 1, "metre": 1, "Meters": 1, "[m]": 1, "METRE ": 1,
		"ft": 0.3048, "feet": 0.3048, "Foot (International)": 0.3048, "foot": 0.3048,
		"us-ft": 1200.0 / 3937, "US survey foot": 1200.0 / 3937, "US_survey_foot": 1200.0 / 3937, "ftUS": 1200.0 / 3937,
		"cm": 0.01, "dm": 0.1,
	} {
		if u, ok := spelled(s); !ok || u.metres != want {
			t.Errorf("%q: %v %v, want %v", s, u, ok, want)
		}
	}
	for _, s := range []string{"", "furlong", "degrees", "K", "m/s", "1"} {
		if u, ok := spelled(s); ok {
			t.Errorf("%q taken for %v", s, u)
		}
	}
}

func TestHeightUnit(t *testing.T) {
	ftUS := &wktUnit{"US survey foot", 0.304800609601219}
	for _, c := range []struct {
		name, user, band string
		axis             *wktUnit
		want             string
		assumed, err     bool
	}{
		{"nothing said", "", "", nil, "unknown (taken as m)", true, false},
		{"band", "", "ft", nil, "ft", false, false},
		{"axis", "", " ", ftUS, "US survey ft", false, false},
		{"band and axis agree", "", "US survey foot", ftUS, "US survey ft", false, false},
		{"band and axis differ", "", "m", ftUS, "", false, true},
		{"user settles it", "m", "furlong", ftUS, "m", false, false},
		{"band unknown", "", "furlong", nil, "", false, true},
		{"user unknown", "yd", "m", nil, "", false, true},
		{"axis of an odd unit", "", "", &wktUnit{"fathom", 1.8288}, "fathom", false, false},
		{"axis without a factor", "", "", &wktUnit{"m", math.NaN()}, "", false, true},
	} {
		u, assumed, err := heightUnit(c.user, c.band, c.axis)
		if u.name != c.want || assumed != c.assumed || (err != nil) != c.err || (err != nil && !errors.Is(err, ErrUnit)) {
			t.Errorf("%s: %v, assumed %v, %v", c.name, u, assumed, err)
		}
	}
}

const (
	wgs84WKT = `GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433],AUTHORITY["EPSG","4326"]]`
	utmWKT   = `PROJCS["a ""quoted"" name",GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],PROJECTION["Transverse_Mercator"],UNIT["metre",1]]`
)

func TestReadCRS(t *testing.T) {
	vert := func(axis string) string {
		return `COMPD_CS["x",` + wgs84WKT + `,VERT_CS["NAVD88 height (ftUS)",VERT_DATUM["North American Vertical Datum 1988",2005],UNIT["US survey foot",0.304800609601219],AXIS["Height",` + axis + `]]]`
	}
	for _, c := range []struct {
		name, wkt string
		want      crs
	}{
		{"WGS84", wgs84WKT, crs{label: "EPSG:4326", horizontal: wgs84WKT, turn: 360, wgs84: true}},
		{"projected without a code", utmWKT, crs{label: `a "quoted" name`, horizontal: utmWKT}},
		{"compound", vert("UP"), crs{label: "EPSG:4326", horizontal: wgs84WKT, turn: 360, wgs84: true,
			datum: "North American Vertical Datum 1988", axis: &wktUnit{"US survey foot", 0.304800609601219}}},
		{"depths", vert("DOWN"), crs{label: "EPSG:4326", horizontal: wgs84WKT, turn: 360, wgs84: true, down: true,
			datum: "North American Vertical Datum 1988", axis: &wktUnit{"US survey foot", 0.304800609601219}}},
	} {
		got, ok := readCRS(c.wkt)
		if !ok || (got.axis == nil) != (c.want.axis == nil) || got.axis != nil && *got.axis != *c.want.axis {
			t.Errorf("%s: %+v", c.name, got)
		}
		got.axis, c.want.axis = nil, nil
		if got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	grads, _ := readCRS(strings.Replace(wgs84WKT, "0.0174532925199433", "0.015707963267949", 1))
	if grads.wgs84 || math.Abs(grads.turn-400) > 1e-9 {
		t.Errorf("grads: %+v", grads)
	}
	for _, bad := range []string{"", "EPSG:4326", `GEOGCS["WGS 84"`, `A["x"]]`, `A["x]`, `COMPD_CS["x",` + wgs84WKT + `]`, strings.Repeat("A[", 1e5), `A[1,]]`} {
		if got, ok := readCRS(bad); ok {
			t.Errorf("%q understood as %+v", clip(bad), got)
		}
	}
}

func FuzzParseWKT(f *testing.F) {
	f.Add(wgs84WKT)
	f.Add(utmWKT)
	f.Add(`A["b""",C(1),2]`)
	f.Fuzz(func(t *testing.T, s string) {
		if n, ok := parseWKT(s); ok && n.text != strings.TrimSpace(s) {
			t.Errorf("%q read as %q", s, n.text)
		}
		readCRS(s)
	})
}

// textFiles is a disk of texts.
func textFiles(m map[string]string) files {
	return files{
		exists: func(n string) bool { _, ok := m[n]; return ok },
		open: func(n string) (io.ReadCloser, error) {
			s, ok := m[n]
			if !ok {
				return nil, errors.New("no such file")
			}
			return io.NopCloser(strings.NewReader(s)), nil
		},
	}
}

func vrtOf(sources ...string) string {
	s := `<VRTDataset rasterXSize="9" rasterYSize="9"><VRTRasterBand dataType="Int16" band="1">`
	for _, name := range sources {
		s += `<SimpleSource><SourceFilename relativeToVRT="1">` + name + `</SourceFilename></SimpleSource>`
	}
	return s + `</VRTRasterBand></VRTDataset>`
}

func TestVet(t *testing.T) {
	disk := map[string]string{
		"a.tif": "II*", "sub/b.tif": "II*", "secret": "root:x:0:0", "/vsizip/z.zip/c.tif": "II*", "vsi photos/d.tif": "II*",
		"good.vrt":    vrtOf("a.tif", "sub/b.tif"),
		"nested.vrt":  vrtOf("good.vrt", "a.tif"),
		"sub/up.vrt":  vrtOf("../a.tif"),
		"zip.vrt":     vrtOf("/vsizip/z.zip/c.tif"),
		"self.vrt":    vrtOf("./self.vrt"),
		"m1.vrt":      vrtOf("m2.vrt"),
		"m2.vrt":      vrtOf("a.tif", "m1.vrt"),
		"missing.vrt": vrtOf("a.tif", "gone.tif"),
		"empty.vrt":   vrtOf(),
		"curl.vrt":    vrtOf("/vsicurl/http%3A//example.org/a.tif"),
		"s3.vrt":      vrtOf("/vsis3/bucket/a.tif"),
		"gzs3.vrt":    vrtOf("/vsigzip//vsis3_streaming/bucket/a.tif"),
		"http.vrt":    vrtOf("https://example.org/a.tif"),
		"stdin.vrt":   vrtOf("/vsistdin/"),
		"inline.vrt":  vrtOf("&lt;GDAL_WMS&gt;&lt;/GDAL_WMS&gt;"),
		"deepcurl":    vrtOf("sub/x.vrt"),
		"sub/x.vrt":   vrtOf("/vsicurl/ftp/a.tif"),
		"raw.vrt": `<VRTDataset rasterXSize="9" rasterYSize="9"><VRTRasterBand dataType="Byte" band="1" subClass="VRTRawRasterBand">` +
			`<SourceFilename relativetoVRT="1">secret</SourceFilename></VRTRasterBand></VRTDataset>`,
		"python.vrt": `<VRTDataset><VRTRasterBand subClass="VRTDerivedRasterBand"><PixelFunctionLanguage>Python</PixelFunctionLanguage></VRTRasterBand></VRTDataset>`,
		"warped.vrt": `<VRTDataset subClass="VRTWarpedDataset"><GDALWarpOptions><SourceDataset relativeToVRT="1">a.tif</SourceDataset></GDALWarpOptions></VRTDataset>`,
		"entity.vrt": `<!DOCTYPE V [<!ENTITY b "x">]><VRTDataset><SRS>&b;</SRS></VRTDataset>`,
		"cut.vrt":    `<VRTDataset rasterXSize=`,
		"grid.asc":   "ncols 2\nnrows 2\nxllcorner 9.5\nyllcorner 47\ncellsize 0.1\nNODATA_value -9999\n1 2.5\n-3e2 nan\n",
		"comma.asc":  "ncols 2\nnrows 2\nxllcorner 9.5\nyllcorner 47\ncellsize 0.1\n1,5 2,5\n3 4\n",
		"head.asc":   "ncols 2\nnrows 2\nxllcorner 9,5\nyllcorner 47\ncellsize 0.1\n1 2\n3 4\n",
		"word.asc":   "ncols 2\nnrows 2\nxllcorner 9.5\nyllcorner 47\ncellsize 0.1\n1 2\n3 void\n",
		"long.asc":   "ncols 2\n" + strings.Repeat("9", 1e5),
	}
	for name, want := range map[string]error{
		"a.tif": nil, "good.vrt": nil, "nested.vrt": nil, "sub/up.vrt": nil, "zip.vrt": nil, "warped.vrt": nil, "grid.asc": nil,
		"/vsizip/z.zip/c.tif": nil, `NETCDF:"a.tif":z`: nil, "HDF5:a.tif://data": nil, "vsi photos/d.tif": nil,
		"none.tif": ErrNotFound, `NETCDF:"none.nc":z`: ErrNotFound, "PG:host=example": ErrNotFound,
		"missing.vrt": ErrRead,
		"self.vrt":    ErrRefused, "m1.vrt": ErrRefused, "curl.vrt": ErrRefused, "s3.vrt": ErrRefused, "gzs3.vrt": ErrRefused,
		"http.vrt": ErrRefused, "stdin.vrt": ErrRefused, "inline.vrt": ErrRefused, "raw.vrt": ErrRefused, "python.vrt": ErrRefused,
		"deepcurl": ErrRefused, "/vsicurl/http/x": ErrRefused, "https://example.org/a.tif": ErrRefused, "vrt://a.tif?bands=1": ErrRefused,
		"<VRTDataset/>": ErrRefused, "/vsizip//vsicurl/x.zip/c.tif": ErrRefused, "/VSIS3/bucket/a": ErrRefused,
		"empty.vrt": ErrNoHeights, "comma.asc": ErrNoHeights, "head.asc": ErrNoHeights, "word.asc": ErrNoHeights, "long.asc": ErrNoHeights,
		"entity.vrt": ErrNotRaster, "cut.vrt": ErrNotRaster,
	} {
		if err := vet(name, textFiles(disk)); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", name, err, want)
		}
	}
}

func TestVetNamesTheLineOfAnASCIIGrid(t *testing.T) {
	err := vetASCII(bufio.NewReader(strings.NewReader("ncols 2\nnrows 2\ncellsize 1\n1 2\n3 4,5\n")))
	if err == nil || !strings.Contains(err.Error(), `line 5 holds "4,5"`) {
		t.Errorf("%v", err)
	}
}

func FuzzVet(f *testing.F) {
	f.Add(vrtOf("a.tif"))
	f.Add("ncols 2\nnrows 2\n1 2\n")
	f.Fuzz(func(t *testing.T, s string) {
		err := vet("x", textFiles(map[string]string{"x": s, "a.tif": "II*"}))
		if err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
	})
}
