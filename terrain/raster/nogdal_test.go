//go:build !cgo

package raster

import (
	"errors"
	"strings"
	"testing"
)

func TestWithoutGDAL(t *testing.T) {
	r, err := Open("dem.tif", Options{})
	if r != nil || !errors.Is(err, ErrNoGDAL) || !strings.Contains(err.Error(), "CGO_ENABLED=1") {
		t.Errorf("%v", err)
	}
	if s, err := OpenAll([]string{"dem.tif"}, Options{}); s != nil || !errors.Is(err, ErrNoGDAL) {
		t.Errorf("%v", err)
	}
	if len(Formats()) != 0 || Versions() != (Libraries{}) {
		t.Error("formats or versions without GDAL")
	}
}
