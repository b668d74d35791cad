package ways

import (
	"fmt"
	"slices"

	"drawbar/route"
	"drawbar/route/structure"
)

// bare are the tags of a way for a line that says little itself: what it does
// say of the ground stands, and of two limits the stricter one.
func bare(own, way route.Tags, of string) (route.Tags, []string) {
	t := way
	for _, w := range []struct{ to, own *string }{
		{&t.Surface, &own.Surface}, {&t.Tracktype, &own.Tracktype}, {&t.Smoothness, &own.Smoothness},
		{&t.Access, &own.Access}, {&t.Oneway, &own.Oneway},
	} {
		if *w.own != "" {
			*w.to = *w.own
		}
	}
	t.Doubts = append(slices.Clone(own.Doubts), way.Doubts...)
	if own.InclineRatio.State == route.Known {
		t.InclineRatio = own.InclineRatio
	}
	return limits(t, own, way, of)
}

// tagged are the tags of a line that describes its way: they stand. A structure
// that only the way has is taken: it may be the bridge the line forgot.
func tagged(own, way route.Tags, of string) (route.Tags, []string) {
	t := own
	if own.Bridge == "" && own.Tunnel == "" && own.Ford == "" && own.Covered == "" {
		t.Bridge, t.Tunnel, t.Ford, t.Covered = way.Bridge, way.Tunnel, way.Ford, way.Covered
		if own.Layer == 0 {
			t.Layer = way.Layer
		}
	}
	if own.Access == "" {
		t.Access = way.Access
	}
	return limits(t, own, way, of)
}

// limits puts the stricter of two limits into tags and says where they differ.
func limits(t, own, way route.Tags, of string) (route.Tags, []string) {
	var differs []string
	for _, l := range []struct {
		key      string
		to       *route.Limit
		own, way route.Limit
		most     bool // the larger one is the stricter
	}{
		{"maxweight", &t.MaxMassKg, own.MaxMassKg, way.MaxMassKg, false},
		{"maxweightrating", &t.MaxRatedMassKg, own.MaxRatedMassKg, way.MaxRatedMassKg, false},
		{"maxaxleload", &t.MaxAxleKg, own.MaxAxleKg, way.MaxAxleKg, false},
		{"maxbogieweight", &t.MaxBogieKg, own.MaxBogieKg, way.MaxBogieKg, false},
		{"maxheight", &t.MaxHeightM, own.MaxHeightM, way.MaxHeightM, false},
		{"maxwidth", &t.MaxWidthM, own.MaxWidthM, way.MaxWidthM, false},
		{"maxlength", &t.MaxLengthM, own.MaxLengthM, way.MaxLengthM, false},
		{"width", &t.WidthM, own.WidthM, way.WidthM, false},
		{"depth", &t.DepthM, own.DepthM, way.DepthM, true},
		{"bridge:span", &t.SpanM, own.SpanM, way.SpanM, true},
		{"mlc:wheeled", &t.ClassWheeled, own.ClassWheeled, way.ClassWheeled, false},
		{"mlc:wheeled_oneway", &t.ClassWheeledOne, own.ClassWheeledOne, way.ClassWheeledOne, false},
	} {
		var differ bool
		*l.to, differ = structure.Stricter(l.own, l.way, l.most)
		if differ {
			differs = append(differs, fmt.Sprintf("%s is %q by the route's own tags and %q by %s", l.key, l.own.Raw, l.way.Raw, of))
		}
	}
	return t, differs
}
