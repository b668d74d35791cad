package verdict_test

import (
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
	"drawbar/terrain"
	"drawbar/vehicle"
	"drawbar/vehicle/specfile"

	"github.com/paulmach/orb"
)

// piece is a stretch of a toy road due north of 10 E 47 N: even grade, tags.
type piece struct {
	lengthM, grade float64
	tags           route.Tags
}

var (
	asphalt = route.Tags{Mapped: true, Highway: "secondary", Surface: "asphalt"}
	earth   = route.Tags{Mapped: true, Highway: "track", Surface: "earth"}
	bare    = route.Tags{}
)

func bridge(massT float64) route.Tags {
	t := asphalt
	t.Bridge = "yes"
	if massT > 0 {
		t.MaxMassKg = route.Limit{State: route.Known, Value: 1000 * massT}
	}
	return t
}

var _, northM = terrain.MetresPerDegree(47)

// toy is a road with the ground under it.
func toy(id string, pieces ...piece) (*route.Route, terrain.Func) {
	r := &route.Route{ID: id, File: "toy.geojson", Line: orb.LineString{{10, 47}}}
	at := 0.0
	for i, p := range pieces {
		at += p.lengthM
		r.Line = append(r.Line, orb.Point{10, 47 + at/northM})
		r.Pieces = append(r.Pieces, route.Piece{First: i, Last: i + 1, Tags: p.tags})
	}
	ground := terrain.Func{
		At: func(lon, lat float64) (float64, bool) {
			y := (lat - 47) * northM
			if lon < 9 || lon > 11 || y < -1e-3 || y > at+1 {
				return 0, false
			}
			z := 0.0
			for _, p := range pieces {
				l := min(y, p.lengthM)
				z += l * p.grade
				if y -= l; y <= 0 {
					break
				}
			}
			return z, true
		},
		Source: terrain.Source{Name: "toy", CellM: 10, SEM: 0.05, CorrM: 50, Notes: []string{"made for a test"}},
	}
	return r, ground
}

func load(t testing.TB, file string) *vehicle.Combination {
	t.Helper()
	c, err := specfile.Load("../../samples/" + file)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// weakEngine gives out before the grip does: such a train surely fails where a
// helper surely succeeds.
func weakEngine(t testing.TB) *vehicle.Combination {
	t.Helper()
	s, err := specfile.ReadFile("../../samples/transporter-112t.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := s.Units[0].Power
	*p.TorqueNm, *p.StartTorqueNm, *p.PowerKW = 900, 850, 150
	c, _, err := vehicle.New(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// judge has a train and, when asked, the sample helper of 40 t.
func judge(t testing.TB, train *vehicle.Combination, helped bool, ground terrain.Surface) *verdict.Judge {
	t.Helper()
	set, err := check.NewSetup(train, check.Settings{})
	if err != nil {
		t.Fatal(err)
	}
	j := &verdict.Judge{Surface: ground, Solo: set, Yard: &secondtow.Yard{}}
	if helped {
		h, err := secondtow.NewHelper(load(t, "helper-40t.yaml"), train, vehicle.Bar{RatedN: 400e3}, check.Settings{})
		if err != nil {
			t.Fatal(err)
		}
		j.Yard.Helpers = append(j.Yard.Helpers, h)
	}
	return j
}
