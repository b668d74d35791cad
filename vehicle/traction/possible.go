package traction

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// SurfaceTags are what a way says of what it is made of, OpenStreetMap values.
type SurfaceTags struct{ Highway, Surface, Tracktype, Smoothness string }

// ErrWeather is returned for a weather that is none of Dry, Wet, Snow, Ice.
var ErrWeather = errors.New("weather must be dry, wet, snow or ice")

// ofValue gives the surfaces that an OpenStreetMap surface value may mean.
// Meanings as documented in the OpenStreetMap wiki, from memory.
var ofValue = map[string]string{
	"asphalt": "asphalt", "chipseal": "asphalt", "tartan": "asphalt",
	"concrete": "concrete", "cement": "concrete",
	"paved":         "asphalt concrete paving",
	"paving_stones": "paving", "sett": "paving", "cobblestone": "paving", "unhewn_cobblestone": "paving", "bricks": "paving", "brick": "paving",
	"wood": "wood", "metal": "metal", "metal_grid": "metal",
	"compacted": "compacted", "fine_gravel": "compacted",
	"gravel": "gravel", "pebblestone": "gravel", "shells": "gravel", "stepping_stones": "gravel",
	"rock": "gravel earth", "stone": "paving gravel",
	"unpaved": "compacted gravel earth grass sand mud",
	"ground":  "gravel earth grass", "dirt": "earth", "earth": "earth", "soil": "earth", "clay": "earth mud", "woodchips": "earth grass",
	"grass": "grass", "grass_paver": "grass",
	"sand": "sand", "mud": "mud", "snow": "snow", "ice": "ice",
}

// ofTracktype by firmness, grade1 solid to grade5 soft.
var ofTracktype = map[string]string{
	"grade1": "asphalt concrete paving compacted",
	"grade2": "compacted gravel",
	"grade3": "compacted gravel earth",
	"grade4": "gravel earth grass",
	"grade5": "earth grass sand mud",
}

// ofHighway where nothing else is said. Choices.
var ofHighway = map[string]string{
	"motorway": paved, "trunk": paved, "primary": paved,
	"motorway_link": paved, "trunk_link": paved, "primary_link": paved,
	"secondary": paved + " paving", "secondary_link": paved + " paving",
	"tertiary": paved + " paving compacted", "tertiary_link": paved + " paving compacted",
	"residential": paved + " paving compacted gravel", "living_street": paved + " paving compacted gravel", "pedestrian": paved + " paving compacted gravel",
	"unclassified": paved + " paving compacted gravel earth", "service": paved + " paving compacted gravel earth", "road": paved + " paving compacted gravel earth",
	"track": "compacted gravel earth grass sand mud",
}

const (
	paved    = "asphalt concrete"
	anything = "asphalt concrete paving compacted gravel earth grass sand mud"
	soft     = "gravel earth grass sand mud"
)

// Possible returns the surfaces that a way may have in a weather, firm ones
// first. A known surface value gives what it means, without more; without one
// tracktype, then highway class give the set of what may lie there, narrowed by
// smoothness; nothing at all gives every surface: never one silent default. A
// value that is not known may be anything, and From names it; a surface with a
// tracktype that is softer throughout gives both sets.
func (t *Table) Possible(tags SurfaceTags, w Weather) ([]Surface, error) {
	if !knownWeather(w) {
		return nil, fmt.Errorf("%w, is %q", ErrWeather, w)
	}
	set, from := t.surfaceNames(tags, w)
	var out []Surface
	for _, name := range t.names {
		if !set[name] {
			continue
		}
		s, _ := t.Named(name, w)
		s.From = from
		if len(out) > 0 && out[len(out)-1].Name == s.Name {
			continue // snow and ice cover all alike
		}
		out = append(out, s)
	}
	return out, nil
}

func (t *Table) surfaceNames(tags SurfaceTags, w Weather) (map[string]bool, string) {
	set := map[string]bool{}
	var unknown []string
	for _, v := range strings.Split(tags.Surface, ";") {
		if v = strings.ToLower(strings.TrimSpace(v)); v == "" {
			continue
		}
		meant := t.meaningOf(v, w)
		if meant == "" {
			unknown = append(unknown, v)
			continue
		}
		add(set, meant)
	}
	if len(unknown) > 0 {
		add(set, anything)
		return set, fmt.Sprintf("surface=%s is not a known value: one of %d", tags.Surface, len(set))
	}
	if len(set) == 0 {
		meant, from := untagged(tags)
		add(set, meant)
		return set, fmt.Sprintf("%s: one of %d", from, len(set))
	}
	if softer := ofTracktype[tags.Tracktype]; softer != "" && t.allSofter(softer, set, w) {
		add(set, softer)
		return set, fmt.Sprintf("surface=%s and tracktype=%s contradict each other: one of %d", tags.Surface, tags.Tracktype, len(set))
	}
	return set, "surface=" + tags.Surface
}

// Known reports whether every value of a surface tag has a meaning in a weather;
// an empty one has.
func (t *Table) Known(tag string, w Weather) bool {
	for _, v := range strings.Split(tag, ";") {
		if v = strings.ToLower(strings.TrimSpace(v)); v != "" && t.meaningOf(v, w) == "" {
			return false
		}
	}
	return true
}

// Values are the values of a surface tag that have a meaning, sorted.
func (t *Table) Values() []string {
	all := map[string]bool{}
	for v := range ofValue {
		all[v] = true
	}
	for _, n := range t.names {
		all[n] = true
	}
	return slices.Sorted(maps.Keys(all))
}

// meaningOf gives the surfaces a value may mean, "" for one not known. A row of
// that very name comes first: somebody who adds a row knows the ground. Of
// concrete:plates or asphalt:lanes the head counts.
func (t *Table) meaningOf(v string, w Weather) string {
	if _, ok := t.Named(v, w); ok && slices.Contains(t.names, v) {
		return v
	}
	if meant, ok := ofValue[v]; ok {
		return meant
	}
	head, _, _ := strings.Cut(v, ":")
	return ofValue[head]
}

// allSofter reports whether every surface of words is softer than all of a set.
func (t *Table) allSofter(words string, than map[string]bool, w Weather) bool {
	built := strings.Fields(anything)
	softest := -1
	for i, n := range built {
		for m := range than {
			if m == n || !slices.Contains(built, m) && t.rollsAs(m, n, w) {
				softest = i
			}
		}
	}
	for _, n := range strings.Fields(words) {
		if slices.Index(built, n) <= softest {
			return false
		}
	}
	return true
}

// rollsAs reports whether a surface of the user rolls at least as hard as a built
// one: that is how soft it is.
func (t *Table) rollsAs(user, built string, w Weather) bool {
	u, ok := t.Named(user, w)
	b, also := t.Named(built, w)
	return ok && also && u.Roll.Design.V >= b.Roll.Design.V
}

func untagged(t SurfaceTags) (string, string) {
	meant, from := anything, "no surface, tracktype or highway"
	if v, ok := ofTracktype[t.Tracktype]; ok {
		meant, from = v, "tracktype="+t.Tracktype
	} else if v, ok := ofHighway[t.Highway]; ok {
		meant, from = v, "highway="+t.Highway+" without surface"
	} else if t.Highway != "" {
		from = "highway=" + t.Highway + " says nothing of surface"
	}
	switch t.Smoothness {
	case "excellent", "good":
		return narrow(meant, paved+" paving"), from + ", smoothness=" + t.Smoothness
	case "horrible", "very_horrible", "impassable":
		return narrow(meant, soft), from + ", smoothness=" + t.Smoothness
	}
	return meant, from
}

// narrow keeps of a set what is also in another; all of it when nothing is:
// contradicting tags narrow nothing.
func narrow(meant, to string) string {
	allowed := map[string]bool{}
	add(allowed, to)
	var kept []string
	for _, n := range strings.Fields(meant) {
		if allowed[n] {
			kept = append(kept, n)
		}
	}
	if len(kept) == 0 {
		return meant
	}
	return strings.Join(kept, " ")
}

func add(set map[string]bool, words string) {
	for _, n := range strings.Fields(words) {
		set[n] = true
	}
}
