package traction_test

import (
	"fmt"

	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func train112() *vehicle.Combination {
	c, _, err := vehicle.New(trainA.spec())
	if err != nil {
		panic(err)
	}
	return c
}

func ExampleClimb() {
	l := traction.Climb(train112(), 0.30, 0.03)
	fmt.Printf("climbs %.2f %%, decided by %s\n", 100*l.GradeRatio, l.Decides)
	fmt.Printf("pull needed there %.1f kN, engine gives %.1f kN in %s\n", l.NeedN/1e3, l.EffortN/1e3, l.Gear)
	// Output:
	// climbs 9.16 %, decided by grip
	// pull needed there 132.9 kN, engine gives 481.0 kN in low 1
}

func ExampleStart() {
	l := traction.Start(train112(), 0.45, 0.012, traction.DefaultStart())
	fmt.Printf("starts on %.1f %%, decided by %s\n", 100*l.GradeRatio, l.Decides)
	// Output:
	// starts on 15.3 %, decided by grip
}

func ExampleShortfall() {
	a := traction.Shortfall(train112(), 0.12, 0.30, 0.03)
	fmt.Printf("lacks %.2f kN at the bar: a helper of %.2f t at least\n", a.BarN/1e3, a.MinHelperKg/1e3)
	// Output:
	// lacks 31.24 kN at the bar: a helper of 21.39 t at least
}

func ExampleTable_Possible() {
	set, err := traction.DefaultTable().Possible(traction.SurfaceTags{Highway: "track", Tracktype: "grade3"}, traction.Wet)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range set {
		fmt.Printf("%s: adhesion %.2f (%s)\n", s.Name, s.Mu.Design.V, s.Mu.Design.Standing)
	}
	// Output:
	// compacted: adhesion 0.40 (read)
	// gravel: adhesion 0.40 (read)
	// earth: adhesion 0.20 (derived)
}
