package route_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"drawbar/route"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

func line(pts ...orb.Point) *route.Route {
	return &route.Route{ID: "t", Line: pts, Pieces: []route.Piece{{First: 0, Last: len(pts) - 1}}}
}

func mustAlign(t testing.TB, r *route.Route) *route.Alignment {
	t.Helper()
	a, err := route.Align(r)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestKarney holds Distance against the twenty lines of GeographicLib's
// geodtest.cpp (tolerance there 1e-8 m).
func TestKarney(t *testing.T) {
	f, err := os.Open("../testdata/geodtest20.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	cr := csv.NewReader(f)
	cr.Comment = '#'
	rows, err := cr.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 21 {
		t.Fatalf("got %d rows, want a head and 20 lines", len(rows))
	}
	for _, row := range rows[1:] {
		v := make([]float64, len(row))
		for i, s := range row {
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		got := route.Distance(orb.Point{v[1], v[0]}, orb.Point{v[4], v[3]})
		if math.Abs(got-v[6]) > 1e-8 {
			t.Errorf("%v: got %.10f m, want %.10f m", row, got, v[6])
		}
	}
}

// TestFlindersPeak is the worked example of Geoscience Australia (GRS80, which
// differs from WGS84 by less than 1e-6 m here): 54 972.271 m.
func TestFlindersPeak(t *testing.T) {
	dms := func(d, m, s float64) float64 { return d + m/60 + s/3600 }
	fp := orb.Point{dms(144, 25, 29.52440), -dms(37, 57, 3.72030)}
	bu := orb.Point{dms(143, 55, 35.38390), -dms(37, 39, 10.15610)}
	if d := route.Distance(fp, bu); math.Abs(d-54972.271) > 5e-4 {
		t.Errorf("got %.4f m, want 54972.271 m", d)
	}
}

// TestVincenty runs Vincenty 1975, Table II, through the library that
// Distance rests on, on Vincenty's own ellipsoids, to his printed millimetre.
func TestVincenty(t *testing.T) {
	dms := func(d, m, s float64) float64 { return d + m/60 + s/3600 }
	bessel := geodesic.NewEllipsoid(6377397.155, 1/299.1528128)
	intl := geodesic.NewEllipsoid(6378388, 1/297.0)
	tests := []struct {
		name                string
		e                   *geodesic.Ellipsoid
		lat1, lat2, l, want float64
	}{
		{"a", bessel, dms(55, 45, 0), -dms(33, 26, 0), dms(108, 13, 0), 14110526.170},
		{"b", intl, dms(37, 19, 54.95367), dms(26, 7, 42.83946), dms(41, 28, 35.50729), 4085966.703},
		{"c", intl, dms(35, 16, 11.24862), dms(67, 22, 14.77638), dms(137, 47, 28.31435), 8084823.839},
		{"d", intl, 1, -dms(0, 59, 53.83076), dms(179, 17, 48.02997), 19960000.000},
		{"e", intl, 1, dms(1, 1, 15.18952), dms(179, 46, 17.84244), 19780006.558},
	}
	for _, tt := range tests {
		var s float64
		tt.e.Inverse(tt.lat1, 0, tt.lat2, tt.l, &s, nil, nil)
		if math.Abs(s-tt.want) > 1e-3 {
			t.Errorf("line %s: got %.4f m, want %.3f m", tt.name, s, tt.want)
		}
	}
}

// TestLocalFormula measures the bound that localMaxM states.
func TestLocalFormula(t *testing.T) {
	worst := 0.0
	for _, lat := range []float64{-84.9, -69.9, -30, 0, 15, 45, 60, 69.9, 75, 84.9} {
		for az := 0.0; az < 360; az += 15 {
			for _, d := range []float64{0.04, 1, 10, 50, 99.9} {
				var lat2, lon2, want float64
				geodesic.WGS84.Direct(lat, 10, az, d, &lat2, &lon2, nil)
				p, q := orb.Point{10, lat}, orb.Point{lon2, lat2}
				geodesic.WGS84.Inverse(lat, 10, lat2, lon2, &want, nil, nil)
				worst = max(worst, math.Abs(route.Distance(p, q)-want))
			}
		}
	}
	t.Logf("worst error of the local formula: %.2e m", worst)
	if worst > 1e-8 {
		t.Errorf("worst error %.2e m, stated 1e-8 m", worst)
	}
}

func TestTurn(t *testing.T) {
	a := mustAlign(t, line(orb.Point{10, 47}, orb.Point{10, 47.001}, orb.Point{10.001, 47.001}))
	if got := a.TurnRad[1] * 180 / math.Pi; math.Abs(got+90) > 0.01 {
		t.Errorf("north then east turns %.3f degrees, want -90 (right)", got)
	}
	if got := a.Reverse().TurnRad[1] * 180 / math.Pi; math.Abs(got-90) > 0.01 {
		t.Errorf("reversed it turns %.3f degrees, want +90 (left)", got)
	}
}

// TestAntimeridian: a line over 180 degrees, written continuous, is as long as
// the same line elsewhere.
func TestAntimeridian(t *testing.T) {
	over := mustAlign(t, line(orb.Point{179.999, 10}, orb.Point{180.001, 10})).LengthM()
	here := mustAlign(t, line(orb.Point{19.999, 10}, orb.Point{20.001, 10})).LengthM()
	if math.Abs(over-here) > 1e-6 {
		t.Errorf("got %.6f m over 180 degrees, %.6f m elsewhere", over, here)
	}
}

func TestReverse(t *testing.T) {
	r := line(orb.Point{10, 47}, orb.Point{10.01, 47.003}, orb.Point{10.02, 47}, orb.Point{10.02, 47.02})
	r.Pieces = []route.Piece{{First: 0, Last: 2, Tags: route.Tags{Surface: "gravel", InclineRatio: route.Limit{Value: 0.08, State: route.Known}}}, {First: 2, Last: 3}}
	a := mustAlign(t, r)
	b := a.Reverse()
	if got := b.Legs[1].Tags; got.Surface != "gravel" || got.InclineRatio.Value != -0.08 {
		t.Errorf("reversed leg has %+v", got)
	}
	c := b.Reverse()
	for i := range a.ChainageM {
		if math.Abs(a.ChainageM[i]-c.ChainageM[i]) > 1e-9 || a.TurnRad[i] != c.TurnRad[i] {
			t.Errorf("vertex %d: twice reversed is not the same", i)
		}
	}
	if c.Reversed || !b.Reversed {
		t.Error("Reversed does not say which way")
	}
}

func TestAlignRefuses(t *testing.T) {
	for name, r := range map[string]*route.Route{
		"no length": line(orb.Point{10, 47}, orb.Point{10, 47}),
		"NaN":       line(orb.Point{10, 47}, orb.Point{math.NaN(), 47}),
		"one point": line(orb.Point{10, 47}),
	} {
		if _, err := route.Align(r); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestPlane measures the bound that Plane states against the geodesic.
func TestPlane(t *testing.T) {
	r := line(orb.Point{10, 47}, orb.Point{10.03, 47.01}, orb.Point{10.05, 47.04})
	a := mustAlign(t, r)
	p := a.Plane(route.Stretch{FromM: 0, ToM: a.LengthM()})
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += math.Hypot(p[i][0]-p[i-1][0], p[i][1]-p[i-1][1])
	}
	if rel := math.Abs(sum/a.LengthM() - 1); rel > 2e-5 {
		t.Errorf("plane length is %.2e off", rel)
	}
}

func TestLegsIn(t *testing.T) {
	r := line(orb.Point{10, 47}, orb.Point{10.01, 47}, orb.Point{10.02, 47}, orb.Point{10.03, 47})
	r.Pieces = []route.Piece{{First: 0, Last: 1, Tags: route.Tags{Name: "a"}}, {First: 1, Last: 2, Tags: route.Tags{Name: "b"}}, {First: 2, Last: 3, Tags: route.Tags{Name: "c"}}}
	a := mustAlign(t, r)
	mid := a.ChainageM[1]
	for _, tt := range []struct {
		s    route.Stretch
		want string
	}{
		{route.Stretch{FromM: 0, ToM: mid}, "a"},
		{route.Stretch{FromM: mid - 1, ToM: mid + 1}, "ab"},
		{route.Stretch{FromM: 0, ToM: a.LengthM()}, "abc"},
		{route.Stretch{FromM: a.LengthM(), ToM: a.LengthM()}, "c"},
		{route.Stretch{FromM: mid, ToM: mid}, "b"},
	} {
		got := ""
		for _, l := range a.LegsIn(tt.s) {
			got += l.Tags.Name
		}
		if got != tt.want {
			t.Errorf("%v: got %q, want %q", tt.s, got, tt.want)
		}
	}
}

func ExampleAlign() {
	r := &route.Route{ID: "quay", Line: orb.LineString{{-27, 40}, {-27, 40.001}, {-26.999, 40.001}},
		Pieces: []route.Piece{{First: 0, Last: 2}}}
	a, err := route.Align(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("length %.2f m, turn at vertex 2 %.1f degrees\n", a.LengthM(), a.TurnRad[1]*180/math.Pi)
	// Output: length 196.43 m, turn at vertex 2 -90.0 degrees
}

func TestAzimuth(t *testing.T) {
	a := mustAlign(t, line(orb.Point{10, 47}, orb.Point{10, 47.001}, orb.Point{10.001, 47.001}))
	deg := func(r float64) float64 { return math.Mod(r*180/math.Pi+360, 360) }
	for _, tt := range []struct {
		a       *route.Alignment
		s, want float64
	}{{a, 50, 0}, {a, a.LengthM() - 5, 90}, {a.Reverse(), 5, 270}, {a.Reverse(), a.LengthM() - 5, 180}} {
		if got := deg(tt.a.Azimuth(tt.s)); math.Abs(got-tt.want) > 0.01 {
			t.Errorf("at %.0f m (reversed %v): %.3f degrees, want %.0f", tt.s, tt.a.Reversed, got, tt.want)
		}
	}
}
