package loadeffect_test

import (
	"math"
	"testing"

	"drawbar/vehicle/loadeffect"
)

// FM 3-34.170 E-11 and E-10 (read); the numbers are derived in the reference note.
func TestClasses(t *testing.T) {
	for tonnes, want := range map[float64]float64{60: 57, 70: 66, 80: 75, 90: 85, 100: 94, 110: 104, 120: 113, 130: 122} {
		if got := math.Ceil(loadeffect.Expedient(1000*tonnes, false)); got != want {
			t.Errorf("%g t: class %g, want %g", tonnes, got, want)
		}
	}
	if got := loadeffect.Expedient(62000, true); math.Ceil(got) != 69 {
		t.Errorf("62 t tracked: %g", got)
	}
	for _, c := range [][3]float64{{40, 15, 49.5}, {50, 20, 70}, {30, 30, 60}} {
		if got := loadeffect.Coupled(c[0], c[1]); math.Abs(got-c[2]) > 1e-12 {
			t.Errorf("%g + %g: %g, want %g", c[0], c[1], got, c[2])
		}
	}
}

// Wheeled masses in tonnes of the reference note, 3.2: read, or derived from short
// tons.
func TestClassTable(t *testing.T) {
	rows := loadeffect.Classes()
	want := map[float64]float64{4: 4.08, 40: 42.64, 50: 52.62, 80: 83.46, 100: 104.33, 120: 125.19, 150: 156.49}
	for _, r := range rows {
		if w, ok := want[r.Class]; ok && math.Abs(r.WheeledKg/1000-w) > 0.006 {
			t.Errorf("class %g: %g t, want %g", r.Class, r.WheeledKg/1000, w)
		}
		if math.Abs(r.Tracked.LoadN/9.80665/907.18474-r.Class) > 1e-9 {
			t.Errorf("class %g tracked: %g N", r.Class, r.Tracked.LoadN)
		}
	}
	if len(rows) != 16 {
		t.Errorf("%d classes, there are 16", len(rows))
	}
	// A hypothetical tracked vehicle is of its own class at every span.
	for _, r := range rows[:15] {
		if m, _ := loadeffect.TrackedClassAt(r.Tracked.Axles(60), 30); math.Abs(m/r.Class-1) > 0.01 {
			t.Errorf("class %g classes as %g", r.Class, m)
		}
	}
}

// Largest single axles, short tons (reference note 3.3, from memory): class 60 has 23.
func TestAxleClass(t *testing.T) {
	near(t, "axle class", loadeffect.AxleClass(23*907.18474), 60)
	near(t, "between", loadeffect.AxleClass(24.25*907.18474), 65)
	if !math.IsInf(loadeffect.AxleClass(50e3), 1) {
		t.Error("50 t on an axle is beyond the table")
	}
}

// FM 5-36 C1, FM 5-170 table B-1; TM 5-5420-209-12 p. 2-92 (read).
func TestWidthsAndCrossings(t *testing.T) {
	for _, c := range [][3]float64{{12, 2.75, 5.5}, {12.2, 3.35, 5.5}, {30, 3.35, 5.5}, {60, 4, 7.3}, {94, 4.5, 8.2}} {
		w, ok := loadeffect.Width(c[0])
		if !ok || w.OneWayM != c[1] || w.TwoWayM != c[2] {
			t.Errorf("class %g: %+v", c[0], w)
		}
	}
	if w, _ := loadeffect.Width(120); w.Standing != "memory" {
		t.Error("the widest row is from memory")
	}
	if _, ok := loadeffect.Width(151); ok {
		t.Error("there is no width above class 150")
	}
	for _, c := range []struct {
		c           loadeffect.Crossing
		feet, miles float64
	}{{loadeffect.Caution, 150, 8}, {loadeffect.Risk, math.Inf(1), 3}} {
		if math.Abs(c.c.SpacingM/footM-c.feet) > 1 || math.Abs(c.c.SpeedMS/0.44704-c.miles) > 1e-9 {
			t.Errorf("%+v", c.c)
		}
	}
}
