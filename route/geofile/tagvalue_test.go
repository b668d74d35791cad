package geofile_test

import (
	"math"
	"strings"
	"testing"

	"drawbar/route"
	"drawbar/route/geofile"
)

const (
	absent     = route.Absent
	none       = route.None
	known      = route.Known
	unreadable = route.Unreadable
)

// Values marked "wiki" follow the OpenStreetMap wiki, "Key:maxweight",
// "Key:maxheight" and "Map features/Units" as noted in the project's reference
// on bridges, section 5 (read); kilograms and metres by the exact pound and foot.
var massTable = []struct {
	in    string
	state route.LimitState
	kg    float64
}{
	{"7.5", known, 7500},             // wiki
	{"8 st", known, 7257.47792},      // wiki: 7257.478
	{"25100 lbs", known, 11385.1685}, // wiki: 11385.168
	{"3500 kg", known, 3500},         // wiki
	{"12t", known, 12000},            // common slip, tolerated
	{"12 t", known, 12000},
	{"3500kg", known, 3500},
	{" 18 ", known, 18000},
	{"2 lt", known, 2032.0938176},
	{"30 cwt", known, 1524.0703632}, // long hundredweight, memory
	{"10000", known, 1e7},

	{"none", none, 0}, {"no", none, 0}, {"unlimited", none, 0},
	{"", absent, 0}, {"default", absent, 0}, {"no_sign", absent, 0}, {"unsigned", absent, 0},
	{"no_indications", absent, 0}, {"unknown", absent, 0},

	{"below_default", unreadable, 0}, {"0,6", unreadable, 0}, {"10 T", unreadable, 0}, {"10T", unreadable, 0},
	{"1e3", unreadable, 0}, {"-5", unreadable, 0}, {"+5", unreadable, 0}, {"NaN", unreadable, 0},
	{"Inf", unreadable, 0}, {"0", unreadable, 0}, {"12 to", unreadable, 0}, {"3 persons", unreadable, 0},
	{"26T mgw", unreadable, 0}, {"10 short tons", unreadable, 0}, {"13000 lb", unreadable, 0},
	{"8000 pounds", unreadable, 0}, {".3.5", unreadable, 0}, {".5", unreadable, 0}, {"7.", unreadable, 0},
	{"7.5 except loading", unreadable, 0}, {"agricultural", unreadable, 0}, {"7.5;12", unreadable, 0},
	{"9.2 @ (axles=2); 13.8 @ (axles=3)", unreadable, 0}, {"8  st", unreadable, 0}, {"8\u00a0t", unreadable, 0},
	{"8st", unreadable, 0}, {"12 m", unreadable, 0}, {"10000.1", unreadable, 0}, {"yes", unreadable, 0},
	{strings.Repeat("9", 500), unreadable, 0}, {"１２", unreadable, 0}, {"0x10", unreadable, 0}, {"1_000", unreadable, 0},
}

func TestParseMassKg(t *testing.T) {
	for _, c := range massTable {
		checkLimit(t, c.in, geofile.ParseMassKg(c.in), c.state, c.kg, 1e-3)
	}
}

func TestParseLengthM(t *testing.T) {
	for _, c := range []struct {
		in    string
		state route.LimitState
		m     float64
	}{
		{`16'8"`, known, 5.08},   // wiki
		{`6'7"`, known, 2.0066},  // wiki
		{`8'`, known, 2.4384},    // wiki
		{"16 ft", known, 4.8768}, // wiki
		{"350 cm", known, 3.5},   // wiki
		{"3.5", known, 3.5}, {"3.5 m", known, 3.5}, {"3.5m", known, 3.5}, {"0.5 km", known, 500},
		{"1 mi", known, 1609.344}, {`6'7.5"`, known, 2.0193},
		{"none", none, 0}, {"default", absent, 0}, {"no_indications", absent, 0},
		{"below_default", unreadable, 0}, {`13'13"`, unreadable, 0}, {"7ft6in", unreadable, 0},
		{`16' 8"`, unreadable, 0}, {`16'8`, unreadable, 0}, {`6.5'8"`, unreadable, 0}, {`80"`, unreadable, 0},
		{"16’8”", unreadable, 0}, {"3,5", unreadable, 0}, {"4.0-4.5", unreadable, 0}, {"-4", unreadable, 0},
		{"0", unreadable, 0}, {"'", unreadable, 0}, {"10001", unreadable, 0}, {`1e2'`, unreadable, 0}, {"7 mi", unreadable, 0},
	} {
		checkLimit(t, c.in, geofile.ParseLengthM(c.in), c.state, c.m, 1e-9)
	}
	checkLimit(t, "0", geofile.ParseDepthM("0"), known, 0, 0)
	checkLimit(t, "0.4", geofile.ParseDepthM("0.4"), known, 0.4, 0)
}

func TestParseIncline(t *testing.T) {
	for _, c := range []struct {
		in    string
		state route.LimitState
		ratio float64
	}{
		{"10%", known, 0.10}, {"-8 %", known, -0.08}, {"+4.5%", known, 0.045}, {"0%", known, 0},
		{"5°", known, math.Tan(5 * math.Pi / 180)}, {"-5 °", known, -math.Tan(5 * math.Pi / 180)},
		{"100%", known, 1}, {"", absent, 0}, {"unknown", absent, 0},
		{"up", unreadable, 0}, {"down", unreadable, 0}, {"10", unreadable, 0}, {"1:10", unreadable, 0},
		{"10 %%", unreadable, 0}, {"120%", unreadable, 0}, {"89°", unreadable, 0}, {"none", unreadable, 0},
		{"--5%", unreadable, 0}, {"8‰", unreadable, 0}, {"steep", unreadable, 0}, {"1e1%", unreadable, 0},
	} {
		checkLimit(t, c.in, geofile.ParseIncline(c.in), c.state, c.ratio, 1e-12)
	}
}

func TestParseClass(t *testing.T) {
	for _, c := range []struct {
		in    string
		state route.LimitState
		class float64
	}{
		{"80", known, 80}, {"150", known, 150}, {"none", none, 0}, {"", absent, 0},
		{"0", unreadable, 0}, {"151", unreadable, 0}, {"80 t", unreadable, 0}, {"W80", unreadable, 0}, {"80/100", unreadable, 0},
	} {
		checkLimit(t, c.in, geofile.ParseClass(c.in), c.state, c.class, 0)
	}
}

func checkLimit(t *testing.T, in string, got route.Limit, state route.LimitState, want, tol float64) {
	t.Helper()
	if got.State != state || math.Abs(got.Value-want) > tol {
		t.Errorf("%q: state %d value %v, want state %d value %v", in, got.State, got.Value, state, want)
	}
	if in != "" && got.Raw == "" {
		t.Errorf("%q: the text is lost", in)
	}
}

// A value has one meaning whatever its length, and only plain figures are known.
func FuzzParseValues(f *testing.F) {
	for _, c := range massTable {
		f.Add(c.in)
	}
	f.Add(`16'8"`)
	f.Add("-8 %")
	f.Fuzz(func(t *testing.T, s string) {
		for name, l := range map[string]route.Limit{
			"mass": geofile.ParseMassKg(s), "length": geofile.ParseLengthM(s), "class": geofile.ParseClass(s),
		} {
			if l.State != known {
				if l.Value != 0 {
					t.Errorf("%s %q: a value %v without being known", name, s, l.Value)
				}
				continue
			}
			if !(l.Value > 0) || l.Value > 1e7 {
				t.Errorf("%s %q: known as %v", name, s, l.Value)
			}
			if strings.ContainsAny(s, "eE-+,;@") {
				t.Errorf("%s %q: read as %v", name, s, l.Value)
			}
		}
	})
}
