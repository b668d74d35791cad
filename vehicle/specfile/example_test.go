package specfile_test

import (
	"fmt"
	"strings"

	"drawbar/vehicle/specfile"
)

func ExampleRead() {
	_, err := specfile.Read(strings.NewReader("kind: helper\nunits:\n  - mass: 24000\n    with_m: 2.6\n"), "helper.yaml")
	fmt.Println(err)
	// Output:
	// helper.yaml:3:5: units[0]: unknown key "mass"; did you mean mass_kg?
	// helper.yaml:4:5: units[0]: unknown key "with_m"; did you mean width_m?
}
