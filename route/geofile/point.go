package geofile

import (
	"slices"
	"strings"

	"drawbar/route"
	"drawbar/route/structure"
)

// passable are barriers that need no opening. OpenStreetMap wiki, "Key:barrier"
// (memory).
var passable = []string{"", "no", "entrance", "kerb", "toll_booth_open"}

// StructureOf says what tags describe: something that stands at a place, at a node
// of a way or as a feature of a file of structures. ok is false where it is
// nothing that concerns a heavy vehicle.
func StructureOf(kv map[string]string) (f structure.Feature, notes []string, ok bool) {
	r, p := readerOf(kv)
	p.name = r.text("name")
	return structureOf(r), p.notes, structureOf(r).Kind != ""
}

func structureOf(r tagReader) structure.Feature {
	t := r.tags()
	f := structure.Feature{Name: t.Name, MaxMassKg: t.MaxMassKg, MaxAxleKg: t.MaxAxleKg, MaxBogieKg: t.MaxBogieKg, MaxHeightM: t.MaxHeightM,
		ClassWheeled: t.ClassWheeled, ClassWheeledOne: t.ClassWheeledOne, SpanM: t.SpanM, DepthM: t.DepthM, MaxWidthM: t.MaxWidthM,
		VoltageV: r.voltage(), ValidFrom: r.text("valid_from"), ValidUntil: r.text("valid_until")}
	f.Kind, f.What = kindOf(r, t)
	if f.Kind == structure.Bridge {
		f.Form, f.Material, f.Spans = structure.FormOf(t), t.BridgeMaterial, t.BridgeSpans
		f.RatedMomentNm, f.RatedShearN, f.ClearedMassKg = r.rated("rated_moment_knm", 1e3), r.rated("rated_shear_kn", 1e3), r.rated("cleared_mass_kg", 1)
	}
	if f.Kind == structure.Gate && f.MaxWidthM.State == route.Absent {
		f.MaxWidthM = t.WidthM // of a gate its opening
	}
	return f
}

// rated is a figure of an engineer or owner, a bare number above 0 in the unit that
// its key names; anything else is unreadable, never no limit.
func (r tagReader) rated(key string, scale float64) route.Limit {
	w := r.text(key)
	if w == "" {
		return route.Limit{}
	}
	if v, ok := plainNumber(w); ok && v > 0 && v < 1e7 {
		return route.Limit{State: route.Known, Value: v * scale, Raw: w}
	}
	return route.Limit{State: route.Unreadable, Raw: w}
}

// kindOf finds the kind of structure that tags mean, "" for none.
func kindOf(r tagReader, t route.Tags) (structure.Kind, string) {
	word := func(key string) string { w, _ := r.word(key); return w }
	barrier, made, rail := word("barrier"), word("man_made"), word("railway")
	switch {
	case word("hazard") != "" || word("no_go") != "" && word("no_go") != "no":
		what := strings.TrimSpace(word("hazard"))
		if what == "" {
			what = "no-go"
		}
		return structure.Area, what
	case rail == "level_crossing":
		return structure.Crossing, "level crossing"
	case t.Ford != "":
		return structure.Ford, t.Ford
	case t.Tunnel == "culvert" || made == "culvert" || word("culvert") == "yes":
		return structure.Culvert, word("waterway")
	case t.Tunnel != "" || t.Covered != "":
		return structure.Tunnel, t.Tunnel
	case word("power") != "" || word("wire") != "" && word("wire") != "no":
		if slices.Contains(append(wires, "yes"), word("power")) || word("wire") != "" {
			return structure.Wire, word("power")
		}
		return "", ""
	case barrier == "height_restrictor" || made == "gantry" || strings.HasSuffix(word("highway"), "gantry") || word("bridge:over") == "yes" || word("overhead") != "":
		what := barrier
		if what == "" {
			what = "gantry"
		}
		if word("bridge:over") == "yes" {
			what = ""
		}
		return structure.Overhead, what
	case t.Bridge != "" || made == "bridge":
		return structure.Bridge, t.Bridge
	case t.MaxHeightM != (route.Limit{}) && t.Highway == "":
		return structure.Overhead, "height limit"
	case !slices.Contains(passable, barrier):
		return structure.Gate, barrier
	case t.Highway == "" && (t.MaxMassKg != (route.Limit{}) || t.MaxWidthM != (route.Limit{}) || t.MaxAxleKg != (route.Limit{})):
		return structure.Gate, "limit"
	}
	return "", ""
}
