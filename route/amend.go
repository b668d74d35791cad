package route

// Amend is the same way with the tags of a stretch changed: legs are cut at its
// ends. The way itself stays as it is.
func (a *Alignment) Amend(at Stretch, change func(*Tags)) *Alignment {
	b := *a
	b.Legs = nil
	for _, l := range a.Legs {
		if !l.At.Overlaps(at) {
			b.Legs = append(b.Legs, l)
			continue
		}
		from, to := max(l.At.FromM, at.FromM), min(l.At.ToM, at.ToM)
		if from > l.At.FromM {
			b.Legs = append(b.Legs, Leg{At: Stretch{l.At.FromM, from}, Tags: l.Tags})
		}
		inside := Leg{At: Stretch{from, to}, Tags: l.Tags}
		change(&inside.Tags)
		b.Legs = append(b.Legs, inside)
		if to < l.At.ToM {
			b.Legs = append(b.Legs, Leg{At: Stretch{to, l.At.ToM}, Tags: l.Tags})
		}
	}
	return &b
}
