package loadeffect

import "math"

// shortTonKg is one short ton, 2000 lb, exact.
const shortTonKg = 907.18474

// Expedient is the load class of a vehicle by its gross mass, kg, not rounded;
// signs are rounded up. Wheeled: 0.85 of its short tons, FM 3-34.170 E-11
// (read). Tracked: its short tons (read at second hand).
func Expedient(grossKg float64, tracked bool) float64 {
	class := grossKg / shortTonKg
	if !tracked {
		class *= 0.85
	}
	return class
}

// coupledFrom: two vehicles count with their sum from here on, with
// coupledShare of it below. FM 3-34.170 E-10 (read).
const (
	coupledFrom  = 60
	coupledShare = 0.9
	// CoupledWithinM is the distance within which the rule holds, 100 ft.
	CoupledWithinM = 30.48
)

// Coupled is the class of two vehicles that tow each other within 100 ft and are
// not made to work as one, a helper on the bar. The rule is for class numbers.
func Coupled(a, b float64) float64 {
	if a+b < coupledFrom {
		return coupledShare * (a + b)
	}
	return a + b
}

// WidthRow is the least width of roadway of a load class.
type WidthRow struct {
	UpTo             float64 // class
	OneWayM, TwoWayM float64
	Standing         string
}

// widths: FM 5-36 C1 and FM 5-170 table B-1 (read); the last row from memory.
var widths = []WidthRow{
	{12, 2.75, 5.50, "read"},
	{30, 3.35, 5.50, "read"},
	{60, 4.00, 7.30, "read"},
	{100, 4.50, 8.20, "read"},
	{150, 5.00, 9.80, "memory"},
}

// Width is the row of a class; false above class 150.
func Width(class float64) (WidthRow, bool) {
	for _, w := range widths {
		if math.Ceil(class-1e-9) <= w.UpTo {
			return w, true
		}
	}
	return WidthRow{}, false
}

// Crossing is a way to cross, as a driver is told it. TM 5-5420-209-12 p. 2-92
// (read); the speed of the normal crossing is from memory.
type Crossing struct {
	Name     string
	SpacingM float64 // between vehicles; +Inf: one vehicle on the bridge
	SpeedMS  float64
	Say      string
	After    string // what must follow before others may cross
}

// The three crossings. Caution needs the owner's caution class, a risk crossing
// stands only on standard prefabricated bridges with a published risk class.
var (
	Normal  = Crossing{"normal", 30.48, 40 / 3.6, "keep the spacing, brake and shift as little as possible", ""}
	Caution = Crossing{"caution", 45.72, 8 * 0.44704, "on the centreline, no stopping, braking, shifting or turning", ""}
	Risk    = Crossing{"risk", math.Inf(1), 3 * 0.44704, "alone on the bridge, on the centreline, no stopping, braking, shifting or turning", "an engineer inspects the whole bridge before more traffic"}
)

// CautionFactor is the caution class of a nonstandard fixed bridge over its normal
// one-way class, FM 5-170, from memory: it never decides.
const CautionFactor = 1.25

// ClassRow is a hypothetical vehicle of the load class table.
type ClassRow struct {
	Class        float64
	Tracked      Patch // its length from memory
	WheeledKg    float64
	Standing     string  // of the wheeled mass
	SingleAxleKg float64 // from memory
}

// Analytical is a class by effects: at every span the class of the hypothetical
// vehicle with the same moment, and with the same shear; the largest of all.
type Analytical struct {
	Class float64 // not rounded; +Inf beyond class 150
	SpanM float64 // where it is largest
	Shear bool    // by shear
	// Family says what it was compared with; Standing how far that can be trusted.
	Family, Standing string
}

// TrackedClass compares with the tracked family: the wheeled family's axle
// spacings are not known, and short spans see a wheeled train's axles. Lengths of
// track are from memory, so the class is unverified and decides nothing.
func TrackedClass(t Train) Analytical {
	out := Analytical{Family: "tracked", Standing: "memory"}
	for _, span := range ClassSpansM {
		m, v := TrackedClassAt(t, span)
		if m > out.Class {
			out.Class, out.SpanM, out.Shear = m, span, false
		}
		if v > out.Class {
			out.Class, out.SpanM, out.Shear = v, span, true
		}
	}
	return out
}

// ClassSpansM are its spans, 10 to 100 m: on shorter ones than a track is long (20 ft)
// a wheeled train's single axles stand against a part of a track, which is no class.
// [AxleClass] looks at those.
var ClassSpansM = []float64{10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100}

// AxleClass is the class whose largest single axle is as heavy, kg; +Inf beyond the
// table. The column is from memory.
func AxleClass(axleKg float64) float64 {
	return classOf(Classes(), axleKg, func(r *ClassRow) float64 { return r.SingleAxleKg })
}

// TrackedClassAt is that class at one span, by moment and by shear.
func TrackedClassAt(t Train, spanM float64) (moment, shear float64) {
	e := Simple(t, spanM)
	rows := Classes()
	return classOf(rows, e.MomentNm, func(r *ClassRow) float64 { return r.Tracked.Simple(spanM).MomentNm }),
		classOf(rows, e.ShearN, func(r *ClassRow) float64 { return r.Tracked.Simple(spanM).ShearN })
}

// classOf interpolates between the rows; below the first in proportion.
func classOf(rows []ClassRow, have float64, of func(*ClassRow) float64) float64 {
	lastClass, last := 0.0, 0.0
	for i := range rows {
		v := of(&rows[i])
		if have <= v {
			if v == last {
				return lastClass
			}
			return lastClass + (rows[i].Class-lastClass)*(have-last)/(v-last)
		}
		if v > last {
			lastClass, last = rows[i].Class, v
		}
	}
	return math.Inf(1)
}
