package verdict_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

// Time and fuel are there when asked for and only then. Where the plan has a
// second tow, the way is driven in three parts and takes no less than at the
// cap; without a helper the train stands still on the ramp.
func TestMarch(t *testing.T) {
	r, ground := toy("steep", piece{800, 0, asphalt}, piece{200, 0.12, asphalt}, piece{800, 0, asphalt})
	train := weakEngine(t)
	ctx := context.Background()
	helped := judge(t, train, true, ground)
	plain, err := helped.Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if plain.Trip != nil || plain.Totals().Trip != nil {
		t.Error("time and fuel though nobody asked")
	}
	terms := &check.MarchTerms{CapMS: check.DefaultMarchMS}
	helped.March = terms
	res, err := helped.Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	trip := res.Totals().Trip
	if len(res.Plan.Assists) != 1 || trip == nil || !trip.Helped || trip.Stall != "" || math.Abs(trip.LengthM-res.Way.LengthM()) > 1e-6 {
		t.Fatalf("assists %+v, trip %+v", res.Plan.Assists, trip)
	}
	if least := trip.LengthM / terms.CapMS; !(trip.TimeS > least+20) {
		t.Errorf("%.0f s, three starts and stops at the cap alone take more than %.0f", trip.TimeS, least)
	}
	over := res.Plan.Assists[0].Over
	if !(trip.SlowestAtM >= over.FromM && trip.SlowestAtM <= over.ToM+20) {
		t.Errorf("slowest at %.0f m, the tow is %.0f to %.0f", trip.SlowestAtM, over.FromM, over.ToM)
	}
	listed := 0
	for _, a := range res.Assumed {
		if strings.HasPrefix(a.Key, "march.") {
			listed++
		}
	}
	if want := len(terms.Assumed()); listed != want || want < 8 {
		t.Errorf("%d assumptions listed of %d", listed, want)
	}
	alone := judge(t, train, false, ground)
	alone.March = terms
	res, err = alone.Route(ctx, r, verdict.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if trip := res.Trip; trip.Stall != "effort" || !(trip.StallAtM > over.FromM && trip.StallAtM < over.ToM) || trip.Helped {
		t.Errorf("alone: %+v, the tow would be %.0f to %.0f", trip, over.FromM, over.ToM)
	}
	res, err = alone.Route(ctx, r, verdict.Options{Reverse: true})
	if err != nil {
		t.Fatal(err)
	}
	if res.Trip.Stall != "" || !(res.Trip.TimeS > 0) {
		t.Errorf("the other way: %+v", res.Trip)
	}
}
