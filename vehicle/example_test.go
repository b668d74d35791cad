package vehicle_test

import (
	"fmt"

	"drawbar/vehicle"
)

func ExampleNew() {
	kg := func(v float64) *float64 { return &v }
	c, assumed, err := vehicle.New(vehicle.Spec{
		Kind: "helper", Name: "recovery truck",
		Units: []vehicle.UnitSpec{{
			Kind: "rigid", MassKg: kg(24000), FrontMassKg: kg(9000),
			Axles: []vehicle.AxleSpec{{AtM: kg(0)}, {AtM: kg(4.5), Driven: new(true)}},
			Power: &vehicle.PowerSpec{PowerKW: kg(330)},
		}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range c.Axles {
		fmt.Printf("%.1f m behind the front: %.0f kg\n", a.AtM, a.Kg)
	}
	fmt.Printf("taken: %s = %.1f %s (%s)\n", assumed[2].Key, assumed[2].Value, assumed[2].Unit, assumed[2].Standing)
	fmt.Println("overhead lacks", c.Lacks("overhead"))
	// Output:
	// 0.0 m behind the front: 9000 kg
	// 4.5 m behind the front: 15000 kg
	// taken: units[0].cg_height_m = 1.4 m (choice)
	// overhead lacks units[0].height_m
}

func ExampleCombination_Statics() {
	c, _, err := vehicle.New(trainA.spec())
	if err != nil {
		fmt.Println(err)
		return
	}
	s := c.Statics(0.10, 0.015, 0)
	fmt.Printf("pull needed %.2f kN, at the kingpin %.2f kN\n", s.NeedN/1e3, s.HitchH[1]/1e3)
	fmt.Printf("front group %.2f kN, adhesion used %.3f\n", s.GroupN[0][0]/1e3, s.GripUse)
	// Output:
	// pull needed 125.68 kN, at the kingpin 94.67 kN
	// front group 133.89 kN, adhesion used 0.285
}
