package main

import (
	"fmt"
	"runtime"

	"drawbar/route/report"
	"drawbar/terrain"
	"drawbar/terrain/raster"

	"github.com/spf13/cobra"
)

func newFormats(io stdio) *cobra.Command {
	return &cobra.Command{
		Use:     "formats",
		Short:   "List what this build reads and writes",
		Example: `  drawbar formats`,
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runFormats(io) },
	}
}

func runFormats(std stdio) error {
	fmt.Fprintln(std.out, "routes in:   GeoJSON (RFC 7946), GeoJSON text sequence (RFC 8142), newline-delimited GeoJSON")
	fmt.Fprintln(std.out, "routes out:  GeoJSON (segments)")
	fmt.Fprintln(std.out, "reports:     text, JSON, CSV")
	fmt.Fprintln(std.out, "vehicles:    YAML")
	fmt.Fprintln(std.out, "rasters in:")
	for _, f := range raster.Formats() {
		can := "reads"
		if !f.Read {
			can = "not in this build"
		}
		fmt.Fprintf(std.out, "  %-12s %-17s %s\n", f.Driver, can, f.Name)
	}
	fmt.Fprintln(std.out, "products for --dem-product, with the standard error of a height:")
	for _, p := range terrain.Products() {
		fmt.Fprintf(std.out, "  %-12s %5.2f m  %s (%s)\n", p.Key, p.SEM, p.Name, p.Standing)
	}
	return nil
}

func newVersion(io stdio) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the versions of the program and its libraries",
		Example: `  drawbar version`,
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			t := tool()
			fmt.Fprintf(io.out, "drawbar %s\nGo %s %s/%s\nGDAL %s\n", t.Version, t.Go, runtime.GOOS, runtime.GOARCH, t.GDAL)
			return nil
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
