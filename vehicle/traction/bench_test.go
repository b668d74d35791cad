package traction_test

import (
	"testing"

	"drawbar/vehicle/traction"
)

// Climb is asked once a surface and train, never once a station.
func BenchmarkClimb(b *testing.B) {
	solo := make1(b, trainA.spec())
	pair := couple(b, make1(b, helper(28000)), solo, 350e3)
	b.Run("solo", func(b *testing.B) {
		for b.Loop() {
			traction.Climb(solo, 0.3, 0.03)
		}
	})
	b.Run("coupled", func(b *testing.B) {
		for b.Loop() {
			traction.Climb(pair, 0.3, 0.03)
		}
	})
}
