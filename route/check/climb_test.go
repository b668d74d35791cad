package check_test

import (
	"math"
	"slices"
	"testing"

	"drawbar/route"
	"drawbar/route/check"
	"drawbar/vehicle"
	"drawbar/vehicle/traction"
)

func square(x float64) float64 { return x * x }

// byHand gives the largest grade on a surface and its standard errors on either
// side, from the physics alone: one thing moved at a time, added in squares, the
// ends of the ranges taken as 5 % and 95 % points.
func byHand(c *vehicle.Combination, su traction.Surface) (grade, below, above float64) {
	l := traction.Climb(c, su.Mu.Design.V, su.Roll.Design.V)
	move := func(mu, f float64) float64 {
		return (traction.Climb(c, mu, f).GradeRatio - l.GradeRatio) / 1.645
	}
	mu, f := su.Mu.Design.V, su.Roll.Design.V
	below = math.Hypot(move(su.Mu.Low.V, f), move(mu, su.Roll.High.V))
	above = math.Hypot(move(su.Mu.High.V, f), move(mu, su.Roll.Low.V))
	if l.Decides == traction.Effort {
		engine := 0.05 * l.EffortN / (c.GrossKg * vehicle.G) * math.Pow(1+square(l.GradeRatio), 1.5) // 5 % of the pull, sine to tangent
		below, above = math.Hypot(below, engine), math.Hypot(above, engine)
	}
	// The load one standard error heavier; the trailer is the only loaded unit.
	h := *c
	h.Units = slices.Clone(c.Units)
	h.Units[1].MassKg += c.Units[1].LoadSEKg
	mass := traction.Climb(&h, mu, f).GradeRatio - l.GradeRatio
	below, above = math.Hypot(below, mass), math.Hypot(above, mass)
	return l.GradeRatio, below, above
}

func weakEngine(s *vehicle.Spec) {
	p := s.Units[0].Power
	*p.TorqueNm, *p.StartTorqueNm, *p.PowerKW = 900, 500, 150
}

func TestClimb(t *testing.T) {
	for _, c := range []struct {
		name, surface string
		change        func(*vehicle.Spec)
		decides       string
	}{
		{"grip on asphalt", "asphalt", func(*vehicle.Spec) {}, traction.Grip},
		{"grip on gravel", "gravel", func(*vehicle.Spec) {}, traction.Grip},
		{"effort on concrete", "concrete", weakEngine, traction.Effort},
	} {
		t.Run(c.name, func(t *testing.T) {
			set := setup(t, check.Settings{}, c.change)
			su, _ := traction.DefaultTable().Named(c.surface, traction.Dry)
			grade, below, above := byHand(set.Train, su)
			tags := route.Tags{Mapped: true, Surface: c.surface}
			on := onRamp(t, set, grade, straight(tags, 500)...)
			pass, fail := on.Climb(1).Pass, on.Climb(1).Fail // TestChanceAgainstDraws checks what they are
			if !(grade-2*below < pass && pass < grade && grade < fail && fail < grade+2*above) {
				t.Errorf("passes up to %.4f, fails from %.4f, design %.4f (-%.4f +%.4f)", pass, fail, grade, below, above)
			}
			const step = 1e-4
			for _, d := range []struct {
				demand float64
				want   check.Outcome
			}{
				{pass - step, check.Pass},
				{pass + step, check.Undecided},
				{grade - step, check.Undecided},
				{grade + step, check.Undecided},
				{fail - step, check.Undecided},
				{fail + step, check.Fail},
			} {
				fs := of(run(onRamp(t, set, d.demand, straight(tags, 500)...)), "climb")
				if d.want == check.Pass {
					if len(fs) != 0 {
						t.Errorf("%.4f: %v, want none", d.demand, fs)
					}
					continue
				}
				if len(fs) != 1 || fs[0].Outcome != d.want {
					t.Fatalf("%.4f: %v, want one %v", d.demand, fs, d.want)
				}
				f := fs[0]
				se := below
				if f.Demand > grade {
					se = above
				}
				if math.Abs(f.Capacity-grade) > 1e-12 || math.Abs(f.Demand-d.demand) > 1e-12 {
					t.Errorf("capacity %v, demand %v; want %v, %v", f.Capacity, f.Demand, grade, d.demand)
				}
				if math.Abs(f.SE-se) > 1e-12 {
					t.Errorf("SE %v; by hand %v", f.SE, se)
				}
				if q := quantity(t, f, "what"); q.Text != c.decides {
					t.Errorf("%s decides, want %s", q.Text, c.decides)
				}
				if f.At.FromM != 0 || math.Abs(f.At.ToM-500) > 0.1 {
					t.Errorf("at %v, want all of the ramp", f.At)
				}
			}
		})
	}
}

// An untagged surface passes on the worst it may be and fails on the best.
func TestClimbOnUnknownGround(t *testing.T) {
	set := setup(t, check.Settings{})
	worst, best := mastered(t, set, "asphalt"), mastered(t, set, "concrete")
	primary := route.Tags{Mapped: true, Highway: "primary"} // asphalt or concrete
	concrete := onRamp(t, set, best.Climb, straight(route.Tags{Mapped: true, Surface: "concrete"}, 400)...).Climb(1)
	for _, c := range []struct {
		name   string
		demand float64
		want   check.Outcome
	}{
		{"passes on the worst", worst.ClimbPass - 1e-4, check.Pass},
		{"too steep for the worst only", worst.ClimbPass + 1e-3, check.Undecided},
		{"would fail on the worst", best.ClimbPass, check.Undecided},
		{"not sure to fail on the best", concrete.Fail - 1e-3, check.Undecided},
		{"fails on the best", concrete.Fail + 1e-4, check.Fail},
	} {
		fs := run(onRamp(t, set, c.demand, straight(primary, 400)...))
		if got := worstOf(fs, "climb"); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A bare line steeper than roads are built rather hides a structure.
func TestClimbTooSteepForARoad(t *testing.T) {
	set := setup(t, check.Settings{})
	bare := run(onRamp(t, set, 0.6, straight(route.Tags{}, 400)...))
	if f := of(bare, "climb"); len(f) != 1 || f[0].Outcome != check.NotLooked || f[0].Remedy != check.NoRemedy {
		t.Errorf("bare line: %v", f)
	}
	mapped := run(onRamp(t, set, 0.6, straight(asphalt, 400)...))
	if got := worstOf(mapped, "climb"); got != check.Fail {
		t.Errorf("mapped way: %v, want fail", got)
	}
}

// The steps at a place are those of the same run: what --explain shows is the
// finding, bit for bit.
func TestExplainIsTheSameRun(t *testing.T) {
	set := setup(t, check.Settings{})
	hills := func(y float64) float64 { return 55 * math.Sin(y/250) }
	full := of(run(onHills(t, set, hills, straight(asphalt, 2000)...)), "climb")
	if len(full) == 0 {
		t.Fatal("the hills are too low for this test")
	}
	for _, f := range full {
		s := onHills(t, set, hills, straight(asphalt, 2000)...)
		s.Window = route.Stretch{FromM: f.WorstM - 1, ToM: f.WorstM + 1}
		k := check.Sink{Explain: true}
		check.Run(s, &k)
		got := of(k.Findings, "climb")
		if len(got) != 1 {
			t.Fatalf("%d findings in the window", len(got))
		}
		g := got[0]
		if g.Demand != f.Demand || g.Capacity != f.Capacity || g.SE != f.SE || g.P != f.P || g.WorstM != f.WorstM {
			t.Errorf("window %+v\nfull   %+v", g, f)
		}
		last := map[string]float64{}
		for _, st := range k.Steps {
			if st.Check == "climb" {
				last[st.Name] = st.Value
			}
		}
		if last["P(capacity >= demand)"] != f.P || last["grade under the train"] != f.Demand || last["largest grade"] != f.Capacity {
			t.Errorf("steps %v\nfinding %+v", last, f)
		}
	}
}

// A climb allocates nothing for a station that passes.
func TestClimbAllocatesNothingPerStation(t *testing.T) {
	set := setup(t, check.Settings{})
	perRun := func(lengthM float64, name string) float64 {
		s := onRamp(t, set, 0.02, straight(asphalt, lengthM)...)
		for i := range check.List {
			if check.List[i].Name == name {
				var k check.Sink
				return testing.AllocsPerRun(20, func() { check.List[i].Run(s, &k) })
			}
		}
		t.Fatal(name)
		return 0
	}
	for _, name := range []string{"void", "climb", "start"} {
		short, long := perRun(200, name), perRun(20000, name)
		t.Logf("%s: %v allocations over 20 stations, %v over 2000", name, short, long)
		// 1980 stations more: an allocation at each hundredth would be 20. A few a run
		// come and go with the collector (the race detector empties pools at random).
		if long-short > 10 {
			t.Errorf("%s: %v allocations over 20 stations, %v over 2000", name, short, long)
		}
	}
}

func surface(t *testing.T, name string) traction.Surface {
	t.Helper()
	su, ok := traction.DefaultTable().Named(name, traction.Dry)
	if !ok {
		t.Fatal(name)
	}
	return su
}
