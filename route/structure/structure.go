// Package structure places what stands on or over a way in chainage: bridges,
// tunnels, fords by the route's own tags ([Place]), and the decks of other ways
// that cross over it ([Around.Over]).
package structure

import (
	"cmp"
	"slices"
	"strings"

	"drawbar/route"
)

// Kind is what stands there.
type Kind string

// Kinds of structure.
const (
	Bridge Kind = "bridge" // the way runs over it
	Tunnel Kind = "tunnel" // the way runs through or under it: tunnel, gallery, deck over the way
	Ford   Kind = "ford"
	// Overhead is a deck of another way over this one.
	Overhead Kind = "overhead"
	// Gate is a barrier on the way: gate, bollard, cattle grid.
	Gate Kind = "gate"
	// Crossing is a level crossing with a railway.
	Crossing Kind = "crossing"
	// Wire is a line on masts over the way.
	Wire Kind = "wire"
	// Culvert is a watercourse in a pipe under the way.
	Culvert Kind = "culvert"
	// Unbridged is a watercourse or railway that the way crosses, and nothing says
	// how.
	Unbridged Kind = "unbridged"
	// Area is a piece of land to keep out of, or with a danger.
	Area Kind = "area"
)

// Feature is one structure with what is known of it. Limits keep the four
// states of route.Limit: a missing figure is not "no limit".
type Feature struct {
	Kind   Kind
	Name   string
	Source string // "route tags", a file of structures, the ways of a file
	What   string // what it is, as its tag has it: "lift_gate", "river"; may be empty
	// Differs are the limits on which two sources differ, one sentence each; the
	// stricter one counts.
	Differs []string

	MaxMassKg       route.Limit
	MaxAxleKg       route.Limit
	MaxBogieKg      route.Limit
	MaxHeightM      route.Limit
	ClassWheeled    route.Limit // two-way
	ClassWheeledOne route.Limit // one-way
	SpanM           route.Limit // largest
	DepthM          route.Limit

	// Of a bridge. Form is what carries it, [Form] of bridge:structure; Material
	// the word of its source.
	Form     Form
	Material string
	Spans    int         // 0 when not known
	LengthM  route.Limit // of the structure, between its ends
	// RatedMomentNm and RatedShearN are what an engineer rates one lane of its
	// largest span for, static, above its own weight: nobody else's figure.
	RatedMomentNm, RatedShearN route.Limit
	// ClearedMassKg is the gross mass its owner grants this train, in writing.
	ClearedMassKg route.Limit

	MaxWidthM route.Limit
	VoltageV  float64 // of a wire; 0 when not known
	// ValidFrom and ValidUntil are dates as the source has them; empty: always.
	ValidFrom, ValidUntil string
}

// Form is what carries a bridge; empty when not known.
type Form string

// Forms that limit what can be computed of a bridge. All others keep the word of
// their source.
const (
	FormArch    Form = "arch"
	FormCulvert Form = "culvert"
	FormTimber  Form = "timber"
)

// FormOf reads the words of bridge, bridge:structure, tunnel and material as
// OpenStreetMap has them.
func FormOf(t route.Tags) Form {
	switch {
	case strings.Contains(t.BridgeStructure, "arch"):
		return FormArch
	case t.Bridge == "culvert" || t.Tunnel == "culvert" || strings.Contains(t.BridgeStructure, "culvert"):
		return FormCulvert
	case strings.Contains(t.BridgeMaterial, "wood") || strings.Contains(t.BridgeMaterial, "timber"), t.BridgeStructure == "log", t.Bridge == "boardwalk":
		return FormTimber
	}
	return Form(t.BridgeStructure)
}

// Placed is a structure on a way.
type Placed struct {
	Feature *Feature
	At      route.Stretch
}

// Looked says on which part of the way structures were looked for.
type Looked struct {
	// MappedM is the length whose source describes the way itself, so that a
	// bridge on it would have been tagged.
	MappedM float64
	// OverM is the length of the way with ways of the area near it, which were
	// looked through for bridges over it.
	OverM float64
	// Bare are the stretches where nobody looked.
	Bare []route.Stretch
	// Sources say where was looked, each with its share of the length.
	Sources []Source
	// Ways names the file of ways that a bare line was matched to; empty without.
	Ways string
	// Notes say how well the line follows them.
	Notes []string
}

// Source is one thing that was looked through for structures.
type Source struct {
	Name    string // "route tags", the name of a file
	For     string // what it was looked through for
	LengthM float64
}

// Place finds the structures of a way in its own tags. Neighbouring legs of one
// kind are one structure where they say the same of its limits: a bridge is often
// split where another tag changes. Where they do not, each stands for itself: a
// limit of one piece says nothing of the next.
func Place(a *route.Alignment) ([]Placed, Looked) {
	var out []Placed
	var looked Looked
	for _, l := range a.Legs {
		if l.Tags.Mapped {
			looked.MappedM += l.At.LengthM()
		} else {
			looked.Bare = join(looked.Bare, l.At)
		}
		for _, k := range []Kind{Bridge, Tunnel, Ford} {
			if tagOf(l.Tags, k) == "" {
				continue
			}
			out = place(out, k, l)
		}
	}
	return out, looked
}

// tagOf is the raw tag that makes a leg a structure of a kind, empty if none.
func tagOf(t route.Tags, k Kind) string {
	switch k {
	case Bridge:
		return t.Bridge
	case Tunnel:
		return Under(t)
	default:
		return t.Ford
	}
}

// Under is what makes a leg run under something: a tunnel, a cover, or a layer
// below the ground's. What lies over it has a clear height to ask for, and a
// surface model shows its top, not the road.
func Under(t route.Tags) string {
	switch {
	case t.Tunnel != "":
		return t.Tunnel
	case t.Covered != "":
		return "covered"
	case t.Layer < 0 && t.Bridge == "" && t.Ford == "":
		return "layer below ground"
	}
	return ""
}

// place adds a leg to the structure it continues, or begins a new one.
func place(out []Placed, k Kind, l route.Leg) []Placed {
	for i := len(out) - 1; i >= 0; i-- {
		if p := &out[i]; p.Feature.Kind == k && p.At.ToM == l.At.FromM && p.Feature.Source == cmp.Or(l.From, "route tags") && slices.Equal(p.Feature.Differs, l.Differs) && p.Feature.says(l.Tags) {
			p.At.ToM = l.At.ToM
			return out
		}
	}
	t := l.Tags
	f := &Feature{Kind: k, Name: t.Name, Source: cmp.Or(l.From, "route tags"), What: tagOf(t, k), Differs: l.Differs, MaxMassKg: t.MaxMassKg, MaxAxleKg: t.MaxAxleKg, MaxBogieKg: t.MaxBogieKg,
		MaxHeightM: t.MaxHeightM, ClassWheeled: t.ClassWheeled, ClassWheeledOne: t.ClassWheeledOne, SpanM: t.SpanM, DepthM: t.DepthM}
	if k == Bridge {
		f.Form, f.Material, f.Spans = FormOf(t), t.BridgeMaterial, t.BridgeSpans
	}
	return append(out, Placed{Feature: f, At: l.At})
}

// says reports whether a leg's tags say the same of the structure.
func (f *Feature) says(t route.Tags) bool {
	return f.Name == t.Name && f.MaxMassKg == t.MaxMassKg && f.MaxAxleKg == t.MaxAxleKg && f.MaxBogieKg == t.MaxBogieKg && f.MaxHeightM == t.MaxHeightM &&
		f.ClassWheeled == t.ClassWheeled && f.ClassWheeledOne == t.ClassWheeledOne && f.SpanM == t.SpanM && f.DepthM == t.DepthM &&
		(f.Kind != Bridge || f.Form == FormOf(t) && f.Material == t.BridgeMaterial && f.Spans == t.BridgeSpans)
}

// join adds a stretch to a list, growing the last one where they touch.
func join(list []route.Stretch, s route.Stretch) []route.Stretch {
	if n := len(list); n > 0 && list[n-1].ToM == s.FromM {
		list[n-1].ToM = s.ToM
		return list
	}
	return append(list, s)
}
