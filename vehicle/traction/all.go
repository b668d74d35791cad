package traction

import "fmt"

// Surfaces returns every surface of the table in a weather, firm ones first.
// ErrWeather for a weather that is none.
func Surfaces(w Weather) ([]Surface, error) {
	if !knownWeather(w) {
		return nil, fmt.Errorf("%w, is %q", ErrWeather, w)
	}
	var out []Surface
	for _, n := range names {
		s, ok := Named(n, w)
		if !ok || (len(out) > 0 && out[len(out)-1].Name == s.Name) {
			continue // snow and ice cover all alike
		}
		out = append(out, s)
	}
	return out, nil
}
