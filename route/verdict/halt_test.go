package verdict_test

import (
	"context"
	"math"
	"testing"

	"drawbar/route/check"
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
)

// The last halt before a stretch: brute force over all stations finds none nearer
// that is level, clear of structures and lets the train start again.
func TestHalts(t *testing.T) {
	r, ground := toy("halts", piece{600, 0, asphalt}, piece{200, 0.08, asphalt}, piece{40, 0, bridge(0)}, piece{300, 0, asphalt}, piece{400, 0.22, asphalt}, piece{300, 0, asphalt})
	j := judge(t, load(t, "transporter-112t.yaml"), false, ground)
	res, err := j.Route(context.Background(), r, verdict.Options{Keep: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(res.Halts) < 2 {
		t.Fatalf("halts %+v of segments %+v, findings %+v", res.Halts, res.Segments, res.Findings)
	}
	s := res.Situation
	for _, h := range res.Halts {
		if h.NoReturnM() < 20 || !(h.StartP >= check.PassAt) || math.Abs(h.Grade) > secondtow.LevelRatio {
			t.Errorf("halt %+v", h)
		}
		for i, c := range s.Profile.ChainageM {
			if c <= h.AtM || c > h.Before-20 {
				continue
			}
			on := false
			for _, p := range s.Structures {
				on = on || (p.At.FromM < c && c-s.Train.LengthM < p.At.ToM)
			}
			if !on && math.Abs(s.TrainGrade.Value[i]) <= secondtow.LevelRatio && s.StartChance(i) >= check.PassAt {
				t.Errorf("before %.0f m the train may stop at %.0f m, later than %.0f", h.Before, c, h.AtM)
			}
		}
	}
}
