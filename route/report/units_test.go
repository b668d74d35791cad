package report_test

import (
	"fmt"
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/route/report"
)

// Conversions: foot 0.3048 m, mile 1609.344 m, short ton 907.18474 kg, pound-force
// 4.4482216152605 N, all exact by definition (international foot and pound,
// NIST SP 811 appendix B).
func TestFormat(t *testing.T) {
	q := func(v, se float64, u check.Unit) check.Quantity { return check.Quantity{Value: v, SE: se, Unit: u} }
	for _, c := range []struct {
		q      check.Quantity
		si, us string
	}{
		{q(0.1805, 0, check.Grade), "18.1 %", "18.1 %"},
		{q(0.1805, 0.0035, check.Grade), "18.1 % +-0.7 %", "18.1 % +-0.7 %"},
		{q(0.143, 0.046, check.Grade), "14 % +-9 %", "14 % +-9 %"},
		{q(-0.0004, 0, check.Grade), "0.0 %", "0.0 %"},
		{q(-0.0006, 0, check.Grade), "-0.1 %", "-0.1 %"},
		{q(4.3, 0, check.Metre), "4.30 m", "14.1 ft"},
		{q(4.3, 0.0255, check.Metre), "4.30 m +-0.05", "14.1 ft +-0.2"},
		{q(-7, 0.3, check.Metre), "-7.0 m +-0.6", "-23.0 ft +-1.9"},
		{q(24.9, 0, check.Metre), "24.9 m", "81.7 ft"},
		{q(124.4, 0, check.Metre), "124 m", "408.1 ft"},
		{q(1609.344, 0, check.Chain), "1.61 km", "1.00 mi"},
		{q(112000, 1030, check.Kg), "112 t +-2", "123 short tons +-2"},
		{q(907.18474*40, 0, check.Kg), "36.3 t", "40.0 short tons"},
		{q(44482.216152605, 0, check.Newton), "45 kN", "10000 lbf"},
		{q(44900.1, 0, check.Newton), "45 kN", "10100 lbf"}, // needs are rounded up
		{q(93.7, 0, check.Class), "94", "94"},               // classes too
		{q(94, 0, check.Class), "94", "94"},
		{q(172.6, 0, check.Degree), "173 deg", "173 deg"},
		{q(0.004, 0, check.Share), "under 1 %", "under 1 %"},
		{q(0, 0, check.Share), "0 %", "0 %"},
		{q(0.996, 0, check.Share), "over 99 %", "over 99 %"},
		{q(1, 0, check.Share), "100 %", "100 %"},
		{q(0.5, 0, check.Share), "50 %", "50 %"},
		{q(math.NaN(), 0, check.Share), "unknown", "unknown"},
		{q(7, 0, check.Count), "7", "7"},
		{q(math.NaN(), 1, check.Kg), "unknown", "unknown"},
		{q(math.Inf(1), 1, check.Metre), "without bound", "without bound"},
		{q(4, math.NaN(), check.Metre), "4.00 m", "13.1 ft"},
		{check.Quantity{Text: "dry earth", Unit: check.Literal}, "dry earth", "dry earth"},
	} {
		if got := report.SI.Format(c.q); got != c.si {
			t.Errorf("SI %+v: %q, want %q", c.q, got, c.si)
		}
		if got := report.US.Format(c.q); got != c.us {
			t.Errorf("US %+v: %q, want %q", c.q, got, c.us)
		}
	}
	if si, us := report.SI.Height(nan), report.US.Height(30.48); si != "unknown height" || us != "100 ft" {
		t.Errorf("heights %q, %q", si, us)
	}
}

// A template is filled once: a name that looks like a template stays itself.
func TestFill(t *testing.T) {
	qs := []check.Quantity{{Name: "name", Text: "{limit} Bridge", Unit: check.Literal}, {Name: "limit", Value: 40000, Unit: check.Kg}}
	if got := report.SI.Fill("{name}: posted mass {limit}, {other}", qs); got != "{limit} Bridge: posted mass 40.0 t, {other}" {
		t.Errorf("%q", got)
	}
}

// A half-width is 1.96 standard errors and stands behind its figure.
func ExampleUnits_Format() {
	mass := check.Quantity{Value: 112000, SE: 1030, Unit: check.Kg}
	fmt.Println(report.SI.Format(mass))
	fmt.Println(report.US.Format(mass))
	// Output:
	// 112 t +-2
	// 123 short tons +-2
}
