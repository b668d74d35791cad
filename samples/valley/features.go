package valley

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Spacing of the vertices that are written.
const (
	straightStepM = 20.0
	arcStepLeastM = 2.0
	arcStepMostM  = 5.0
	arcStepShare  = 0.05 // of the radius
	apartM        = 1.0  // an arc's end nearer than this to a junction or change of tags is left out
)

// vertices is the chainages of the road's vertices: ends of ways and of
// stretches, ends of arcs, and steps between them.
func (r *Road) vertices() []float64 {
	fixed := slices.Clone(r.nodes)
	for _, st := range r.stretches {
		fixed = append(fixed, st.fromM, st.toM)
	}
	for _, e := range r.line {
		s := e.toM()
		if !slices.ContainsFunc(fixed, func(f float64) bool { return math.Abs(f-s) < apartM }) {
			fixed = append(fixed, s)
		}
	}
	slices.Sort(fixed)
	fixed = slices.Compact(fixed)
	out := []float64{fixed[0]}
	for k := 1; k < len(fixed); k++ {
		a, b := fixed[k-1], fixed[k]
		step := straightStepM
		if radius := math.Abs(r.RadiusM((a + b) / 2)); radius > 0 {
			step = min(max(mul(arcStepShare, radius), arcStepLeastM), arcStepMostM)
		}
		n := int((b-a)/step-1e-9) + 1
		for i := 1; i < n; i++ {
			out = append(out, mix(a, b, float64(i)/float64(n)))
		}
		out = append(out, b)
	}
	return out
}

// vertex is the road's point at a chainage; at a junction the point of the
// road that was there first, so that both have the same.
func (r *Road) vertex(s float64) (x, y float64) {
	switch {
	case s == 0 && r.startAt != nil:
		return r.startAt.road.At(r.startAt.chainageM)
	case s == r.LengthM && r.endAt != nil:
		return r.endAt.road.At(r.endAt.chainageM)
	}
	return r.At(s)
}

// feature is a line with its properties, in the order they are written.
type feature struct {
	properties []property
	lonLat     [][2]float64
}

type property struct {
	key   string
	value any // string or int
}

// piece is the road from a to b as a feature with the tags that hold there.
func (r *Road) piece(a, b float64, lead ...property) feature {
	f := feature{properties: lead}
	for _, t := range r.tagsAt(a) {
		f.properties = append(f.properties, property{t.key, t.value})
	}
	for _, s := range r.vertices() {
		if s >= a && s <= b {
			x, y := r.vertex(s)
			lon, lat := Geographic(x, y)
			f.lonLat = append(f.lonLat, [2]float64{lon, lat})
		}
	}
	return f
}

// cuts is the chainages from a to b where the tags change, ends included, and
// the extra ones that lie between.
func (r *Road) cuts(a, b float64, extra []float64) []float64 {
	out := []float64{a, b}
	for _, st := range r.stretches {
		extra = append(slices.Clip(extra), st.fromM, st.toM)
	}
	for _, s := range extra {
		if s > a && s < b {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// routeFeatures is the five routes in pieces, split where the tags change.
func (v *Valley) routeFeatures() []feature {
	var out []feature
	for _, route := range v.Routes {
		seq := 0
		for _, l := range route.Legs {
			cuts := l.Road.cuts(l.FromM, l.ToM, nil)
			for k := 1; k < len(cuts); k++ {
				seq++
				out = append(out, l.Road.piece(cuts[k-1], cuts[k], property{"route", route.ID}, property{"seq", seq}))
			}
		}
	}
	return out
}

// wayFeatures is every road of the valley, split at junctions and where the
// tags change.
func (v *Valley) wayFeatures() []feature {
	var out []feature
	for _, r := range v.Roads {
		cuts := r.cuts(0, r.LengthM, r.nodes)
		for k := 1; k < len(cuts); k++ {
			out = append(out, r.piece(cuts[k-1], cuts[k], property{"id", fmt.Sprintf("w%02d", len(out)+1)}))
		}
	}
	return out
}

// collection writes features as GeoJSON (RFC 7946), one a line, degrees to
// seven decimals (about a centimetre).
func collection(features []feature) []byte {
	b := []byte("{\"type\":\"FeatureCollection\",\"features\":[\n")
	for i, f := range features {
		if i > 0 {
			b = append(b, ",\n"...)
		}
		b = f.append(b)
	}
	return append(b, "\n]}\n"...)
}

// append adds the feature's text.
func (f feature) append(b []byte) []byte {
	b = append(b, `{"type":"Feature","properties":{`...)
	for i, p := range f.properties {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(append(b, quoted(p.key)...), ':')
		switch value := p.value.(type) {
		case int:
			b = strconv.AppendInt(b, int64(value), 10)
		case string:
			b = append(b, quoted(value)...)
		}
	}
	b = append(b, `},"geometry":{"type":"LineString","coordinates":[`...)
	for i, p := range f.lonLat {
		if i > 0 {
			b = append(b, ',')
		}
		b = strconv.AppendFloat(append(b, '['), p[0], 'f', 7, 64)
		b = strconv.AppendFloat(append(b, ','), p[1], 'f', 7, 64)
		b = append(b, ']')
	}
	return append(b, "]}}"...)
}

// quoted is a text as JSON.
func quoted(s string) []byte {
	b, err := json.Marshal(s)
	if err != nil { // cannot happen: every string has a JSON form
		return []byte(`""`)
	}
	return b
}
