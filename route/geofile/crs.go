package geofile

import (
	"fmt"
	"regexp"

	"github.com/tidwall/gjson"
)

// wgs84Names are the names of the legacy "crs" member (GeoJSON of 2008,
// dropped by RFC 7946) that say plain WGS84. The EPSG name would mean latitude
// first by its registry, but GeoJSON has always been longitude first.
var wgs84Names = regexp.MustCompile(`(?i)^(urn:ogc:def:crs:OGC:[0-9.]*:CRS84h?|OGC:CRS84h?|CRS84|` +
	`urn:ogc:def:crs:EPSG:[0-9.]*:4326|EPSG:4326)$`)

// crs checks the legacy member "crs" of an object and notes it. A linked
// system is refused, never fetched.
func (r *reader) crs(p *piece, m map[string]gjson.Result) *Error {
	const hint = "reproject to WGS84 longitude/latitude"
	c, ok := m["crs"]
	if !ok {
		return nil
	}
	switch name := c.Get("properties.name"); {
	case c.Type == gjson.Null:
		return r.at(ErrNotWGS84, `the member "crs" is null, which says that the coordinate system is unknown`,
			"leave it out if the coordinates are WGS84 longitude/latitude")
	case c.Get("type").String() == "link":
		return r.at(ErrNotWGS84, fmt.Sprintf("the coordinate system is a link to %q, which is not followed",
			shortText(c.Get("properties.href").String())), hint)
	case name.Type != gjson.String:
		return r.at(ErrNotWGS84, `the member "crs" names no coordinate system`, hint)
	case !wgs84Names.MatchString(name.String()):
		return r.at(ErrNotWGS84, fmt.Sprintf("the coordinates are in %q", shortText(name.String())), hint)
	default:
		p.fileNotes = append(p.fileNotes, fmt.Sprintf("the file carries the old member crs (%s), read as longitude, latitude",
			shortText(name.String())))
		return nil
	}
}
