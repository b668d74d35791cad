package valley

import (
	"math"
	"testing"
)

func dms(d, m, s float64) float64 { return math.Copysign(math.Abs(d)+m/60+s/3600, d) }

// Two points of the Australian grid: source: Geoscience Australia, GDA
// technical manual, Flinders Peak and Buninyong (GRS80, zone 55). Eastings and
// northings as PROJ gives them for the published latitudes and longitudes; the
// manual's own figures for Flinders Peak, 273741.297 and 5796489.777, are from
// memory and agree.
func TestGeographicOfPublishedPoints(t *testing.T) {
	grs80 := ellipsoid{6378137, 298.257222101}
	for _, c := range []struct {
		name             string
		east, north      float64
		lonDeg, latDeg   float64
		metresPerDegLon  float64
		metresPerDegreeN float64
	}{
		{"Flinders Peak", 273741.2966, 5796489.7769, dms(144, 25, 29.52440), dms(-37, 57, 3.72030), 87900, 111000},
		{"Buninyong", 228854.0513, 5828259.0384, dms(143, 55, 35.38390), dms(-37, 39, 10.15610), 88200, 111000},
	} {
		lon, lat := grs80.geographic(55, true, c.east, c.north)
		east, north := (lon-c.lonDeg)*c.metresPerDegLon, (lat-c.latDeg)*c.metresPerDegreeN
		if math.Abs(east) > 1e-3 || math.Abs(north) > 1e-3 {
			t.Errorf("%s: off by %.5f m east, %.5f m north, want at most 0.001 m", c.name, east, north)
		}
	}
}

// The corners of the raster: source: gdalinfo and gdaltransform of GDAL 3.6.2
// with PROJ, EPSG:32626 to EPSG:4326, printed to 1e-9 degrees.
func TestGeographicAgreesWithProj(t *testing.T) {
	for _, c := range projCorners {
		lon, lat := Geographic(c.x, c.y)
		if math.Abs(lon-c.lonDeg) > 2e-9 || math.Abs(lat-c.latDeg) > 2e-9 {
			t.Errorf("(%g, %g): %.9f %.9f, want %.9f %.9f", c.x, c.y, lon, lat, c.lonDeg, c.latDeg)
		}
	}
}

var projCorners = []struct{ x, y, lonDeg, latDeg float64 }{
	{0, 0, -26.756776439, 42.452072913},
	{2400, 0, -26.727589916, 42.452007266},
	{0, 3000, -26.756671832, 42.479090471},
	{2400, 3000, -26.727472755, 42.479024762},
	{1150, 250, -26.742782005, 42.454293850},
}
