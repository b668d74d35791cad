package valley

import (
	"fmt"
	"slices"
)

// Valley is the whole scenario, the same on every call of [Make].
type Valley struct {
	Roads  []*Road
	Routes []Route
	// Cells holds the raster, rows from north to south, Cols a row: heights in
	// steps of ScaleM above OffsetM, or Void.
	Cells []int16
}

// Route is one way from the recovery point to the depot.
type Route struct {
	ID   string
	Legs []Leg
}

// Leg is a part of a route on one road, in the road's direction.
type Leg struct {
	Road       *Road
	FromM, ToM float64 // chainages on the road
}

// LengthM is the length of the route on the map grid, metres.
func (r Route) LengthM() float64 {
	sum := 0.0
	for _, l := range r.Legs {
		sum += l.ToM - l.FromM
	}
	return sum
}

// File is one file of the scenario.
type File struct {
	Name string // base name
	Data []byte
}

// Make builds the valley, in about two seconds. An error is a fault of the
// design in this package, never of the caller.
func Make() (*Valley, error) {
	roads, err := build(designs)
	if err != nil {
		return nil, err
	}
	v := &Valley{Roads: roads}
	for _, t := range trips {
		r := Route{ID: t.id}
		for k, l := range t.legs {
			leg, err := v.leg(t.legs[:k], l)
			if err != nil {
				return nil, fmt.Errorf("route %q: %w; correct its legs", t.id, err)
			}
			r.Legs = append(r.Legs, leg)
		}
		v.Routes = append(v.Routes, r)
	}
	v.Cells = raster(roads)
	return v, nil
}

// leg finds where a leg begins (where the leg before it ends) and ends.
func (v *Valley) leg(before []leg, l leg) (Leg, error) {
	road := v.road(l.road)
	if road == nil {
		return Leg{}, fmt.Errorf("no road %q", l.road)
	}
	out := Leg{Road: road, ToM: road.LengthM}
	if n := len(before); n > 0 && before[n-1].until == "" {
		p := v.road(before[n-1].road).endAt
		if p == nil || p.road != road {
			return Leg{}, fmt.Errorf("%q does not end on %q", before[n-1].road, l.road)
		}
		out.FromM = p.chainageM
	}
	if l.until == "" {
		return out, nil
	}
	next := v.road(l.until)
	if next == nil || next.startAt == nil || next.startAt.road != road {
		return Leg{}, fmt.Errorf("%q does not leave %q", l.until, l.road)
	}
	out.ToM = next.startAt.chainageM
	return out, nil
}

// road is the road of the name, nil if there is none.
func (v *Valley) road(name string) *Road {
	i := slices.IndexFunc(v.Roads, func(r *Road) bool { return r.Name == name })
	if i < 0 {
		return nil
	}
	return v.Roads[i]
}

// Files is every file of the scenario, in order of name.
func (v *Valley) Files() []File {
	return []File{
		{"routes.geojson", collection(v.routeFeatures())},
		{"valley.tif", geotiff(v.Cells)},
		{"ways.geojson", collection(v.wayFeatures())},
	}
}

// Geographic is the longitude and latitude (degrees, WGS84) of the point x
// metres east and y metres north of the raster's south-west corner.
func Geographic(x, y float64) (lonDeg, latDeg float64) {
	return wgs84.geographic(Zone, false, WestM+x, SouthM+y)
}
