package check

// looked reports where nobody looked for structures.
func looked(s *Situation, k *Sink) {
	total := 0.0
	for _, b := range s.Looked.Bare {
		if b.Overlaps(s.Window) {
			total += clip(b, s.Window).LengthM()
		}
	}
	for _, b := range s.Looked.Bare {
		if !b.Overlaps(s.Window) {
			continue
		}
		k.Place(Finding{At: clip(b, s.Window), WorstM: b.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked,
			Say:   "not looked for on {length} ({share} of the way): a bare line hides its bridges and tunnels",
			Close: "give the way with its tags (highway, bridge, tunnel, ford), or drive it and note every structure",
			Q: []Quantity{
				{Name: "length", Value: clip(b, s.Window).LengthM(), Unit: Metre},
				{Name: "share", Value: total / s.Window.LengthM(), Unit: Share},
			}})
	}
}
