package osm

import (
	"math/rand/v2"
	"os"
	"testing"
)

// A real extract cut anywhere, or with bytes changed, is an error with its block or
// is read; it never ends the program.
func TestDamaged(t *testing.T) {
	needData(t)
	whole, err := os.ReadFile(data + "/network/liechtenstein-2013-08-03.osm.pbf")
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(5, 5))
	refused := 0
	for range 20 {
		at := rng.IntN(len(whole) - 1)
		if _, err := Read(write(t, "cut.pbf", whole[:at]), nil); err != nil {
			refused++
		}
	}
	if refused < 19 { // a cut between two blocks leaves a whole file
		t.Errorf("%d of 20 cut files are refused", refused)
	}
	for range 20 {
		b := append([]byte(nil), whole...)
		for range 3 {
			b[rng.IntN(len(b))] ^= byte(1 + rng.IntN(255))
		}
		_, _ = Read(write(t, "changed.pbf", b), nil) // zlib's checksum finds nearly all
	}
}
