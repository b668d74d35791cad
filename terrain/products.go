package terrain

import "math"

// Product is a published elevation product with the error its makers or
// others state.
type Product struct {
	Key      string // what the user names it by
	Name     string
	SEM      float64 // standard error of a height relative to its neighbourhood, metres
	Kind     Kind
	Source   string
	Standing string // read: the figure was read in the source; memory: from memory, unverified
	// CE90M is the published horizontal error, 90 % circular, metres; 0 where
	// none is known. CE90Source says where it stands.
	CE90M                    float64
	CE90Source, CE90Standing string
}

const glo30CE90 = "CE90 under 6 m (product specification as quoted by a distributor)"

// Products is the table of known products, sorted by key. Where a product
// states a relative (point to point) LE90, SEM is FromRelativeLE90 of it: the
// part of the error that tilts a road. Where only an absolute figure is known
// SEM is that of the absolute error, which is the larger. Where figures differ
// by slope of the ground, that of steep ground is taken: roads that decide
// anything are on slopes. No product publishes a correlation length that
// holds at the size of a road.
func Products() []Product {
	return []Product{
		{"alos", "ALOS AW3D30", 5.40, KindSurfaceModel,
			"RMSE 5.40 m against GPS in Nigeria (JGIS 2019, abstract); absolute", "read", 0, "", ""},
		{"aster", "ASTER GDEM v2/v3", 8.7, KindSurfaceModel,
			"RMSE 8.5 to 8.7 m worldwide (memory, unverified); 20.03 m in Nigeria (JGIS 2019, abstract, read); absolute", "memory", 0, "", ""},
		{"dted1", "DTED level 1", FromRelativeLE90(20), KindUnknown,
			"relative LE90 20 m (memory, unverified); absolute LE90 30 m (NOAA GLOBE report, read)", "memory", 0, "", ""},
		{"dted2", "DTED level 2", FromRelativeLE90(15), KindUnknown,
			"relative LE90 15 m on slopes over 20 % (memory, unverified)", "memory", 0, "", ""},
		{"glo30", "Copernicus DEM GLO-30 on slopes over 20 %", FromRelativeLE90(4), KindSurfaceModel,
			"relative LE90 under 4 m on slopes over 20 % (product specification as quoted by a distributor)", "read", 6, glo30CE90, "read"},
		{"glo30-flat", "Copernicus DEM GLO-30 on slopes up to 20 %", FromRelativeLE90(2), KindSurfaceModel,
			"relative LE90 under 2 m on slopes up to 20 % (product specification as quoted by a distributor)", "read", 6, glo30CE90, "read"},
		{"lidar-ql2", "airborne lidar, USGS quality level 2", 0.10, KindTerrainModel,
			"RMSE 0.10 m on open ground (memory, unverified); absolute", "memory", 0, "", ""},
		{"srtm", "SRTM 1 and 3 arc seconds", FromRelativeLE90(10), KindSurfaceModel,
			"relative LE90 10 m (MIL-PRF-89020B 3.10.9.4)", "read", 20, "CE90 20 m (MIL-PRF-89020B 3.10.9.4)", "read"},
	}
}

func productKeys() []string {
	var keys []string
	for _, p := range Products() {
		keys = append(keys, p.Key)
	}
	return keys
}

// byCell is the error taken for a raster nobody names, by its cell size. The
// steps are a choice: each is the error of the poorer of the products usual
// at that cell size. A cell size that is not known takes the coarsest.
func byCell(cellM float64) Product {
	for _, c := range []struct {
		upToM, seM float64
		like       string
	}{
		{3, 0.3, "cells up to 3 m: as photogrammetry or older lidar, 0.3 m"},
		{12, 1.5, "cells of 3 to 12 m: as national models of mixed origin, 1.5 m"},
		{150, FromRelativeLE90(10), "cells of 12 to 150 m: as SRTM, relative LE90 10 m"},
		{math.Inf(1), FromRelativeLE90(20), "cells over 150 m: as DTED level 1, relative LE90 20 m"},
	} {
		if cellM > 0 && cellM <= c.upToM {
			return Product{SEM: c.seM, Kind: KindUnknown, Source: "product not named; " + c.like}
		}
	}
	return Product{SEM: FromRelativeLE90(20), Kind: KindUnknown, Source: "product and cell size not known; as DTED level 1, relative LE90 20 m"}
}
