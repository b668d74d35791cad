package main

import (
	"fmt"
	"io"
	"runtime"
	"strings"

	"drawbar/route/report"
	"drawbar/terrain"
	"drawbar/terrain/raster"
	"drawbar/vehicle/traction"

	"github.com/spf13/cobra"
)

// filesRead are the files other than rasters.
const filesRead = `routes in:   GeoJSON (RFC 7946), GeoJSON text sequence (RFC 8142),
             one GeoJSON object a line
routes out:  GeoJSON (segments)
ways in:     OpenStreetMap extract (PBF, XML), GeoJSON lines
structures:  GeoJSON points, lines, polygons; CSV with lon, lat and
             OpenStreetMap keys
reports:     text, JSON, CSV
vehicles:    YAML
rasters in:
`

func newFormats(std stdio) *cobra.Command {
	surfaces := false
	c := &cobra.Command{
		Use:   "formats",
		Short: "List what this build reads and writes",
		Example: `  drawbar formats
  drawbar formats --surfaces`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if surfaces {
				return report.Surfaces(std.out, traction.DefaultTable().Rows())
			}
			return runFormats(std)
		},
	}
	c.Flags().BoolVar(&surfaces, "surfaces", false, "print the table of grip and rolling resistance, with sources")
	return c
}

func runFormats(std stdio) error {
	var b strings.Builder
	b.WriteString(filesRead)
	for _, f := range raster.Formats() {
		can := "reads"
		if !f.Read {
			can = "not in this build"
		}
		fmt.Fprintf(&b, "  %-12s %-17s %s\n", f.Driver, can, f.Name)
	}
	b.WriteString("products for --dem-product, with the standard error of a height:\n")
	for _, p := range terrain.Products() {
		fmt.Fprintf(&b, "  %-12s %5.2f m  %s (%s)\n", p.Key, p.SEM, p.Name, p.Standing)
	}
	_, err := io.WriteString(std.out, b.String())
	return err
}

func newVersion(io stdio) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the versions of the program and its libraries",
		Example: `  drawbar version`,
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			t := tool()
			_, err := fmt.Fprintf(io.out, "drawbar %s\nGo %s %s/%s\nGDAL %s\n", t.Version, t.Go, runtime.GOOS, runtime.GOARCH, t.GDAL)
			return err
		},
	}
}

func tool() report.Tool {
	gdal := raster.Versions().GDAL
	if gdal == "" {
		gdal = "none in this build"
	}
	return report.Tool{Version: toolVersion(), Go: runtime.Version(), GDAL: gdal}
}
