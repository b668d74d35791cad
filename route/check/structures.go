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
		say, closing := "not looked for on {length} ({share} of the way): a bare line hides its bridges and tunnels", "give the way with its tags (highway, bridge, tunnel, ford), or the ways of the area with --ways; or drive it and note every structure"
		if s.Looked.Ways != "" {
			say, closing = "not looked for on {length} ({share} of the way): it follows no way of {ways}", "give a file of ways that has this road, or its tags; or drive it and note every structure"
		}
		k.Place(Finding{At: clip(b, s.Window), WorstM: b.FromM, Demand: nan, Capacity: nan, P: nan, Outcome: NotLooked,
			Say: say, Close: closing,
			Q: []Quantity{
				{Name: "ways", Text: s.Looked.Ways, Unit: Literal},
				{Name: "length", Value: clip(b, s.Window).LengthM(), Unit: Metre},
				{Name: "share", Value: total / s.Window.LengthM(), Unit: Share},
			}})
	}
}
