package loadeffect_test

import (
	"flag"

	_ "pgregory.net/rapid" // has the flag before init
)

// The seed of the property tests is fixed: a run that was green stays green. rapid
// prints it when one fails; -rapid.seed=N looks elsewhere, 0 anywhere.
func init() {
	if err := flag.Set("rapid.seed", "20261125"); err != nil {
		panic(err)
	}
}
