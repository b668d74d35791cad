package main

import (
	"context"
	"slices"

	"drawbar/route/report"
	"drawbar/route/verdict"

	"github.com/spf13/cobra"
)

type profileOptions struct {
	ground  groundFlags
	reverse bool
	raw     bool
	beside  bool
	baseM   float64
}

func newProfile(io stdio) *cobra.Command {
	var o profileOptions
	c := &cobra.Command{
		Use:   "profile ROUTE --dem RASTER",
		Short: "Write heights and grades along a route as CSV",
		Long: `Profile writes one line a station: chainage_m, lon, lat, z_m, se_m, grade_pct,
grade_se_pct, valid, why. Heights are conditioned and carry standard errors;
bridges and tunnels tagged in the route are carried straight. With --raw it is
the bare drape: heights as sampled, grades as they differ, worst ones too steep.`,
		Example: `  drawbar profile samples/routes.geojson --dem samples/valley.tif \
    --route lakeside
  drawbar profile way.geojson --dem N47E009.hgt --raw > drape.csv`,
		Args: arguments("ROUTE", 1),
		RunE: func(c *cobra.Command, args []string) error { return runProfile(c.Context(), o, args, io) },
	}
	o.ground.add(c)
	c.Flags().BoolVar(&o.reverse, "reverse", false, "from the end of the line to its start")
	c.Flags().BoolVar(&o.raw, "raw", false, "the bare drape, without estimate and without errors")
	c.Flags().BoolVar(&o.beside, "beside", false, "add crossfall, the ground beyond both edges and the hillside's cross slope")
	c.Flags().Float64Var(&o.baseM, "base", 20, "base of the grade in `METRES`")
	return c
}

func runProfile(ctx context.Context, o profileOptions, args []string, std stdio) error {
	surface, err := o.ground.open()
	if err != nil {
		return err
	}
	defer surface.Close()
	list, _, err := readRoutes(args, std.in, o.ground.route)
	if err != nil {
		return err
	}
	r, err := one(list)
	if err != nil {
		return err
	}
	j := &verdict.Judge{Surface: surface, Profile: o.ground.profile()}
	if j.Readings, err = o.ground.readings(list); err != nil {
		return err
	}
	if err = o.ground.lookIn(j, list, std); err != nil {
		return err
	}
	d, err := j.Drape(ctx, r, o.reverse)
	if err != nil {
		return err
	}
	for _, s := range surface.Sources() {
		note(std, s.Name, s.Notes)
	}
	note(std, r.ID, slices.Concat(r.Notes, d.Notes))
	return report.Profile(std.out, d, report.ProfileOptions{BaseM: o.baseM, Raw: o.raw, Beside: o.beside})
}
