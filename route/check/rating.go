package check

import "drawbar/vehicle"

// rating asks about axles that carry more than the file says they may, or may
// do so with the errors of masses in mind.
func rating(s *Situation, k *Sink) {
	count, worst, unrated := 0, -1, 0
	var p, most float64
	loads := s.Train.Statics(0, 0, 0)
	for i, a := range s.Train.Axles {
		if !(a.RatedKg > 0) {
			unrated++
			continue
		}
		kg, _ := ratedLoad(&loads, i)
		c := chance(kg, a.RatedKg, kg*s.relAxle(i))
		if judge(c) == Pass {
			continue
		}
		count++
		if over := kg - a.RatedKg; worst < 0 || c < p || (c == p && over > most) {
			worst, p, most = i, c, over
		}
	}
	if count > 0 {
		k.Place(s.overRating(count, worst, p))
	}
	if unrated > 0 {
		heaviest, _ := s.heaviestAxle()
		f := standing(s, "{count} axles have no rating in the file; the heaviest of all carries {kg}", "give {field} for every axle, from its plate or the maker", 1)
		f.Q = append(f.Q, Quantity{Name: "count", Value: float64(unrated), Unit: Count}, Quantity{Name: "kg", Value: heaviest, Unit: Kg},
			Quantity{Name: "field", Text: s.Train.Lacks("rating"), Unit: Literal})
		k.Place(f)
	}
	unladen(s, k)
}

// ratedLoad is what of an axle counts against its rating, and the side that makes
// it so, "" where both carry alike: a rating is of both sides, and each bears half
// of it.
func ratedLoad(f *vehicle.Forces, i int) (kg float64, side string) {
	kg = f.AxleN[i] / vehicle.G
	for k, name := range [2]string{"left", "right"} {
		if n := 2 * f.SideN[i][k] / vehicle.G; n > kg*(1+1e-9) {
			kg, side = n, name
		}
	}
	return kg, side
}

func (s *Situation) overRating(count, worst int, p float64) Finding {
	a := s.Train.Axles[worst]
	loads := s.Train.Statics(0, 0, 0)
	kg, side := ratedLoad(&loads, worst)
	se := kg * s.relAxle(worst)
	f := Finding{At: s.Window, WorstM: s.Window.FromM, Demand: kg, Capacity: a.RatedKg, SE: se, P: p, PBest: p, Unit: Kg, Outcome: judge(p), Rests: s.massRests(),
		Say:   "{count} axles may carry more than their rating in the file; axle {axle} of {unit} carries {kg}, rated {rated}",
		Close: "weigh the axles: passes with every one within its rating",
		Q: []Quantity{{Name: "count", Value: float64(count), Unit: Count}, {Name: "axle", Value: float64(worst - s.Train.Units[a.Unit].First + 1), Unit: Count},
			{Name: "unit", Text: s.Train.Units[a.Unit].Name, Unit: Literal},
			{Name: "kg", Value: kg, SE: se, Unit: Kg}, {Name: "rated", Value: a.RatedKg, Unit: Kg}}}
	if count == 1 {
		f.Say = "axle {axle} of {unit} may carry more than its rating in the file: {kg}, rated {rated}"
	}
	if f.Outcome == Fail { // of the train, not of the way: no detour puts it right
		f.Outcome, f.P, f.PBest = NotLooked, nan, nan
		f.Say = "{count} axles carry more than their rating in the file; axle {axle} of {unit} carries {kg}, rated {rated}"
		if count == 1 {
			f.Say = "axle {axle} of {unit} carries more than its rating in the file: {kg}, rated {rated}"
		}
		f.Close = "move or lighten the load, or get the maker's word: passes with every axle within its rating"
	}
	if side != "" {
		f.Say += "; counted is twice its {side} side, which carries {half}"
		f.Q = append(f.Q, Quantity{Name: "side", Text: side, Unit: Literal}, Quantity{Name: "half", Value: kg / 2, SE: se / 2, Unit: Kg})
	}
	return f
}

// unladen says that the file has no load: what is checked is then the way of an
// empty train.
func unladen(s *Situation, k *Sink) {
	for i := range s.Train.Units {
		if s.Train.Units[i].LoadKg > 0 {
			return
		}
	}
	k.Place(standing(s, "the train carries no load: this is its way empty", "give the load in the transporter's file, or read this as the way out", 1))
}
